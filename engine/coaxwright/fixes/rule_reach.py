"""How far rules look: whether what a rule says of a thing can change when another component changes.

Read off the expressions themselves, through the declared references of the fact sheets, so that a rule added
by a user is covered too. Nothing here judges.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from coaxwright.facts.sheets import SHEETS
from coaxwright.immutable import immutable
from coaxwright.language.templates import Placeholder
from coaxwright.rulebook.library import LoadedRule

_SIDES = {
    **dict.fromkeys(
        ("camera", "link", "hop", "input", "disk_group", "recorder", "serial_bus", "view", "ending", "disk_risk", "clock"),
        "picture",
    ),
    **dict.fromkeys(
        ("feed", "evening", "output", "supply", "junction", "device_feed", "battery", "poe_source", "poe_port"), "power"
    ),
}
_ON_BOTH_SIDES = frozenset(
    ("power_kind", "volts_nominal", "volts_min", "volts_max", "plug", "polarity", "polarity_protected",
     "watts_day", "watts_night", "name", "part", "label", "maker", "subject", "has_power", "has_video", "has_network")
)  # fmt: skip
"""Fields of a camera that follow from its entry and its part alone, or that its power component fills."""
_SITE_WIDE = (
    "switch", "network_port", "network_path", "address", "sheath", "monitor", "area", "standby", "ups", "cabinet", "housed",
)  # fmt: skip
"""Kinds that stand alone: a site that has them is checked in full after an edit that could change them."""
_LOCAL_KINDS = frozenset((*_SIDES, *_SITE_WIDE, "run", "box", "path", "site", "exposure", "laying", "copper"))


@immutable
class Reach:
    """What one rule reads beyond its own component.

    `crossings` counts the steps between power and picture, `site_fields` are the fields of the site's sheet,
    `whole` is true where it goes through all things of the site, or through kinds that are not known here.
    `between_earths`: its guard asks for coax between two earths, so that it looks nowhere on a site that has none.
    """

    crossings: int
    site_fields: frozenset[str]
    whole: bool
    between_earths: bool = False


def reach_of(rule: LoadedRule) -> Reach:
    """The reach of a rule: condition, guard, margin, and every sentence that it may print."""
    kinds = {**dict(rule.scope.variables), "site": "site"}
    fields: set[str] = set()
    crossings, whole = 0, not set(kinds.values()) <= _LOCAL_KINDS
    for path in _paths(rule):
        if path[0] not in kinds:
            whole = whole or path[0] != "limit"
        else:
            found = _followed(kinds[path[0]], path[1:])
            crossings = max(crossings, found.crossings)
            fields |= found.site_fields
            whole = whole or found.whole
    guard = () if rule.when is None else rule.when.paths
    return Reach(crossings, frozenset(fields), whole, any(path[-1] == "other_earth" for path in guard))


def _paths(rule: LoadedRule) -> Iterator[tuple[str, ...]]:
    for checked in (rule.when, rule.require, rule.margin):
        if checked is not None:
            yield from checked.paths
    templates = (rule.says, *rule.working, *(each for each in rule.fix_sentences if each is not None))
    for template in templates:
        for part in template:
            if isinstance(part, Placeholder):
                yield from part.checked.paths


def _followed(kind: str, names: Iterable[str]) -> Reach:
    """Walk from a sheet of `kind` along field names."""
    crossings, site_fields, whole = 0, set(), False
    steps = [name for name in names if name != "*"]
    for place, name in enumerate(steps):
        if kind == "site":
            site_fields.add(name)
        target = _target(kind, name)
        if not target:
            break
        if kind == "site" or target not in _LOCAL_KINDS:
            whole = True
        after = steps[place + 1] if place + 1 < len(steps) else ""
        shared = target == "camera" and after in _ON_BOTH_SIDES
        if _SIDES.get(kind) and _SIDES.get(target) and _SIDES[kind] != _SIDES[target] and not shared:
            crossings += 1
        kind = target
    return Reach(crossings, frozenset(site_fields), whole)


def _target(kind: str, name: str) -> str:
    """The kind of sheet that a field refers to, empty for a plain value."""
    fields: Mapping[str, Any] = getattr(SHEETS.get(kind), "__dataclass_fields__", {})
    about = fields[name].metadata if name in fields else {}
    return about.get("ref") or about.get("many") or ""
