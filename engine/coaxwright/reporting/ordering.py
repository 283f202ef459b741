"""The order in which findings are told, how equal ones stand together, and what all counts add up to.

Shared by the formats; prints nothing.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.findings import LEVELS, Finding, SiteReport, Summary
from coaxwright.immutable import immutable

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
    return sorted(groups.values(), key=lambda group: LEVELS.index(group[0].level))


@immutable
class Wanted:
    """`facts` that are missing (`below` each subject, else full paths) and the `rules` that wait for them."""

    facts: tuple[str, ...]
    below: bool
    rules: tuple[str, ...]
    findings: tuple[Finding, ...]


def by_missing(findings: Iterable[Finding]) -> list[Wanted]:
    """Open findings by what to supply: subjects that lack the same facts for the same rules together."""
    waiting: dict[tuple[tuple[str, ...], bool, str], list[Finding]] = {}
    for finding in findings:
        facts, below = _below(finding)
        waiting.setdefault((facts, below, finding.subject), []).append(finding)
    groups: dict[tuple[tuple[str, ...], bool, tuple[str, ...]], list[Finding]] = {}
    for (facts, below, _), same in waiting.items():
        rules = tuple(dict.fromkeys(each.rule for each in same))
        groups.setdefault((facts, below, rules), []).append(same[0])
    return [Wanted(*key, tuple(same)) for key, same in groups.items()]


def _below(finding: Finding) -> tuple[tuple[str, ...], bool]:
    """What is missing, as paths below the subject when all of it lies there."""
    start = f"{finding.subject}/"
    if finding.missing and all(path.startswith(start) for path in finding.missing):
        return tuple(path.removeprefix(start) for path in finding.missing), True
    return finding.missing, False


def total(summaries: Iterable[Summary]) -> Summary:
    """The sum of counts over several sites."""
    listed = list(summaries)
    return Summary(**{name: sum(getattr(each, name) for each in listed) for name in COUNTS})
