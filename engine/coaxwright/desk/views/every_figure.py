"""Every figure of a device with how it came about: what `coaxwright explain` tells of it."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.checking import FactShown
from coaxwright.model.quantities import format_quantity
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import table


def every_figure(facts: Sequence[FactShown]) -> Markup:
    """What was worked out, each with its working; then what is stated; then what is not known."""
    worked = [each for each in facts if each.value is not None and each.working]
    stated = [each for each in facts if each.value is not None and not each.working]
    unknown = [each for each in facts if each.value is None]
    rows: list[list[Child]] = [[each.doc, tag("b", words(each.value, each.unit)), _steps(each)] for each in worked]
    others: list[list[Child]] = [[each.doc, words(each.value, each.unit), tag("code", each.name)] for each in stated]
    return join([
        table("Worked out", ("what", "value", "how it came about"), rows, class_="tbl stack") if rows else None,
        tag("details", tag("summary", f"Stated, or follows at once: {len(stated)}"),
            table("Stated, or follows at once", ("what", "value", "fact"), others, class_="tbl stack")),
        tag("details", tag("summary", f"Not known, or does not apply: {len(unknown)}"),
            tag("ul", [tag("li", each.doc) for each in unknown])),
    ])  # fmt: skip


def _steps(fact: FactShown) -> Markup:
    return tag("ul", [tag("li", step) for step in fact.working], class_="working")


def words(value: object, unit: str) -> str:
    """The value of a fact in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return format_quantity(float(value), unit)
    if isinstance(value, list | tuple):
        return ", ".join(words(each, unit) for each in value) or "none"
    return str(value)
