"""What a site says about rules: levels and limits that it changes, rules that it switches off, findings it
waives.

Read from the site model and refused, at its place in the site file, where it names no rule, no limit, or a
figure of the wrong kind. Nothing here judges; `apply_waivers` matches what was judged.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.immutable import immutable
from coaxwright.model.quantities import QuantityError
from coaxwright.model.site import Site
from coaxwright.model.site_settings import RuleSetting, Waiver
from coaxwright.reading.suggest import did_you_mean_or_listed
from coaxwright.rulebook.library import LoadedRule, Rulebook
from coaxwright.rulebook.limits import LimitValue, override_limit

OFF = "off"
NO_REASON = "no reason given"
_Complain = Callable[[Sequence[str | int], str, str], None]
"""Path of what is wrong, what is wrong, what would be right."""


class Places(Protocol):
    """Finds where a path of the site file stands."""

    def nearest_span(self, path: Sequence[str | int]) -> Span:
        """Span of the longest part of the path that the document has."""
        ...


@immutable
class Change:
    """One thing that a site changes about a rule, to be listed in its report."""

    rule: str
    what: str
    value: str
    reason: str


@dataclass(slots=True, eq=False, repr=False)
class SiteSettings:
    """The site's say, by rule id: levels, limits in force, rules off (with the reason), waivers with their
    place.
    """

    levels: dict[str, str] = field(default_factory=dict)
    limits: dict[str, Mapping[str, LimitValue]] = field(default_factory=dict)
    off: dict[str, str] = field(default_factory=dict)
    waivers: list[tuple[int, str, Waiver]] = field(default_factory=list)
    changes: list[Change] = field(default_factory=list)

    def level(self, rule: LoadedRule) -> str:
        """The level of a rule on this site."""
        return self.levels.get(rule.id, rule.level)


def read_settings(rulebook: Rulebook, site: Site, places: Places, file: str) -> SiteSettings:
    """The settings and waivers of a site. Raises Refusal with every one that names no rule or limit."""
    found = SiteSettings()
    problems: list[Problem] = []

    def complain(path: Sequence[str | int], what: str, right: str) -> None:
        problems.append(Problem(file, what, right, places.nearest_span(path), tuple(path)))

    for identifier, setting in site.rules.items():
        rule = _named(rulebook, identifier, ("rules", identifier), "this setting", complain)
        if rule is not None:
            _take_setting(found, rule, identifier, setting, complain)
    for place, waiver in enumerate(site.waivers):
        rule = _named(rulebook, waiver.rule, ("waivers", place, "rule"), "this waiver", complain)
        if rule is not None:
            found.waivers.append((place, rule.id, waiver))
    if problems:
        raise Refusal(sorted(problems, key=lambda problem: problem.span or Span(0, 0)))
    return found


def _named(
    rulebook: Rulebook, identifier: str, path: Sequence[str | int], what: str, complain: _Complain
) -> LoadedRule | None:
    rule = rulebook.by_id.get(identifier)
    if rule is None:
        complain(
            path,
            f"{what} names no rule: there is no `{identifier}`",
            did_you_mean_or_listed(identifier, rulebook.by_id),
        )
    return rule


def _take_setting(
    found: SiteSettings, rule: LoadedRule, name: str, setting: RuleSetting, complain: _Complain
) -> None:
    reason = setting.reason or NO_REASON
    if setting.level == OFF:
        found.off[rule.id] = reason
    elif setting.level is not None:
        found.levels[rule.id] = setting.level
        found.changes.append(Change(rule.id, "level", f"{setting.level} (the rule: {rule.level})", reason))
    limits = dict(rule.limits)
    for key, value in setting.limits.items():
        path = ("rules", name, "limits", key)
        if key not in limits:
            complain(path, f"the rule `{rule.id}` has no limit `{key}`", did_you_mean_or_listed(key, limits))
            continue
        try:
            limits[key] = override_limit(limits[key], value)
        except QuantityError as error:
            complain(path, error.what, error.right)
            continue
        found.changes.append(
            Change(
                rule.id,
                f"limit {key}",
                f"{limits[key].written} (the rule: {rule.limits[key].written})",
                reason,
            )
        )
    if setting.limits:
        found.limits[rule.id] = limits


@dataclass(slots=True, eq=False, repr=False)
class WaiverUse:
    """What came of one waiver: whether it has run out, and how many judgements it matched."""

    place: int
    rule: str
    waiver: Waiver
    expired: bool
    matched: int = 0


class WaiverBook:
    """The waivers of a site on a day, to be asked for each judgement; then tells what became of each."""

    def __init__(self, settings: SiteSettings, today: datetime.date) -> None:
        self.uses = [
            WaiverUse(place, rule, waiver, _expired(waiver, today))
            for place, rule, waiver in settings.waivers
        ]
        self._by_key: dict[tuple[str, str], list[WaiverUse]] = {}
        for use in self.uses:
            self._by_key.setdefault((use.rule, use.waiver.on), []).append(use)

    def waiver(self, rule: str, subject: str) -> Waiver | None:
        """The waiver in force for a finding, or None; every waiver that matches is counted as used."""
        matching = self._by_key.get((rule, subject), ())
        for use in matching:
            use.matched += 1
        return next((use.waiver for use in matching if not use.expired), None)

    def unused(self) -> Iterable[WaiverUse]:
        """Waivers still in force that no finding matched."""
        return (use for use in self.uses if not use.matched and not use.expired)

    def expired(self) -> Iterable[WaiverUse]:
        """Waivers that have run out."""
        return (use for use in self.uses if use.expired)


def day_of_today() -> datetime.date:
    """The day by which waivers are judged unless another is given: of UTC, so that it is the same day for everyone."""
    return datetime.datetime.now(datetime.UTC).date()


def _expired(waiver: Waiver, today: datetime.date) -> bool:
    """A waiver holds through the day that it names."""
    return waiver.until is not None and waiver.until < today
