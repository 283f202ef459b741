"""Limits: the figures that rules compare with, read from the way a person writes them, with their units.

A limit is a number with a unit, a plain number, a truth value or a text. A site may set another value for it,
of the same kind. Nothing here judges.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.language.types import Bool, Int, Num, Text, Type, Unit
from coaxwright.model.quantities import KINDS, Kind, QuantityError, quoted

Value = bool | int | float | str
_NUMBER_THEN_UNIT = re.compile(
    r"\s*([+\-\u2212]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?)\s*(\S.*)?"
)


@immutable
class LimitValue:
    """One limit as expressions see it: `value` in base units `unit` ("" for what has none), `written` by a
    person.
    """

    name: str
    value: Value
    unit: str
    written: str
    about: str
    source: str
    kind: str = ""

    @property
    def type(self) -> Type:
        """Its type in the rule language."""
        if isinstance(self.value, bool):
            return Bool()
        if isinstance(self.value, int):
            return Int()
        return Text() if isinstance(self.value, str) else Num(Unit.parse(self.unit))


def read_limit(name: str, stated: dict[str, Any], units: Mapping[Unit, str]) -> LimitValue:
    """The limit that a rule file states; QuantityError when its figure or unit cannot be read.

    `units` are those that facts are stated in: a unit among them that is no kind of quantity (`1/s`) is taken
    as is.
    """
    value, unit, kind = _read(stated["value"], units)
    about = stated.get("about") or ""
    return LimitValue(name, value, unit, _written(stated["value"]), about, stated["source"], kind)


def _written(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _read(value: bool | float | str, units: Mapping[Unit, str]) -> tuple[Value, str, str]:
    """Value, base unit and name of the kind of quantity."""
    if not isinstance(value, str):
        return value, "", ""
    match = _NUMBER_THEN_UNIT.fullmatch(value)
    if match is None:
        return value, "", ""
    if match[2] is None:
        raise QuantityError(
            f"{quoted(value)} is a number in quotes", "write the number alone, or a unit after it"
        )
    spelling = match[2].strip()
    kinds = _kinds_of(spelling)
    if kinds:
        chosen = _one_kind(value, spelling, kinds)
        return chosen.read(value), _base(chosen), chosen.name
    return float(match[1].replace("\u2212", "-")), _fact_unit(value, spelling, units), ""


def _base(kind: Kind) -> str:
    return "" if kind.base == "1" else kind.base


def _kinds_of(spelling: str) -> list[Kind]:
    if re.fullmatch(r"(?:AWG|awg)", spelling):
        return [KINDS["conductor_size"]]
    return [kind for kind in KINDS.values() if spelling in kind.units]


def _one_kind(value: str, spelling: str, kinds: list[Kind]) -> Kind:
    """The kind whose own base unit the spelling is, where several have it: `24 h` are hours, `0.5 mm`
    millimetres.
    """
    if len({kind.base for kind in kinds}) == 1:
        return kinds[0]
    own = [kind for kind in kinds if kind.units[spelling].scale == 1 and kind.units[spelling].offset == 0]
    if len(own) == 1:
        return own[0]
    bases = " or in ".join(dict.fromkeys(kind.base for kind in kinds))
    raise QuantityError(f"{quoted(value)} may be meant as {_nouns(kinds)}", f"write the limit in {bases}")


def _nouns(kinds: Iterable[Kind]) -> str:
    return " or ".join(kind.noun for kind in kinds)


def _fact_unit(value: str, spelling: str, units: Mapping[Unit, str]) -> str:
    try:
        unit = Unit.parse(spelling)
    except ValueError:
        unit = None
    if unit is None or unit not in units:
        what = f"{quoted(value)} is no number with a unit known here ({quoted(spelling)})"
        raise QuantityError(what, "see `docs/limits-of-input.md`")
    return units[unit]


def override_limit(limit: LimitValue, value: object) -> LimitValue:
    """The limit as a site sets it; QuantityError when the value is not of the limit's kind."""
    if limit.kind:
        read: Value = KINDS[limit.kind].read(value)
    elif limit.unit:
        read = _in_unit(limit, value)
    else:
        read = _plain(limit, value)
    return LimitValue(limit.name, read, limit.unit, _written(value), limit.about, limit.source, limit.kind)


def _in_unit(limit: LimitValue, value: object) -> float:
    match = _NUMBER_THEN_UNIT.fullmatch(value) if isinstance(value, str) else None
    if match is None or (match[2] or "").strip() != limit.unit:
        raise QuantityError(f"{quoted(value)} is not in {limit.unit}", f"write it as `{limit.written}`")
    return float(match[1].replace("\u2212", "-"))


def _plain(limit: LimitValue, value: object) -> Value:
    wanted = limit.value
    if isinstance(wanted, float) and isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if type(value) is type(wanted) and isinstance(value, bool | int | str):
        return value
    nouns = {bool: "true or false", int: "a whole number", float: "a plain number", str: "text"}
    raise QuantityError(f"{quoted(value)} is not {nouns[type(wanted)]}", f"write it as `{limit.written}`")


class Limits:
    """What the variable `limit` stands for: one attribute for each limit."""

    def __init__(self, limits: Iterable[LimitValue]) -> None:
        for each in limits:
            setattr(self, each.name, each.value)
