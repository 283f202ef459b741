"""OpenDocument workbooks: what LibreOffice saved says what the .xlsx said, and what is made to do harm is refused.

`domes.ods` was saved by LibreOffice from a workbook with a merged title, cells merged downwards, `000` as a format, a
formula, a failed formula, a comment, a hidden row and a hidden sheet. Expected cells are written from that workbook by hand.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.reading import spreadsheet_guard as guard
from coaxwright.reading.spreadsheet import read_sheets
from coaxwright.reading.table_files import build_parts
from coaxwright.schedules.part_tables import read_part_table

DOMES = Path(__file__).with_name("domes.ods")
OFFICE = shutil.which("soffice") or shutil.which("libreoffice")
ROWS = [
    ["Fennick", "Dome 4", "48.5", "TVI/AHD", "2560x1440@25", "12 V DC ± 25 %", "IP67", "2026-10-01"],
    ["Fennick", "007", "12", "analogue", "960x576@25", "12 V DC", "IP66"],
    ["Fennick", "Dome 9", "44.25", "TVI", "1920x1080@25", "12 V DC", "#DIV/0!", "yes"],
]


def remade(old: bytes, new: bytes, **more: bytes) -> bytes:
    """The same workbook with other content, and with more parts."""
    stream = io.BytesIO()
    with zipfile.ZipFile(DOMES) as source, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as made:
        for name in source.namelist():
            data = source.read(name)
            if name == "content.xml":
                assert old in data
                data = data.replace(old, new, 1)
            made.writestr(name, data, zipfile.ZIP_STORED if name == "mimetype" else zipfile.ZIP_DEFLATED)
        for name, data in more.items():
            made.writestr(name.replace("__", "/"), data)
    return stream.getvalue()


def test_every_cell_of_what_an_office_saved() -> None:
    (sheet,) = read_sheets(DOMES)
    assert (sheet.name, sheet.hidden, sheet.across) == ("Domes", {8}, ((1, 1, 6),))
    assert [[cell.text for cell in row] for row in sheet.rows[3:6]] == ROWS
    assert [cell.text for cell in sheet.rows[0]] == ["Price list 2026, third quarter"]
    assert (sheet.rows[5][6].kind, sheet.rows[3][7].kind, sheet.rows[19][3].address) == ("error", "date", "D20")


def test_a_price_list_of_that_form(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"Domes!G6"):
        read_part_table(DOMES, "camera", currency="EUR")
    read = read_part_table(DOMES, "camera", currency="EUR", lenient=True)
    parts = build_parts(read.text, "p")
    assert parts["fennick/dome-4"].price == 48.5
    assert (parts["fennick/dome-4"].power.volts_min, parts["fennick/dome-4"].power.volts_max) == (9, 15)
    assert {"fennick/007", "fennick/dome-9"} <= set(parts)
    output = tmp_path / "fennick.yaml"
    call = ["parts", "import", str(DOMES), "--kind", "camera", "--currency", "EUR", "--lenient", "--output", str(output)]
    assert run(call) in (0, 1)
    assert set(build_parts(output.read_text(encoding="utf-8"), "p")) == set(parts)


HEAD = b'<table:table-cell office:value-type="string" calcext:value-type="string"><text:p>Maker</text:p>'
MANY = b'<table:table-cell table:number-columns-repeated="%d" office:value-type="string"><text:p>Maker</text:p>'
ROW = b"</table:table-row>"
BULK = b'</table:table-row><table:table-row table:number-rows-repeated="%d"><table:table-cell><text:p>x</text:p>' + (
    b"</table:table-cell></table:table-row>"
)
LINK = b'<table:table-source xlink:href="file:///etc/passwd"/>'
LOCKED = (
    b'<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
    b"<manifest:encryption-data/></manifest:manifest>"
)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: remade(HEAD, MANY % (guard.MAX_COLUMNS + 1)), "more than 256 columns"),
        (lambda: remade(HEAD, MANY % 999_999_999), "more than 256 columns"),
        (lambda: remade(HEAD, MANY.replace(b"%d", b"-4")), "counts nothing"),
        (lambda: remade(ROW, BULK % (guard.MAX_ROWS + 1)), "more than 50000 rows"),
        (lambda: remade(ROW, BULK % 999_999_999), "more than 50000 rows"),
        (lambda: remade(HEAD, LINK + HEAD), "links to other files"),
        (lambda: remade(b"<office:body>", b"<office:body><"), "damaged"),
        (lambda: remade(b"<office:document-content", b"<!DOCTYPE a [<!ENTITY b 'c'>]><office:document-content"), "document type"),
        (lambda: remade(HEAD, HEAD, Basic__script=b"x"), "macros"),
        (lambda: remade(HEAD, HEAD, big=b"\0" * (8 << 20)), "times its size"),
        (lambda: DOMES.read_bytes()[:-300], "unpacked"),
        (lambda: DOMES.read_bytes().replace(b"content.xml", b"contents.xm"), "unpacked"),
    ],
    ids=range(12),
)  # fmt: skip
def test_what_does_harm_is_refused(tmp_path: Path, made: object, words: str) -> None:
    path = tmp_path / "hostile.ods"
    path.write_bytes(made())  # type: ignore[operator]
    with pytest.raises(Refusal, match=words):
        read_sheets(path)


def test_a_locked_workbook_is_named_as_one(tmp_path: Path) -> None:
    path = tmp_path / "locked.ods"
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as made:
        made.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        made.writestr("META-INF/manifest.xml", LOCKED)
        made.writestr("content.xml", b"\x00locked")
    path.write_bytes(stream.getvalue())
    with pytest.raises(Refusal, match="password"):
        read_sheets(path)


def test_empty_rows_and_cells_to_the_edge_are_nothing(tmp_path: Path) -> None:
    """The office writes the empty rest of a sheet as one row that repeats a million times."""
    path = tmp_path / "long.ods"
    path.write_bytes(remade(ROW, ROW + b'<table:table-row table:number-rows-repeated="7"><table:table-cell/></table:table-row>'))
    (sheet,) = read_sheets(path)
    assert len(sheet.rows) == 27
    assert [cell.text for cell in sheet.rows[10]][:2] == ROWS[0][:2]
    assert sheet.across == ((1, 1, 6),)


@pytest.mark.real("LibreOffice")
@pytest.mark.skipif(OFFICE is None, reason="LibreOffice is not installed (apt-get install libreoffice-calc)")
def test_the_office_of_this_machine_says_the_same_in_both_forms(tmp_path: Path) -> None:
    call = [str(OFFICE), f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless", "--convert-to"]
    for form, file in (("xlsx", DOMES), ("ods", tmp_path / "domes.xlsx")):
        subprocess.run([*call, form, "--outdir", str(tmp_path), str(file)], check=True, capture_output=True, timeout=180)
    found = [read_sheets(tmp_path / f"domes.{form}")[0] for form in ("xlsx", "ods")]
    assert [[tuple(cell) for cell in row if cell.text] for row in found[0].rows] == [
        [tuple(cell) for cell in row if cell.text] for row in found[1].rows
    ]
