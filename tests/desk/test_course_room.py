"""The course of the page, without a browser: the same bytes as the command line, the same times as the learner's page."""

from __future__ import annotations

import base64
import io
import json
import re
import shutil
import zipfile
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from tests.conftest import FULL
from tests.desk.asking import ask, room
from tests.desk.hostile import PAYLOADS

from coaxwright.cli.main import run
from coaxwright.desk.session import Session
from coaxwright.desk.training.solving import best_next, steps_of, told, walked, would
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
TURN = {"topic": "power", "seed": 1, "place": 0, "variant": 0}


pytestmark = pytest.mark.usefixtures("items_once")


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Session:
    return Session(Workspace(FolderStore(tmp_path_factory.mktemp("course"))))


def data_of(answer: dict[str, Any]) -> bytes:
    assert answer["ok"], answer
    return base64.b64decode(answer["file"]["base64"])


def files(**named: bytes) -> list[dict[str, str]]:
    return [{"name": name, "base64": base64.b64encode(data).decode()} for name, data in named.items()]


# Lessons


def test_lessons_are_listed_and_shown(session: Session) -> None:
    listed = room(session, "/course/lessons")
    assert listed.count("#/course/lessons/") >= 12
    shown = room(session, "/course/lessons/power")
    for words in ("The idea", "A picture of it", "A worked example", "Usual slips", "Three questions", "Sources"):
        assert f"<h2>{words}</h2>" in shown
    assert "there is no lesson" in room(session, "/course/lessons/zzz").lower()


def test_pages_that_are_saved_are_those_of_the_command_line(session: Session, tmp_path: Path) -> None:
    calls = [
        ({"file": "lesson", "topic": "signal", "seed": 2}, ["lesson", "signal", "--seed", "2"]),
        ({"file": "practice", "topic": "display", "seed": 1}, ["practice", "--topic", "display"]),
        ({"file": "case", "seed": 2}, ["diagnosis", "--seed", "2"]),
    ]
    for place, (fields, call) in enumerate(calls if FULL else calls[:2]):  # a case has a test of its own
        out = tmp_path / f"{place}.html"
        assert run(["course", *call, "--output", str(out)]) == 0
        assert data_of(ask(session, "course-file", **fields)) == out.read_bytes(), call


# Practice


def test_each_answer_is_told_at_once(session: Session) -> None:
    page = room(session, "/course/practice/power/1/0/0")
    assert "question 1 of 8" in page
    assert "Working</h3>" not in page
    letters = re.findall(r'data-do="course-answer"[^>]*&quot;given&quot;: &quot;([A-Z])&quot;', page)
    assert len(letters) >= 3
    told = {letter: ask(session, "course-answer", **TURN, given=letter) for letter in letters}
    assert [each["result"]["right"] for each in told.values()].count(True) == 1
    wrong = next(each for each in told.values() if not each["result"]["right"])
    assert wrong["say"].startswith("Not yet. ")
    assert wrong["focus"] == ["course-said"]
    after = room(session, "/course/practice/power/1/0/0")
    assert "Working</h3>" in after
    assert "Not yet. " in after
    assert "not at once" in after  # the round remembers that the first answer was wrong, or that more than one was needed


def test_what_was_shown_counts(session: Session) -> None:
    turn = {**TURN, "place": 1}
    assert "Working</h3>" not in room(session, "/course/practice/power/1/1/0")
    assert ask(session, "course-working", **turn)["ok"]
    page = room(session, "/course/practice/power/1/1/0")
    assert "Working</h3>" in page
    assert 'aria-current="step"' in page
    assert page.count("not at once") >= 1


def test_another_of_the_kind_has_other_numbers(session: Session) -> None:
    pages = [room(session, f"/course/practice/power/1/2/{variant}") for variant in (0, 1)]
    titles = [re.search(r"<h3>(.*?)</h3>", page) for page in pages]
    assert titles[0] is not None
    assert titles[1] is not None
    assert titles[0][1] == titles[1][1]
    assert pages[0].partition('id="stem"')[0] != pages[1].partition('id="stem"')[0]


@pytest.mark.parametrize("given", ["", " ", 7, None])
def test_what_is_no_answer_is_refused(session: Session, given: Any) -> None:
    assert not ask(session, "course-answer", **TURN, given=given)["ok"]


ADDRESSES = [
    "/course", "/course/zzz", "/course/practice/zzz", "/course/practice/power/x/-1/99/7", "/course/diagnosis",
    "/course/diagnosis/x/y.z", "/course/papers/count=0", "/course/marking/x",
]  # fmt: skip


@pytest.mark.parametrize("at", ADDRESSES)
def test_every_address_shows_something(session: Session, at: str) -> None:
    assert "Course: " in room(session, at)


# Diagnosis: oracle from docs/course.md: each measurement takes its usual minutes, a hint 5, a wrong repair 20


DATA: dict[str, Any] = {
    "spots": [{"minutes": 3, "falls": [1], "says": "a", "how": ""}, {"minutes": 10, "falls": [1, 2], "says": "b", "how": ""},
              {"minutes": 6, "falls": [], "says": "c", "how": ""}],
    "true": [0], "alike": [3], "repairs": ["mend it."] * 4, "best": {"minutes": 10, "says": ["b"]},
}  # fmt: skip


def test_a_walk_counts_time_and_fallen_suspects() -> None:
    walk = walked(DATA, 4, steps_of("m0.m0.h.s2.zz.s2.s1.m1.s0.m2"))
    assert walk.steps == ["m0", "h", "s2", "m1", "s0"]
    assert (walk.spent, walk.fallen, walk.wrong, walk.named) == (3 + 5 + 20 + 10, {1: 1, 2: 2}, [2], 0)
    assert told(walk, DATA).score == round(100 * 10 / 38)
    assert "That is it." in told(walk, DATA).words
    assert "no measurement here" in told(walked(DATA, 4, ["m1", "s3"]), DATA).words.lower()
    assert told(walked(DATA, 4, ["s0"]), DATA).score == 0
    assert best_next(walked(DATA, 4, []), DATA) == 0  # one for 3 minutes before two for 10
    assert best_next(walked(DATA, 4, ["m0", "m1"]), DATA) is None
    assert [(each.place, each.out, each.left) for each in would(walked(DATA, 4, ["m0"]), DATA, 4)] == [(1, (2,), 2), (2, (), 3)]


def test_a_case_can_be_walked_to_its_end(session: Session) -> None:
    at = "/course/diagnosis/2"
    page = room(session, at)
    assert "What the customer says" in page
    for _ in range(40):
        moves = re.findall(r'data-go="(/course/diagnosis/2/[^"]*)"', page)
        moves = [each for each in moves if len(each) > len(at)]  # not the step back
        measures = [each for each in moves if re.search(r"m\d+$", each)]
        names = [each for each in moves if re.search(r"s\d+$", each)]
        at = names[0] if names and (not measures or len(names) == 1) else measures[0]
        page = room(session, at)
        if 'id="found"' in page:
            break
    assert "the best course takes" in page
    assert "Score: " in page
    assert "Back one step" in room(session, at.rpartition(".")[0])


def test_the_trainers_panel_is_not_in_the_learners_file(session: Session) -> None:
    assert "For the trainer" in room(session, "/course/diagnosis/2")
    assert b"For the trainer" not in data_of(ask(session, "course-file", file="case", seed=2))


# The open site


@pytest.fixture
def opened(tmp_path: Path) -> Session:
    shutil.copytree(ROOT / "examples" / "plant-nursery", tmp_path / "nursery")
    made = Session(Workspace(FolderStore(tmp_path / "nursery")))
    made.work.open("rowan-bank.site.yaml")
    return made


def test_a_case_on_the_open_site_is_the_one_of_the_command_line(opened: Session, tmp_path: Path) -> None:
    begun = ask(opened, "course-case", where="here", symptom="no-picture")
    assert begun["go"] == "/course/diagnosis/here:no-picture/1"
    page = room(opened, begun["go"])
    assert "no picture" in page.partition("What the customer says")[2][:400]
    assert 'data-go="/course/diagnosis/here:no-picture/1/m0"' in page
    site, out = tmp_path / "nursery" / "rowan-bank.site.yaml", tmp_path / "case.html"
    assert run(["course", "diagnosis", str(site), "--symptom", "no-picture", "--output", str(out)]) == 0
    fields = {"file": "case", "here": True, "symptom": "no-picture", "seed": 1}
    assert data_of(ask(opened, "course-file", **fields)) == out.read_bytes()
    opened.work.set_cells([("/site", "Another name")])  # the case follows the text as it is edited
    assert "Another name: what is wrong?" in room(opened, begun["go"])
    wrong = ask(opened, "course-case", where="here", symptom="none-such")
    assert "none-such" in wrong["problems"][0]["what"]


def test_what_is_seen_is_answered_as_by_the_command_line(opened: Session, tmp_path: Path, capsys: Any) -> None:
    fields = {"device1": "cameras/yard", "symptom1": "no-picture-at-night", "device2": "", "symptom2": "", "measured": ""}
    first = ask(opened, "course-seen", **fields, view={"at": "/course/seen"})
    assert "spot0" in first["fragments"]["room"]["html"]
    more = {**fields, "spot0": "cameras/yard: volts-night", "reading0": "9.1"}
    second = ask(opened, "course-seen", **more, view={"at": "/course/seen"})
    call = ["diagnose", str(tmp_path / "nursery" / "rowan-bank.site.yaml"), "--seen", "cameras/yard: no picture at night"]
    for answer, rest in ((first, []), (second, ["--measured", "cameras/yard: volts-night = 9.1"])):
        assert run([*call, *rest]) == 0
        assert answer["say"] in " ".join(capsys.readouterr().out.split())
        assert answer["say"].split(";")[0] in room(opened, answer["go"])
    assert first["say"] != second["say"]
    assert "cameras/yard: volts-night = 9.1" in room(opened, second["go"])
    assert not ask(opened, "course-seen", device1="cameras/yard", symptom1="")["ok"]
    assert "figure" in ask(opened, "course-seen", **{**more, "reading0": "much"})["problems"][0]["right"]
    for text in PAYLOADS:
        page = room(opened, "/course/seen/" + urlencode({"device1": text, "symptom1": text, "measured": text}))
        assert "<script>" not in page
        assert "<img" not in page


def test_nothing_is_looked_into_without_a_site(session: Session) -> None:
    assert "Open a site first" in room(session, "/course/seen")
    assert not ask(session, "course-seen", device1="cameras/yard", symptom1="no-picture")["ok"]
    assert not ask(session, "course-case", where="here")["ok"]


# Papers, exams, marking


def test_a_paper_is_the_one_of_the_command_line(session: Session, tmp_path: Path) -> None:
    fields = {"topic-power": True, "topic-signal": False, "count": "4", "papers": "2", "seed": "7", "size": "small",
              "level": "", "minutes": "30", "form": "html"}  # fmt: skip
    made = ask(session, "course-paper", **fields, view={"at": "/course/papers"})
    assert made["ok"], made
    page = made["fragments"]["room"]["html"]
    assert page.count('<p class="stem">') == 4
    archive = zipfile.ZipFile(io.BytesIO(data_of(ask(session, "course-file", file="papers", **fields))))
    call = ["--topic", "power", "--count", "4", "--papers", "2", "--seed", "7", "--size", "small", "--minutes", "30"]
    assert run(["quiz", *call, "--format", "html", "--output", str(tmp_path / "out")]) == 0
    there = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert {name: archive.read(name) for name in archive.namelist()} == there
    key = json.loads(there["key-A.json"])
    assert all(working not in page for item in key["items"].values() for working in item["working"] if len(working) > 30)


@pytest.mark.parametrize(
    "wrong", [{"count": "0"}, {"count": "x"}, {"papers": "27"}, {"size": "huge"}, {"form": "pdf"}, {"seed": "-1"}]
)
def test_an_order_that_makes_no_paper_is_refused(session: Session, wrong: dict[str, str]) -> None:
    assert not ask(session, "course-paper", **wrong)["ok"]


EXAM = b"title: Spring\nblueprint: {power: 2, storage: 1}\nversions: 1\nseed: 5\npoints: 2\npass_mark: 3\n"


def test_an_exam_is_made_and_marked_as_by_the_command_line(session: Session, tmp_path: Path) -> None:
    archive = zipfile.ZipFile(io.BytesIO(data_of(ask(session, "course-exam", files=files(**{"spring.exam.yaml": EXAM})))))
    (tmp_path / "spring.exam.yaml").write_bytes(EXAM)
    assert run(["course", "exam", str(tmp_path / "spring.exam.yaml"), "--output", str(tmp_path / "spring")]) == 0
    there = {path.name: path.read_bytes() for path in (tmp_path / "spring").iterdir()}
    assert {name: archive.read(name) for name in archive.namelist()} == there
    key = json.loads(there["key-A.json"])
    right = [str(item["key"] or item["answer"]) for item in key["items"].values()]
    numbers = ",".join(str(place + 1) for place in range(len(right)))
    answers = f"learner,version,{numbers}\nAda <b>,A,{','.join(right)}\nBo,A,{',' * (len(right) - 1)}\n".encode()
    (tmp_path / "answers.csv").write_bytes(answers)
    call = ["course", "mark", str(tmp_path / "spring"), str(tmp_path / "answers.csv"), "--format", "html"]
    assert run([*call, "--output", str(tmp_path / "results.html")]) == 0
    given = files(**{"exam.json": there["exam.json"], "key-A.json": there["key-A.json"], "answers.csv": answers})
    marked = ask(session, "course-mark", files=given, view={"at": "/course/marking"})
    assert marked["ok"], marked
    page = marked["fragments"]["room"]["html"]
    assert "1 of 2 reached the pass mark" in page
    assert "<b>," not in page
    assert data_of(ask(session, "course-file", file="results")) == (tmp_path / "results.html").read_bytes()


def test_one_paper_is_marked_by_its_key(session: Session, tmp_path: Path) -> None:
    assert run(["quiz", "--topic", "power", "--count", "2", "--output", str(tmp_path / "out")]) == 0
    key = (tmp_path / "out" / "key-A.json").read_bytes()
    first = next(iter(json.loads(key)["items"]))
    answers = f"learner,{first}\nAda,Z\n".encode()
    marked = ask(session, "course-mark", files=files(**{"key-A.json": key, "a.csv": answers}), view={"at": "/course/marking"})
    assert "Ada" in marked["fragments"]["room"]["html"]


BAD: list[Any] = [
    None, [], [7], [{"name": "a.csv"}], files(**{"a.csv": b"x"}), files(**{"../key-A.json": b"{}", "a.csv": b"x"}),
    files(**{"x.exe": b""}), files(**{"key.json": b"{", "a.csv": b"learner\n"}), files(**{".json": b"{}", ".csv": b""}),
    files(**{"exam.json": b'{"versions": ["A"]}', "key-B.json": b"{}", "a.csv": b"learner,1\nA,B\n"}),
]  # fmt: skip


@pytest.mark.parametrize("given", BAD)
def test_files_that_cannot_be_marked_are_told(session: Session, given: Any) -> None:
    answer = ask(session, "course-mark", files=given)
    assert not answer["ok"]
    assert "fault in the program" not in answer["problems"][0]["what"]
    assert "/tmp" not in json.dumps(answer["problems"])


@pytest.fixture(scope="module")
def pages(session: Session) -> list[str]:
    found = []
    for text in PAYLOADS:
        ask(session, "course-answer", **{**TURN, "place": 3}, given=text)
        found.append(room(session, "/course/practice/power/1/3/0"))
        found.append(room(session, f"/course/lessons/{text}"))
        found.append(room(session, f"/course/diagnosis/1/{text}"))
        answer = ask(session, "course-exam", files=files(**{"x.yaml": text.encode()}))
        assert not answer["ok"]
    return found


def test_what_is_typed_is_only_ever_words(pages: list[str]) -> None:
    for page in pages:
        assert "<script" not in page.lower()
        assert "<img" not in page.lower()
