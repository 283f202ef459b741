"""Workbooks made to do harm: refused by their directory or by the first excess, before memory grows.

Sizes after the OWASP advice on archive bombs and what was measured of spreadsheet libraries; limits are our own.
"""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from coaxwright.errors import Refusal
from coaxwright.reading import spreadsheet_guard as guard
from coaxwright.reading.spreadsheet import MAX_FILE, read_sheets

ROOT = Path(__file__).resolve().parents[2]
MEMORY_MB = 300


def plain_book() -> dict[str, bytes]:
    """Members of an ordinary workbook."""
    workbook = openpyxl.Workbook()
    workbook.active.append(["Camera", "Model"])
    stream = io.BytesIO()
    workbook.save(stream)
    with zipfile.ZipFile(stream) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(members: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return stream.getvalue()


def with_sheet(xml: str) -> bytes:
    head = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    return packed({**plain_book(), "xl/worksheets/sheet1.xml": f"{head}{xml}</worksheet>".encode()})


def bomb() -> bytes:
    return packed({**plain_book(), "xl/media/big.bin": b"\0" * (80 * 1024 * 1024)})


def ratio() -> bytes:
    return packed({**plain_book(), "xl/media/big.bin": b"\0" * (8 * 1024 * 1024)})


def lying_size() -> bytes:
    """A directory that says less than there is."""
    data = bytearray(packed({**plain_book(), "xl/worksheets/sheet1.xml": b"<a>" + b" " * 500_000 + b"</a>"}))
    size = (500_007).to_bytes(4, "little")
    assert data.count(size) == 2
    return bytes(data.replace(size, (400).to_bytes(4, "little")))


def many_rows() -> bytes:
    return with_sheet('<sheetData><row r="1048576"><c r="A1048576"><v>1</v></c></row></sheetData>')


def a_million_rows() -> bytes:
    rows = "".join(
        f'<row r="{number}"><c r="A{number}"><v>{number * 7919}</v></c></row>' for number in range(1, 400_000)
    )
    return with_sheet(f"<sheetData>{rows}</sheetData>")


def far_columns() -> bytes:
    return with_sheet('<sheetData><row r="1"><c r="XFD1"><v>1</v></c></row></sheetData>')


def wide_and_long() -> bytes:
    return with_sheet(
        '<sheetData><row r="1"><c r="IV1"><v>1</v></c></row><row r="49999"><c r="A49999"><v>1</v></c></row></sheetData>'
    )


def shared_text() -> bytes:
    """One text of a megabyte, in ten thousand cells."""
    members = plain_book()
    text = "x" * 1_000_000
    members["xl/sharedStrings.xml"] = f'<sst xmlns="a"><si><t>{text}</t></si></sst>'.encode()
    cells = "".join(f'<row r="{number}"><c r="A{number}" t="s"><v>0</v></c></row>' for number in range(1, 10_000))
    members["xl/worksheets/sheet1.xml"] = f"<worksheet><sheetData>{cells}</sheetData></worksheet>".encode()
    return packed(members)


def entities() -> bytes:
    head = '<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]>'
    return packed({**plain_book(), "xl/worksheets/sheet1.xml": f"{head}<worksheet>&c;</worksheet>".encode()})


def outside_link() -> bytes:
    return packed({**plain_book(), "xl/externalLinks/externalLink1.xml": b"<a/>"})


def outside_relation() -> bytes:
    relations = (
        b'<Relationships><Relationship Id="r1" Type="x/attachedTemplate" Target="file:///etc/passwd"'
        b' TargetMode="External"/></Relationships>'
    )
    return packed({**plain_book(), "xl/worksheets/_rels/sheet1.xml.rels": relations})


def macros() -> bytes:
    return packed({**plain_book(), "xl/vbaProject.bin": b"x"})


def many_members() -> bytes:
    return packed({**plain_book(), **{f"xl/media/{number}": b"" for number in range(guard.MAX_MEMBERS)}})


def many_merges() -> bytes:
    merges = "".join(f'<mergeCell ref="A{number}:B{number}"/>' for number in range(1, guard.MAX_MERGES + 2))
    return with_sheet(f"<sheetData/><mergeCells>{merges}</mergeCells>")


def not_a_book() -> bytes:
    return packed({"hello.txt": b"hello"})


def cut_short() -> bytes:
    return packed(plain_book())[:-200]


HOSTILE: list[tuple[Callable[[], bytes], str]] = [
    (bomb, "MiB are allowed"), (ratio, "times its size"), (lying_size, "larger than it says|cannot be unpacked|damaged"),
    (many_rows, "more than 50000 rows"), (a_million_rows, "rows|MiB"), (far_columns, "columns are allowed"),
    (wide_and_long, "spans more than"), (shared_text, "repeats more text"), (entities, "document type"),
    (outside_link, "links to other files"), (outside_relation, "links to other files"), (macros, "macros"),
    (many_members, "parts"), (many_merges, "merged cells"), (not_a_book, "no workbook"), (cut_short, "unpacked"),
]  # fmt: skip


@pytest.mark.parametrize(("make", "words"), HOSTILE, ids=[make.__name__ for make, _ in HOSTILE])
def test_refused_in_plain_words(tmp_path: Path, make: Callable[[], bytes], words: str) -> None:
    path = tmp_path / "hostile.xlsx"
    path.write_bytes(make())
    with pytest.raises(Refusal, match=words):
        read_sheets(path)


def test_the_plain_book_is_read(tmp_path: Path) -> None:
    """So that the tests above refuse what was added, not the workbook."""
    path = tmp_path / "plain.xlsx"
    path.write_bytes(packed(plain_book()))
    assert [cell.text for cell in read_sheets(path)[0].rows[0]] == ["Camera", "Model"]


@pytest.mark.parametrize("make", [bomb, a_million_rows, shared_text, wide_and_long], ids=lambda make: make.__name__)
def test_memory_stays_small(tmp_path: Path, make: Callable[[], bytes]) -> None:
    path = tmp_path / "hostile.xlsx"
    path.write_bytes(make())
    code = (
        f"import resource, sys; resource.setrlimit(resource.RLIMIT_AS, ({MEMORY_MB} << 20,) * 2)\n"
        "from coaxwright.errors import Refusal\nfrom coaxwright.reading.spreadsheet import read_sheets\n"
        "try: read_sheets(sys.argv[1])\nexcept Refusal: sys.exit(0)\nsys.exit(9)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        cwd=ROOT / "engine",
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(("data", "words"), [
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 64, "password"),
    (b"Camera,Model\0\n", "zero byte"),
    (b'Camera,Model\n"open,tarnwell/dome-2\n', "no CSV"),
    (b"\xff\xfeC", "UTF-16"),
])  # fmt: skip
def test_files_that_are_no_schedules(tmp_path: Path, data: bytes, words: str) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(data)
    with pytest.raises(Refusal, match=words):
        read_sheets(path)


def test_long_and_large_csv_files(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text("Camera,Model\n" + "a,b\n" * guard.MAX_ROWS)
    with pytest.raises(Refusal, match="rows"):
        read_sheets(path)
    path.write_bytes(b"x" * (MAX_FILE + 1))
    with pytest.raises(Refusal, match="larger than"):
        read_sheets(path)
