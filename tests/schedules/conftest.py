"""Schedules as people send them, made on the spot, and a site to read them into."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from coaxwright.reading.site_reader import read_site
from coaxwright.schedules.importing import Imported, imported, recognise, rest_of
from coaxwright.schedules.sources import schedule_sheets
from coaxwright.schedules.writing import checked

ROOT = Path(__file__).resolve().parents[2]
SITE = """\
# a comment that stays
site: Osier Lock
video_rate: 25
parts: [parts/*.yaml]
recorders:
  rec1: {part: tarnwell/hybrid-8}
supplies:
  psu1: {part: tarnwell/dc12-10a-9way}   # nine outputs
cameras:
  old: {part: tarnwell/dome-2, video: {into: rec1/8, over: [{cable: rg59-copper, length: 12 m}]}}
"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "examples" / "boatyard" / "parts", tmp_path / "parts")
    path = tmp_path / "osier.site.yaml"
    path.write_text(SITE, encoding="utf-8")
    return path


@pytest.fixture
def book(tmp_path: Path) -> Callable[..., Path]:
    """Makes a workbook of rows; `change` may spoil the sheet afterwards."""

    def make(rows: Sequence[Sequence[Any]], change: Callable[[Any], None] | None = None, title: str = "Sheet1") -> Path:
        workbook = openpyxl.Workbook()
        sheet = workbook.active
        sheet.title = title
        for row in rows:
            sheet.append(list(row))
        if change is not None:
            change(sheet)
        path = tmp_path / "schedule.xlsx"
        workbook.save(path)
        return path

    return make


@pytest.fixture
def take(site: Path) -> Callable[..., Imported]:
    """Reads a schedule into the site, as the command does, and writes nothing."""

    def run(file: Path, sheet: str | None = None) -> Imported:
        sheets = schedule_sheets(file)
        loaded = read_site(site)
        result = imported(recognise(sheets, sheet), rest_of(sheets), loaded.document.value, loaded.catalogue)
        checked(result, str(site), loaded.catalogue)
        return result

    return run
