"""Values that stand for what nobody gave: taken from one table, counted, listed in every report.

A `Ledger` belongs to one component (a supply with all that hangs on it, a recorder with its cameras), so that
computing a component again replaces its counts and no other's. Which values may be assumed is data (table
`assumptions`, and `assume` in the site file); nothing here invents one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.assumptions import Assumptions
from coaxwright.model.quantities import format_quantity
from coaxwright.reading.tables import Assumption, load_assumptions

FROM_SITE = "the site file, under `assume`"
_NAMES = {"bits_per_pixel": ("bits-per-pixel-h264", "bits-per-pixel-h265")}


@immutable
class Used:
    """An assumption (`name`, `value`, `unit`, `written`, `about`, `source`) that was used `count` times."""

    assumption: Assumption
    count: int


class Ledger:
    """Hands out assumed values and counts each use."""

    __slots__ = ("__weakref__", "counts", "values")

    def __init__(self, values: Mapping[str, Assumption]) -> None:
        self.values = values
        self.counts: dict[str, int] = {}

    def take(self, name: str, uses: int = 1) -> Any:
        """The assumed value of `name` in its base unit; counted. KeyError: there is no such assumption."""
        value = self.values[name].value
        self.counts[name] = self.counts.get(name, 0) + uses
        return value

    def branch(self) -> Ledger:
        """An empty ledger over the same values, for one component."""
        return Ledger(self.values)


def assumable(written: Assumptions | None) -> Mapping[str, Assumption]:
    """All values that may be assumed on a site, by name: the table's, replaced by what its file writes."""
    table = load_assumptions()
    if written is None:
        return table
    values = dict(table)
    for field in written.model_fields_set:
        value = getattr(written, field)
        for name in _NAMES.get(field, (field.replace("_", "-"),)):
            if value is not None and name in values:
                values[name] = _own(values[name], value)
    return values


def _own(row: Assumption, value: str | float) -> Assumption:
    text = (
        value if isinstance(value, str) else format_quantity(value, "%" if 0 < value < 1 and not row.unit else row.unit)
    )
    return replace(row, value=value, written=text, source=FROM_SITE)


def total(ledgers: Iterable[Ledger]) -> list[Used]:
    """Everything that was assumed, in order of name, with the counts of all components added up."""
    counts: dict[str, int] = {}
    rows: dict[str, Assumption] = {}
    for ledger in ledgers:
        for name, count in ledger.counts.items():
            counts[name] = counts.get(name, 0) + count
            rows[name] = ledger.values[name]
    return [Used(rows[name], counts[name]) for name in sorted(counts) if counts[name]]
