"""What a workbook holds, found out before a spreadsheet library unpacks it: size, formulas, merges, traps.

The archive is judged by its directory, each part unpacked piece by piece under a count, and the sheets walked by
an event parser that keeps nothing but notes. So a bomb, a million rows, a foreign link or a document type is
refused while memory is still small. Limits: docs/schedules.md.
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from xml.parsers import expat

from coaxwright.errors import Problem, Refusal

MAX_UNPACKED = 64 * 1024 * 1024
MAX_MEMBERS = 1000
MAX_RATIO = 200
RATIO_FROM = 1024 * 1024
MAX_ROWS = 50_000
MAX_COLUMNS = 256
MAX_MERGES = 20_000
MAX_AREA = 2_000_000
MAX_TEXT = 32 * 1024 * 1024
_PIECE = 64 * 1024
_ADDRESS = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_ZEROS = re.compile(r"0{2,15}")


@dataclass(slots=True)
class SheetNotes:
    """What matters of a sheet besides its values. Rows and columns are 1-based; addresses are as in `D17`."""

    uncomputed: set[str] = field(default_factory=set)
    errors: dict[str, str] = field(default_factory=dict)
    padded: dict[str, int] = field(default_factory=dict)
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden: frozenset[int] = frozenset()


class Refused(Exception):
    """A reason to stop, in two parts."""

    def __init__(self, what: str, right: str) -> None:
        self.what, self.right = what, right
        super().__init__(what)


def inspect(data: bytes, name: str) -> Mapping[str, SheetNotes]:
    """Notes on each sheet that is shown, by its title. Raises Refusal for what must not be unpacked."""
    with opened(data, name) as archive:
        _check_members(archive)
        return _sheets(archive)


@contextmanager
def opened(data: bytes, name: str) -> Iterator[zipfile.ZipFile]:
    """The archive of a workbook whose sizes were found to be within limits. Raises Refusal for whatever fails in it."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_sizes(archive)
            for member in archive.infolist():
                for _ in unpacked(archive, member):
                    pass
            yield archive
    except Refused as refused:
        raise Refusal([Problem(name, refused.what, refused.right)]) from None
    except expat.ExpatError as error:
        raise Refusal([Problem(name, f"this workbook is damaged ({error})", "save it anew as .xlsx")]) from None
    except (zipfile.BadZipFile, KeyError, EOFError, OSError, NotImplementedError, RuntimeError, ValueError) as error:
        what = f"this workbook cannot be unpacked ({type(error).__name__}: {error})"
        raise Refusal([Problem(name, what, "save it anew as .xlsx")]) from None


def _check_sizes(archive: zipfile.ZipFile) -> None:
    """Sizes as the directory states them."""
    members = archive.infolist()
    if len(members) > MAX_MEMBERS:
        raise Refused(f"the workbook holds {len(members)} parts; {MAX_MEMBERS} are allowed", "save it anew")
    total = sum(member.file_size for member in members)
    if total > MAX_UNPACKED:
        what = f"unpacked it would take {total >> 20} MiB; {MAX_UNPACKED >> 20} MiB are allowed"
        raise Refused(what, "delete what is not the schedule, or save it as .csv")
    for member in members:
        if member.file_size > RATIO_FROM and member.file_size > MAX_RATIO * max(1, member.compress_size):
            what = f"`{member.filename}` unpacks to more than {MAX_RATIO} times its size"
            raise Refused(what, "save the schedule alone in a new workbook")


def _check_members(archive: zipfile.ZipFile) -> None:
    """Parts that have no place in a schedule."""
    names = {member.filename.lower() for member in archive.infolist()}
    if any(name.startswith("xl/externallinks/") for name in names):
        raise Refused("the workbook links to other files", "break the links (keep the values) and save it again")
    if any(name.endswith("vbaproject.bin") for name in names):
        raise Refused("the workbook holds macros", "save it as .xlsx, which holds none")
    if "xl/workbook.xml" not in names:
        raise Refused("this archive is no workbook of the .xlsx form", "save the schedule as .xlsx or .csv")


def unpacked(archive: zipfile.ZipFile, member: zipfile.ZipInfo) -> Iterator[bytes]:
    """A part piece by piece; more than its directory states is refused."""
    left = member.file_size
    with archive.open(member) as stream:
        while piece := stream.read(_PIECE):
            left -= len(piece)
            if left < 0:
                raise Refused(f"`{member.filename}` is larger than it says", "save it anew as .xlsx")
            yield piece


# XML, by events


def parse_part(archive: zipfile.ZipFile, part: str, handler: Handler) -> None:
    """Walk one part of the workbook; document types are refused, so nothing can expand."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = lambda tag, values: handler.start(tag.rpartition(" ")[2], values)
    parser.EndElementHandler = lambda tag: handler.end(tag.rpartition(" ")[2])
    parser.CharacterDataHandler = handler.text
    parser.StartDoctypeDeclHandler = _no_document_type
    parser.buffer_text = True
    for piece in unpacked(archive, archive.getinfo(part)):
        parser.Parse(piece, False)
    parser.Parse(b"", True)


def _no_document_type(*_: object) -> None:
    raise Refused("the workbook declares a document type, which no spreadsheet writes", "save it anew as .xlsx")


class Handler:
    """Events that nothing listens to."""

    def start(self, tag: str, values: dict[str, str]) -> None:
        """An element begins."""

    def end(self, tag: str) -> None:
        """An element ends."""

    def text(self, data: str) -> None:
        """Text within an element."""


class _Book(Handler):
    """Titles of the sheets that are shown, by the id of their relation."""

    def __init__(self) -> None:
        self.sheets: list[tuple[str, str]] = []

    def start(self, tag: str, values: dict[str, str]) -> None:
        if tag == "sheet" and values.get("state", "visible") == "visible":
            relation = next((value for key, value in values.items() if key.endswith(" id")), "")
            self.sheets.append((values.get("name", ""), relation))


class _Relations(Handler):
    """Where relations lead; one that leads out of the file is refused unless it is a mere hyperlink."""

    def __init__(self) -> None:
        self.targets: dict[str, str] = {}

    def start(self, tag: str, values: dict[str, str]) -> None:
        if tag != "Relationship":
            return
        if values.get("TargetMode") == "External" and not values.get("Type", "").endswith("/hyperlink"):
            raise Refused("the workbook links to other files", "break the links and save it again")
        self.targets[values.get("Id", "")] = values.get("Target", "")


class _Styles(Handler):
    """How many digits each cell style shows at least: formats of zeros, as in `000`."""

    def __init__(self) -> None:
        self.formats: dict[str, int] = {}
        self.widths: list[int] = []
        self._inside = False

    def start(self, tag: str, values: dict[str, str]) -> None:
        if tag == "numFmt" and _ZEROS.fullmatch(values.get("formatCode", "")):
            self.formats[values.get("numFmtId", "")] = len(values["formatCode"])
        elif tag == "cellXfs":
            self._inside = True
        elif tag == "xf" and self._inside:
            self.widths.append(self.formats.get(values.get("numFmtId", ""), 0))

    def end(self, tag: str) -> None:
        self._inside = self._inside and tag != "cellXfs"


class _Strings(Handler):
    """Lengths of the shared texts: a text that a million cells share is a million texts once it is read."""

    def __init__(self) -> None:
        self.lengths: list[int] = []

    def start(self, tag: str, values: dict[str, str]) -> None:
        if tag == "si":
            self.lengths.append(0)

    def text(self, data: str) -> None:
        if self.lengths:
            self.lengths[-1] += len(data)


class _Cells(Handler):
    """Notes on one sheet."""

    def __init__(self, title: str, widths: list[int], lengths: list[int]) -> None:
        self.title, self.widths, self.lengths = title, widths, lengths
        self._characters = self._last_row = self._last_column = 0
        self.notes = SheetNotes()
        self._hidden: set[int] = set()
        self._address = self._kind = ""
        self._formula = self._valued = False
        self._value: list[str] | None = None
        self._row = self._column = 0

    def start(self, tag: str, values: dict[str, str]) -> None:
        if tag == "row":
            self._start_row(values)
        elif tag == "c":
            self._start_cell(values)
        elif tag == "f":
            self._formula = True
        elif tag in ("v", "is"):
            self._valued, self._value = True, []
        elif tag == "mergeCell":
            self._merge(values.get("ref", ""))

    def end(self, tag: str) -> None:
        if tag == "c" and self._formula and not (self._valued and "".join(self._value or ())):
            self.notes.uncomputed.add(self._address)
        elif tag == "c" and self._kind == "e":
            self.notes.errors[self._address] = "".join(self._value or ())
        elif tag == "c" and self._kind == "s":
            self._count_shared("".join(self._value or ()))
        elif tag == "sheetData":
            self.notes.hidden = frozenset(self._hidden)

    def text(self, data: str) -> None:
        if self._value is not None and len(self._value) < 64:
            self._value.append(data)

    def _count_shared(self, index: str) -> None:
        if index.isdecimal() and int(index) < len(self.lengths):
            self._characters += self.lengths[int(index)]
        if self._characters > MAX_TEXT:
            what = f"sheet `{self.title}` repeats more text than {MAX_TEXT >> 20} MiB"
            raise Refused(what, "save the schedule alone in a new workbook")

    def _start_row(self, values: dict[str, str]) -> None:
        self._row = int(values.get("r", self._row + 1))
        self._column = 0
        if self._row > MAX_ROWS:
            what = f"sheet `{self.title}` has more than {MAX_ROWS} rows"
            raise Refused(what, "delete the rows below the schedule, or split it")
        if values.get("hidden") in ("1", "true"):
            self._hidden.add(self._row)

    def _start_cell(self, values: dict[str, str]) -> None:
        row, self._column = _place(values["r"]) if "r" in values else (self._row, self._column + 1)
        if self._column > MAX_COLUMNS or row > MAX_ROWS:
            what = f"sheet `{self.title}` reaches to {values.get('r')}; {MAX_COLUMNS} columns are allowed"
            raise Refused(what, "delete the columns beside the schedule")
        self._last_row, self._last_column = max(self._last_row, row), max(self._last_column, self._column)
        if self._last_row * self._last_column > MAX_AREA:
            what = f"sheet `{self.title}` spans more than {MAX_AREA} cells"
            raise Refused(what, "delete what lies far below or beside the schedule")
        self._address = values.get("r", "")
        self._kind = values.get("t", "n")
        self._formula = self._valued = False
        self._value = None
        style = values.get("s", "")
        width = self.widths[int(style)] if style.isdecimal() and int(style) < len(self.widths) else 0
        if width and self._kind == "n":
            self.notes.padded[self._address] = width

    def _merge(self, reference: str) -> None:
        first, _, last = reference.partition(":")
        if len(self.notes.merges) >= MAX_MERGES:
            raise Refused(f"sheet `{self.title}` has more than {MAX_MERGES} merged cells", "undo the merging")
        self.notes.merges.append((*_place(first), *_place(last or first)))


def _place(address: str) -> tuple[int, int]:
    """Row and column of an address, 1-based."""
    match = _ADDRESS.fullmatch(address)
    if match is None:
        raise Refused(f"`{address[:20]}` is no cell address", "save it anew as .xlsx")
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - 64
    return int(match[2]), column


def _sheets(archive: zipfile.ZipFile) -> dict[str, SheetNotes]:
    """Walk workbook, relations, styles and sheets."""
    book, relations, styles, strings = _Book(), _Relations(), _Styles(), _Strings()
    names = archive.namelist()
    parse_part(archive, "xl/workbook.xml", book)
    for part in (name for name in names if name.endswith(".rels")):
        parse_part(archive, part, relations if part == "xl/_rels/workbook.xml.rels" else _Relations())
    if "xl/styles.xml" in names:
        parse_part(archive, "xl/styles.xml", styles)
    if "xl/sharedStrings.xml" in names:
        parse_part(archive, "xl/sharedStrings.xml", strings)
    found = {}
    for title, relation in book.sheets:
        target = relations.targets.get(relation, "")
        part = target.lstrip("/") if target.startswith("/") else posixpath.normpath(f"xl/{target}")
        if "worksheets" not in part:
            continue
        cells = _Cells(title, styles.widths, strings.lengths)
        parse_part(archive, part, cells)
        found[title] = cells.notes
    return found
