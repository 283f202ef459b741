"""Whether a fact sheet holds what its kind declares: for tests of whoever fills sheets, not for judging.

The evaluators trust declared types. A `None`, or an `int` where a `float` is declared, would go unnoticed by
the fast one; this finds it.
"""

from __future__ import annotations

from coaxwright.language.functions import GREATEST_INT, LEAST_INT
from coaxwright.language.types import Bool, Int, KindSpec, ListOf, Num, Ref, Text, Type


def wrong_fields(sheet: object, kind: KindSpec) -> list[str]:
    """A sentence for each field that does not hold its declared type, and each required one that is unset."""
    found = []
    for spec in kind.fields.values():
        if not hasattr(sheet, spec.name):
            if not spec.optional:
                found.append(f"{kind.name}.{spec.name} is unset and not optional")
        elif not _conforms(getattr(sheet, spec.name), spec.type):
            value = getattr(sheet, spec.name)
            found.append(f"{kind.name}.{spec.name} is {value!r}, declared as {spec.type}")
    return found


def _conforms(value: object, kind: Type) -> bool:
    match kind:
        case Bool():
            return type(value) is bool
        case Int():
            return type(value) is int and LEAST_INT <= value <= GREATEST_INT
        case Num():
            return type(value) is float
        case Text():
            return type(value) is str and (kind.choices is None or value in kind.choices)
        case ListOf():
            return isinstance(value, list | tuple) and all(_conforms(item, kind.item) for item in value)
        case Ref():
            return value is not None and not isinstance(value, bool | int | float | str | list | tuple)
    return False
