"""The protocol: what was asked and answered once is answered so again, byte for byte; and what is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
from tests.conftest import FULL

from coaxwright.checking import check, check_many, load_rulebook
from coaxwright.fixes.advice import advise
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.site_reader import read_site
from coaxwright.reporting.json_report import site_data
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import ASKED, CHANGES, replied, reply, to_bytes
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
PRESS = "quill-orchard.site.yaml"
Ask = Callable[..., dict[str, Any]]
EDITS = (("/cameras/yard/power/over/0/length", "20 m"), ("/retention", "4 days"), ("/cameras/shop/part", "fennick/bullet-4"))
JOURNEY = [
    {"do": "hello", "protocol": 1},
    {"do": "open", "name": PRESS},
    {"do": "rows", "sheet": "cameras"},
    {"do": "set", "version": 0, "cells": [{"path": "/cameras/gate/video/over/0/length", "text": "45"}]},
    {"do": "set", "version": 1, "cells": [{"path": "/cameras/gate/video/over/0/length", "text": "45 n"}]},
    {"do": "complete", "path": "/cameras/yard/power/over/0/cable", "text": "dc-1"},
    {"do": "actions", "rule": "power/undervoltage", "subject": "cameras/yard"},
    {"do": "apply", "version": 1, "rule": "power/undervoltage", "subject": "cameras/yard", "number": 1},
    {"do": "judge", "facts": True},
    {"do": "explain", "subject": "cameras/yard"},
    {"do": "compare"},
    {"do": "limits", "subject": "cameras/yard"},
    {"do": "try", "subject": "cameras/yard", "path": "/cameras/yard/power/over/0/length", "value": 20},
    {"do": "undo", "version": 2},
    {"do": "redo", "version": 3},
    {"do": "text", "version": 4, "text": "site: [\n"},
    {"do": "judge"},
    {"do": "undo", "version": 5},
    {"do": "save", "version": 6},
    {"do": "disk"},
    {"do": "set", "version": 2, "cells": []},
    {"do": "nonsense"},
]


def exchange(folder: Path) -> list[bytes]:
    """The journey as requests, and the replies to it."""
    work = Workspace(FolderStore(folder))
    asked = [to_bytes({"id": place, **each}) for place, each in enumerate(JOURNEY)]
    return [part for request in asked for part in (request, replied(work, request))]


def test_an_exchange_gives_the_same_bytes_again(folder: Path, tmp_path: Path) -> None:
    import shutil

    again = Path(shutil.copytree(folder, tmp_path / "elsewhere" / "deep"))
    first, second = exchange(folder), exchange(again)
    assert first == second
    assert (folder / PRESS).read_bytes() == (again / PRESS).read_bytes()
    answers = [json.loads(each) for each in first[1::2]]
    assert [answer["id"] for answer in answers] == list(range(len(JOURNEY)))
    assert [answer["ok"] for answer in answers] == [True] * 20 + [False, False]
    assert answers[20]["behind"] is True
    assert answers[4]["result"]["refused"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_verdict_is_the_command_lines(path: Path) -> None:
    """The same site judged through a workspace and by `check`: the same data, but for the folder in its name."""
    work = Workspace(FolderStore(path.parent))
    work.open(path.name)
    told = reply(work, {"do": "judge", "facts": True})["result"]["site"]
    (report,) = check_many([path]).sites
    wanted = json.dumps(site_data(report)).replace(f"{path.parent}/", "")
    assert json.dumps(told) == wanted


def test_edits_give_the_verdict_of_the_edited_file(ask: Ask, work: Workspace, folder: Path) -> None:
    for place, typed in EDITS:
        ask("set", cells=[{"path": place, "text": typed}])
        (folder / "same.site.yaml").write_text(work.site.text)
        wanted = site_data(check(folder / "same.site.yaml", today=work.today))
        told = json.dumps(ask("judge", facts=True)["result"]["site"]).replace(PRESS, "same.site.yaml")
        assert told == json.dumps(wanted).replace(f"{folder}/", "")


def test_an_applied_change_gives_the_bytes_of_the_same_fix(ask: Ask, work: Workspace, folder: Path) -> None:
    loaded = read_site(folder / PRESS)
    state = start(loaded, rulebook=load_rulebook(), today=work.today)
    tried = 0
    for advice in islice(advise(state, level="error", tries=60), None if FULL else 4):
        for number, fix in enumerate(advice.fixes, 1):
            rule, subject = advice.finding.key
            answer = ask("apply", rule=rule, subject=subject, number=number)
            assert answer["ok"], answer
            assert work.site.text == edited(loaded.document, fix.patch).text
            assert (rule, subject) not in {each.key for each in work.site.report.findings if each.kind == "fail"}  # type: ignore[union-attr]
            ask("undo")
            assert work.site.text == loaded.document.text
            tried += 1
    assert tried > (5 if FULL else 1)


def test_a_text_that_cannot_be_read_keeps_the_last_verdict(ask: Ask, work: Workspace) -> None:
    before = ask("judge")["result"]["site"]
    answer = ask("text", text=work.site.text.replace("part: fennick/bullet-4", "part: fenick/bullet-4"))
    assert (answer["ok"], answer["readable"]) == (True, False)
    told = ask("judge")["result"]
    assert (told["old"], told["site"]) == (True, before)
    (problem,) = told["problems"]
    assert "fenick/bullet-4" in problem["what"]
    assert "fennick/bullet-4" in problem["right"]
    assert problem["line"] == work.site.text[: work.site.text.index("fenick")].count("\n") + 1
    assert not ask("apply", rule="power/undervoltage", subject="cameras/yard", number=1)["ok"]
    ask("undo")
    assert ask("judge")["result"] == {"old": False, "site": before, "problems": []}


def test_typing_on_is_one_step(ask: Ask, work: Workspace) -> None:
    before = work.site.text
    for piece in ("# a", "# ab", "# abc"):
        ask("text", text=before + piece + "\n", joins=True)
    assert work.site.unsaved_steps == 1
    ask("undo")
    assert work.site.text == before


def test_a_trial_writes_nothing_and_its_patch_does_what_it_said(ask: Ask, work: Workspace) -> None:
    before = work.site.text
    asked = {"subject": "cameras/yard", "path": "/cameras/yard/power/over/0/length"}
    told = ask("try", **asked, value=20)["result"]
    assert (work.site.text, work.site.version, told["told"]) == (before, 0, "20 m")
    gone = {(each["rule"], each["subject"]) for each in told["gone"]}
    assert ("power/undervoltage", "cameras/yard") in gone
    assert ask("patch", patch=told["patch"], name="power length")["ok"]
    left = {each.key for each in work.site.report.findings}  # type: ignore[union-attr]
    assert not gone & left
    assert not ask("try", **{**asked, "path": "/cameras/yard/label"}, value=20)["ok"]
    assert not ask("try", **asked, value="20")["ok"]


WRONG = [
    b"", b"[]", b"{", b"null", b"1", b'"x"', b"\xff\xfe", b'{"do":null}', b'{"do":["set"]}', b'{"do":"set"}',
    b'{"do":"set","version":0}', b'{"do":"set","version":true,"cells":[]}', b'{"do":"set","version":0,"cells":[[]]}',
    b'{"do":"set","version":0,"cells":[{"path":1,"text":"x"}]}', b'{"do":"text","version":0,"text":7}',
    b'{"do":"patch","version":0,"patch":[{"op":"add"}]}', b'{"do":"patch","version":0,"patch":[{"path":7,"op":"add"}]}',
    b'{"do":"patch","version":0,"patch":"x"}', b'{"do":"open","name":7}', b'{"do":"open","name":"../../etc/passwd"}',
    b'{"do":"rows","sheet":"x"}', b'{"do":"rows"}', b'{"do":"explain","subject":"cameras/none"}',
    b'{"do":"actions","rule":"x","subject":"y"}', b'{"do":"apply","version":0,"rule":"x","subject":"y","number":1}',
    b'{"do":"add","version":0,"group":"waivers"}', b'{"do":"add","version":0,"group":"disks","recorder":"x"}',
    b'{"do":"remove","version":0,"path":"/cameras"}', b'{"do":"remove","version":0,"path":"/cameras/ghost"}',
    b'{"do":"create","name":"x.site.yaml","site":"x","video_rate":60}', b'{"do":"hello","protocol":2}',
    b'{"do":"complete","path":"x"}', b'{"do":"rename","version":0,"group":"cameras","name":"ghost","to":"x"}',
    b"[" * 100_000,
]  # fmt: skip


@pytest.mark.parametrize("request_", WRONG, ids=lambda each: repr(each[:48]))
def test_a_wrong_request_is_answered_and_does_nothing(work: Workspace, folder: Path, request_: bytes) -> None:
    files = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    answer = json.loads(replied(work, request_))
    assert answer["ok"] is False
    assert answer["problems"][0]["what"]
    assert work.site.version == 0
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == files


def test_every_request_is_described() -> None:
    page = (ROOT / "docs" / "desk.md").read_text(encoding="utf-8")
    missing = [do for do in ASKED if f"| `{do}` |" not in page]
    assert not missing
    assert set(ASKED) >= CHANGES


def test_nothing_is_open_at_first(folder: Path) -> None:
    work = Workspace(FolderStore(folder))
    for do in ASKED:
        if do not in ("hello", "open", "create", "disk"):
            assert reply(work, {"do": do, "version": 0})["ok"] is False
    assert reply(work, {"do": "create", "name": "new.site.yaml", "site": "A: new #one", "retention": "20 days"})["ok"]
    assert work.site.report is not None
    assert work.site.report.summary.passed == 0 or work.site.document.value["site"] == "A: new #one"
