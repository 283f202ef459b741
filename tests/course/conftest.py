"""One exam, one page of practice and one case, made once."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.items_once import remembered

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
PROJECT = """
title: Coax course, spring group
blueprint: {power: 4, storage: 3, signal: 3}
versions: 2
seed: 4
size: small
minutes: 45
points: 2
pass_mark: 12
pass_method: panel of five judges
instructions: [Pocket calculators may be used.]
"""


@pytest.fixture(scope="module", autouse=True)
def _questions(items_once: None) -> None:
    """Whatever is asked for twice in this room is made once."""


@pytest.fixture(scope="session")
def exam(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of an exam of ten questions in two versions."""
    folder = tmp_path_factory.mktemp("exam")
    (folder / "spring.exam.yaml").write_text(PROJECT)
    with remembered():
        assert run(["course", "exam", str(folder / "spring.exam.yaml"), "--output", str(folder / "out")]) == 0
    return folder / "out"


@pytest.fixture(scope="session")
def practice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page of practice."""
    page = tmp_path_factory.mktemp("practice") / "practice.html"
    with remembered():
        assert run(["course", "practice", "--topic", "power", "--each", "2", "--output", str(page)]) == 0
    return page


@pytest.fixture
def phone(browser: Any) -> Iterator[Callable[[Path], Any]]:
    """Opens a page on a phone without a network; nothing may be asked for, logged or thrown."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, offline=True)
    heard: list[str] = []

    def open_page(path: Path) -> Any:
        page = context.new_page()
        page.on("console", lambda message: heard.append(message.text))
        page.on("pageerror", lambda error: heard.append(str(error)))
        page.on("request", lambda each: None if each.url.startswith("file:") else heard.append(each.url))
        page.goto(path.as_uri())
        return page

    yield open_page
    context.close()
    assert heard == []


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of axe-core."""
    places = [
        os.environ.get("COAXWRIGHT_AXE", ""),
        str(ROOT / ".venv" / "axe" / "node_modules" / "axe-core" / "axe.min.js"),
    ]
    found = next((Path(place) for place in places if place and Path(place).is_file()), None)
    if found is None:
        pytest.skip("no axe-core here: npm install --prefix .venv/axe axe-core@4.14.1")
    return found.read_text(encoding="utf-8")
