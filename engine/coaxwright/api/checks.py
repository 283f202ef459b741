"""`check` for Python callers."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import field, fields
from typing import Any

from coaxwright import __version__, checking
from coaxwright.api.results import Result
from coaxwright.api.sites import AnyRules, AnySite, rules_of, site_of
from coaxwright.checking import Rulebook
from coaxwright.findings import Finding, Level, Report, SiteReport
from coaxwright.immutable import immutable
from coaxwright.reporting.formats import Setting, render
from coaxwright.reporting.json_report import finding_data, report_data
from coaxwright.rulebook.settings import day_of_today

_COLUMNS = ("rule", "level", "kind", "subject", "message", "margin", "file", "line", "column", "confidence", "cause")


@immutable
class Checked(SiteReport, Result):
    """What `check` says of one site: every field of a site report, and `rules` and `today` that it was judged by.

    `findings`: what did not pass, each with `rule`, `level`, `kind` (`fail`, `open`, `fault`), `subject`, `message`,
    `why`, `working` (lines of a hand calculation), `margin` (a share, negative on a fail), `values` (base units),
    `sources`, `span` (line and column, from 1). `summary`: counts; every judgement is in exactly one. `assumed`: what
    stood for a value that nobody gave. `facts`: values by subject path, `report.facts["cameras/gate"]["volts_night"]`
    in volts. This is no approval: the system needs review by a licensed person on the spot.
    """

    rules: Rulebook | None = field(default=None, compare=False, repr=False)
    today: datetime.date = field(default=datetime.date.min)

    def failed(self, level: Level = "note") -> tuple[Finding, ...]:
        """Findings that fail, at `level` or graver (`error`, `warning`, `note`), without those that are waived."""
        held = ("error", "warning", "note")[: ("error", "warning", "note").index(level) + 1]
        return tuple(each for each in self.findings if each.kind == "fail" and not each.waived and each.level in held)

    def opened(self) -> tuple[Finding, ...]:
        """Findings that nobody can judge yet; `missing` of each lists what to supply."""
        return tuple(each for each in self.findings if each.kind == "open" and not each.waived)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright check --format json` for this one site."""
        return report_data(self._report())

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each finding, in order of consequence; `line` and `column` are from 1."""
        return [{name: data[name] for name in _COLUMNS} for data in map(finding_data, self.findings)]

    def page(self) -> str:
        """The report as `coaxwright report` writes it: one HTML page that loads nothing."""
        return render("html", self._report(), Setting())

    def __str__(self) -> str:
        """What `coaxwright check` prints, without colour."""
        return render("text", self._report(), Setting())

    def _report(self) -> Report:
        rules = self.rules or checking.load_rulebook()
        return Report(__version__, rules.digest, checking.rule_infos(rules), (self,), (), self.today.isoformat())


def check(
    site: AnySite, *, rules: AnyRules = (), today: datetime.date | None = None, rulebook: Rulebook | None = None
) -> Checked:
    """Judge a site by the rules.

    `site` is a path, a site that was read, or plain values. `rules` are folders of rules besides the program's own,
    or what `load_rulebook` gave (`rulebook` says the same and is kept for older callers). `today` is the day by which
    waivers hold or have run out; today in UTC where it is None.

    Returns a `Checked`. A site with faults is a result; a missing value makes a judgement open, never passed.

    Raises Refusal where the site, its settings or the rules cannot be used, with every problem at its place.
    """
    book, day = rulebook or rules_of(rules), today or day_of_today()
    report = checking.check(site_of(site), rulebook=book, today=day)
    held = {each.name: getattr(report, each.name) for each in fields(report)}
    return Checked(**held, rules=book, today=day)
