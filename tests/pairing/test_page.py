"""The page of pairs in a browser: no request, works from the keyboard, and without script."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from coaxwright.pairing.answers import answer
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.printing import render_answer
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.table_forms import render_table
from coaxwright.pairing.tables import matching, tabulate


@pytest.fixture
def page_file(clerk: Clerk, tmp_path: Path) -> Path:
    table = tabulate(clerk, *(matching(clerk.catalogue, "*", kind) for kind in ("camera", "recorder")), Question())
    path = tmp_path / "pairs.html"
    path.write_text(render_table(table, "html"), encoding="utf-8")
    return path


def test_filter_by_keyboard(browser: Any, page_file: Path) -> None:
    context = browser.new_context(offline=True)
    page = context.new_page()
    heard: list[str] = []
    page.on("console", lambda message: heard.append(message.text))
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("request", lambda request: heard.append(request.url) if request.url != page_file.as_uri() else None)
    page.goto(page_file.as_uri())
    page.keyboard.press("Tab")
    page.keyboard.type("dome")
    rows = [row.inner_text().split("\t")[0] for row in page.query_selector_all("tbody tr") if row.is_visible()]
    assert rows == ["tarnwell/dome-2"]
    assert page.inner_text("#shown") == "1 cameras shown"
    assert not heard
    context.close()


def test_outcomes_hidden_without_script(browser: Any, page_file: Path) -> None:
    context = browser.new_context(offline=True, java_script_enabled=False)
    page = context.new_page()
    page.goto(page_file.as_uri())
    assert not page.is_visible("#find")
    words = page.locator("td.reduced-width span")
    assert words.is_visible()
    page.focus("#show-reduced-width")
    page.keyboard.press("Space")
    assert not words.is_visible()
    assert page.locator("td.full span").is_visible()
    context.close()


@pytest.mark.parametrize("form", ["text", "md", "csv", "json"])
def test_one_answer_in_every_form(clerk: Clerk, form: str) -> None:
    told = answer(clerk, "fennick/turret-5", "tarnwell/hybrid-8", Question())
    text = render_answer(told, form)
    assert text.endswith("\n")
    for words in ("reduced-width", "its own maker", "FK-T5"):
        assert words in text
        assert words in render_answer(told, "html")


@pytest.mark.parametrize("sheet", [(718, 1046), (740, 979)], ids=["A4", "Letter"])
def test_a_wide_table_prints_whole(browser: Any, ranges: Any, tmp_path: Path, sheet: tuple[int, int]) -> None:
    """Twenty recorders on a sheet of paper (CSS pixels within 10 mm margins, 96 an inch): nothing stands beyond its edge,
    and every cell says which recorder it is of."""
    from coaxwright.reading.catalogue import build_catalogue

    path = tmp_path / "catalogue.yaml"
    path.write_text(ranges.catalogue(8, 20, seed=4), encoding="utf-8")
    clerk = Clerk(build_catalogue([(path, path.name)]))
    table = tabulate(clerk, *(matching(clerk.catalogue, "*", kind) for kind in ("camera", "recorder")), Question())
    (tmp_path / "wide.html").write_text(render_table(table, "html"), encoding="utf-8")
    page = browser.new_page(viewport={"width": sheet[0], "height": sheet[1]})
    page.goto((tmp_path / "wide.html").as_uri())
    page.emulate_media(media="print")
    rights = page.eval_on_selector_all("tbody td, tbody th", "all => all.map(each => each.getBoundingClientRect().right)")
    assert len(rights) == 8 * 21
    assert max(rights) <= sheet[0]
    labels = page.eval_on_selector_all(
        "tbody tr:first-child td", "all => all.map(each => getComputedStyle(each, '::before').content)"
    )
    assert labels == [f'"{name}: "' for name in table.recorders]
    page.emulate_media(media="screen")
    assert page.eval_on_selector("tbody td", "each => getComputedStyle(each).display") == "table-cell"
    page.screenshot(path=str(tmp_path / "screen.png"))
    page.close()
