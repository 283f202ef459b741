"""Judging a site again after an edit, without computing what the edit does not touch.

A `SiteState` is a site that was checked, cut up by component. `after(patch)` gives the state of the edited site; the old
one stays as it was, so an edit that was only tried costs nothing to take back. What an edit touches is computed as in a
full check, on an excerpt of the site. Edits of anything but entries (rules, waivers, retention ...) are checked in full.
"""

from __future__ import annotations

import copy
import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from pydantic import ValidationError

from coaxwright.checking import LoadedSite, Rulebook, load_rulebook, report_of, rules_in_force, with_remarks
from coaxwright.errors import Refusal
from coaxwright.facts.binding import MONITOR, NETWORK, RECORDER, ROOT, Component, Facts, compute_facts
from coaxwright.facts.sheets import SHEETS, Sheet
from coaxwright.facts.site_counting import site_counts, site_labels
from coaxwright.findings import SiteReport
from coaxwright.fixes.components import (
    BOX,
    GROUPS,
    PORT_GROUPS,
    SITE,
    Entry,
    Owners,
    boxes_of,
    earth_of,
    excerpt,
    line_targets,
    model_of,
    moved,
    owners_of,
)
from coaxwright.fixes.parts_of_facts import Judged, Part, cut, entry_of, home_of, joined, reads_the_site
from coaxwright.fixes.patching import Patch, applied, pointer_steps
from coaxwright.fixes.rule_reach import Reach, reach_of
from coaxwright.model.site import Site
from coaxwright.reading.defaults import laid_over
from coaxwright.reading.site_reader import check_references, with_value
from coaxwright.rulebook.judging import Judgement, Verdict, frame_of, judge, judge_exactly, judge_rule
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.settings import SiteSettings, day_of_today, read_settings
from coaxwright.rulebook.subjects import SLOTS, subjects
from coaxwright.topology.wiring import build_topology


@dataclass(frozen=True)
class Basis:
    """What no edit of an entry changes: the text, the rules in force, the day, and what parts lead to."""

    loaded: LoadedSite
    rulebook: Rulebook
    today: datetime.date
    settings: SiteSettings
    rules: list[LoadedRule]
    facts: Facts

    @cached_property
    def reaches(self) -> Mapping[str, Reach]:
        """How far each rule in force looks, by id."""
        return {rule.id: reach_of(rule) for rule in self.rules}

    @cached_property
    def local(self) -> bool:
        """Whether every rule can be judged on a piece of the site; facts of a user may read far."""
        return not self.rulebook.own and not any(reach.whole for reach in self.reaches.values())

    @cached_property
    def crossings(self) -> int:
        """The most steps between picture and power that a rule in force takes."""
        return max((each.crossings for each in self.reaches.values() if self.two_earths or not each.between_earths), default=0)

    @cached_property
    def two_earths(self) -> bool:
        """Whether coax joins two earths somewhere; an edit of where a thing stands is checked in full."""
        return any(link.known("other_earth") for link in self.facts.by_kind("link"))


@dataclass(frozen=True)
class SiteState:
    """A site as edited so far, judged. `value` is the plain site document."""

    basis: Basis
    value: dict[str, Any]
    site: Site
    owners: Owners
    parts: Mapping[Component, Part]
    passed: int
    not_applicable: int

    def after(self, patch: Patch) -> Trial:
        """The state after a patch. Raises PatchError where it cannot be applied, Refusal where the edited
        site cannot be checked.
        """
        steps = [pointer_steps(path) for each in patch for key in ("path", "from") if (path := each.get(key))]
        entries = {(path[0], path[1]) for path in steps if len(path) > 1}
        known = all(len(path) > 1 and path[0] in GROUPS for path in steps)
        return _Edit(self, applied(self.value, patch), entries if known else None).trial()

    def with_value(self, value: dict[str, Any]) -> Trial:
        """The state of another document that shares with this one what is the same."""
        return _Edit(self, value).trial()

    def to(self, other: SiteState) -> Trial:
        """Another state of the same site as one edit of this one: all that differs was judged on both sides."""
        touched = {name for name, part in other.parts.items() if self.parts.get(name) is not part}
        return Trial(self, other, frozenset((*touched, *(self.parts.keys() - other.parts.keys()))))

    @property
    def loaded(self) -> LoadedSite:
        """The edited site; places are those of the text that was read."""
        return replace(self.basis.loaded, site=self.site)

    @cached_property
    def network_fed(self) -> bool:
        """Whether something takes its power from a network port."""
        return any(kind == ROOT and not root.startswith("junctions/") for kind, root in self.owners.members)

    @property
    def site_wide(self) -> bool:
        """Whether something on the site is only judged rightly when the whole site is."""
        return (NETWORK, "") in self.basis.facts.ledgers or reads_the_site(self.basis.facts)

    @cached_property
    def facts(self) -> Facts:
        """Every fact of the site."""
        return joined(self.basis.facts, self.parts, self.site)

    def report(self) -> SiteReport:
        """The report: the same as a full check of the edited site gives."""
        report = report_of(self.loaded, self.basis.settings, self._verdicts(), self.facts, self.basis.today)
        return with_remarks(report, self.loaded)

    def _verdicts(self) -> list[Verdict]:
        """What the rules came to; the counts of what passed stand with the first."""
        verdicts = {rule.id: Verdict(rule, frame_of(rule, self.facts)) for rule in self.basis.rules}
        for part in self.parts.values():
            for judgement in part.judged.judgements:
                verdicts[judgement.rule.id].judgements.append(judgement)
        for verdict in verdicts.values():
            if verdict.of("fault"):
                _in_order(verdict, self.facts)
        for verdict in list(verdicts.values())[:1]:
            verdict.passed, verdict.not_applicable = self.passed, self.not_applicable
        return list(verdicts.values())

    def judged(self, component: Component) -> Judged:
        """What the rules came to on one component, with counts."""
        part = self.parts.get(component)
        if part is None:
            return Judged()
        if not part.counted:
            (site,) = self.parts[SITE].sheets["site"]
            part.judged, part.counted = _judged(self.basis, part, site), True
        return part.judged


def start(loaded: LoadedSite, *, rulebook: Rulebook | None = None, today: datetime.date | None = None) -> SiteState:
    """Check a site in full and make it ready for edits. Raises Refusal as `check` does."""
    return _checked(loaded, rulebook or load_rulebook(), today or day_of_today(), loaded.document.value)


def _checked(
    loaded: LoadedSite,
    rulebook: Rulebook,
    today: datetime.date,
    value: dict[str, Any],
    memo: dict[Any, Any] | None = None,
) -> SiteState:
    """The state of a site by a full check; `memo` as `compute_facts` takes it."""
    settings = read_settings(rulebook, loaded.site, loaded.document, loaded.file)
    topology = build_topology(loaded)
    facts = rulebook.own.onto(compute_facts(loaded, topology, memo))
    rules = rules_in_force(rulebook, settings)
    verdicts = judge(rules, facts, settings.limits)
    owners = owners_of(loaded.site, topology)
    parts = cut(facts, owners)
    for verdict in verdicts:
        for judgement in verdict.judgements:
            parts[_home(judgement, owners)].judged.judgements.append(judgement)
    basis = Basis(loaded, rulebook, today, settings, rules, facts)
    passed = sum(verdict.passed for verdict in verdicts)
    not_applicable = sum(verdict.not_applicable for verdict in verdicts)
    return SiteState(basis, value, loaded.site, owners, parts, passed, not_applicable)


def _home(judgement: Judgement, owners: Owners) -> Component:
    """The component whose sheets a judgement is about; of a path, the one at its end."""
    form, subject = judgement.rule.scope.form, judgement.subject
    return home_of(getattr(subject, _END[form]) if form in _END else subject, owners)


_END = {"joint": "first", "path": "third"}


class _Judging:
    """The sheets of one part as rules find them: the site's sheet is there for every rule."""

    def __init__(self, part: Part, site: object) -> None:
        self.part, self.site = part, site

    def by_kind(self, kind: str) -> list[Any]:
        """The sheets of one kind."""
        return [self.site] if kind == "site" else self.part.by_kind(kind)


def _judged(basis: Basis, part: Part, site: object) -> Judged:
    """The rules on the sheets of one part; rules about the site on the part that holds its sheet."""
    found, facts = Judged(), _Judging(part, site)
    about_site = "site" in part.sheets
    for rule in basis.rules:
        scope = rule.scope
        if scope.form == "kind" and scope.variables[0][1] not in part.sheets:
            continue
        if (scope.subject == "site") is about_site:
            verdict = judge_rule(rule, facts, basis.settings.limits.get(rule.id))
            found.passed += verdict.passed
            found.not_applicable += verdict.not_applicable
            found.judgements += verdict.judgements
    return found


def judgement_of(state: SiteState, rule: LoadedRule, subject: str) -> Judgement | None:
    """How a rule judges one subject of a site, passed or not; None where there is no such subject now."""
    (site,) = state.parts[SITE].sheets["site"]
    limits = state.basis.settings.limits.get(rule.id)
    for component in _components_of(state, subject):
        facts = _Judging(state.parts[component], site)
        for each in subjects(rule.scope, facts):
            if each.subject == subject:
                return judge_exactly(rule, each, frame_of(rule, facts, limits))
    return None


def homes_of(state: SiteState, judgement: Judgement, steps: int | None = None) -> frozenset[Component]:
    """The components that a judgement hangs on: where its subject stands, and `steps` on (as far as any rule looks)."""
    home = _home(judgement, state.owners)
    return frozenset(_widened({home}, state.owners, state.basis.crossings if steps is None else steps))


def _components_of(state: SiteState, subject: str) -> Iterator[Component]:
    """Components in which a subject of that path may stand."""
    entry = entry_of(subject)
    homes = {*state.owners.homes(entry), (NETWORK, ""), (MONITOR, entry[1]), (ROOT, "/".join(entry))}
    yield from (home for home in sorted(homes) if home in state.parts)
    yield SITE


def _in_order(verdict: Verdict, facts: Facts) -> None:
    """Judgements in the order of the file: of faults only the first is told in full."""
    places = {id(sheet): place for kind in SHEETS for place, sheet in enumerate(facts.by_kind(kind))}

    def place(judgement: Judgement) -> tuple[int, ...]:
        subject = judgement.subject
        return tuple(places.get(id(each), -1) for each in (subject, *_members(subject)))

    verdict.judgements.sort(key=place)


def _members(subject: object) -> tuple[Any, ...]:
    """The things that are judged together."""
    return tuple(getattr(subject, slot, None) for slot in SLOTS)


@dataclass(frozen=True)
class Trial:
    """An edit that was tried: the states on both sides, and the components that were judged again.

    `full` says that the whole site was; `touched` then holds all components of both sides.
    """

    before: SiteState
    after: SiteState
    touched: frozenset[Component]
    full: bool = False

    def judgements(self, state: SiteState) -> Iterator[Judgement]:
        """What did not pass in the touched components, in the state on one side."""
        for component in self.touched:
            part = state.parts.get(component)
            if part is not None:
                yield from part.judged.judgements


class _Edit:
    """One edit on its way from a document to a state."""

    def __init__(self, old: SiteState, value: dict[str, Any], entries: set[Entry] | None = None) -> None:
        """`entries` are those that may differ, where that is known; all are compared otherwise."""
        self.old, self.value, self.basis, self.entries = old, value, old.basis, entries

    def trial(self) -> Trial:
        """By components where that can be done; in full otherwise, and where anything is refused."""
        changed = self._changed()
        if changed is None or not self.basis.local:
            return self._full()
        try:
            found = self._by_component(changed)
        except (Refusal, ValidationError):
            found = None
        return found or self._full()

    def _full(self) -> Trial:
        basis = self.basis
        loaded = with_value(basis.loaded, self.value)
        same = loaded.site.assume == basis.loaded.site.assume
        memo = basis.facts.context.memo if same else None
        after = _checked(loaded, basis.rulebook, basis.today, self.value, memo)
        return Trial(self.old, after, frozenset((*self.old.parts, *after.parts)), full=True)

    def _changed(self) -> list[Entry] | None:
        """The entries that differ; None where something else differs, or where networks are drawn."""
        old, new = self.old.value, self.value
        if self.old.site_wide or new.get("switches"):
            return None
        found: list[Entry] = []
        for group in dict.fromkeys([*old, *new]):
            one, other = old.get(group, {}), new.get(group, {})
            if one is other:
                continue
            if group not in GROUPS or group == "monitors" or not _both_groups(one, other):
                return None
            names = self._names(group, one, other)
            found += [(group, name) for name in names if one.get(name) is not other.get(name)]
            if any(earth_of(one.get(name)) != earth_of(other.get(name)) for name in names):
                return None
        return None if self._reaches_ports(found) or _joins_network(new, found) else found

    def _names(self, group: str, one: dict[str, Any], other: dict[str, Any]) -> Iterable[str]:
        if self.entries is None or len(one) != len(other):
            return dict.fromkeys([*one, *other])
        return sorted(name for kind, name in self.entries if kind == group)

    def _reaches_ports(self, changed: list[Entry]) -> bool:
        """Whether port words elsewhere may mean something else now: devices that come or go, and screens."""
        if self.old.network_fed:
            return True
        for group, name in changed:
            if group == "recorders" and (self.old.site.monitors or self._comes_or_goes(group, name)):
                return True
            if group in PORT_GROUPS and self._comes_or_goes(group, name) and self._taken(group, name):
                return True
        return False

    def _comes_or_goes(self, group: str, name: str) -> bool:
        return (name in self.old.value.get(group, {})) is not (name in self.value.get(group, {}))

    def _taken(self, group: str, name: str) -> bool:
        """Whether another kind of device with ports has that id."""
        return any(name in self.value.get(each, {}) for each in PORT_GROUPS if each != group)

    def _by_component(self, changed: list[Entry]) -> Trial | None:
        """None where the edit changes or brings what reads the site as a whole, or feeds over the network."""
        old, site = self.old, self._site(changed)
        check_references(_only(site, changed), self.basis.loaded.catalogue, self.basis.loaded.document)
        near = _widened(self._touched(site, changed), old.owners, self.basis.crossings)
        wide = _widened(near, old.owners, self.basis.crossings)
        wanted = {entry for component in wide for entry in old.owners.needed(component)}
        loaded = replace(self.basis.loaded, site=excerpt(site, wanted.union(changed)))
        topology = build_topology(loaded)
        if any(not tree.root.startswith("junctions/") for tree in topology.unfed):
            return None
        facts = compute_facts(loaded, topology, self.basis.facts.context.memo)
        if reads_the_site(facts):
            return None
        owners = owners_of(loaded.site, topology)
        models = {entry: model_of(site, entry) for entry in changed}
        sheet = _site_sheet(old, site, changed)
        state = self._state(site, cut(facts, owners), near, moved(old.owners, owners, near, models), sheet)
        return None if state is None else Trial(old, state, frozenset((*near, SITE)))

    def _site(self, changed: list[Entry]) -> Site:
        """The model of the edited site; entries that did not change are taken over."""
        groups: dict[str, dict[str, Any]] = {}
        for group in dict.fromkeys(group for group, _ in changed):
            written = self.value.get(group, {})
            names = {name for kind, name in changed if kind == group and name in written}
            fresh = getattr(Site.model_validate({"site": "edited", group: {n: written[n] for n in names}}), group)
            known = getattr(self.old.site, group)
            if list(written) == list(known):
                groups[group] = {**known, **fresh}
            else:
                groups[group] = {name: fresh[name] if name in names else known[name] for name in written}
        return laid_over(self.old.site.model_copy(update=groups))[0]

    def _touched(self, site: Site, changed: list[Entry]) -> set[Component]:
        """Components that the edit touches, as the site was and as it is."""
        small = replace(self.basis.loaded, site=excerpt(site, changed))
        now, was = owners_of(small.site, build_topology(small)), self.old.owners
        found: set[Component] = set()
        for entry in changed:
            found |= was.homes(entry) | now.homes(entry)
            for dependant in was.dependants(entry):
                found |= was.homes(dependant)
            for model in (model_of(self.old.site, entry), model_of(site, entry)):
                if model is not None:
                    found |= {(BOX, box) for box in boxes_of(model)}
                    found |= {(RECORDER, name) for name in _lines_of(entry, model)}
        return found

    def _state(
        self, site: Site, parts: dict[Component, Part], near: set[Component], owners: Owners, sheet: Sheet
    ) -> SiteState | None:
        old, basis = self.old, self.basis
        if self._site_reads_differ(sheet):
            return None
        known = dict(old.parts)
        for component in near:
            known.pop(component, None)
            if component in parts:
                known[component] = parts[component]
        known[SITE] = Part({"site": [sheet]})
        passed, not_applicable = old.passed, old.not_applicable
        for component in (*near, SITE):
            before = old.judged(component)
            after = Judged()
            if component in known:
                part = known[component]
                after = part.judged = _judged(basis, part, sheet)
                part.counted = True
            passed += after.passed - before.passed
            not_applicable += after.not_applicable - before.not_applicable
        return SiteState(basis, self.value, site, owners, known, passed, not_applicable)

    def _site_reads_differ(self, sheet: Sheet) -> bool:
        """Whether a rule about something else reads a number of the site that the edit changes."""
        (was,) = self.old.parts[SITE].sheets["site"]
        names = {
            name
            for rule in self.basis.rules
            if rule.scope.subject != "site"
            for name in self.basis.reaches[rule.id].site_fields
        }
        return any(was.known(name) != sheet.known(name) for name in names)


def _joins_network(value: dict[str, Any], changed: Iterable[Entry]) -> bool:
    """Whether an edited entry has what is only judged rightly with the whole site."""
    return any(_is_wide(value.get(group, {}).get(name)) for group, name in changed)


def _is_wide(written: object) -> bool:
    """Whether plain data name a network way, a network address, a jacket or an area anywhere within."""
    if isinstance(written, dict):
        return not _WIDE.isdisjoint(written) or any(map(_is_wide, written.values()))
    return isinstance(written, list) and any(map(_is_wide, written))


_WIDE = frozenset(("network", "network_address", "sheath", "area", "mains", "autonomy"))


def _both_groups(one: object, other: object) -> bool:
    return isinstance(one, dict) and isinstance(other, dict)


def _lines_of(entry: Entry, model: object) -> set[str]:
    return line_targets(model) if entry[0] == "cameras" else set()


def _only(site: Site, entries: list[Entry]) -> Site:
    """The site with nothing but these entries (and its screens, which recorders name)."""
    groups: dict[str, Any] = {group: {} for group in GROUPS if group != "monitors"}
    for entry in entries:
        model = model_of(site, entry)
        if model is not None:
            groups[entry[0]][entry[1]] = model
    return site.model_copy(update=groups)


def _widened(components: set[Component], owners: Owners, steps: int) -> set[Component]:
    """These components and all within so many steps, each through an entry that belongs to both."""
    found = set(components)
    for _ in range(steps):
        members = [entry for component in found for entry in owners.members.get(component, ())]
        found |= {home for entry in members for home in owners.homes(entry)}
    return found


def _labels(site: Site, names: list[str]) -> list[str | None]:
    return [site.cameras[name].label if name in site.cameras else None for name in names]


def _site_sheet(old: SiteState, site: Site, changed: list[Entry]) -> Sheet:
    """The sheet of the whole site after an edit of these entries."""
    was: Sheet = old.parts[SITE].sheets["site"][0]
    sheet, names = copy.copy(was), [name for group, name in changed if group == "cameras"]
    before = site_counts(old.site.cameras[name] for name in names if name in old.site.cameras)
    after = site_counts(site.cameras[name] for name in names if name in site.cameras)
    for field, count in after.items():
        setattr(sheet, field, was.known(field) + count - before[field])
    if _labels(old.site, names) != _labels(site, names):
        for field, found in site_labels(site.cameras.values()).items():
            setattr(sheet, field, found)
    return sheet
