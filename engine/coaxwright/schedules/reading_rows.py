"""Rows of one sheet as entries of a site, each value with the cell that it came from; what is wrong is collected.

Blank rows, repeated headings, totals and headings between rows are passed over and told of. Not here: which
sheets there are (`importing`), and whether the entries make a site.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from coaxwright import pace
from coaxwright.errors import Problem
from coaxwright.model.quantities import quoted
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.spreadsheet import Cell, Sheet
from coaxwright.schedules.headings import Header, Mapped
from coaxwright.schedules.list_cells import section_of, without_status
from coaxwright.schedules.values import Wrong, value_of

Path = tuple[str | int, ...]
Ready = Callable[[Cell, Mapped], tuple[Cell | None, dict[Path, Any]]]
Pieces = dict[str, tuple[str, Cell]]
"""Device and number of one port, from two columns: by `port-device` and `port-number`."""
TOTALS = ("total", "totals", "sum", "subtotal", "grand total", "count", "summe", "gesamt", "somme", "suma")


@dataclass(slots=True)
class Entries:
    """Entries of one group by id, the cell of every value by document path, problems and remarks."""

    group: str
    values: dict[str, dict[str, Any]] = field(default_factory=dict)
    places: dict[Path, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def read_rows(
    sheet: Sheet, header: Header, group: str, catalogue: Catalogue, only: dict[str, str], ready: Ready | None = None
) -> Entries:
    """The entries of a sheet. `only` gives the recorder or supply that a bare port number means, where one is all.

    `ready` is of lists of parts: it makes a cell ready and tells what else it says; rows with one filled cell are then
    headings or foot notes, and the maker of a row tells two models of one name apart.
    """
    reader = _Rows(sheet, header, catalogue, only, Entries(group), ready)
    for row in pace.counted(reader.data_rows(), "rows"):
        reader.take(row)
    return reader.entries


@dataclass(slots=True)
class _Rows:
    sheet: Sheet
    header: Header
    catalogue: Catalogue
    only: dict[str, str]
    entries: Entries
    ready: Ready | None = None

    def data_rows(self) -> Iterator[Sequence[Cell]]:
        """Rows below the header that hold something to be read."""
        heads = {each.place: each.heading.text for each in self.header.mapped}
        banners = {row for row, _, _ in self.sheet.across}
        under = ""
        for number, row in enumerate(self.sheet.rows[self.header.row + 1 :], self.header.row + 2):
            filled = [cell for cell in row if cell.text or cell.kind == "formula"]
            mine = [cell for place, cell in enumerate(row) if place in heads and (cell.text or cell.kind == "formula")]
            if not mine:
                continue
            if all(row[place].text == text for place, text in heads.items() if place < len(row)):
                self.entries.notes.append(f"row {number} repeats the headings")
            elif filled[0].text.lower().rstrip(":") in TOTALS:
                self.entries.notes.append(f"row {number} is a total and was left out")
            elif len(filled) == 1 and (number in banners or (self.ready is not None and len(self.header.mapped) > 2)):
                self.entries.notes.append(f"row {number} is a heading between rows: {quoted(filled[0].text)}")
                under = self._under(filled[0].text, under)
            elif under:
                self.entries.notes.append(f"row {number} was left out: it stands under {quoted(under)}")
            else:
                yield row

    def _under(self, heading: str, before: str) -> str:
        """The heading under which rows are parts of another kind; empty under one of this kind, as before under any other."""
        kind = section_of(heading) if self.ready is not None else ""
        return before if not kind else "" if kind == self.entries.group else heading

    def take(self, row: Sequence[Cell]) -> None:
        """One row: its id, then its values."""
        id_column = next(each for each in self.header.mapped if each.column.name == "id")
        cell = self._cell(row, id_column)
        if cell is None:
            first = next(each for each in row if each.text or each.kind == "formula")
            what = f"this row has no id under {quoted(id_column.heading.text)}"
            self._wrong(first, what, "give it one, or empty the row")
            return
        text, retired = without_status(cell.text) if self.ready is not None else (cell.text, False)
        name = self._value(cell._replace(text=text), id_column)
        if name is None:
            return
        name = self._with_maker(row, name)
        if name in self.entries.values:
            other = self.entries.places[(self.entries.group, name)]
            self._wrong(cell, f"the id {quoted(name)} stands twice, first in {other}", "every id once")
            return
        self.entries.places[(self.entries.group, name)] = self.sheet.place(cell)
        entry: dict[str, Any] = {}
        self.entries.values[name] = entry
        ports: dict[Path, Pieces] = {}
        for mapped in self.header.mapped:
            found = self._cell(row, mapped)
            if found is not None and mapped is not id_column:
                self._put(entry, name, mapped, found, ports)
        if retired:
            entry["retired"] = True
        for at, pieces in ports.items():
            self._put_port(entry, at, pieces)

    def _with_maker(self, row: Sequence[Cell], name: str) -> str:
        """The id of a part with the maker of its row before it."""
        column = next((each for each in self.header.mapped if each.column.name == "maker"), None)
        cell = None if column is None or self.ready is None or "/" in name else self._cell(row, column)
        maker = None if cell is None or column is None else self._value(cell, column)
        return name if maker is None else f"{maker}/{name}"

    def _cell(self, row: Sequence[Cell], mapped: Mapped) -> Cell | None:
        """The cell of a column, None where it is empty."""
        cell = row[mapped.place] if mapped.place < len(row) else None
        return None if cell is None or not (cell.text or cell.kind == "formula") else cell

    def _wrong(self, cell: Cell, what: str, right: str) -> None:
        self.entries.problems.append(Problem(self.sheet.place(cell), what, right))

    def _value(self, cell: Cell, mapped: Mapped) -> Any:
        try:
            return value_of(cell, mapped, self.catalogue)
        except Wrong as wrong:
            self._wrong(cell, wrong.what, wrong.right)
            return None

    def _put(self, entry: dict[str, Any], name: str, mapped: Mapped, cell: Cell, ports: dict[Path, Pieces]) -> None:
        shown, more = self._made_ready(cell, mapped)
        value = None if shown is None else self._value(shown, mapped)
        if value is None:
            return
        for at, said in more.items():
            self._note_place(name, at, cell)
            place_at(entry, at, said)
        if mapped.column.holds in ("port-device", "port-number"):
            ports.setdefault(mapped.column.at, {})[mapped.column.holds] = (value, cell)
            self._note_place(name, mapped.column.at, cell)
            return
        self._note_place(name, mapped.column.at, cell)
        if not place_at(entry, mapped.column.at, value):
            self._wrong(cell, "this says again what another column of the row says", "empty one of the two")

    def _made_ready(self, cell: Cell, mapped: Mapped) -> tuple[Cell | None, dict[Path, Any]]:
        if self.ready is None:
            return cell, {}
        try:
            return self.ready(cell, mapped)
        except Wrong as wrong:
            self._wrong(cell, wrong.what, wrong.right)
            return None, {}

    def _put_port(self, entry: dict[str, Any], at: Path, pieces: Pieces) -> None:
        """Device and port of a row as one word."""
        number, cell = pieces.get("port-number", ("", next(iter(pieces.values()))[1]))
        device = pieces["port-device"][0] if "port-device" in pieces else self.only.get(str(at[0]))
        if device is None:
            self._wrong(cell, f"of which device {number} is the port is not said", "add a column that names it")
        elif "/" in device and number and not device.endswith(f"/{number}"):
            self._wrong(cell, f"{quoted(device)} names another port than {quoted(number)}", "write one of them")
        else:
            place_at(entry, at, device if "/" in device or not number else f"{device}/{number}")

    def _note_place(self, name: str, at: Path, cell: Cell) -> None:
        self.entries.places.setdefault((self.entries.group, name, *at), self.sheet.place(cell))


def place_at(entry: dict[str, Any], at: Path, value: object) -> bool:
    """Put a value below an entry, groups and one-piece lists made on the way; false where something stands there."""
    here: Any = entry
    for step, following in zip(at, (*at[1:], None), strict=True):
        last = following is None
        if isinstance(step, int):
            if not isinstance(here, list) or step > len(here):
                return False
            if step == len(here):
                here.append({})
            if not isinstance(here[step], dict):
                return False
            here = here[step]
        elif last:
            if not isinstance(here, dict) or step in here:
                return False
            here[step] = value
        else:
            if not isinstance(here, dict):
                return False
            here = here.setdefault(step, [] if isinstance(following, int) else {})
    return True
