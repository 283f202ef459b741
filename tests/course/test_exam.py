"""Exams: what stands in which file, and marking of two versions from tables of several kinds."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from coaxwright.cli.main import run
from coaxwright.quiz import statistics


def keys(exam: Path) -> dict[str, list[dict[str, Any]]]:
    return {letter: list(json.loads((exam / f"key-{letter}.json").read_text())["items"].values()) for letter in "AB"}


def right(item: dict[str, Any]) -> str:
    return item["key"] or str(item["entered"]["value"])


def wrong(item: dict[str, Any]) -> str:
    return next(letter for letter in "ABC" if letter != item["key"]) if item["key"] else "-1"


def marked(exam: Path, table: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    capsys.readouterr()
    (tmp_path / "a.csv").write_text(table)
    assert run(["course", "mark", str(exam), str(tmp_path / "a.csv"), "--format", "json"]) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_key_and_paper_share_no_file(exam: Path) -> None:
    """Common practice: what learners get holds no key, no slip, no difficulty."""
    names = {path.name for path in exam.iterdir()}
    assert {
        "paper-A.html",
        "answer-sheet-A.html",
        "key-A.html",
        "key-A.json",
        "paper-B.html",
        "exam.json",
        "answers.csv",
    } <= names
    for letter in "AB":
        paper = (exam / f"paper-{letter}.html").read_text() + (exam / f"answer-sheet-{letter}.html").read_text()
        for item in keys(exam)[letter]:
            assert not any(each.get("feedback") and each["feedback"] in paper for each in item["options"].values())
            assert not any(each.get("slip") and each["slip"] in paper for each in item["options"].values())
        assert all(word not in paper for word in ("estimate", "easy", "middling"))


def test_paper_tells_time_points_and_pass_mark(exam: Path) -> None:
    paper = (exam / "paper-A.html").read_text()
    assert "Time: 45 minutes" in paper
    assert "10 questions, 2 points each, 20 points" in paper
    assert "Pass mark: 12 of 20 points (panel of five judges)" in paper
    assert "Pocket calculators may be used." in paper


def test_the_answer_sheet_has_every_number_once_with_its_unit(exam: Path) -> None:
    sheet = (exam / "answer-sheet-B.html").read_text()
    for number, item in enumerate(keys(exam)["B"], start=1):
        assert sheet.count(f'<span class="number">{number}</span>') == 1
        assert not item["entered"] or item["entered"]["unit"] in sheet


@pytest.mark.parametrize(("sign", "head"), [(",", "learner"), (";", "Name"), ("\t", "Candidate")])
def test_versions_are_marked_together_whatever_parts_the_cells(
    exam: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], sign: str, head: str
) -> None:
    held = keys(exam)
    rows = [sign.join([head, "Version", *map(str, range(1, 11))])]
    rows.append(sign.join(["Ada", "A", *(right(item) for item in held["A"])]))
    rows.append(
        sign.join(
            ["Bo", "b", *(right(item).lower() for item in held["B"][:5]), *(wrong(item) for item in held["B"][5:])]
        )
    )
    found = marked(exam, "\n".join(rows) + "\n", tmp_path, capsys)
    ada, bo = found["learners"]
    assert (ada["points"], ada["result"], bo["points"], bo["result"]) == (20, "pass", 10, "not yet")
    assert ada["topics"] == {"power": [4, 4], "storage": [3, 3], "signal": [3, 3]}
    assert [each["right"] for each in found["questions"]] == [2] * 5 + [1] * 5


def test_a_decimal_comma_is_read(exam: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    held = keys(exam)
    rows = [
        "learner;version;" + ";".join(map(str, range(1, 11))),
        "Ada;A;" + ";".join(right(item).replace(".", ",") for item in held["A"]),
    ]
    assert marked(exam, "\n".join(rows), tmp_path, capsys)["learners"][0]["right"] == 10


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("learner,1,2,3,4,5,6,7,8,9,10\nAda,A,A,A,A,A,A,A,A,A,A\n", "no column `version`"),
        ("learner,version,1,2\nAda,A,A,A\n", "no column `3`"),
        ("learner,version,11\nAda,A,A\n", "the column `11` is none of this exam"),
        ("learner,version,1,2,3,4,5,6,7,8,9,10\nAda,C,A,A,A,A,A,A,A,A,A,A\n", "`C` is no version"),
        ("learner,version,1,2,3,4,5,6,7,8,9,10\nAda,A,A\nAda,B,A\n", "Ada stands in two rows"),
        ("learner,version,1,2,3,4,5,6,7,8,9,10\n", "there is no answer"),
        ('learner,version,1,2,3,4,5,6,7,8,9,10\nAda,A,"A\nBo,B,A",A\n', "2:7: this cell goes over several lines"),
    ],
)
def test_tables_that_make_no_sense_are_refused(
    exam: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], table: str, said: str
) -> None:
    (tmp_path / "a.csv").write_text(table)
    assert run(["course", "mark", str(exam), str(tmp_path / "a.csv")]) == 2
    assert said in capsys.readouterr().err


def test_no_pattern_of_an_earlier_exam_is_asked_again(exam: Path, tmp_path: Path) -> None:
    (tmp_path / "key-A.json").write_text((exam / "key-A.json").read_text())
    (tmp_path / "p.exam.yaml").write_text("title: Second\nblueprint: {power: 4, signal: 3}\nnot_from: [key-A.json]\n")
    assert run(["course", "exam", str(tmp_path / "p.exam.yaml"), "--output", str(tmp_path / "out")]) == 0
    asked = {item["pattern"] for item in json.loads((tmp_path / "out" / "key-A.json").read_text())["items"].values()}
    assert asked.isdisjoint(item["pattern"] for item in keys(exam)["A"])


def test_a_pass_mark_beyond_all_points_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "p.exam.yaml").write_text("title: T\nblueprint: {power: 2}\npass_mark: 3\n")
    assert run(["course", "exam", str(tmp_path / "p.exam.yaml"), "--output", str(tmp_path / "out")]) == 2
    assert "pass_mark is 3 of 2 points" in capsys.readouterr().err


def test_discrimination_does_not_depend_on_the_order_of_rows() -> None:
    """By hand: of ten learners three form each group; four share the border below, so each counts three quarters."""
    scores = [1.0, 1.0, 1.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]
    marks = [1, 0, 0, 0, 0, 1, 0, 1, 1, 1]
    assert statistics.discrimination(marks, scores) == pytest.approx((3 - 0.75) / 3)
    draw = random.Random(1)
    for _ in range(20):
        order = draw.sample(range(10), 10)
        assert statistics.discrimination(
            [marks[place] for place in order], [scores[place] for place in order]
        ) == pytest.approx(0.75)
