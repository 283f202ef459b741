"""Values of facts in words."""

from __future__ import annotations

from coaxwright.model.quantities import format_quantity


def value_words(value: object, unit: str) -> str:
    """The value of a fact in words: None is not known, a list its items, a number one with its unit."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return format_quantity(float(value), unit)
    if isinstance(value, list | tuple):
        return ", ".join(value_words(each, unit) for each in value) or "none"
    return f"{value}"
