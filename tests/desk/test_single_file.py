"""The desk in one file: opened from disk with the network cut, it gives the bytes that the command line gives.

The runtime and the wheels are looked for in COAXWRIGHT_RUNTIME or `.venv/runtime`; without them only the refusal is tested.
"""

from __future__ import annotations

import base64
import contextlib
import gzip
import json
import os
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.conftest import FULL

from coaxwright.desk import bytecode
from coaxwright.desk.parcel import packed, unpacked
from coaxwright.desk.single_file import COMMANDS, RUNTIME_FILES, WHEELS, page
from coaxwright.errors import Refusal
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import replied
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
RUNTIME = Path(os.environ.get("COAXWRIGHT_RUNTIME") or ROOT / ".venv" / "runtime")
EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
GATE = "/cameras/gate/power/over/0/length"
MOST = 14 * 1024 * 1024


def test_what_is_missing_is_told_with_how_to_get_it(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as caught:
        page(tmp_path / "nowhere")
    (problem,) = caught.value.problems
    assert all(name in problem.what for name in (*RUNTIME_FILES, *WHEELS))
    assert all(command in problem.right for command in COMMANDS)


@pytest.fixture(scope="module")
def single(tmp_path_factory: pytest.TempPathFactory) -> Path:
    if not RUNTIME.is_dir():
        pytest.skip("no runtime here: docs/desk.md tells how to get it into .venv/runtime")
    path = tmp_path_factory.mktemp("single") / "coaxwright.html"
    path.write_text(page(RUNTIME), encoding="utf-8")
    return path


@pytest.fixture
def offline(browser: Any, single: Path) -> Iterator[tuple[Any, list[str]]]:
    context = browser.new_context(offline=True, viewport={"width": 1300, "height": 900})
    opened, heard = context.new_page(), []
    opened.set_default_timeout(120_000)
    opened.on("request", lambda each: None if each.url.startswith(("file:", "blob:")) else heard.append(each.url))
    opened.on("console", lambda message: heard.append(f"console: {message.text}"))
    opened.on("pageerror", lambda error: heard.append(f"error: {error}"))
    opened.goto(single.as_uri())
    opened.wait_for_selector("text=What do you want to check?")
    yield opened, heard
    context.close()


@pytest.mark.real("the WebAssembly runtime")
def test_the_same_file_for_the_same_content_and_not_too_large(single: Path) -> None:
    assert single.stat().st_size <= MOST
    if FULL:
        assert page(RUNTIME) == single.read_text(encoding="utf-8")


@pytest.mark.real("the WebAssembly runtime")
def test_what_the_first_verdict_loads_is_not_compiled_in_the_page(single: Path) -> None:
    if shutil.which("node") is None:
        pytest.skip("no node here: it makes the bytecode")
    part = re.search(r'data-part="engine.bin">([^<]+)<', single.read_text(encoding="utf-8"))
    assert part
    names = set(unpacked(gzip.decompress(base64.b64decode(part[1]))))
    assert {"coaxwright/desk/session.pyc", "pydantic/main.pyc", "yaml/reader.pyc"} <= names
    assert "coaxwright/desk/session.py" not in names
    # Neither rules nor tables are read anew: what came along fits, though most sources of it were left out.
    assert not [name for name in names if name.startswith("lark/") and name.endswith(".pyc")]
    assert bytecode.lacking() == ""


def test_without_node_a_file_is_made_and_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bytecode, "_MADE", {})
    monkeypatch.setattr(bytecode.shutil, "which", lambda name: None)
    assert bytecode.bytecode({}, {"a.py": b""}) == {}
    assert "`node`" in bytecode.lacking()


def test_a_parcel_gives_back_what_was_packed() -> None:
    files = {"b/c.py": b"1\n", "a": b"", "b/ä.bin": bytes(range(256))}
    assert unpacked(packed(files)) == files


def test_the_designers_journey_from_disk_by_keyboard(offline: tuple[Any, list[str]], tmp_path: Path) -> None:
    opened, heard = offline
    opened.get_by_role("button", name="Open the example").focus()
    opened.keyboard.press("Enter")
    opened.wait_for_selector("#grid")
    opened.locator(f'[id="c{GATE}"]').focus()
    opened.keyboard.type("30")
    opened.keyboard.press("Enter")
    opened.wait_for_function("() => document.querySelector('.verdict').innerText.includes('1 camera of 5')")
    _pressed_until(opened, "F8", "dataset.find === 'cable/loss-beyond-limit on cameras/glasshouse'")
    opened.keyboard.press("Alt+Enter")
    opened.wait_for_selector(".change")
    _pressed_until(opened, "Tab", "dataset.do === 'apply'")
    opened.keyboard.press("Enter")
    opened.wait_for_selector("text=Applied:")
    with opened.expect_download() as download:
        opened.keyboard.press("Control+s")
    assert Path(download.value.path()).read_bytes() == _natively()
    opened.wait_for_timeout(1500)
    opened.reload()
    opened.wait_for_selector("text=plant-nursery/rowan-bank.site.yaml")
    opened.wait_for_selector("#grid")
    _drafts_and_forgetting(opened)
    assert heard == []


def test_an_engine_that_ends_is_started_again_and_nothing_is_lost(offline: tuple[Any, list[str]]) -> None:
    opened, heard = offline
    opened.get_by_role("button", name="Open the example").click()
    opened.wait_for_selector("#grid")
    cell = opened.locator(f'[id="c{GATE}"]')
    cell.focus()
    opened.keyboard.type("30")
    opened.keyboard.press("Enter")
    opened.wait_for_selector("text=1 change not saved")
    cell.focus()
    opened.keyboard.type("31")
    _ended(opened)
    opened.keyboard.press("Enter")
    opened.wait_for_selector("text=The checker had ended and was started again.")
    opened.wait_for_function(f"() => document.getElementById('c{GATE}')?.dataset.text === '31 m'")
    opened.keyboard.press("Control+z")
    opened.wait_for_function(f"() => document.getElementById('c{GATE}')?.dataset.text === '30 m'")
    _ended(opened)  # with nothing asked: noticed by itself
    opened.wait_for_selector("text=Your text is as it was; what you did before is now one step of Undo.")
    with opened.expect_download() as download:
        opened.keyboard.press("Control+s")
    assert Path(download.value.path()).read_bytes() == _natively(apply=False)
    assert heard == []


def _ended(opened: Any) -> None:
    """End the worker as if the browser had taken its memory; whether it can still say that it did is of no matter."""
    from playwright.sync_api import Error

    with contextlib.suppress(Error):
        opened.workers[-1].evaluate("() => self.close()")


def _pressed_until(opened: Any, key: str, wanted: str) -> None:
    """Press a key until what has focus is the wanted element."""
    for _ in range(40):
        opened.keyboard.press(key)
        if opened.evaluate(f"document.activeElement.{wanted}"):
            return
    raise AssertionError(f"{key} leads nowhere")


def _drafts_and_forgetting(opened: Any) -> None:
    """What was not saved is offered after a reload; what is forgotten is gone."""
    opened.locator(f'[id="c{GATE}"]').focus()
    opened.keyboard.type("31")
    opened.keyboard.press("Enter")
    opened.wait_for_selector("text=1 change not saved")
    opened.wait_for_timeout(1500)
    opened.reload()
    opened.get_by_role("button", name="Take them up again").click()
    opened.wait_for_function(f"() => document.getElementById('c{GATE}').dataset.text === '31 m'")
    opened.locator("#menu summary").click()
    opened.get_by_role("button", name="Forget this site").click()
    opened.get_by_role("button", name="Forget it").click()
    opened.wait_for_selector("text=There is no site in this folder yet.")
    opened.wait_for_timeout(1500)
    opened.reload()
    opened.wait_for_selector("text=There is no site in this folder yet.")


def _natively(*, apply: bool = True) -> bytes:
    """The same changes in process."""
    work = Workspace(FolderStore(ROOT / "examples" / "plant-nursery"))
    work.open("rowan-bank.site.yaml")
    assert work.set_cells([(GATE, "30")]) == []
    if apply:
        work.apply("cable/loss-beyond-limit", "cameras/glasshouse", 1)
    return work.site.data


def test_every_example_is_judged_the_same(offline: tuple[Any, list[str]]) -> None:
    opened, heard = offline

    def ask(body: bytes) -> bytes:
        return bytes(opened.evaluate("body => coaxwrightHost.ask(body)", body.decode()).encode())

    root = ROOT / "examples"
    for path in EXAMPLES:
        near = [path, *sorted(path.parent.glob("parts/*.yaml"))]
        texts = {each.relative_to(root).as_posix(): base64.b64encode(each.read_bytes()).decode() for each in near}
        files = [{"name": each, "base64": text} for each, text in texts.items()]
        assert b'"ok":true' in ask(json.dumps({"do": "bring", "replace": True, "files": files}).encode())
        work, name = Workspace(FolderStore(root)), path.relative_to(root).as_posix()
        for request in ({"do": "open", "name": name}, {"do": "judge", "facts": True}, {"do": "rows", "sheet": "cables"}):
            body = json.dumps({"id": 1, **request}).encode()
            assert ask(body) == replied(work, body), name
    assert heard == []
