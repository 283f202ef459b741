"""`fix`, `repair`, `limits` and `what_if` for Python callers. Nothing is written: a patch is given back."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from typing import Any, Literal

from coaxwright.api.results import Told
from coaxwright.api.sites import AnyRules, AnySite, state_of
from coaxwright.findings import Level
from coaxwright.fixes.advice import Advice, advise
from coaxwright.fixes.against import MOST, Beside, extents, limits_of_rows
from coaxwright.fixes.limit_words import extents_document, limit_words, limits_document
from coaxwright.fixes.limits import Limit, Smallest, limits_of
from coaxwright.fixes.plain_results import against_values, limits_values, what_if_values
from coaxwright.fixes.proving import TRIES
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.repair import Plan, Search
from coaxwright.fixes.stepping import BUDGET
from coaxwright.fixes.telling import advice_document, advice_values, plan_document, plan_values
from coaxwright.fixes.varying import combined
from coaxwright.fixes.what_if import Differences, differences, tried
from coaxwright.fixes.what_if_words import what_if_document
from coaxwright.immutable import immutable
from coaxwright.reporting.json_report import fix_data
from coaxwright.show.tree import Document


@immutable
class Fixed(Told):
    """Proven changes for what fails: `advice` has one entry a finding, with `finding`, `fixes` (best first) and `why`
    (where there is none). Of each fix: `title`, `patch` (RFC 6902, for the plain values of the site), `cost` in
    `currency` (None: not known), `clears`, `worsens`, `gives_up`, `loses`, `up_to` (m).
    """

    advice: tuple[Advice, ...]
    state: SiteState = field(compare=False, repr=False)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright fix --format json`."""
        return advice_values(self.state, self.advice)

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each change: the finding that it is for, and what proving it showed."""
        return [
            {"rule": each.finding.rule, "subject": each.finding.subject, "level": each.finding.level, **fix_data(fix)}
            for each in self.advice
            for fix in each.fixes
        ]

    def _document(self, form: str) -> Document:
        return advice_document(self.state, self.advice)


@immutable
class Repaired(Told):
    """A set of changes for a whole site: `plan.steps` in order, `plan.patch` as one, what is left and why
    (`plan.in_the_way`), `plan.best` (no smaller set exists among the changes tried), `plan.bound`.
    """

    plan: Plan
    level: Level
    state: SiteState = field(compare=False, repr=False)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright fix --all --format json`."""
        return plan_values(self.state, self.plan, self.level)

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each step: its title and its patch."""
        return [{"title": step.title, "patch": list(step.patch)} for step in self.plan.steps]

    def _document(self, form: str) -> Document:
        return plan_document(self.state, self.plan, self.level)


@immutable
class Limits(Told):
    """How far each number of a subject may move: `limits` with `number` (name, unit, value), `down` and `up`
    (`holds`: the last value that holds, `fails`: the first that does not, `rules`), and `smallest` standard sizes.

    Where other values were given, `paths` are theirs and `against` the ranges beside each combination; the rest is empty.
    """

    subject: str
    limits: tuple[Limit, ...]
    smallest: tuple[Smallest, ...]
    paths: tuple[str, ...] = ()
    against: tuple[Beside, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright limits --format json`; each number in its `unit`."""
        if self.paths:
            return against_values(self.subject, self.paths, self.against)
        return limits_values(self.subject, self.limits, self.smallest, [])

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each number: `least` and `most` are the last values that hold, in `unit`; None: no end found.

        Beside other values a row for each number and combination, with the values under their paths.
        """
        beside = [(dict(zip(self.paths, each.values, strict=True)), limit) for each in self.against for limit in each.limits]
        return [{**values, **_row(limit)} for values, limit in [*(({}, each) for each in self.limits), *beside]]

    def _document(self, form: str) -> Document:
        if self.paths:
            return extents_document(self.subject, extents(self.subject, self.paths, self.against), form)
        return limits_document(self.subject, self.limits, self.smallest, form)


def _row(limit: Limit) -> dict[str, Any]:
    number = limit.number
    return {
        "name": number.name, "unit": number.unit, "value": number.value,
        "now": limit.stands,
        "least": limit.down.holds, "most": limit.up.holds, "says": limit_words(limit),
    }  # fmt: skip


@immutable
class WhatIf(Told):
    """What an edit would change: `found.facts`, `found.cleared`, `found.introduced`, `found.worse`, `found.loses`."""

    found: Differences

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright what-if --format json`."""
        return what_if_values(self.found)

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each fact that differs: `subject`, `name`, `before`, `after`, `unit`."""
        return [
            {"subject": each.subject, "name": each.name, "before": each.before, "after": each.after, "unit": each.unit}
            for each in self.found.facts
        ]

    def _document(self, form: str) -> Document:
        return what_if_document(self.found, form)


def fix(
    site: AnySite, *, on: str = "", level: Level = "error", tries: int = TRIES, rules: AnyRules = (),
    today: datetime.date | None = None,
) -> Fixed:  # fmt: skip
    """Changes that were tried on a copy and clear a finding, for every finding at `level` or graver.

    `on` keeps to one subject (`cameras/gate`) or rule; `tries` is how many candidates are judged for each finding.

    Returns a `Fixed`; nothing is written. Raises Refusal where the site cannot be judged.
    """
    state = state_of(site, rules, today)
    return Fixed(tuple(advise(state, level=level, on=on, tries=tries)), state)


def repair(
    site: AnySite, *, level: Level = "error", prefer: Literal["fewest", "cheapest"] = "fewest", budget: int = BUDGET,
    rules: AnyRules = (), today: datetime.date | None = None,
) -> Repaired:  # fmt: skip
    """The smallest (or cheapest) set of changes found that clears a whole site at `level` or graver.

    `budget` is how many changes are judged at most. Returns a `Repaired`. Raises Refusal where it cannot be judged.
    """
    state = state_of(site, rules, today)
    return Repaired(Search(state, level=level, prefer=prefer, budget=budget).run(), level, state)


def limits(
    site: AnySite, subject: str, *, level: Level = "error", numbers: Sequence[str] = (),
    against: Mapping[str, Sequence[Any]] | None = None, rules: AnyRules = (), today: datetime.date | None = None,
) -> Limits:  # fmt: skip
    """How far each number that a site writes for a subject (`cameras/gate`, `site`) moves before a rule fails.

    Each range was found by judging the site again with other values; `level` is the least finding that ends one;
    `numbers` are the names of those looked into (all where none is named). `against` maps paths to other values, as in
    `{"cameras/gate/power/over/0/cable": ["dc-1mm2", "dc-1.5mm2"]}`: the ranges are then told beside each combination.

    Returns a `Limits`. Raises Refusal for a subject or a number that is not there, and for more than 100 combinations.
    """
    state = state_of(site, rules, today)
    if against:
        paths = list(against)
        found_beside = limits_of_rows(state, subject, paths, combined("against", list(against.values()), MOST), numbers, level)
        return Limits(subject, (), (), tuple(paths), tuple(found_beside))
    found, sizes = limits_of(state, subject, level, numbers)
    return Limits(subject, tuple(found), tuple(sizes))


def what_if(
    site: AnySite, settings: Mapping[str, Any] | None = None, *, remove: Iterable[str] = (), rules: AnyRules = (),
    today: datetime.date | None = None,
) -> WhatIf:  # fmt: skip
    """What would change if values of a site were others: only the differences.

    `settings` maps paths to new values, `{"cameras/gate/video/over/0/length": "120 m"}`; quantities are texts with
    units. `remove` are paths to leave out.

    Returns a `WhatIf`; nothing is written. Raises Refusal where the edit cannot be made or the result not be judged.
    """
    written = [f"{path}={_written(value)}" for path, value in (settings or {}).items()]
    return WhatIf(differences(tried(state_of(site, rules, today), written, list(remove))))


def _written(value: object) -> str:
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
