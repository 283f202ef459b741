"""The counter of the page, without a browser: the same bytes as the command line, and words for whatever is in the way."""

from __future__ import annotations

import base64
import json
import shutil
from collections.abc import Iterator
from html import escape
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from tests.desk.asking import ask, room
from tests.desk.hostile import PAYLOADS

from coaxwright.checking import check, load_rulebook, load_site
from coaxwright.cli.main import run
from coaxwright.desk.answers import once
from coaxwright.desk.counter.shelf import Shelf
from coaxwright.desk.ears import Inside
from coaxwright.desk.rooms import ROOMS
from coaxwright.desk.session import Session
from coaxwright.findings import Report
from coaxwright.rulebook.library import Rulebook
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
PAIR = {"camera": "fennick/turret-5", "recorder": "tarnwell/hybrid-8"}
TABLE = "Location,Model,Quantity\nStore,fennick/turret-5,7\nOffice,dome-2,2\nTotal,,9"
LIST = "4 fennick/turret-5, sound on 2\n2 tarnwell/dome-2"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("counter") / "yard"
    shutil.copytree(ROOT / "examples" / "boatyard", made)
    return made


@pytest.fixture(autouse=True, scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No catalogue and no cache but those of these tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        patch.delenv("COAXWRIGHT_PARTS", raising=False)
        yield


@pytest.fixture(scope="module")
def rules(home: None) -> Rulebook:
    return load_rulebook()


@pytest.fixture
def session(folder: Path, rules: Rulebook) -> Session:
    return Session(Workspace(FolderStore(folder), rules))


def check_site(path: Path) -> Report:
    """The report of a site file by itself."""
    return check(load_site(path))


def answer_of(session: Session, do: str = "counter-look", **fields: Any) -> str:
    answer = ask(session, do, **fields)
    assert answer["ok"], answer
    return str(answer["parts"]["counter-answer"])


def test_every_act_of_a_room_is_known_before_it_is_read() -> None:
    for known in ROOMS:
        made = import_module(f"coaxwright.desk.{known.name}_room").ROOM
        assert (known.name, known.word, set(known.acts)) == (made.name, made.word, set(made.acts))


# What is found


def test_a_search_finds_by_beginnings_and_marks_them(session: Session) -> None:
    answer = ask(session, "counter-find", kind="camera", text="fenn 5 tur")
    assert answer["result"]["count"] == 1
    assert "<mark>fenn</mark>ick/<mark>tur</mark>ret-<mark>5</mark>" in answer["result"]["html"]
    assert answer["result"]["spoken"] == "1 found."
    assert ask(session, "counter-find", kind="camera", text="")["result"]["count"] == 3
    nothing = ask(session, "counter-find", kind="recorder", text="fenk")["result"]
    assert nothing["count"] == 0
    assert "No part is called that" in nothing["html"]


# The answer


def test_the_answer_says_the_verdict_of_the_command_line(
    session: Session, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["pair", *PAIR.values(), "--parts", f"{folder}/parts/*.yaml", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    html = answer_of(session, **PAIR)
    assert told["verdict"] in html
    assert 12 <= len(told["verdict"].split()) <= 75
    assert "Works, with a loss" in html
    for name in ("Picture", "Rate", "Sound", "Control", "Reach", "Power", "Sold", "Sources"):
        assert f"<b>{name}</b>" in html
    assert "not asked, so not judged: the cable and its length" in html


def test_words_stand_for_the_first_part_that_they_find(session: Session) -> None:
    answer = ask(session, "counter-look", camera="fenn tur", recorder="hyb", live=True)
    assert answer["go"] == "/counter/pair/camera=fennick%2Fturret-5&recorder=tarnwell%2Fhybrid-8"
    assert "fragments" not in answer
    assert answer["parts"]["counter-answer"] in room(session, answer["go"])


@pytest.mark.parametrize(
    ("length", "cable", "said"),
    [
        ("90 m", "", "90 m of rg59-copper holds; it reaches 240 m"),
        ("90", "", "90 m of rg59-copper holds"),
        ("300 m", "rg59-copper", "Too long"),
        ("300 ft", "rg59-copper", "300 ft of rg59-copper holds"),
        ("90 n", "", "is not a length"),
        ("0,7", "", "is not a length"),
        ("", "rg59-copper", "Not known"),
        ("90 m", "rg58", "rg58"),
    ],
)
def test_a_run_counts_once_it_is_said(session: Session, length: str, cable: str, said: str) -> None:
    assert said in answer_of(session, **PAIR, length=length, cable=cable)


def test_what_is_lacking_is_said_in_words(session: Session) -> None:
    assert "Name a camera and a recorder" in answer_of(session)
    assert "Name a recorder" in answer_of(session, camera="fennick/turret-5")
    assert "There is no part" in answer_of(session, camera="fenk", recorder="hyb")
    assert "neither a family nor a mode" in answer_of(session, **PAIR, switched="tvi 9k")
    assert "full width" in answer_of(session, **PAIR, switched="tvi 1920x1080@25").replace("full:", "full width:")


def test_the_next_customer_finds_empty_fields(session: Session) -> None:
    first = room(session, "/counter/pair/camera=fennick%2Fturret-5&customer=Hazel")
    assert 'value="Hazel"' in first
    answer = ask(session, "counter-next", view={"at": "/counter/pair/camera=fennick%2Fturret-5&customer=Hazel"})
    assert answer["go"] == "/counter"
    assert answer["focus"] == ["q-camera"]
    assert "Hazel" not in answer["fragments"]["room"]["html"]
    assert 'id="ask-1"' in answer["fragments"]["room"]["html"]


def test_the_printed_answer_has_all_that_it_can_be_traced_by(session: Session) -> None:
    html = room(session, "/counter/print/camera=fennick%2Fturret-5&recorder=tarnwell%2Fhybrid-8&customer=Hazel+Lock&length=90+m")
    for words in ("Reference CX-", "Hazel Lock", "90 m of rg59-copper", "What to expect", "Prices", "Caution.",
                  "Not asked, so not judged: the supply", "Parts ", "Rules ", "55 EUR", "invented datasheet FK-T5"):  # fmt: skip
        assert words in html
    assert "say warn" in room(session, "/counter/print/camera=none&recorder=none")


# The same bytes as the command line


CALLS: list[tuple[dict[str, str], list[str]]] = [
    ({"file": "pair", **PAIR, "customer": "Hazel & Lock"}, [*PAIR.values(), "--for", "Hazel & Lock"]),
    ({"file": "pair", **PAIR, "cable": "rg6-copper", "length": "90 m", "switched": "tvi 1920x1080@25", "rate": "30"},
     [*PAIR.values(), "--cable", "rg6-copper", "--length", "90 m", "--set", "family=tvi,mode=1920x1080@25",
      "--video-rate", "30"]),
    ({"file": "replace-camera", **PAIR}, [*PAIR.values(), "--replace", "camera"]),
    ({"file": "replace-recorder", "camera": "tarnwell/dome-2", "recorder": "tarnwell/hybrid-8"},
     ["tarnwell/dome-2", "tarnwell/hybrid-8", "--replace", "recorder"]),
    ({"file": "table", "among": "*", "recorders": "*"}, ["*", "*"]),
    ({"file": "set", "cameras": LIST}, ["--cameras", "list.csv", "*", "--keep", "sound=2"]),
    ({"file": "set", "cameras": "Modell;Menge;Standort\nfennick/turret-5;7;Lager\ndome-2;2;Büro\nTotal;9;", "keep": "sound=7"},
     ["--cameras", "list.csv", "*", "--keep", "sound=7"]),
]  # fmt: skip


@pytest.mark.parametrize(("fields", "call"), CALLS, ids=lambda each: each.get("file", "") if isinstance(each, dict) else "")
def test_a_page_that_is_saved_is_the_one_of_the_command_line(
    session: Session, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fields: dict[str, str], call: list[str]
) -> None:
    answer = ask(session, "counter-file", **fields)
    assert answer["ok"], answer
    monkeypatch.chdir(tmp_path)
    if fields["file"] == "set":
        from coaxwright.desk.counter.sets import pasted

        Path("list.csv").write_bytes(pasted(fields["cameras"]).data)
    assert run(["pair", *call, "--parts", f"{folder}/parts/*.yaml", "--format", "html", "--output", "out.html"]) == 0
    assert base64.b64decode(answer["file"]["base64"]) == Path("out.html").read_bytes()


# Lists, replacements, tables


def test_a_list_tells_line_by_line_what_is_wrong(session: Session) -> None:
    assert "For 6 cameras, tarnwell/hybrid-8 keeps most" in answer_of(session, "counter-list", cameras=LIST)
    assert "no camera in this list" in ask(session, "counter-file", file="set", cameras="  \n ")["problems"][0]["what"]
    assert "names no camera" in answer_of(session, "counter-list", cameras="4 fennick/turret-5\n, ,")
    assert "fenk" in answer_of(session, "counter-list", cameras="4 fenk")
    assert "list.csv" in answer_of(session, "counter-list", cameras="4 fenk")
    assert "to keep" in answer_of(session, "counter-list", cameras=LIST, keep="taste=4")


def test_replacements_may_be_narrowed_by_words(session: Session) -> None:
    html = answer_of(session, "counter-replace", **PAIR, which="camera")
    assert "tarnwell/turret-5" in html
    assert "no camera is called that" in answer_of(session, "counter-replace", **PAIR, which="camera", among="zzz").lower()
    assert not ask(session, "counter-replace", **PAIR, which="monitor")["ok"]


def test_a_large_catalogue_is_not_compared_whole(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("coaxwright.desk.counter.shelf.MOST_WHOLE", 3)
    session.held.kept["counter"] = Shelf(session.work.store.root, most=3)
    assert "narrow them by words" in answer_of(session, "counter-replace", **PAIR, which="camera").lower()
    assert "tarnwell/turret-5" in answer_of(session, "counter-replace", **PAIR, which="camera", among="turret")
    assert "keeps most" in answer_of(session, "counter-list", cameras=LIST, recorders="tarnwell/hybrid-8")
    assert "too many" in answer_of(session, "counter-table", among="*", recorders="*")
    assert "turret-5" in answer_of(session, "counter-table", among="fennick/t*", recorders="tarnwell/hybrid-*")
    assert "turret-5" in answer_of(session, "counter-table", among="fennick/turret-5", recorders="tarnwell/hybrid-8")
    assert "Works" in answer_of(session, **PAIR)


def test_a_large_catalogue_answers_a_list_whose_first_column_is_no_model(session: Session) -> None:
    whole = answer_of(session, "counter-list", cameras=TABLE, recorders="tarnwell/*")
    session.held.kept.clear()
    session.held.kept["counter"] = Shelf(session.work.store.root, most=3)
    assert answer_of(session, "counter-list", cameras=TABLE, recorders="tarnwell/*") == whole
    assert "9 cameras of list.csv" in whole
    wrong = TABLE.replace("dome-2", "dome-9")
    assert "dome-9" in answer_of(session, "counter-list", cameras=wrong, recorders="tarnwell/*")


def test_a_desk_with_a_server_compares_as_many_parts_as_the_command_line(session: Session, rules: Rulebook) -> None:
    assert answer_of(session, "counter-replace", **PAIR, which="camera")
    assert session.held.kept["counter"].small
    inside = Session(session.work, inside=Inside(lambda words: None, lambda: False))
    room(inside, "/counter")
    assert (session.held.kept["counter"]._most, inside.held.kept["counter"]._most) == (100_000, 1000)


def test_parts_that_contradict_themselves_are_told_as_the_command_line_does(
    tmp_path: Path, rules: Rulebook, capsys: pytest.CaptureFixture[str]
) -> None:
    parts = tmp_path / "parts"
    shutil.copytree(ROOT / "examples" / "boatyard" / "parts", parts)
    text = (parts / "fennick.yaml").read_text(encoding="utf-8")
    assert "volts_min: 10.8 V" in text
    (parts / "fennick.yaml").write_text(text.replace("volts_min: 10.8 V", "volts_min: 18 V", 1), encoding="utf-8")
    session = Session(Workspace(FolderStore(tmp_path), rules))
    for do, fields, call in (
        ("counter-table", {"among": "*", "recorders": "*"}, ["*", "*"]),
        ("counter-replace", {**PAIR, "which": "camera"}, [*PAIR.values(), "--replace", "camera"]),
    ):
        html = answer_of(session, do, **fields)
        assert run(["pair", *call, "--parts", f"{parts}/*.yaml"]) == 0
        told = [line for line in capsys.readouterr().err.splitlines() if "volts_min" in line]
        assert len(told) == 1
        assert "These parts contradict themselves." in html
        assert escape(told[0].partition("fennick.yaml:")[2].partition(": ")[2]) in html


# An answer as a site


def test_a_pair_opens_as_a_site_that_says_the_same(tmp_path: Path, rules: Rulebook) -> None:
    shutil.copytree(ROOT / "examples" / "boatyard" / "parts", tmp_path / "parts")
    session = Session(Workspace(FolderStore(tmp_path), rules))
    answer = ask(session, "counter-site", **PAIR, length="300 m", file="pair", view={"at": "/counter"})
    assert answer["ok"], answer
    assert (answer["go"], answer["open"]) == ("/site/cameras", "fennick-turret-5-on-tarnwell-hybrid-8.site.yaml")
    assert 'id="grid"' in answer["fragments"]["site"]["html"]
    text = (tmp_path / answer["open"]).read_text(encoding="utf-8")
    assert "parts/fennick.yaml" in text
    report = check_site(tmp_path / answer["open"])  # as the command line reads the file
    beyond = [each.rule for each in report.findings if each.kind == "fail" and each.rule == "cable/loss-beyond-limit"]
    assert beyond == ["cable/loss-beyond-limit"]  # the counter says of 300 m: too long
    second = ask(session, "counter-site", **PAIR, file="pair")
    assert second["open"] == "fennick-turret-5-on-tarnwell-hybrid-8-2.site.yaml"


def test_a_site_of_parts_from_elsewhere_brings_them_along(tmp_path: Path, rules: Rulebook) -> None:
    session = Session(Workspace(FolderStore(tmp_path), rules))
    session.held.kept["catalogue"] = tuple(map(str, sorted((ROOT / "examples" / "boatyard" / "parts").glob("*.yaml"))))
    answer = ask(session, "counter-site", cameras=LIST, recorders="tarnwell/*", file="set")
    assert answer["ok"], answer
    assert list(tmp_path.glob("parts/*.yaml"))
    report = check_site(tmp_path / answer["open"])
    judged = {f"cameras/{name}" for name in load_site(tmp_path / answer["open"]).site.cameras}
    assert judged == {f"cameras/camera{number}" for number in range(1, 7)}
    assert judged <= {each.subject for each in report.findings}


def test_changes_that_are_not_saved_are_not_left_behind(tmp_path: Path, rules: Rulebook) -> None:
    shutil.copytree(ROOT / "examples" / "boatyard", tmp_path / "yard")
    session = Session(Workspace(FolderStore(tmp_path / "yard"), rules))
    session.work.open("alder-wharf.site.yaml")
    session.work.site.set_text(session.work.site.text + "# more\n")
    answer = ask(session, "counter-site", **PAIR, file="pair")
    assert not answer["ok"]
    assert "not saved" in answer["problems"][0]["what"]
    assert session.work.site.name == "alder-wharf.site.yaml"


# What a long session keeps


def test_what_is_kept_of_a_long_session_is_bounded(session: Session) -> None:
    for number in range(40):
        answer_of(session, **PAIR, customer=str(number))
    assert len(session.held.kept["answers"]) == 16
    known: dict[int, int] = {}
    for number in (1, 2, 3, 1, 4):
        once(known, number, lambda: 0, 3)
    assert list(known) == [3, 1, 4]  # what was asked for longest ago has gone


def test_part_files_may_be_opened(tmp_path: Path, rules: Rulebook) -> None:
    session = Session(Workspace(FolderStore(tmp_path), rules))
    assert "There is no part here yet" in room(session, "/counter")
    data = (ROOT / "examples" / "boatyard" / "parts" / "fennick.yaml").read_bytes()
    file = {"name": "mine.yaml", "base64": base64.b64encode(data).decode()}
    answer = ask(session, "counter-open", files=[file], view={"at": "/counter"})
    assert answer["ok"], answer
    assert ask(session, "counter-find", kind="camera", text="turret")["result"]["count"] > 0
    assert not ask(session, "counter-open", files=[{"name": "../x.yaml", "base64": ""}])["ok"]


# Whatever is typed


@pytest.mark.parametrize("text", PAYLOADS)
def test_what_is_typed_is_only_ever_words(session: Session, text: str) -> None:
    names = ("camera", "recorder", "cable", "length", "switched", "customer", "cameras", "recorders", "keep", "among")
    fields = dict.fromkeys(names, text)
    pages = [room(session, "/counter/pair/"), ask(session, "counter-find", kind="camera", text=text)["result"]["html"]]
    for do in ("counter-look", "counter-list", "counter-table", "counter-replace"):
        answer = ask(session, do, which="camera", **fields)
        assert answer["ok"], answer
        pages += [answer["parts"]["counter-answer"], room(session, answer["go"][:7000])]
    pages.append(answer_of(session, **PAIR, customer=text))
    pages.append(room(session, ask(session, "counter-look", **PAIR, customer=text)["go"].replace("/pair/", "/print/")))
    for page in pages:
        assert "<script" not in page.lower()
        assert "<img" not in page.lower()
        assert "\0" not in page
