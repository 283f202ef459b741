"""A real browser for the pages of reports, packs and documents, with a watch on what it hears, and axe-core.

The browser is Debian's Chromium; without it, or without the package that drives it, the tests that need it are skipped
and say so. They run with COAXWRIGHT_REAL=1 (`real_parts.py`); `.ci/run` sets it and installs both, and axe-core, so there
nothing is skipped. It has one face only, so that what is
measured does not hang on the fonts of the machine. `tests/conftest.py` has these fixtures for all rooms: one browser a
process.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from tests.report.fonts import only_dejavu

ROOT = Path(__file__).resolve().parents[1]
LAUNCH = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="session")
def chromium() -> Iterator[Callable[..., Any]]:
    """Opens Debian's Chromium, as often as a run wants it: one driver for each process, since two do not go together."""
    executable = shutil.which("chromium")
    if executable is None:
        pytest.skip("no chromium here: apt-get install chromium")
    driver = pytest.importorskip("playwright.sync_api", reason="no playwright here: pip install playwright")
    with driver.sync_playwright() as playwright:
        yield partial(playwright.chromium.launch, executable_path=executable)


@pytest.fixture(scope="session")
def one_face(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str] | None:
    """The environment in which a browser has DejaVu and no other face."""
    return only_dejavu(tmp_path_factory.mktemp("face"))


@pytest.fixture(scope="session")
def browser(chromium: Callable[..., Any], one_face: dict[str, str] | None) -> Iterator[Any]:
    launched = chromium(args=LAUNCH, env=one_face)
    yield launched
    launched.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of axe-core; never part of a report."""
    places = [os.environ.get("COAXWRIGHT_AXE", ""), str(ROOT / ".venv" / "axe" / "node_modules" / "axe-core" / "axe.min.js")]
    found = next((Path(place) for place in places if place and Path(place).is_file()), None)
    if found is None:
        pytest.skip("no axe-core here: npm install --prefix .venv/axe axe-core@4.14.1")
    return found.read_text(encoding="utf-8")


class Watched:
    """A page that notes every request, console message, error and dialog."""

    def __init__(self, browser: Any, **context: Any) -> None:
        self.context = browser.new_context(**{"offline": True, **context})
        self.page = self.context.new_page()
        self.heard: list[str] = []
        self.page.on("request", lambda request: self._request(request.url))
        self.page.on("console", lambda message: self.heard.append(f"console: {message.text}"))
        self.page.on("pageerror", lambda error: self.heard.append(f"error: {error}"))
        self.page.on("dialog", lambda dialog: self._dialog(dialog))

    def _request(self, url: str) -> None:
        if url != self.page_url:
            self.heard.append(f"request: {url}")

    def _dialog(self, dialog: Any) -> None:
        self.heard.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    page_url = ""

    def open(self, path: Path) -> Any:
        self.page_url = path.as_uri()
        self.page.goto(self.page_url)
        return self.page


@pytest.fixture
def watched(browser: Any) -> Iterator[Callable[..., Watched]]:
    made: list[Watched] = []

    def watch(**context: Any) -> Watched:
        made.append(Watched(browser, **context))
        return made[-1]

    yield watch
    for each in made:
        each.context.close()
