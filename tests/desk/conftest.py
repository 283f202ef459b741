"""A running desk on a copy of an example, a real browser to look at it, and an accessibility checker.

The browser is Debian's Chromium; without it, or without the package that drives it, the tests that need it are skipped
and say so. `.ci/run` installs both, and axe-core and typescript, so there nothing is skipped.
"""

from __future__ import annotations

import functools
import http.server
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from coaxwright.desk.serving import Desk
from coaxwright.desk.session import Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
LAUNCH = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip


class Running:
    """A desk on a folder of its own, with the site that is open there."""

    def __init__(self, folder: Path, **limits: float) -> None:
        self.folder = folder
        self.work = Workspace(FolderStore(folder))
        names = self.work.store.names()
        if len(names) == 1:
            self.work.open(names[0])
        self.desk = Desk(Session(self.work), _free(), **limits)
        self.desk.start()

    @property
    def site(self) -> Path:
        """The open site's file."""
        return self.folder / self.work.site.name


def _free() -> int:
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


Start = Callable[..., Running]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    """Start a desk on a copy of an example (on an empty folder where none is named)."""
    started: list[Running] = []

    def begin(example: str = "plant-nursery", **limits: float) -> Running:
        folder = tmp_path / f"folder{len(started)}"
        if example:
            shutil.copytree(ROOT / "examples" / example, folder)
        else:
            folder.mkdir()
        started.append(Running(folder, **limits))
        return started[-1]

    yield begin
    for each in started:
        each.desk.stop()


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """One desk for tests that change nothing."""
    folder = tmp_path_factory.mktemp("desk") / "folder"
    shutil.copytree(ROOT / "examples" / "plant-nursery", folder)
    running = Running(folder)
    yield running
    running.desk.stop()


@pytest.fixture(scope="session")
def browser(chromium: Callable[..., Any]) -> Iterator[Any]:
    launched = chromium(args=LAUNCH)
    yield launched
    launched.close()


class Tab:
    """One page of the desk that notes every request, console message, error and dialog."""

    def __init__(self, browser: Any, running: Running, **context: Any) -> None:
        self.running = running
        self.context = browser.new_context(**{"viewport": {"width": 1300, "height": 900}, **context})
        self.page = self.context.new_page()
        self.heard: list[str] = []
        own = running.desk.origin
        self.page.on("request", lambda each: None if each.url.startswith((own, "blob:")) else self.heard.append(each.url))
        self.page.on("console", lambda message: self.heard.append(f"console: {message.text}"))
        self.page.on("pageerror", lambda error: self.heard.append(f"error: {error}"))
        self.page.on("dialog", lambda dialog: self._dialog(dialog))
        self.page.set_default_timeout(20_000)

    def _dialog(self, dialog: Any) -> None:
        self.heard.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def open(self, until: str = "#grid") -> Any:
        self.page.goto(self.running.desk.address)
        self.page.wait_for_selector(until)
        return self.page

    def cell(self, path: str) -> Any:
        return self.page.locator(f'[id="c{path}"]')

    def version(self, at_least: int) -> None:
        """Wait until the desk has gone on to a version, and the page shows it."""
        self.page.wait_for_function("() => !document.body.classList.contains('judging')")
        for _ in range(400):
            if self.running.work.site.version >= at_least:
                break
            self.page.wait_for_timeout(25)
        assert self.running.work.site.version >= at_least
        self.page.wait_for_timeout(150)


@pytest.fixture
def tab(browser: Any) -> Iterator[Callable[..., Tab]]:
    made: list[Tab] = []

    def opened(running: Running, **context: Any) -> Tab:
        made.append(Tab(browser, running, **context))
        return made[-1]

    yield opened
    for each in made:
        each.context.close()


RUNTIME = Path(os.environ.get("COAXWRIGHT_RUNTIME") or ROOT / ".venv" / "runtime")


class Quiet(http.server.SimpleHTTPRequestHandler):
    """A host that serves files and nothing else."""

    def log_message(self, *_: Any) -> None:
        """Nothing."""


@pytest.fixture(scope="session")
def static(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The folder for static hosts, with the parts of the boatyard baked in, served by such a host."""
    if not RUNTIME.is_dir():
        pytest.skip("no runtime here: docs/desk.md tells how to get it into .venv/runtime")
    place = tmp_path_factory.mktemp("static")
    from coaxwright.desk.single_file import folder

    parts = sorted((ROOT / "examples" / "boatyard" / "parts").glob("*.yaml"))
    for name, data in folder(RUNTIME, [str(path) for path in parts]).items():
        (place / name).parent.mkdir(exist_ok=True)
        (place / name).write_bytes(data)
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(place)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}/"
    server.shutdown()


@pytest.fixture
def of_static(browser: Any, static: str) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page, heard = context.new_page(), []
    page.set_default_timeout(120_000)
    page.on("request", lambda each: None if each.url.startswith((static, "blob:")) else heard.append(each.url))
    page.on("console", lambda message: heard.append(f"console: {message.text}"))
    page.on("pageerror", lambda error: heard.append(f"error: {error}"))
    page.goto(f"{static}#/counter")
    page.wait_for_selector("#q-camera")
    yield page
    context.close()
    assert heard == []
