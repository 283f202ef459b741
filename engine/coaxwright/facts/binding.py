"""From wiring to facts: makes the sheets, has each component fill its own, and keeps them in file order.

A component is one supply with all that hangs on it, or one recorder with its cameras: an edit needs to compute
no more than the components that it touches. What is computed stands in the modules of each topic.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from coaxwright.facts.assumed import Assumption, Ledger, total
from coaxwright.facts.sheets import SHEETS, Sheet


class Facts:
    """All sheets of one site by kind, in the order of the site file, and what was assumed to fill them."""

    __slots__ = ("_by_kind", "_by_subject", "_ledgers")

    def __init__(self) -> None:
        self._by_kind: dict[str, list[Sheet]] = {kind: [] for kind in SHEETS}
        self._by_subject: dict[str, list[Sheet]] | None = None
        self._ledgers: list[Ledger] = []

    def by_kind(self, kind: str) -> list[Sheet]:
        """Sheets of one kind in file order; KeyError where there is no such kind."""
        return self._by_kind[kind]

    def of(self, subject: str) -> tuple[Sheet, ...]:
        """Every sheet about one subject: a camera has its own, one of its link and one of its feed."""
        if self._by_subject is None:
            index: dict[str, list[Sheet]] = {}
            for sheets in self._by_kind.values():
                for each in sheets:
                    index.setdefault(each.subject, []).append(each)
            self._by_subject = index
        return tuple(self._by_subject.get(subject, ()))

    def sheet(self, subject: str, kind: str = "") -> Sheet | None:
        """The sheet of that subject, of that kind where one is named; the first one otherwise; None for none."""
        return next((each for each in self.of(subject) if kind in ("", each.kind)), None)

    def subjects(self) -> tuple[str, ...]:
        """Every subject path that has a sheet."""
        self.of("")
        return tuple(self._by_subject or ())

    @property
    def assumed(self) -> list[Assumption]:
        """Every default that was used, with the number of uses, in order of key."""
        return total(self._ledgers)

    def take_over(self, kind: str, sheets: Iterable[Sheet]) -> None:
        """Set the sheets of one kind, in file order."""
        self._by_kind[kind] = list(sheets)
        self._by_subject = None

    def keep(self, ledger: Ledger) -> None:
        """Count a component's assumptions among those of the site."""
        self._ledgers.append(ledger)


@contextmanager
def collector_held() -> Iterator[None]:
    """Hold the cyclic garbage collector off while many lasting objects are made; it finds nothing among them."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
