"""A page's other half without a browser: whatever stands in a file, every view of it can be made."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from coaxwright.desk.session import DESK, Session
from coaxwright.desk.views.look import SHEETS, look_of
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import ASKED
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
REGIONS = {"views", "room", "start", "bar", "foot", "verdict", "site", "todo", "drawing", "more"}
BROKEN = [
    "", "site: [", "- 1\n", "just words", "site: X\ncameras: 7\n", "site: X\ncameras: {a: 7}\n",
    "site: X\ncameras: {a: {part: 7}}\n",
    "site: X\ncameras: {a: {part: none/such, video: 3, power: {over: x}}}\n", "site: X\nrecorders: [1]\nsupplies: {s: }\n",
    "site: X\ncameras: {a: {part: x, video: {into: q/1, over: [1, {box: b}, {cable: }]}}}\n", "site: 7\n",
    "site: X\nunknown: 1\n",
    "site: X\ncameras:\n", "site: X\nrecorders: {r: {part: x, disks: 7}}\n", "site: X\nwaivers: [{}]\n", "site: \"\\0\"\n",
]  # fmt: skip


def session_on(folder: Path, text: str) -> Session:
    (folder / "x.site.yaml").write_text(text, encoding="utf-8")
    work = Workspace(FolderStore(folder))
    work.open("x.site.yaml")
    return Session(work)


@pytest.mark.parametrize("text", BROKEN, ids=repr)
def test_every_view_of_a_broken_file_can_be_made(tmp_path: Path, text: str) -> None:
    session = session_on(tmp_path, text)
    for sheet in SHEETS:
        answer = session.answer({"id": 1, "do": "look", "view": {"at": f"/site/{sheet}"}})
        assert set(answer["fragments"]) == REGIONS
        assert answer["text"] == text
    for do in ("undo", "redo", "compare-page", "save"):
        assert isinstance(session.answer({"do": do, "version": 0, "view": {}})["ok"], bool)
    assert (tmp_path / "x.site.yaml").read_text(encoding="utf-8") == text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_view_of_every_example_can_be_made(path: Path) -> None:
    work = Workspace(FolderStore(path.parent))
    work.open(path.name)
    session = Session(work)
    for sheet in SHEETS:
        answer = session.answer({"do": "look", "view": {"at": f"/site/{sheet}"}})
        assert all(each["html"] for name, each in answer["fragments"].items() if name not in ("start", "room", "views")), sheet


def test_only_what_changed_is_sent(tmp_path: Path) -> None:
    session = session_on(tmp_path, "site: X\nsupplies: {s: {part: generic/dc12-10a-9way}}\n")
    first = session.answer({"do": "look", "view": {}})
    have = {name: each["hash"] for name, each in first["fragments"].items()}
    again = session.answer({"do": "look", "view": {"have": have, "text": 0}})
    assert all("html" not in each for each in again["fragments"].values())
    assert "text" not in again


VIEWS = [None, 7, [], "x", {"at": 7}, {"at": "../x"}, {"at": "/site/none"}, {"finding": [1, 2]}, {"finding": "x"}, {"have": 7},
         {"have": {"bar": 7}}, {"text": "x"}]  # fmt: skip


@pytest.mark.parametrize("view", VIEWS)
def test_a_wrong_view_is_the_first_one(tmp_path: Path, view: Any) -> None:
    assert look_of(view).sheet == "cameras"
    session = session_on(tmp_path, "site: X\n")
    assert set(session.answer({"do": "look", "view": view})["fragments"]) == REGIONS


@pytest.mark.usefixtures("items_once")
@pytest.mark.parametrize("do", [*DESK, *ASKED])
def test_whatever_is_asked_wrongly_is_answered(tmp_path: Path, do: str) -> None:
    session = session_on(tmp_path, "site: X\n")
    before = {each: each.read_bytes() for each in tmp_path.rglob("*") if each.is_file()}
    names = ("name", "kind", "subject", "path", "text", "base64", "cells", "patch", "group", "rule", "to", "site", "files",
             "sheet", "cell", "anchor")  # fmt: skip
    for rest in ({}, {"version": 0}, {"version": 0, **dict.fromkeys(names, 7)}):
        answer = json.loads(session.replied(json.dumps({"id": 1, "do": do, "view": {}, **rest}).encode()))
        assert isinstance(answer["ok"], bool)
    if do not in ("example", "begin"):
        assert {each: each.read_bytes() for each in tmp_path.rglob("*") if each.is_file()} == before


def test_a_search_gives_way_to_what_is_newer(tmp_path: Path) -> None:
    source = ROOT / "examples" / "plant-nursery"
    work = Workspace(FolderStore(source))
    work.open("rowan-bank.site.yaml")
    session = Session(work)
    asked = {"do": "look", "soon": True, "view": {"finding": ["power/undervoltage", "cameras/gate"]}}
    session.ears.waiting = 2
    assert "Looking for changes" in session.answer(asked)["fragments"]["todo"]["html"]
    session.ears.waiting = 1
    assert "Apply" in session.answer(asked)["fragments"]["todo"]["html"]


def test_a_fault_of_the_program_is_told_and_nothing_is_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from coaxwright.desk.views import grid

    session = session_on(tmp_path, "site: X\n")
    session.answer({"do": "text", "version": 0, "text": "site: Y\n", "view": {}})
    monkeypatch.setattr(grid, "site", lambda *_: 1 / 0)
    answer = json.loads(session.replied(b'{"id": 7, "do": "look", "view": {}}'))
    assert (answer["ok"], answer["version"], answer["unsaved"]) == (False, 1, 1)
    assert "ZeroDivisionError" in answer["problems"][0]["what"]
    monkeypatch.undo()
    assert session.answer({"do": "look", "view": {}})["text"] == "site: Y\n"


SPOKEN = [
    ("site: X\n", "No cameras yet."),
    ("site: [", "1 problem in the file. Nothing was judged."),
]


@pytest.mark.parametrize(("text", "says"), SPOKEN)
def test_what_does_not_hold_is_never_said_to(tmp_path: Path, text: str, says: str) -> None:
    """An empty site does not pass, and a file that cannot be read was not judged."""
    assert session_on(tmp_path, text).answer({"do": "undo", "version": 0, "view": {}})["spoken"] == says


def test_what_keeps_a_save_from_being_made_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from coaxwright.errors import Problem, Refusal

    session = session_on(tmp_path, "site: X\n")
    session.answer({"do": "text", "version": 0, "text": "site: Y\n", "view": {}})

    def full() -> None:
        raise Refusal([Problem("x.site.yaml", "the disk is full")])

    monkeypatch.setattr(session.work, "save", full)
    answer = session.answer({"do": "save", "version": 1, "view": {}})
    assert (answer["ok"], answer["say"], answer["spoken"]) == (False, "Not saved. The disk is full.", "")


def test_how_far_work_is_is_told_beside_it(tmp_path: Path) -> None:
    from coaxwright import pace

    session = session_on(tmp_path, "site: X\n")
    heard = []

    def work(*_: str) -> list[Any]:
        pace.step("numbers looked into", 2, 9)
        heard.append(json.loads(session.now(b'{"do":"progress"}')))
        assert not pace.out_of_time()
        session.now(b'{"do":"stop"}')
        assert pace.out_of_time()
        return []

    session.work.explain = work  # type: ignore[method-assign, assignment]
    session.answer({"do": "explain", "subject": "site"})
    assert heard == [{"ok": True, "progress": "2 of 9 numbers looked into"}]
    assert json.loads(session.now(b"no json"))["ok"] is True
