"""Values that stand for what nobody gave: taken from one place, counted, listed in every report.

A `Ledger` belongs to one component (a supply with all that hangs on it, a recorder with its cameras), so that
computing a component again replaces its counts and no other's. Which defaults exist is data; nothing here
invents one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Default:
    """One value that may be assumed: `value` in the base unit `unit`, where it comes from, what it stands for."""

    key: str
    what: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Assumption:
    """A default that was used `count` times."""

    default: Default
    count: int


class Ledger:
    """Hands out defaults and counts each use."""

    __slots__ = ("counts", "defaults")

    def __init__(self, defaults: Mapping[str, Default]) -> None:
        self.defaults = defaults
        self.counts: dict[str, int] = {}

    def take(self, key: str, uses: int = 1) -> float:
        """The assumed value of `key` in its base unit; counted. KeyError: there is no such default."""
        value = self.defaults[key].value
        self.counts[key] = self.counts.get(key, 0) + uses
        return value

    def has(self, key: str) -> bool:
        """Whether a default of that key exists."""
        return key in self.defaults

    def branch(self) -> Ledger:
        """An empty ledger over the same defaults, for one component."""
        return Ledger(self.defaults)


def total(ledgers: Iterable[Ledger]) -> list[Assumption]:
    """Everything that was assumed, in order of key, with the counts of all components added up."""
    counts: dict[str, int] = {}
    defaults: dict[str, Default] = {}
    for ledger in ledgers:
        for key, count in ledger.counts.items():
            counts[key] = counts.get(key, 0) + count
            defaults[key] = ledger.defaults[key]
    return [Assumption(defaults[key], counts[key]) for key in sorted(counts) if counts[key]]
