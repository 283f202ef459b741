"""One site as the page sees it: its report, its facts where they are at hand, and where each thing stands on the page.

Every subject, finding and group has an anchor here, so that no two parts of the page can disagree about a link.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import Any

from coaxwright.checking import SiteFacts
from coaxwright.facts.binding import Facts
from coaxwright.findings import LEVELS, Finding, RuleInfo, SiteReport
from coaxwright.reporting import ordering
from coaxwright.reporting.causes import Causes
from coaxwright.reporting.ordering import device_of as device_of
from coaxwright.reporting.to_do import things_to_do
from coaxwright.topology.records import GROUP_OF_KIND

_UNSAFE = re.compile(r"[^A-Za-z0-9_.-]+")


class Survey:
    """A site's report with lookups. `facts` is None where the report carries plain values only."""

    def __init__(self, report: SiteReport, rules: Iterable[RuleInfo] = (), prefix: str = "s1") -> None:
        self.report = report
        self.rules = {rule.id: rule for rule in rules}
        self.prefix = prefix
        self.facts: Facts | None = report.facts.sheets if isinstance(report.facts, SiteFacts) else None

    @cached_property
    def lines(self) -> list[str]:
        """The site file by lines, as editors count them."""
        return self.report.text.replace("\r\n", "\n").split("\n")

    @cached_property
    def groups(self) -> list[list[Finding]]:
        """What failed and nobody waived, by rule, gravest first."""
        return ordering.by_rule(ordering.failed(self.report))

    @cached_property
    def causes(self) -> Causes:
        """What several of the findings come from."""
        return Causes(finding for group in self.groups for finding in group)

    @cached_property
    def by_device(self) -> dict[str, list[Finding]]:
        """Findings that failed, by the devices that they are about, worst first."""
        found: dict[str, list[Finding]] = {}
        for group in self.groups:
            for finding in group:
                for device in _devices(finding):
                    found.setdefault(device, []).append(finding)
        return found

    @cached_property
    def things(self) -> list[list[Finding]]:
        """What to do, the most pressing first: the findings that each clears."""
        return [list(thing.findings) for thing in things_to_do(self.report)] or self.groups

    @cached_property
    def open_by_device(self) -> dict[str, list[Finding]]:
        """Open findings by the device that they are about."""
        found: dict[str, list[Finding]] = {}
        for finding in ordering.opened(self.report):
            found.setdefault(device_of(finding), []).append(finding)
        return found

    @cached_property
    def _numbers(self) -> dict[int, int]:
        told = [finding for group in self.groups for finding in group]
        return {id(finding): number for number, finding in enumerate(told, 1)}

    def sheets(self, kind: str) -> list[Any]:
        """Fact sheets of one kind in file order; none where the facts are not at hand."""
        return list(self.facts.by_kind(kind)) if self.facts else []

    def of(self, subject: str) -> list[Finding]:
        """What failed on a device."""
        return self.by_device.get(subject, [])

    @cached_property
    def shown(self) -> frozenset[str]:
        """Subjects of the devices that have a place on the page."""
        if self.facts is None:
            return frozenset()
        site = self.facts.context.loaded.site
        groups = GROUP_OF_KIND.values()
        return frozenset(f"{group}/{name}" for group in groups for name in getattr(site, group))

    def anchor(self, subject: str) -> str:
        """The id of a subject's place on the page."""
        return f"{self.prefix}-{_UNSAFE.sub('-', subject)}"

    def section(self, name: str) -> str:
        """The id of a section."""
        return f"{self.prefix}_{name}"

    def finding(self, finding: Finding) -> str:
        """The id of a finding's place on the page."""
        return f"{self.prefix}_f{self._numbers[id(finding)]}"

    def group(self, group: Sequence[Finding]) -> str:
        """The id of a group's place on the page."""
        return f"{self.prefix}_r-{group[0].level}-{_UNSAFE.sub('-', group[0].rule)}"


_INPUT = re.compile(r"recorders/[^/]+/\d+")


def _devices(finding: Finding) -> list[str]:
    """The device that a finding is about. What is found on an input of a recorder concerns every camera on it, however
    the entry of one alone is pointed at.
    """
    devices = {device_of(finding): None}
    if _INPUT.fullmatch(finding.subject):
        devices.update(dict.fromkeys(sorted(ordering.cameras_of([finding]))))
    return list(devices)


def worst(findings: Sequence[Finding]) -> str:
    """The worst level among findings; empty for none."""
    return min((finding.level for finding in findings), key=LEVELS.index, default="")


def named(subject: str) -> str:
    """The last part of a subject path, as people call the thing."""
    return subject.rpartition("/")[2]
