"""The files of a pack in LibreOffice, which shares nothing with what writes them: it opens every sheet of the workbook and every
CSV file and saves them in the other form, with every cell in them; what it saves is read back.
"""

from __future__ import annotations

import csv
import io
import shutil
import subprocess
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = [ROOT / "examples" / name for name in ("boatyard/alder-wharf.site.yaml", "fish-market/gannet-bay.site.yaml")]
OFFICE = shutil.which("soffice") or shutil.which("libreoffice")
EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
"""Commas, quotes, UTF-8, all sheets, each in a file: numbers as they are and not as a cell is formatted."""

pytestmark = [
    pytest.mark.real("LibreOffice"),
    pytest.mark.skipif(OFFICE is None, reason="LibreOffice is not installed (apt-get install libreoffice-calc)"),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Packs of two examples; their workbooks as CSV (`books`), the CSV files of the second as workbooks (`sheets`)."""
    made = tmp_path_factory.mktemp("office")
    for site in EXAMPLES:
        assert run(["pack", str(site), "--output", str(made / site.parent.name)]) in (0, 1)
        shutil.copy(made / site.parent.name / "pack.xlsx", made / f"{site.parent.name}.xlsx")
    _convert(made, EVERY_SHEET, "books", [*made.glob("*.xlsx")])
    _convert(made, "xlsx", "sheets", [*(made / "fish-market" / "csv").glob("*.csv")], "--infilter=CSV:44,34,76,1")
    return made


def _convert(made: Path, form: str, into: str, files: list[Path], *more: str) -> None:
    call = [
        str(OFFICE),
        f"-env:UserInstallation={(made / 'profile').as_uri()}",
        "--headless",
        *more,
        "--convert-to",
        form,
    ]
    subprocess.run(
        [*call, "--outdir", str(made / into), *map(str, files)], check=True, capture_output=True, timeout=240
    )


def _ours(folder: Path, name: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO((folder / "csv" / f"{name}.csv").read_text(encoding="utf-8-sig"))))


def _same(one: str, other: object) -> bool:
    """A cell of ours and what came out: a text may have the mark that keeps a program from computing it."""
    if isinstance(other, float) or (one != other and one[:1].isdigit()):
        return abs(float(one) - float(str(other))) < 1e-9
    return str(other) in (one, one.removeprefix("'"))


def _differing(ours: list[list[str]], theirs: list[list[object]]) -> list[tuple[str, object]]:
    padded = [[*row, *[""] * (len(own) - len(row))] for own, row in zip(ours, theirs, strict=True)]
    pairs = [pair for own, row in zip(ours, padded, strict=True) for pair in zip(own, row, strict=True)]
    return [pair for pair in pairs if not _same(*pair)]


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.parent.name)
def test_every_sheet_of_the_workbook_opens(site: Path, folder: Path) -> None:
    saved = sorted((folder / "books").glob(f"{site.parent.name}-*.csv"))
    names = {each.stem.partition(f"{site.parent.name}-")[2].lower().replace(" ", "-"): each for each in saved}
    assert set(names) == {each.stem for each in (folder / site.parent.name / "csv").iterdir()}
    for name, path in names.items():
        theirs: list[list[object]] = [list(row) for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8")))]
        assert _differing(_ours(folder / site.parent.name, name), theirs) == [], name


def test_every_csv_file_opens(folder: Path) -> None:
    for path in (folder / "fish-market" / "csv").iterdir():
        found = (
            CalamineWorkbook.from_path(str(folder / "sheets" / f"{path.stem}.xlsx")).get_sheet_by_index(0).to_python()
        )
        assert _differing(_ours(folder / "fish-market", path.stem), [list(row) for row in found]) == [], path.stem


@pytest.mark.parametrize("saved", ["books/fish-market-Commissioning.csv", "sheets/commissioning.xlsx"])
def test_a_sheet_saved_by_it_is_read_back(saved: str, folder: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Nothing is filled in, so nothing is off; that codes are known shows that the sheet was understood."""
    assert run(["compare", str(EXAMPLES[1]), "--measured", str(folder / saved)]) == 0
    assert "Nothing was measured" in capfd.readouterr().out


def test_every_printed_page_has_its_headings_and_its_number(folder: Path) -> None:
    """As it prints them: the first column and its heading stand on every page of a sheet, and which sheet it is."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    _convert(folder, "pdf", "printed", [folder / "boatyard.xlsx"])
    call = ["pdftotext", "-layout", str(folder / "printed" / "boatyard.pdf"), "-"]
    pages = subprocess.run(call, capture_output=True, text=True, check=True).stdout.split("\f")[:-1]
    names = [path.stem for path in (folder / "boatyard" / "csv").iterdir()]
    heads = {name.replace("-", " "): _ours(folder / "boatyard", name)[0][0] for name in names}
    for number, text in enumerate(pages, 1):
        lines = [line.split() for line in text.splitlines() if line.strip()]
        assert " ".join(lines[-1][-4:]) == f"page {number} of {len(pages)}"
        sheet = " ".join(lines[-1][:-4]).lower()
        assert " ".join(lines[0]).startswith(heads[sheet])
