"""Pages of documents in a browser: nothing is asked for, axe is content (WCAG 2.2 A and AA), a phone shows all of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sample import sample

from coaxwright.show.forms import rendered

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture
def page_file(tmp_path: Path) -> Path:
    path = tmp_path / "sample.html"
    path.write_text(rendered(sample("west gate <b> and a long name of a camera that goes on"), "html"), encoding="utf-8")
    return path


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_is_content(scheme: str, page_file: Path, watched: Callable[..., Any], axe: str) -> None:
    watch = watched(color_scheme=scheme, bypass_csp=True)
    page = watch.open(page_file)
    page.add_script_tag(content=axe)
    found = page.evaluate("tags => axe.run({runOnly: tags})", TAGS)
    assert [(each["id"], [node["html"] for node in each["nodes"]]) for each in found["violations"]] == []


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_nothing_sticks_out(width: int, page_file: Path, watched: Callable[..., Any]) -> None:
    watch = watched(viewport={"width": width, "height": 800})
    page = watch.open(page_file)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert not watch.heard


def test_a_caption_on_a_phone_is_read_across(page_file: Path, watched: Callable[..., Any]) -> None:
    page = watched(viewport={"width": 320, "height": 800}).open(page_file)
    sizes = page.evaluate("[...document.querySelectorAll('caption')].map(one => one.getBoundingClientRect().width)")
    assert sizes
    assert min(sizes) > 200


def test_cells_are_hidden_and_rows_found(page_file: Path, watched: Callable[..., Any]) -> None:
    page = watched().open(page_file)
    page.uncheck("#show-full")
    assert not page.is_visible("td.full span")
    page.fill("#find", "c2")
    assert page.inner_text("#shown") == "1 cameras shown"
