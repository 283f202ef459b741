"""A new site from the questions of the page, and values that an entry has from the defaults of its file."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from coaxwright.cli.main import run
from coaxwright.desk.session import Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
NURSERY = ROOT / "examples" / "plant-nursery"
ASKED = {"do": "begin", "site": "Elder mill", "cameras": "gate, yard", "setting": "outdoor", "retention": "21 days",
         "length": "40 m", "video_rate": "25", "view": {}}  # fmt: skip


def session_on(folder: Path) -> Session:
    return Session(Workspace(FolderStore(folder)))


@pytest.mark.parametrize("parts", [True, False], ids=["with parts", "without"])
def test_the_answers_give_what_the_command_writes(tmp_path: Path, parts: bool) -> None:
    place, other = tmp_path / "place", tmp_path / "other"
    for each in (place, other):
        each.mkdir()
        if parts:
            shutil.copytree(NURSERY / "parts", each / "parts")
    answer = session_on(place).answer(ASKED)
    assert (answer["ok"], answer["open"], answer["go"]) == (True, "elder-mill.site.yaml", "/site/cameras")
    call = ["new", str(other / "elder-mill.site.yaml"), "--name", "Elder mill", "--cameras", "gate, yard", "--length", "40m",
            "--setting", "outdoor", "--retention", "21", "--video-rate", "25"]  # fmt: skip
    assert run([*call, "--parts", "parts/*.yaml"] if parts else call) == 0
    ours = {each.relative_to(place): each.read_bytes() for each in place.rglob("*") if each.is_file()}
    assert ours == {each.relative_to(other): each.read_bytes() for each in other.rglob("*") if each.is_file()}
    assert len(ours) == (2 if not parts else 1 + len(list((NURSERY / "parts").iterdir())))


WRONG = [{"cameras": "gate, gate"}, {"cameras": "0"}, {"length": "far"}, {"retention": "1.5 days"}, {"setting": "wet"},
         {"video_rate": "26"}, {"name": "../x"}, {"site": "\0"}]  # fmt: skip


@pytest.mark.parametrize("wrong", WRONG, ids=str)
def test_a_wrong_answer_writes_nothing(tmp_path: Path, wrong: dict[str, Any]) -> None:
    answer = session_on(tmp_path).answer({**ASKED, **wrong})
    assert not answer["ok"]
    assert "Not done." in answer["notice"]
    assert list(tmp_path.iterdir()) == []


def test_nothing_that_is_there_is_written_over(tmp_path: Path) -> None:
    (tmp_path / "own.parts.yaml").write_text("# mine\n")
    assert not session_on(tmp_path).answer(ASKED)["ok"]
    assert [each.name for each in tmp_path.iterdir()] == ["own.parts.yaml"]
    assert (tmp_path / "own.parts.yaml").read_text() == "# mine\n"


def test_defaults_stand_in_the_cells_that_they_fill_and_are_edited(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    shutil.copytree(ROOT / "examples" / "cider-press", folder)
    work = Workspace(FolderStore(folder))
    work.open("quill-orchard.site.yaml")
    session, before = Session(work), work.site.text

    def places() -> str:
        return str(session.answer({"do": "look", "view": {"at": "/site/places"}})["fragments"]["site"]["html"])

    assert "<i>" not in places()
    column = "/defaults/wants/rate"
    assert work.set_cells([(column, "9")]) == []
    assert work.site.document.value["defaults"] == {"wants": {"rate": "9 fps"}}

    def cameras() -> int:
        html = session.answer({"do": "look", "view": {}})["fragments"]["site"]["html"]
        return int(html.count("<i>9 fps</i> <small>default</small>"))

    given = cameras()
    assert given > 0
    sheet = session.answer({"do": "look", "view": {"at": "/site/site"}})["fragments"]["site"]["html"]
    assert f'data-path="{column}"' in sheet
    assert work.set_cells([("/cameras/porch/wants/rate", "12")]) == []
    assert cameras() == given - 1, "an entry's own word wins"
    assert work.set_cells([(column, "")]) == []
    assert "defaults" not in work.site.text
    assert cameras() == 0
    while work.site.undo():
        pass
    assert work.site.text == before
