"""What is kept of a sitting: where names stand, that they go on request, pages, workbook, history, striking out."""

from __future__ import annotations

import io
import json
import math
import re
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from tests.course.test_exam import keys, right, wrong

from coaxwright.cli.main import run
from coaxwright.course import forgetting
from coaxwright.errors import Refusal

LEARNERS = {"Ada Holm": ("A", 10), "Bo Ek": ("B", 6), "Cleo O'Dea": ("A", 5), "Dara Åström": ("B", 2)}
"""Version and how many of the first questions each has right. Invented."""
KEPT_WITH_NAMES = {
    "results.learners.html",
    "results.learners.xlsx",
    "sheets.learners.html",
    "certificates.learners.html",
    "sitting.learners.json",
}


def table(exam: Path, sign: str = ",") -> str:
    held = keys(exam)
    rows = [sign.join(["learner", "version", *map(str, range(1, 11))])]
    for name, (version, many) in LEARNERS.items():
        given = [right(item) if place < many else wrong(item) for place, item in enumerate(held[version])]
        rows.append(sign.join([name, version, *given]))
    return "\n".join(rows) + "\n"


@pytest.fixture
def sitting(exam: Path, tmp_path: Path) -> Path:
    (tmp_path / "answers.csv").write_text(table(exam))
    assert run(["course", "mark", str(exam), str(tmp_path / "answers.csv"), "--all", str(tmp_path / "kept")]) == 0
    return tmp_path / "kept"


def texts(path: Path) -> str:
    """All that a file says; of a workbook its cells."""
    if path.suffix != ".xlsx":
        return path.read_text()
    sheets = load_workbook(path).worksheets
    return "\n".join(str(cell) for sheet in sheets for row in sheet.iter_rows(values_only=True) for cell in row)


def test_names_stand_only_in_files_that_say_so(sitting: Path) -> None:
    with_names = {path.name for path in sitting.iterdir() if "Ada Holm" in texts(path)}
    assert with_names == KEPT_WITH_NAMES
    assert {path.name for path in sitting.iterdir()} == {*KEPT_WITH_NAMES, "questions.json", "questions.html"}


def test_the_workbook_says_what_each_learner_did_in_numbers(sitting: Path) -> None:
    book = load_workbook(sitting / "results.learners.xlsx")
    assert book.sheetnames == ["Learners", "Topics", "Questions", "Answers"]
    rows = {row[0]: row for row in book["Learners"].iter_rows(min_row=2, values_only=True)}
    assert {name: row[2] for name, row in rows.items()} == {name: 2 * many for name, (_, many) in LEARNERS.items()}
    assert rows["Ada Holm"][6:] == (4, 3, 3)
    assert rows["Bo Ek"][4] == "pass"
    assert rows["Cleo O'Dea"][4] == "not yet"
    assert book["Questions"]["H2"].value == 1.0
    assert sum(row[4] == "yes" for row in book["Answers"].iter_rows(min_row=2, values_only=True)) == 10 + 6 + 5 + 2


def test_certificates_are_for_those_who_passed_and_claim_no_licence(sitting: Path) -> None:
    """Common practice: a certificate of a course is no permit to work."""
    page = (sitting / "certificates.learners.html").read_text()
    assert page.count('class="certificate"') == 2
    assert "Ada Holm" in page
    assert "Bo Ek" in page
    assert "Cleo" not in page
    assert page.count("panel of five judges") == 2
    assert page.count("It is no licence") == 2


def test_each_learner_gets_a_sheet_with_the_slips(sitting: Path, exam: Path) -> None:
    page = (sitting / "sheets.learners.html").read_text()
    assert [page.count(f">{name.replace(chr(39), '&#x27;')}</h2>") for name in LEARNERS] == [1, 1, 1, 1]
    item = keys(exam)["B"][9]
    chosen = item["options"][wrong(item)] if item["key"] else None
    assert chosen is None or chosen["named"] in page


def test_forgetting_takes_a_learner_out_of_every_file(
    sitting: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    questions = (sitting / "questions.json").read_bytes()
    capsys.readouterr()
    assert run(["course", "forget", "bo  EK", str(sitting), str(tmp_path / "answers.csv")]) == 0
    said = capsys.readouterr().out
    assert "sitting.learners.json: a paper of version B with 10 answers taken out, 3 papers left" in said
    assert "answers.csv: 1 row taken out" in said
    for path in [*sitting.iterdir(), tmp_path / "answers.csv"]:
        assert "Bo Ek" not in texts(path), path.name
    assert "Ada Holm" in texts(sitting / "results.learners.xlsx")
    assert (sitting / "questions.json").read_bytes() == questions
    assert (tmp_path / "answers.csv").read_text().count("\n") == 4
    assert run(["course", "forget", "Bo Ek", str(sitting)]) == 2
    assert "nobody is called `Bo Ek`" in capsys.readouterr().err


def test_preview_writes_nothing(sitting: Path) -> None:
    before = {path.name: path.read_bytes() for path in sitting.iterdir()}
    assert run(["course", "forget", "Bo Ek", str(sitting), "--preview"]) == 0
    assert {path.name: path.read_bytes() for path in sitting.iterdir()} == before


def test_the_last_learner_takes_the_files_with_names_along(sitting: Path) -> None:
    for name in LEARNERS:
        assert run(["course", "forget", name, str(sitting)]) == 0
    assert {path.name for path in sitting.iterdir()} == {"questions.json", "questions.html"}


def test_a_call_that_was_stopped_can_be_made_again(sitting: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file from which the others follow is written last: until then the name is found there again."""
    written: list[str] = []
    real = forgetting.write_bytes_atomically

    def stops(path: Path, data: bytes) -> None:
        if len(written) == 2:
            raise OSError(28, "No space left on device")
        written.append(path.name)
        real(path, data)

    monkeypatch.setattr(forgetting, "write_bytes_atomically", stops)
    with pytest.raises(Refusal, match="No space left"):
        forgetting.carry_out(forgetting.removal("Bo Ek", [sitting]))
    assert "Bo Ek" in texts(sitting / "sitting.learners.json")
    monkeypatch.setattr(forgetting, "write_bytes_atomically", real)
    forgetting.carry_out(forgetting.removal("Bo Ek", [sitting]))
    assert all("Bo Ek" not in texts(path) for path in sitting.iterdir())


def test_other_files_that_still_hold_the_name_are_told(sitting: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (sitting / "notes.txt").write_text("Spoke to Bo Ek; about Bo Ekman too.\n")
    (sitting / "others.txt").write_text("Bo Ekman\n")
    assert run(["course", "forget", "Bo Ek", str(sitting)]) == 1
    said = capsys.readouterr().err
    assert "notes.txt: still holds the name" in said
    assert "others.txt" not in said


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("a.csv", "x,y\n1,2\n", "no column is called `learner`"),
        ("sitting.learners.json", '{"exam": {}, "keys": {}, "learners": []}', "this is no sitting"),
        ("sitting.learners.json", "{", "this is no JSON"),
    ],
)
def test_what_is_no_sitting_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, text: str, said: str
) -> None:
    (tmp_path / name).write_text(text)
    assert run(["course", "forget", "Bo", str(tmp_path / name)]) == 2
    assert said in capsys.readouterr().err


def test_a_question_struck_out_counts_for_nobody(
    exam: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: of 10 questions with a pass mark of 12 in 20 points, 9 are left: 12 x 9 / 10 = 10.8, so 11 of 18."""
    (tmp_path / "a.csv").write_text(table(exam))
    capsys.readouterr()
    assert run(["course", "mark", str(exam), str(tmp_path / "a.csv"), "--format", "json", "--strike", "2"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["points_of_all"], found["pass_mark"]) == (18, 11)
    assert [each["number"] for each in found["questions"]] == [1, 3, 4, 5, 6, 7, 8, 9, 10]
    assert {each["learner"]: each["right"] for each in found["learners"]}["Bo Ek"] == 5
    assert {each["learner"]: each["result"] for each in found["learners"]}["Bo Ek"] == "not yet"
    assert run(["course", "mark", str(exam), str(tmp_path / "a.csv"), "--strike", "11"]) == 2
    assert "there is no question 11" in capsys.readouterr().err


def asked(title: str, day: str, papers: int, right: int, fit: float | None, item: str) -> dict[str, Any]:
    question = {"topic": "power", "patterns": ["power/x"], "items": {"A": item}, "right": right, "difficulty": right / papers,
                "correlation": fit}  # fmt: skip
    return {"title": title, "date": day, "papers": papers, "questions": [question]}


def test_history_adds_up_sittings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 30 of 40 and 30 of 60 are 60 of 100; Fisher's z of 0.5 and 0.2 weighted 37 and 57 (Fisher 1921)."""
    for name, held in (
        ("b", asked("Spring", "2026-05-01", 60, 30, 0.2, "cc")),
        ("a", asked("Autumn", "2025-11-01", 40, 30, 0.5, "cc")),
    ):
        (tmp_path / name).mkdir()
        (tmp_path / name / "questions.json").write_text(json.dumps(held))
    assert run(["course", "history", str(tmp_path / "b"), str(tmp_path / "a"), "--format", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    (one,) = found["patterns"]
    assert (one["answers"], one["right"], one["share"]) == (100, 60, 0.6)
    assert one["shares"] == [["Autumn 2025-11-01", 0.75], ["Spring 2026-05-01", 0.5]]
    assert one["correlation"] == pytest.approx(math.tanh((37 * math.atanh(0.5) + 57 * math.atanh(0.2)) / 94))
    assert found["repeated"] == [
        {"item": "cc", "pattern": "power/x", "sittings": ["Autumn 2025-11-01", "Spring 2026-05-01"]}
    ]
    assert run(["course", "history", str(tmp_path / "a"), str(tmp_path / "a")]) == 2
    assert "comes twice" in capsys.readouterr().err


def test_a_sitting_is_history(sitting: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run(["course", "history", str(sitting)]) == 0
    said = capsys.readouterr().out
    assert "1 sitting, 10 questions" in said
    assert "Ada" not in said


def swapped(cell: str) -> str:
    """The cell with a decimal comma."""
    return re.sub(r"([0-9])[.]([0-9])", r"\1,\2", cell)


PROJECT = "title: T\nblueprint: {power: 2, storage: 1}\nseed: 3\npass_mark: 1\n"


@pytest.fixture(scope="module")
def in_german(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The same exam with and without a language and a date."""
    folder = tmp_path_factory.mktemp("languages")
    for name, more in (("en", ""), ("de", "language: de\ndate: 2026-03-01\n")):
        (folder / f"{name}.exam.yaml").write_text(PROJECT + more)
        assert run(["course", "exam", str(folder / f"{name}.exam.yaml"), "--output", str(folder / name)]) == 0
    return folder / "en", folder / "de"


def test_numbers_and_dates_follow_the_language(in_german: tuple[Path, Path]) -> None:
    """Long date and decimal comma of German: Common Locale Data Repository, from memory."""
    plain, local = ((folder / "paper-A.html").read_text() for folder in in_german)
    assert "Exam of 1. März 2026." in local
    cells = {cell for cell in re.findall(r"<td[^>]*>([^<]*)", plain) if re.match(r"\d+\.\d+( |$)", cell)}
    assert cells
    for cell in cells:
        assert f">{swapped(cell)}<" in local
        assert f">{cell}<" not in local
    assert (in_german[0] / "key-A.json").read_bytes() == (in_german[1] / "key-A.json").read_bytes()


def test_a_language_that_is_not_known_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "p.exam.yaml").write_text(PROJECT + "language: deu\n")
    assert run(["course", "exam", str(tmp_path / "p.exam.yaml"), "--output", str(tmp_path / "out")]) == 2
    assert "`deu` is not known" in capsys.readouterr().err


def test_questions_of_last_term_are_not_asked_again_with_the_same_numbers(
    in_german: tuple[Path, Path], tmp_path: Path
) -> None:
    earlier = json.loads((in_german[0] / "key-A.json").read_text())["items"]
    (tmp_path / "key-A.json").write_text(json.dumps({"items": earlier}))
    (tmp_path / "p.exam.yaml").write_text(PROJECT + "not_items_from: [key-A.json]\n")
    assert run(["course", "exam", str(tmp_path / "p.exam.yaml"), "--output", str(tmp_path / "out")]) == 0
    now = json.loads((tmp_path / "out" / "key-A.json").read_text())["items"]
    assert not set(now) & set(earlier)
    assert [each["pattern"] for each in now.values()] == [each["pattern"] for each in earlier.values()]


def test_results_as_a_workbook_need_a_file(exam: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.csv").write_text(table(exam, ";"))
    call = ["course", "mark", str(exam), str(tmp_path / "a.csv"), "--format", "xlsx"]
    assert run(call) == 2
    assert "--output" in capsys.readouterr().err
    assert run([*call, "--output", str(tmp_path / "r.xlsx")]) == 0
    assert load_workbook(io.BytesIO((tmp_path / "r.xlsx").read_bytes())).sheetnames[0] == "Learners"
