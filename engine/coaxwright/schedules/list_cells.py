"""Cells of price lists made ready to be read: decimal comma, currency signs, words for nothing, two facts in one cell.

Whether a comma or a point stands before decimals is declared, or evident from the price and quantity columns as a
whole; where it is neither, a cell that may be read both ways is refused. Words are data (table `list-words`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from coaxwright.model.quantities import quoted
from coaxwright.reading.spreadsheet import Cell, Sheet
from coaxwright.reading.tables import load_table
from coaxwright.schedules.headings import Header, Mapped
from coaxwright.schedules.values import Wrong

Path = tuple[str | int, ...]
_NUMBER = re.compile(r"[0-9][0-9.,'\u2019\u00a0 ]*[0-9]|[0-9]")
_COMMA = re.compile(r"(?:[0-9]{1,3}(?:[. '\u2019][0-9]{3})+|[0-9]+),[0-9]{1,2}|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+")
_POINT = re.compile(r"(?:[0-9]{1,3}(?:[, '\u2019][0-9]{3})+|[0-9]+)\.[0-9]{1,2}|[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+")
_EITHER = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{3})+")
_SIGNS = {"€": "EUR", "£": "GBP"}
_CODE = re.compile(r"\b([A-Z]{3})\b")
_TOLERANCE = re.compile(
    r"(?P<volts>[0-9.]+)\s*V?\s*(?P<kind>DC|AC|=|~)?\s*(?:±|\+/?-)\s*(?P<percent>[0-9.]+)\s*%", re.IGNORECASE
)
_KIND = re.compile(r"(?P<volts>[0-9.]+\s*V)\s*(?P<kind>DC|AC)", re.IGNORECASE)
_RATING = re.compile(r"(IP[0-9X]{2})\s*[/,;+ ]\s*(IK[0-9]{2})", re.IGNORECASE)
_ADDED = re.compile(r"([0-9]+)\s*(?:ch|bnc)?\s*\+\s*([0-9]+)\s*(?:ch\s*)?IP", re.IGNORECASE)


@dataclass(slots=True)
class ListCells:
    """Makes the cells of one list ready. `decimal` is `comma`, `point`, or empty where neither was declared nor is evident."""

    sheet: Sheet
    header: Header
    decimal: str = ""
    currency: str | None = None
    _price: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Look at the columns as a whole."""
        if not self.decimal:
            seen = {kind for text in self._figures() if (kind := evident(text))}
            self.decimal = seen.pop() if len(seen) == 1 else ""
        if self.currency is None:
            self.currency = self._headed()

    def _figures(self) -> Iterator[str]:
        """Texts of every cell of a price or a quantity that a person typed."""
        places = [each.place for each in self.header.mapped if each.column.holds in ("number", "quantity")]
        for row in self.sheet.rows[self.header.row + 1 :]:
            yield from (row[place].text for place in places if place < len(row) and row[place].kind == "text")

    def _headed(self) -> str | None:
        """The currency that the heading of the price names."""
        for each in self.header.mapped:
            if each.column.name == "price":
                sign = next((code for sign, code in _SIGNS.items() if sign in each.heading.text), None)
                code = _CODE.search(each.heading.text)
                return sign or (code[1] if code else None)
        return None

    def ready(self, cell: Cell, mapped: Mapped) -> tuple[Cell | None, dict[Path, Any]]:
        """The cell to be read (None where it says nothing), and what else it says, by path. Raises Wrong."""
        column, more = mapped.column, dict[Path, Any]()
        if cell.kind != "text":
            return cell, more
        if means(cell.text) == "nothing" and column.holds != "yes-no":
            return None, more
        text = cell.text
        if column.name == "retired":
            text = _status(text)
        if column.name == "price":
            text = self._money(text, more)
        if column.name == "volts":
            text = _volts(self._plain(text), column.at, more)
        elif column.holds in ("number", "quantity"):
            text = self._plain(text)
        if column.name == "ip" and (both := _RATING.fullmatch(text.strip())):
            text, more[(*column.at[:-1], "ik")] = both[1].upper(), both[2].upper()
        if column.holds == "input-count" and (added := _ADDED.fullmatch(text.strip())):
            text, more[("network", "cameras")] = added[1], int(added[2])
        return (cell._replace(text=text) if text else None), more

    def _money(self, text: str, more: dict[Path, Any]) -> str:
        """A price without its currency, which is kept where it is not that of the list."""
        code = next((code for sign, code in _SIGNS.items() if sign in text), None)
        named = _CODE.search(text)
        code = code or (named[1] if named else None)
        if "$" in text and code is None and self.currency is None:
            raise Wrong(f"{quoted(text)} says not which dollar", "name the currency: --currency USD, for example")
        if code is not None and code != self.currency:
            more[("currency",)] = code
        bare = text.replace(code or "", "") if named else text
        return re.sub(r"[€£$]", "", bare).strip().removesuffix(",-").removesuffix(".-").strip()

    def _plain(self, text: str) -> str:
        """Every number with a point before decimals and nothing between thousands. Raises Wrong."""
        return _NUMBER.sub(lambda match: self._number(match[0]), text)

    def _number(self, text: str) -> str:
        kind = evident(text) or self.decimal
        if _EITHER.fullmatch(text) and not kind:
            right = "say which it is: --decimal comma or --decimal point"
            raise Wrong(f"{quoted(text)} may be read with thousands or with decimals", right)
        bare = re.sub(r"['\u2019\u00a0 ]", "", text)
        if kind == "comma":
            return bare.replace(".", "").replace(",", ".")
        return bare.replace(",", "") if kind == "point" else bare


def evident(text: str) -> str:
    """`comma` or `point` where a number in the text can be read in one way only; empty otherwise."""
    for each in _NUMBER.findall(text):
        if _COMMA.fullmatch(each):
            return "comma"
        if _POINT.fullmatch(each):
            return "point"
    return ""


@cache
def _words() -> dict[str, str]:
    return {_folded(row["word"]): row["means"] for row in load_table("list-words").rows}


def _folded(text: str) -> str:
    return " ".join(text.casefold().split()).rstrip(".!*")


def means(text: str) -> str:
    """What a word of table `list-words` says; empty for any other text."""
    return _words().get(_folded(text), "")


def _status(text: str) -> str:
    """`yes` for what is no longer sold, nothing for what is. Raises Wrong."""
    said = {"retired": "yes", "sold": "", "nothing": ""}.get(means(text))
    if said is None:
        if text.lower() in ("yes", "no", "x", "ja", "nein", "oui", "non", "si", "sí"):
            return "yes" if text.lower() in ("yes", "x", "ja", "oui", "si", "sí") else ""
        raise Wrong(f"{quoted(text)} says neither that it is sold nor that it is not", "write EOL, or leave it empty")
    return said


_MARKED = re.compile(r"(?P<name>.*\S)\s*(?:[(\[](?P<inside>[^()\[\]]+)[)\]]|\s[-\u2013*]\s*(?P<behind>\S.*))")


def without_status(text: str) -> tuple[str, bool]:
    """A model without the word behind it that says it is no longer sold, and whether there was one: `X5 (EOL)`."""
    marked = _MARKED.fullmatch(text.strip())
    if marked is None or means(marked["inside"] or marked["behind"]) != "retired":
        return text, False
    return marked["name"], True


@cache
def _sections() -> tuple[tuple[str, str], ...]:
    rows = [row for row in load_table("list-words").rows if row["means"].startswith("section-")]
    return tuple((_folded(row["word"]), row["means"].removeprefix("section-")) for row in rows)


def section_of(text: str) -> str:
    """The kind of part that a heading between rows announces (`Hybrid recorders`); empty where it names none."""
    words = re.split(r"[^\w]+", _folded(text))
    return next((kind for word, kind in _sections() if any(each.endswith(word) for each in words)), "")


def _volts(text: str, at: Path, more: dict[Path, Any]) -> str:
    """`12 V DC ± 25 %` as the nominal voltage, with the least and the greatest beside it."""
    spread = _TOLERANCE.fullmatch(text.strip())
    if spread is not None:
        volts, percent = float(spread["volts"]), float(spread["percent"]) / 100
        for name, factor in (("volts_min", 1 - percent), ("volts_max", 1 + percent)):
            more[(*at[:-1], name)] = f"{round(volts * factor, 3):g} V"
        text = f"{volts:g} V {spread['kind'] or ''}".strip()
    kind = _KIND.fullmatch(text.strip())
    if kind is None:
        return text
    if at[0] == "power":
        more[("power", "kind")] = kind["kind"].lower()
    return kind["volts"]
