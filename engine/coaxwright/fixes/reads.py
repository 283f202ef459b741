"""What a judgement has read: the entries that its facts come from, and the lists that something might join.

A judgement stays as it is under every change that does not touch what it has read. Three widths, the narrowest that is sure:

- *own*: facts of one camera's picture, lens, place or way that follow from its own entry and from the devices and boxes
  that this names. Facts that other cameras can move (a shared encoder's rates, days kept) are never such: the fact sheets
  mark them, and what declared facts make of them follows; `tests/fixes/test_bounding.py` tries it again. Where every fact
  follows from one key of the entry (its part, its place), no other key of it was read.
- *component*: a recorder with its cameras or a supply with its tree, as far as the rule looks, and whatever names a device in it.
- *everything*: rules about the whole site, networks, areas, what cabinets may warm, and what nobody can place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from coaxwright.facts.bearing import shared_fields
from coaxwright.facts.binding import RECORDER, ROOT, SUPPLY, UNPOWERED, UNRECORDED, Component
from coaxwright.facts.sheets import SHEETS
from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.components import BOX, GROUPS, Entry, boxes_of, model_of, references
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Operation, pointer_steps
from coaxwright.fixes.rejudging import SiteState, homes_of
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.library import LoadedRule

_POWER = frozenset((SUPPLY, UNPOWERED, BOX))
_PLACED = _POWER | {RECORDER, UNRECORDED}
_NOT_OF_POWER = frozenset(("video", "set", "record", "sound", "control", "wants", "lens"))
"""Fields of a camera that move nothing on the power of another device."""
_CONSTANT = frozenset(("video_rate", "retention", "name", "growth"))
"""Fields of the site's sheet that no change considered here writes."""


@dataclass(frozen=True, eq=False)
class Written:
    """What a change writes."""

    candidate: Candidate

    @cached_property
    def fields(self) -> frozenset[tuple[Entry, str]]:
        """Entries that it writes, with the field of each; of a group that is made, each entry in it. The top of the file: all."""
        return frozenset(each for operation in self.candidate.patch for each in _fields(operation))

    @cached_property
    def entries(self) -> frozenset[Entry]:
        """Entries that it writes."""
        return frozenset(entry for entry, _ in self.fields)

    @cached_property
    def names(self) -> frozenset[str]:
        """Words of its values that may name a device: what something might join by it."""
        return frozenset(word.partition("/")[0] for each in self.candidate.patch for word in _words(each.get("value")))

    @property
    def at_the_top(self) -> bool:
        """Whether it writes anything but entries: what that moves nobody has placed."""
        return any(entry[0] not in GROUPS for entry, _ in self.fields)


def _fields(operation: Operation) -> Iterator[tuple[Entry, str]]:
    path, value = pointer_steps(operation["path"]), operation.get("value")
    if len(path) == 1 and path[0] in GROUPS and isinstance(value, dict):
        yield from (((path[0], str(name)), "") for name in value)
    else:
        yield (path[0], path[1] if len(path) > 1 else ""), path[2] if len(path) > 2 else ""


def _words(value: object) -> Iterator[str]:
    if isinstance(value, dict | list | tuple):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _words(each)
    elif isinstance(value, str):
        yield value


@dataclass(frozen=True)
class Cone:
    """What was read: `entries`, devices whose `names` something may join, the judged entry itself. `power` where only power
    was read; `everything` where nothing narrower is sure.
    """

    entries: frozenset[Entry] = frozenset()
    names: frozenset[str] = frozenset()
    judged: Entry = ("", "")
    power: bool = False
    everything: bool = False
    keys: frozenset[str] = frozenset()
    """Keys of the judged entry that were read; none: any may have been."""

    def reached_by(self, change: Written, written: Mapping[Entry, frozenset[str]]) -> bool:
        """Whether a change may touch it: it writes an entry that was read, or one that names (as the site was written, or by
        the change) a device that something may join.
        """
        if self.everything or change.at_the_top:
            return True
        return any(self._reached(entry, field, change, written) for entry, field in change.fields)

    def _reached(self, entry: Entry, field: str, change: Written, written: Mapping[Entry, frozenset[str]]) -> bool:
        if self.keys and entry == self.judged:
            return not field or field in self.keys
        if self.power and entry != self.judged and entry[0] == "cameras" and field in _NOT_OF_POWER:
            return False
        if entry in self.entries:
            return True
        return not self.names.isdisjoint(change.names) or not self.names.isdisjoint(written.get(entry, ()))


def written_names(value: Mapping[str, Any]) -> dict[Entry, frozenset[str]]:
    """The words of each entry of a document that may name a device."""
    return {
        (group, name): frozenset(word.partition("/")[0] for word in _words(each))
        for group in GROUPS
        for name, each in (value.get(group) or {}).items()
    }


EVERYTHING = Cone(everything=True)


def cone_of(state: SiteState, judgement: Judgement | None) -> Cone:
    """What a judgement of a state has read; everything where there is none any more."""
    if judgement is None or not state.basis.local or judgement.rule.scope.form != "kind":
        return EVERYTHING
    entry = entry_of(judgement.subject.subject)
    if entry[0] in GROUPS and reads_own(judgement.rule) and not _may_be_warmed(state, entry):
        keys = keys_read(judgement.rule)
        if keys:
            return Cone(frozenset((entry,)), judged=entry, keys=keys)
        model = model_of(state.site, entry)
        return Cone(frozenset((entry, *(references(state.site, model) if model is not None else ()))), judged=entry)
    reach = state.basis.reaches[judgement.rule.id]
    if reach.whole or not reach.site_fields <= _CONSTANT:
        return EVERYTHING
    return _of_components(state, homes_of(state, judgement, reach.crossings), entry)


def _may_be_warmed(state: SiteState, entry: Entry) -> bool:
    """Whether the air at a device may be that of a cabinet, which everything in it warms, on whatever feed."""
    return bool(state.site.cabinets) and entry[0] != "cameras"


def _of_components(state: SiteState, homes: Iterable[Component], judged: Entry) -> Cone:
    kinds = {_kind(home) for home in homes}
    power = kinds <= _POWER
    if not kinds <= _PLACED or state.site.cabinets or ((state.site_wide or state.network_fed) and not power):
        return EVERYTHING
    entries = {entry for home in homes for entry in state.owners.needed(home)}
    boxes = {("boxes", box) for entry in entries if (model := model_of(state.site, entry)) for box in boxes_of(model)}
    names = {name for kind, name in homes if kind in (SUPPLY, RECORDER, BOX)}
    names |= {name for group, name in entries if group != "cameras"}
    return Cone(frozenset(entries | boxes | {judged}), frozenset(names | {name for _, name in boxes}), judged, power)


def _kind(home: Component) -> str:
    return SUPPLY if home[0] == ROOT and home[1].startswith("junctions/") else home[0]


def reads_own(rule: LoadedRule) -> bool:
    """Whether conditions, guard and margin of a rule read nothing that another entry's change could move."""
    known = rule.__dict__.get("reads_own")
    if known is None:
        paths = [path for checked in (rule.when, rule.require, rule.margin) if checked is not None for path in checked.paths]
        kinds = dict(rule.scope.variables)
        known = all(_is_own(kinds.get(path[0], path[0]), path[1:]) for path in paths)
        rule.__dict__["reads_own"] = known
    return bool(known)


def keys_read(rule: LoadedRule) -> frozenset[str]:
    """The keys of its entry that all facts of a rule about one camera follow from; none where that is not declared of each."""
    found = rule.__dict__.get("keys_read")
    if found is None:
        paths = [path for checked in (rule.when, rule.require, rule.margin) if checked is not None for path in checked.paths]
        kinds = dict(rule.scope.variables)
        keys = {_key_of(kinds.get(path[0], path[0]), path[1:]) for path in paths}
        found = rule.__dict__["keys_read"] = frozenset() if "" in keys else frozenset(keys - {"limit"})
    return frozenset(found)


def _key_of(kind: str, names: tuple[str, ...]) -> str:
    if kind == "limit":
        return kind
    field = getattr(SHEETS.get(kind), "__dataclass_fields__", {}).get(names[0]) if len(names) == 1 else None
    return str(field.metadata.get("follows", "")) if field is not None else ""


def _is_own(kind: str, names: Iterable[str]) -> bool:
    if kind == "limit":
        return True
    for name in names:
        if kind == "site":
            return name in _CONSTANT
        if kind not in SHEETS or not SHEETS[kind].of_entry or (kind, name) in shared_fields() or name == "*":
            return False
        about = getattr(getattr(SHEETS[kind], "__dataclass_fields__", {}).get(name), "metadata", {})
        if about.get("many"):
            return False
        kind = about.get("ref") or ""
        if not kind:
            return True
    return True
