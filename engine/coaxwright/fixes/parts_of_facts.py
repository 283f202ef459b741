"""The facts of a site cut up by component, and put together again in the order of the file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.binding import MONITOR, NETWORK, RECORDER, ROOT, SUPPLY, UNRECORDED, Component, Facts
from coaxwright.facts.sheets import NETWORK_SHEETS, SHEETS, Sheet
from coaxwright.fixes.components import BOX, GROUPS, SITE, Entry, Owners
from coaxwright.model.site import Site
from coaxwright.rulebook.judging import Judgement

Sheets = dict[str, list[Sheet]]
_OF_NETWORK = frozenset(cls.kind for cls in NETWORK_SHEETS) | {"sheath"}
SITE_KINDS = frozenset(("site", "area", "standby", "ups", "cabinet", "housed"))
"""Kinds that read the whole site."""
_GROUP_ORDER = {group: place for place, group in enumerate(("cameras", *GROUPS[:-1]))}


@dataclass(slots=True)
class Judged:
    """What the rules came to on one component."""

    passed: int = 0
    not_applicable: int = 0
    judgements: list[Judgement] = field(default_factory=list)


@dataclass(slots=True)
class Part:
    """One component: its sheets by kind in file order, its assumptions, and how it was judged.

    `counted` is false where only the judgements that did not pass are known as yet.
    """

    sheets: Sheets = field(default_factory=dict)
    ledger: Ledger | None = None
    judged: Judged = field(default_factory=Judged)
    counted: bool = False

    def by_kind(self, kind: str) -> list[Sheet]:
        """The sheets of one kind: what rules judge."""
        return self.sheets.get(kind, [])


def reads_the_site(facts: Facts) -> bool:
    """Whether something there is only judged rightly when the whole site is: areas, hours without mains, UPS, cabinets."""
    return any(facts.by_kind(kind) for kind in SITE_KINDS - {"site"})


def entry_of(subject: str) -> Entry:
    """The entry of the site file that a subject path stands in."""
    group, _, rest = subject.partition("/")
    return group, rest.partition("/")[0]


def home_of(sheet: Sheet, owners: Owners) -> Component:
    """The component that computed a sheet. KeyError for a kind that stands nowhere."""
    kind = sheet.kind
    if kind in SITE_KINDS:
        return SITE
    entry = entry_of(sheet.subject)
    of_power = kind in ("run", "laying", "copper") and sheet.known("use") == "power"
    if of_power or kind in ("feed", "evening", "device_feed", "junction"):
        return owners.power[entry]
    if kind in ("poe_source", "poe_port"):
        return ROOT, "/".join(entry)
    if kind == "monitor":
        return MONITOR, entry[1]
    if kind in _OF_NETWORK or entry[0] == "switches":
        return NETWORK, ""
    own = {"cameras": "", "recorders": RECORDER, "supplies": SUPPLY, "boxes": BOX}[entry[0]]
    return (own, entry[1]) if own else owners.picture[entry[1]]


def cut(facts: Facts, owners: Owners) -> dict[Component, Part]:
    """All facts of a site by component."""
    parts: dict[Component, Part] = {}
    for kind in SHEETS:
        for sheet in facts.by_kind(kind):
            home = home_of(sheet, owners)
            part = parts.get(home)
            if part is None:
                part = parts[home] = Part()
            part.sheets.setdefault(kind, []).append(sheet)
    for component, ledger in facts.ledgers.items():
        parts.setdefault(component, Part()).ledger = ledger
    return parts


def joined(base: Facts, parts: Mapping[Component, Part], site: Site) -> Facts:
    """The facts of all parts as if they had been computed together; `base` lends its context."""
    facts = Facts(base.context)
    places = Places(site, parts)
    for kind in SHEETS:
        found = [
            (places.of(component, sheet), sheet)
            for component, part in parts.items()
            for sheet in part.sheets.get(kind, ())
        ]
        found.sort(key=lambda each: each[0])
        facts.take_over(kind, (sheet for _, sheet in found))
    for sheet in facts.by_kind("site"):
        for group, kind in (("cameras", "camera"), ("recorders", "recorder"), ("supplies", "supply")):
            setattr(sheet, group, facts.by_kind(kind))
    for component, part in parts.items():
        if part.ledger is not None:
            facts.keep(component, part.ledger)
    return facts


class Places:
    """Where a sheet stands among those of its kind: by the order of the file, runs by who computed them."""

    def __init__(self, site: Site, components: Iterable[Component]) -> None:
        self._entries = {
            (group, name): (_GROUP_ORDER[group], place)
            for group in GROUPS
            for place, name in enumerate(getattr(site, group))
        }
        self._components = {component: self._component(component, place) for place, component in enumerate(components)}

    def _component(self, component: Component, place: int) -> tuple[int, int, int]:
        kind, name = component
        if kind == ROOT:
            return 3, *self._entries.get(entry_of(name), (99, place))
        group = {RECORDER: "recorders", UNRECORDED: "cameras", SUPPLY: "supplies"}.get(kind, "cameras")
        stage = {RECORDER: 0, UNRECORDED: 1, SUPPLY: 2}.get(kind, 4)
        return stage, *self._entries.get((group, name), (99, place))

    def of(self, component: Component, sheet: Sheet) -> tuple[Any, ...]:
        """A key to sort the sheets of one kind by; those of one component stay in the order they have."""
        owner = self._entries.get(entry_of(sheet.subject), (-1, 0))
        if sheet.kind == "run" and owner[0] != 0:
            return (1, 0, *self._components[component])
        return (*owner, *self._components[component])
