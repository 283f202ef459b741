"""Which column of a schedule says what: headings found, compared with the table of synonyms, units read off.

The synonyms are data (table schedule-headings). Not here: what cells hold (`values`).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.quantities import KINDS, quoted
from coaxwright.reading.spreadsheet import Cell, Sheet
from coaxwright.reading.tables import load_table

HEADER_ROWS = 20
_BRACKETED = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]\s*")
_SEPARATED = re.compile(r"(.*\S)\s*(?:,|/| in )\s*(\S+(?: \S+)?)")
_SIGNS = re.compile(r"[^a-z0-9#]+")


@immutable
class Column:
    """One column that a schedule may have, as the table of headings states it."""

    name: str
    headings: tuple[str, ...]
    at: tuple[str | int, ...]
    holds: str
    quantity: str | None
    choices: Mapping[str, tuple[str, ...]]


@immutable
class Mapped:
    """A column of a sheet that was recognised: where it stands (0-based), its heading cell, and its unit."""

    column: Column
    place: int
    heading: Cell
    unit: str


@immutable
class Header:
    """The header row of a sheet (0-based), the columns recognised, and the headings that say nothing here."""

    row: int
    mapped: tuple[Mapped, ...]
    ignored: tuple[str, ...]


@cache
def columns_of(sheet: str, table: str = "schedule-headings") -> tuple[Column, ...]:
    """Columns of one schedule: `cameras`, `recorders` ..."""
    return tuple(_column(row) for row in load_table(table).rows if row["sheet"] == sheet)


def _column(row: Mapping[str, Any]) -> Column:
    steps = tuple(int(step) if step.isdecimal() else step for step in (row["at"] or "").split("/") if step)
    choices = {}
    for choice in row["choices"] or ():
        value, _, others = choice.partition("=")
        choices[value] = tuple(filter(None, others.split("=")))
    return Column(row["name"], row["headings"], steps, row["holds"], row["quantity"], choices)


def plain_heading(text: str) -> str:
    """A heading without capitals, accents and signs: `Qté` and `qte` are one."""
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(sign))
    return _SIGNS.sub(" ", bare).strip()


def find_header(
    sheet: Sheet, columns: Sequence[Column], needed: Iterable[str] = ("id",), more: int = 1
) -> Header | None:
    """The header of a sheet: of its first rows the one with most headings that are known; None where there is none.

    A row counts that has the `needed` columns and so many `more`. Raises Refusal for a column that stands twice.
    """
    wanted = set(needed)
    best: Header | None = None
    for number, row in enumerate(sheet.rows[:HEADER_ROWS]):
        header = _header(sheet, number, row, columns)
        names = {each.column.name for each in header.mapped}
        if (
            wanted <= names
            and len(names) >= len(wanted) + more
            and (best is None or len(header.mapped) > len(best.mapped))
        ):
            best = header
    if best is not None:
        _refuse_twins(sheet, best)
    return best


def _header(sheet: Sheet, number: int, row: Sequence[Cell], columns: Sequence[Column]) -> Header:
    groups = _groups(sheet, number)
    found: dict[str, tuple[int, Mapped]] = {}
    ignored = []
    for place, cell in enumerate(row):
        if not cell.text:
            continue
        match = _match(cell, groups.get(place, ""), columns, place)
        if match is None:
            ignored.append(f"{cell.text} ({cell.address})")
            continue
        rank, mapped = match
        name = mapped.column.name
        if name in found and found[name][0] <= rank:
            ignored.append(f"{cell.text} ({cell.address})")
            continue
        if name in found:
            other = found[name][1].heading
            ignored.append(f"{other.text} ({other.address})")
        found[name] = (rank, mapped)
    return Header(number, tuple(mapped for _, mapped in found.values()), tuple(ignored))


def _groups(sheet: Sheet, number: int) -> dict[int, str]:
    """Headings of the row above that are merged over several columns, by each column that they span."""
    spans = [(left, right) for row, left, right in sheet.across if row == number]
    above = sheet.rows[number - 1] if number else []
    return {
        place: above[left - 1].text for left, right in spans if left <= len(above) for place in range(left - 1, right)
    }


def _match(cell: Cell, group: str, columns: Sequence[Column], place: int) -> tuple[int, Mapped] | None:
    """The column that a heading means, with the rank of its synonym (0 is the exported heading)."""
    for text in ([f"{group} {cell.text}"] if group else []) + [cell.text]:
        for base, unit in _readings(text):
            plain = plain_heading(base)
            for column in columns:
                rank = _rank(plain, column)
                spelling = _unit(column, unit, base)
                if rank is not None and (spelling is not None or not unit):
                    return rank, Mapped(column, place, cell, spelling or "")
    return None


def _rank(plain: str, column: Column) -> int | None:
    known = [plain_heading(each) for each in column.headings]
    return known.index(plain) if plain in known else None


def _readings(text: str) -> list[tuple[str, str]]:
    """A heading as base and unit, in every way in which people write it."""
    found = [(text, "")]
    for pattern in (_BRACKETED, _SEPARATED):
        match = pattern.fullmatch(text)
        if match:
            found.append((match[1], match[2]))
    base, _, last = text.rpartition(" ")
    return [*found, (base, last)] if base else found


def _unit(column: Column, unit: str, base: str) -> str | None:
    """The spelling of a unit that a heading names; "" for a remark in brackets; None for a unit of something else."""
    if column.quantity is None:
        return "" if not unit or not _is_any_unit(unit) else None
    spellings = KINDS[column.quantity].units
    for candidate in (unit, base) if not unit else (unit,):
        for spelling in (candidate, candidate.rstrip("."), candidate.lower().rstrip(".")):
            if spelling in spellings:
                return spelling
    return "" if not unit else None


def _is_any_unit(text: str) -> bool:
    return any(text in kind.units for kind in KINDS.values())


def _refuse_twins(sheet: Sheet, header: Header) -> None:
    """Two columns under one and the same heading leave open which of them counts."""
    row = sheet.rows[header.row]
    problems = []
    read = {mapped.place for mapped in header.mapped}
    for mapped in header.mapped:
        wanted = plain_heading(mapped.heading.text)
        same = [(place, cell) for place, cell in enumerate(row) if plain_heading(cell.text) == wanted]
        twins = [cell for place, cell in same if place == mapped.place or place not in read]
        if len(twins) > 1:
            places = " and ".join(cell.address for cell in twins)
            what = f"the heading {quoted(mapped.heading.text)} stands twice, in {places}"
            problems.append(Problem(sheet.place(mapped.heading), what, "delete or rename one of them"))
    if problems:
        raise Refusal(problems)
