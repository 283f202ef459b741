"""How sure a judgement is: whether it rests on what is stated alone, on an assumed value, or on a figure from memory.

A judgement rests on its rule's sources, on its limits in force, and on the facts that the rule reads of its subject. An
assumption counts where it was taken in the component (a supply with all on it, a recorder with its cameras) that the
fact belongs to and bears on that fact (`facts.bearing`). The least sure of all that a judgement rests on says how
sure it is: `from memory` before `assumed` before `stated`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal

from coaxwright.facts.assumed import Used, total
from coaxwright.facts.bearing import bearing, taken_for
from coaxwright.facts.binding import RECORDER, SUPPLY, Facts
from coaxwright.facts.sheets import Sheet, kind_at
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.limits import LimitValue
from coaxwright.rulebook.sources import known_by, publications_in

Confidence = Literal["stated", "assumed", "from memory"]
FROM_MEMORY = "from memory"

_OWNER: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "supply": (SUPPLY, ()), "output": (SUPPLY, ("supply",)), "feed": (SUPPLY, ("source",)),
    "device_feed": (SUPPLY, ("source",)), "junction": (SUPPLY, ("source",)), "battery": (SUPPLY, ("supply",)),
    "recorder": (RECORDER, ()), "disk_group": (RECORDER, ("recorder",)), "input": (RECORDER, ("recorder",)),
    "link": (RECORDER, ("recorder",)), "camera": (RECORDER, ("link", "recorder")),
    "view": (RECORDER, ("camera", "link", "recorder")),
}  # fmt: skip
"""Kinds of sheets that one component fills: which kind of component, and the way from the sheet to what it is named after."""

_POWER_FIELDS = frozenset({"watts_day", "watts_night", "power_kind"})
_CAMERA_POWER = (SUPPLY, ("feed", "source"))
"""What a camera draws is filled with its supply."""


class Certainty:
    """Answers for the judgements of one site; what rules and components have in common is worked out once."""

    def __init__(self, facts: Facts | None) -> None:
        self.facts = facts
        self.names = frozenset(used.assumption.name for used in facts.assumed) if facts else frozenset()
        self._rules: dict[str, tuple[tuple[str, ...], ...]] = {}
        self._used: dict[tuple[str, str], list[Used]] = {}

    def of(self, judgement: Judgement) -> Confidence:
        """How sure the facts are that a judgement rests on; what its rule rests on: `remembered`."""
        paths = self._paths(judgement.rule)
        if not paths:
            return "stated"
        rows = list(self._taken(paths, judgement))
        if any(FROM_MEMORY in row.assumption.source for row in rows):
            return "from memory"
        return "assumed" if rows else "stated"

    def _paths(self, rule: LoadedRule) -> tuple[tuple[str, ...], ...]:
        """What the rule reads that an assumption used on this site can bear on."""
        found = self._rules.get(rule.id)
        if found is None:
            kinds = dict(rule.scope.variables)
            reads = (*rule.require.paths, *(rule.when.paths if rule.when else ()))
            found = self._rules[rule.id] = tuple(path for path in dict.fromkeys(reads) if self._touched(path, kinds))
        return found

    def _touched(self, path: tuple[str, ...], kinds: Mapping[str, str]) -> bool:
        kind = kinds.get(path[0], path[0])
        for step in path[1:-1]:
            kind = kind if step == "*" else kind_at(kind, step)
        return len(path) > 1 and not self.names.isdisjoint(bearing([(kind, path[-1])]))

    def _taken(self, paths: Iterable[tuple[str, ...]], judgement: Judgement) -> Iterator[Used]:
        bound = judgement.frame.bind(judgement.rule, judgement.subject)
        for path in paths:
            for sheet in _sheets_at(bound.get(path[0]), path[1:-1]):
                yield from taken_for(sheet, path[-1], self._used_by(sheet, path[-1]))

    def _used_by(self, sheet: Sheet, field: str) -> list[Used]:
        """What was assumed in the component of a sheet; on the whole site where it belongs to none of its own."""
        assert self.facts is not None, "without facts no rule has a path that is touched"
        key = _component(sheet, field)
        found = self._used.get(key)
        if found is None:
            ledger = self.facts.ledgers.get(key)
            found = self._used[key] = self.facts.assumed if ledger is None else total([ledger])
        return found


def remembered(rule: LoadedRule, limits: Iterable[LimitValue]) -> bool:
    """Whether a source of the rule, or of a limit in force, is known from memory only: by its own words, or by the register."""
    words = [", ".join(map(str, source.values())) for source in rule.plain["sources"]]
    return any(known_by(each, publications_in(each)) == "memory" for each in (*words, *(limit.source for limit in limits)))


def _sheets_at(start: object, steps: tuple[str, ...]) -> list[Any]:
    found = [start]
    for step in steps:
        if step != "*":
            found = [getattr(each, step, None) for each in found]
        found = [one for each in found for one in (each if isinstance(each, list | tuple) else (each,))]
    return [each for each in found if isinstance(each, Sheet)]


def _component(sheet: Sheet, field: str) -> tuple[str, str]:
    found: object = sheet
    kind, way = _CAMERA_POWER if sheet.kind == "camera" and field in _POWER_FIELDS else _OWNER.get(sheet.kind, ("", ()))
    for step in way:
        found = getattr(found, step, None)
    return kind, getattr(found, "name", "") if kind else ""
