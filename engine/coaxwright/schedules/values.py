"""One cell of a schedule as a value of a site file, or a sentence on what is wrong with it.

Nothing is guessed: a bare number needs a unit from its heading, a comma is not a point, a date is no fraction.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.model.common import FAMILIES, parse_channels, parse_mode
from coaxwright.model.quantities import KINDS, QuantityError, quoted
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.spreadsheet import Cell
from coaxwright.reading.tables import load_table
from coaxwright.reading.yaml_source import parse_document
from coaxwright.schedules.headings import Mapped

_IDENTIFIER = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,63}")
_NUMBER = re.compile(r"[+\-\u2212]?[0-9]+(?:\.[0-9]+)?")
_COUNTED = re.compile(r"([1-9][0-9]?)\s*[x×*]\s*(.+)")
_COMPOSITE = {"analogue": "cvbs", "analog": "cvbs", "composite": "cvbs"}
_WAY = "write it as in [{cable: rg59-copper, length: 40 m}]"
_YES = {"yes", "y", "true", "x", "1", "✓", "✔", "ja", "oui", "si"}
_NO = {"no", "n", "false", "0", "-", "none", "✗", "nein", "non"}


class Wrong(ValueError):
    """What is wrong with a cell, and what would be right."""

    def __init__(self, what: str, right: str = "") -> None:
        self.what, self.right = what, right
        super().__init__(what)


def value_of(cell: Cell, mapped: Mapped, catalogue: Catalogue) -> object:
    """The value of a cell that is not empty. Raises Wrong."""
    if cell.kind == "formula":
        raise Wrong(
            "this formula was never computed", "open the workbook, let it compute, and save it; or type the value"
        )
    if cell.kind == "error":
        raise Wrong(
            f"the spreadsheet could not compute this: {quoted(cell.text)}", "mend the formula, or type the value"
        )
    if cell.kind == "date":
        what = f"the spreadsheet has made a date of this: {quoted(cell.text)}"
        raise Wrong(what, "set the column to text and type the value again")
    if mapped.column.holds == "quantity":
        return _quantity(cell.text, mapped)
    if mapped.column.holds == "choice":
        return _choice(cell.text, mapped)
    if mapped.column.holds == "parts":
        return _parts(cell.text, catalogue)
    if mapped.column.holds == "part":
        return part(cell.text, catalogue, "cable" if mapped.column.name.endswith("cable") else None)
    return _READERS[mapped.column.holds](cell.text)


def identifier(text: str) -> str:
    """An id as a site file has it: text, blanks as hyphens; `007` stays `007`. Raises Wrong."""
    shown = text.replace(" ", "-")
    if _IDENTIFIER.fullmatch(shown):
        return shown
    raise Wrong(f"{quoted(text)} cannot be an id", "use letters, digits, `_`, `.` and `-`, a letter or digit first")


def _quantity(text: str, mapped: Mapped) -> str:
    kind = KINDS[str(mapped.column.quantity)]
    written = text
    if _NUMBER.fullmatch(text):
        if not mapped.unit:
            right = f"write {kind.written}, or the unit in the heading, as in `{mapped.heading.text} ({next(iter(kind.units))})`"
            raise Wrong(f"{quoted(text)} has no unit, and its heading {quoted(mapped.heading.text)} names none", right)
        written = f"{text} {mapped.unit}"
    try:
        kind.read(written)
    except QuantityError as error:
        raise Wrong(error.what, error.right) from None
    return written


def _choice(text: str, mapped: Mapped) -> str:
    plain = text.lower()
    for value, others in mapped.column.choices.items():
        if plain in (value, *others):
            return value
    raise Wrong(f"{quoted(text)} is none of {', '.join(mapped.column.choices)}", "write one of them")


def _yes_no(text: str) -> bool:
    plain = text.lower()
    if plain not in _YES | _NO:
        raise Wrong(f"{quoted(text)} says neither yes nor no", "write yes or no")
    return plain in _YES


def _integer(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise Wrong(f"{quoted(text)} is no whole number", "write digits only")
    return int(text)


def _mode(text: str) -> str:
    plain = re.sub(r"\s*([x×*@])\s*", r"\1", text.lower()).replace("×", "x").replace("*", "x")
    try:
        parse_mode(plain)
    except ValueError:
        right = "write columns x lines @ frames a second, as in 2560x1440@25: a number of megapixels says neither"
        raise Wrong(f"{quoted(text)} is not a video mode", right) from None
    return plain


def _way(text: str) -> list[Any]:
    """A path of several pieces as a site file writes it on one line."""
    try:
        found = parse_document(f"way: {text}", "").value["way"]
    except Refusal as refused:
        raise Wrong(f"this is no way: {refused.problems[0].what}", _WAY) from None
    if not isinstance(found, list):
        raise Wrong(f"{quoted(text)} is no way", _WAY)
    return found


def part(text: str, catalogue: Catalogue, kind: str | None = None) -> str:
    """The id of a part as it is written, in small letters, or by its last word where only one part has that.

    `kind` is the kind that is meant there, where it is known: what is offered for a name that is none is of it.
    """
    for candidate in (text, text.lower(), text.lower().replace(" ", "-")):
        if catalogue.has(candidate):
            return candidate
    last = text.lower().replace(" ", "-")
    alike = [name for name in catalogue.parts if name.rpartition("/")[2] == last]
    if len(alike) == 1:
        return alike[0]
    if alike:
        raise Wrong(f"{quoted(text)} may be {' or '.join(alike)}", "write the whole id")
    raise Wrong(*catalogue.unknown(text, kind))


def _parts(text: str, catalogue: Catalogue) -> list[str]:
    """Several parts, `;` or `,` between, `2 x ` before one that is there twice."""
    found = []
    for piece in filter(None, (each.strip() for each in re.split("[;,]", text))):
        match = _COUNTED.fullmatch(piece)
        count, name = (int(match[1]), match[2]) if match else (1, piece)
        found += [part(name, catalogue)] * count
    return found


def _names(text: str) -> list[str]:
    return [each.strip() for each in re.split("[;,]", text) if each.strip()]


def _port_device(text: str) -> str:
    """A device, or device and port: ids may hold blanks in a schedule."""
    device, stroke, port = text.partition("/")
    return identifier(device.strip()) + (f"/{port.strip()}" if stroke else "")


def _port_number(text: str) -> str:
    plain = re.sub(r"^(?:ch|channel|input|in|output|out|o/p)\.?\s*", "", text.lower())
    if not re.fullmatch(r"0*[1-9][0-9]{0,3}", plain):
        raise Wrong(f"{quoted(text)} is no number of an input or output", "write a number from 1 on")
    return str(int(plain))


def _part_id(text: str) -> str:
    """An id of a part: small letters, blanks as hyphens, a maker before a stroke where one is written."""
    shown = re.sub(r"[^a-z0-9./_-]+", "-", text.lower()).strip("-./_")
    if not shown:
        raise Wrong(f"{quoted(text)} cannot be the id of a part", "use letters, digits, `.`, `_` and `-`")
    return shown


def _number(text: str) -> float | int:
    """A plain number with a point; a price may bear no sign of a currency."""
    if not re.fullmatch(r"-?[0-9]{1,12}(?:\.[0-9]{1,6})?", text):
        right = "write digits and a point, as in 1234.5" + (", not a comma" if "," in text else "")
        raise Wrong(f"{quoted(text)} is no number", right)
    return float(text) if "." in text else int(text)


def _families(text: str) -> list[str]:
    """Signal families, whatever stands between them; `analogue` is composite."""
    plain = re.sub(r"4[ -]?in[ -]?1", "tvi/ahd/cvi/cvbs", text.lower())
    names = [_COMPOSITE.get(each, each.removeprefix("hd-")) for each in re.findall(r"[^\W\d_][^\W\d_-]*", plain)]
    names = [each for each in names if each not in _fillers()]
    wrong = [each for each in names if each not in FAMILIES]
    if wrong or not names:
        raise Wrong(f"{quoted(text)} names no signal families", f"write some of {', '.join(FAMILIES)}")
    return list(dict.fromkeys(names))


@cache
def _fillers() -> frozenset[str]:
    """Words that say nothing among signal families."""
    return frozenset(row["word"] for row in load_table("list-words").rows if row["means"] == "filler")


def _modes(text: str) -> list[str]:
    pieces = [each.strip() for each in re.split("[;,]", text) if each.strip()]
    return list(dict.fromkeys(mode for piece in pieces for mode in _at_each_rate(piece)))


def _at_each_rate(text: str) -> list[str]:
    """`1080p@25/30` is two modes; lines with a `p` behind them are columns and lines of the trade (common practice)."""
    match = _RATES.fullmatch(text.lower().replace(" ", ""))
    if match is None:
        return [_mode(text)]
    size = _LINES.get(match["lines"] or "", match["size"])
    return [_mode(f"{size}@{rate}") for rate in match["rates"].split("/")]


_LINES = {"720": "1280x720", "1080": "1920x1080", "1440": "2560x1440", "2160": "3840x2160"}
_RATES = re.compile(
    r"(?:(?P<lines>720|1080|1440|2160)p|(?P<size>[0-9]+[x×*][0-9]+))@?(?<=[@p])(?P<rates>[0-9.]+(?:/[0-9.]+)*)(?:fps|hz)?"
)


def _channels(text: str) -> str:
    plain = text.replace(" ", "").replace("\u2013", "-")
    try:
        parse_channels(plain)
    except ValueError as error:
        raise Wrong(str(error).partition(":")[0], "write one number, or a range as in 1-8") from None
    return plain


def _input_count(text: str) -> str:
    """Inputs of a recorder: a number says how many there are, a range which."""
    plain = re.sub(r"\s*-?\s*(?:ch|chan|channels?|inputs?|bnc)\.?$", "", text.lower().strip())
    if "+" in plain:
        right = "write the coax inputs alone, as in 16; network cameras have fields of their own"
        raise Wrong(f"{quoted(text)} adds up inputs of two kinds", right)
    if plain.isascii() and plain.isdecimal() and 0 < int(plain) <= 1024:
        return "1" if int(plain) == 1 else f"1-{int(plain)}"
    return _channels(text)


def _named_channels(text: str) -> str:
    """Channels by their numbers; one bare number may be meant as a count."""
    plain = text.strip()
    if plain.isascii() and plain.isdecimal() and int(plain) > 1:
        raise Wrong(
            f"{quoted(text)} may be channel {plain} or {plain} channels", f"write 1-{plain}, or {plain}-{plain}"
        )
    return _channels(text)


_READERS: dict[str, Callable[[str], Any]] = {
    "id": identifier,
    "text": str,
    "yes-no": _yes_no,
    "integer": _integer,
    "mode": _mode,
    "way": _way,
    "names": _names,
    "part-id": _part_id,
    "number": _number,
    "families": _families,
    "modes": _modes,
    "input-count": _input_count,
    "named-channels": _named_channels,
    "port-device": _port_device,
    "port-number": _port_number,
}
