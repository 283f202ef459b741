"""Schedules as a page and as Markdown: every entry and every cell of the sheets is on them."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import html

from coaxwright.checking import facts_of, load_site
from coaxwright.cli.main import run
from coaxwright.schedules.derived import derived_schedules
from coaxwright.schedules.exporting import site_schedules

SITE = Path(__file__).resolve().parents[2] / "examples" / "cider-press" / "quill-orchard.site.yaml"


@pytest.mark.parametrize("suffix", ["html", "md"])
def test_all_cells_are_told(suffix: str, tmp_path: Path) -> None:
    target = tmp_path / f"schedules.{suffix}"
    assert run(["schedule", "export", str(SITE), "--output", str(target)]) == 0
    text = target.read_text(encoding="utf-8")
    told = html.document_fromstring(text.encode()).text_content() if suffix == "html" else text.replace("\\", "")
    loaded = load_site(SITE)
    sheets = [*site_schedules(loaded.document.value), *derived_schedules(loaded, facts_of(loaded))]
    cells = [cell for sheet in sheets for row in sheet.rows for cell in row if isinstance(cell, str)]
    assert len(cells) > 100
    assert [cell for cell in cells if cell.replace("\\", "") not in told] == []
