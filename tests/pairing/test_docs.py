"""The pages on pairs, kits, schedules and parts show what the program says, and the limits that it has."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from coaxwright.pairing.table_forms import MOST_CELLS
from coaxwright.pairing.tables import FACETS
from coaxwright.pairing.telling import MARKS
from coaxwright.reading import spreadsheet, spreadsheet_guard
from coaxwright.schedules import headings, sources

ROOT = Path(__file__).resolve().parents[2]
_spec = importlib.util.spec_from_file_location("doc_pages", Path(__file__).with_name("doc_pages.py"))
assert _spec is not None
assert _spec.loader is not None
doc_pages = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(doc_pages)


def page(name: str) -> str:
    return (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", doc_pages.PAGES)
def test_output_is_what_the_program_says(name: str, tmp_path: Path) -> None:
    """`python tests/pairing/doc_pages.py` writes the pages anew."""
    assert doc_pages.filled(page(name), doc_pages.yard(tmp_path)) == page(name)


def test_limits_of_schedules() -> None:
    text = page("schedules")
    guard = spreadsheet_guard
    for words in (
        f"| {spreadsheet.MAX_FILE >> 20} MiB |",
        f"{guard.MAX_UNPACKED >> 20} MiB in at most {guard.MAX_MEMBERS} parts",
        f"over {guard.MAX_RATIO} times",
        f"{guard.MAX_ROWS} rows, {guard.MAX_COLUMNS} columns, {guard.MAX_AREA} cells spanned",
        f"{guard.MAX_MERGES} merged ranges, {guard.MAX_TEXT >> 20} MiB of repeated text",
        f"first {headings.HEADER_ROWS} rows",
        f"{sources.MOST_FILES} files",
    ):
        assert words in text


def test_marks_and_conditions_of_pairs() -> None:
    text = page("pair")
    assert all(f"`{mark}` {outcome or 'open'}" in text for outcome, mark in MARKS.items())
    assert f"{MOST_CELLS:,} pairs" in text
    assert all(facet in text for facets in FACETS.values() for facet in facets)
