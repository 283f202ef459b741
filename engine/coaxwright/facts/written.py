"""Figures as the workings of facts write them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from coaxwright.facts.sheets import Sheet

SHOWN = 12
"""Names that are written out before the rest is counted: common practice of lists that people read."""


def number(value: float, digits: int = 5) -> str:
    """So many significant figures, all digits before the point, without an exponent and without trailing zeros.

    Five is common practice of hand calculations.
    """
    if value == 0.0:
        return "0"
    if math.isinf(value):
        return "unlimited"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def named(what: Iterable[Any]) -> str:
    """Names in a row, the rest counted; `none` for none."""
    names = [str(name) for name in what]
    more = [f"{len(names) - SHOWN} more"] if len(names) > SHOWN else []
    return ", ".join([*names[:SHOWN], *more]) or "none"


def counted(field: str, step: str = "") -> Callable[[Any, Any], tuple[str, ...]]:
    """A working of a count: what was counted, by name, as the sheet's `steps` keep it under `step` (or the field's name)."""

    def explain(context: object, sheet: Sheet) -> tuple[str, ...]:
        return (f"{named(sheet.steps[step or field])}: {getattr(sheet, field)}",)

    return explain


def counts(fields: Mapping[str, str]) -> dict[tuple[str, str], Callable[[Any, Any], tuple[str, ...]]]:
    """Workings of counts: fields, separated by blanks, by kind of sheet."""
    return {(kind, field): counted(field) for kind, names in fields.items() for field in names.split()}
