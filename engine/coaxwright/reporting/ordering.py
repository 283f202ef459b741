"""The order in which findings are told, how equal ones stand together, and what all counts add up to.

Shared by the formats; prints nothing.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.findings import LEVELS, Finding, SiteReport, Summary

_RANK = {level: rank for rank, level in enumerate(LEVELS)}
COUNTS = ("error", "warning", "note", "open", "waived", "passed", "not_applicable", "fault")


def by_place(findings: Iterable[Finding]) -> list[Finding]:
    """Findings by file, line, column, rule and subject: an order that no run changes."""
    return sorted(findings, key=_place)


def _place(finding: Finding) -> tuple[str, int, int, str, str]:
    line, column = (finding.span.line, finding.span.column) if finding.span else (0, 0)
    return finding.file, line, column, finding.rule, finding.subject


def failed(report: SiteReport) -> list[Finding]:
    """What failed and was not waived."""
    return by_place(each for each in report.findings if each.kind == "fail" and each.waived is None)


def opened(report: SiteReport) -> list[Finding]:
    """What could not be judged for want of a fact, and was not waived."""
    return by_place(each for each in report.findings if each.kind == "open" and each.waived is None)


def waived(report: SiteReport) -> list[Finding]:
    """What someone answers for."""
    return by_place(each for each in report.findings if each.waived is not None)


def faults(report: SiteReport) -> list[Finding]:
    """Rules that could not be carried out."""
    return by_place(each for each in report.findings if each.kind == "fault" and each.waived is None)


def by_rule(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Findings of the same rule and level together, worst level first, then in order of the first place."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.level, finding.rule), []).append(finding)
    return sorted(groups.values(), key=lambda group: _RANK[group[0].level])


def by_missing(findings: Iterable[Finding]) -> list[tuple[tuple[str, ...], list[Finding]]]:
    """Open findings by what has to be supplied, in order of place."""
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        groups.setdefault(finding.missing, []).append(finding)
    return list(groups.items())


def total(summaries: Iterable[Summary]) -> Summary:
    """The sum of counts over several sites."""
    listed = list(summaries)
    return Summary(**{name: sum(getattr(each, name) for each in listed) for name in COUNTS})
