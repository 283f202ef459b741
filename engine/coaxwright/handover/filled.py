"""Reads a sheet that somebody filled in: a value by its code, each with the cell it stands in. Guesses nothing."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator, Sequence

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.reading.spreadsheet import Cell, Sheet, read_sheets, tidy
from coaxwright.reading.suggest import did_you_mean

_NUMBER = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s*(?P<unit>[^\d\s].*)?", re.ASCII)
_OPEN = frozenset({"open", "ol", "o.l.", "inf", "infinite", "no reading"})
"""What people write where a meter shows that nothing is joined."""
_UNITS = {
    "v": 1.0, "v ac": 1.0, "vac": 1.0, "ohm": 1.0, "ω": 1.0, "kohm": 1000.0, "kω": 1000.0, "mohm": 1e6, "db": 1.0,
    "px/m": 1.0, "fps": 1.0, "mb/s": 1.0, "mbit/s": 1.0, "m": 1.0, "": 1.0,
}  # fmt: skip


@immutable
class Reading:
    """One value as measured, in the unit of its row; infinite where the meter showed an open line. `place` is its cell."""

    code: str
    value: float
    place: str


@immutable
class Filled:
    """All readings by code, and what the sheet itself expected."""

    readings: dict[str, Reading]
    printed: dict[str, float]


def table_with(path: str, wanted: Sequence[str]) -> tuple[Sheet, int, dict[str, int]] | None:
    """The first sheet of a file that has these headings in a row, with that row and the column of each; None for none."""
    for sheet in read_sheets(path):
        for number, row in enumerate(sheet.rows):
            heads = {tidy(cell.text).lower(): place for place, cell in enumerate(row)}
            if all(name in heads for name in wanted):
                return sheet, number, heads
    return None


def read_filled(path: str, known: Collection[str]) -> Filled:
    """A filled commissioning sheet. Raises Refusal with every cell that is no number, every code that is not known here."""
    found = table_with(path, ("code", "measured"))
    if found is None:
        right = "give the sheet `Commissioning` of a pack, as .csv or .xlsx, with its headings"
        raise Refusal([Problem(path, "has no row with the headings `code` and `measured`", right)])
    sheet, head, places = found
    problems: list[Problem] = []
    readings: dict[str, Reading] = {}
    printed: dict[str, float] = {}
    for row in sheet.rows[head + 1 :]:
        code, measured = (_cell(row, places[name]) for name in ("code", "measured"))
        name = tidy(code.text).removeprefix("'") if code is not None else ""
        if not name:
            problems += _lost(sheet, measured)
        elif measured is not None and tidy(measured.text):
            problems += _take(sheet, name, measured, known, readings)
        was = _cell(row, places["expected"]) if "expected" in places else None
        before = None if was is None else number_of(was.text)
        if before is not None and name in readings:
            printed[name] = before
    if problems:
        raise Refusal(problems)
    return Filled(readings, printed)


def _cell(row: Sequence[Cell], place: int) -> Cell | None:
    return row[place] if place < len(row) else None


def _lost(sheet: Sheet, measured: Cell | None) -> Iterator[Problem]:
    if measured is not None and tidy(measured.text):
        yield Problem(sheet.place(measured), "stands in a row without a code", "leave the codes as the pack wrote them")


def _take(
    sheet: Sheet, code: str, cell: Cell, known: Collection[str], readings: dict[str, Reading]
) -> Iterator[Problem]:
    """Put one reading where it belongs, or say what is wrong with it."""
    value = number_of(cell.text)
    if code not in known:
        right = did_you_mean(code, tuple(known)) or "make the pack anew: the plan has changed since"
        yield Problem(sheet.place(cell), f"`{code}` is nothing that this site has to measure", right)
    elif code in readings:
        yield Problem(sheet.place(cell), f"`{code}` was measured in {readings[code].place} too", "leave one of the two")
    elif value is None:
        yield Problem(sheet.place(cell), f"`{tidy(cell.text)}` is no measured value", "write the number, as in 11.6, or `open`")
    else:
        readings[code] = Reading(code, value, sheet.place(cell))


def number_of(text: str) -> float | None:
    """A number as people write it into a box, with a point or a comma and its unit or without; None for anything else.

    A comma before three digits may part thousands, and is not taken.
    """
    plain = tidy(text).removeprefix("'")
    if plain.lower() in _OPEN:
        return math.inf
    found = _NUMBER.fullmatch(plain)
    factor = None if found is None else _UNITS.get((found["unit"] or "").strip().lower())
    if found is None or factor is None or re.search(r",\d{3}$", found["number"]):
        return None
    return float(found["number"].replace(",", ".")) * factor
