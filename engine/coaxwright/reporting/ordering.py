"""The order in which findings are told, how equal ones stand together, and what all counts add up to.

Shared by the formats; prints nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar, get_args

from coaxwright.findings import COUNTS, LEVELS, Finding, NewsSummary, SiteReport, Summary
from coaxwright.immutable import immutable
from coaxwright.model.common import Consequence


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
    """Findings of the same rule and level together; the groups gravest first (see `gravest_first`)."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.level, finding.rule), []).append(finding)
    return gravest_first(groups.values())


CONSEQUENCES = get_args(Consequence)
"""What is lost where a rule fails, the gravest first."""
_G = TypeVar("_G", bound=Sequence[Finding])


def gravest_first(groups: Iterable[_G]) -> list[_G]:
    """Groups of findings of one rule by level, then by what is lost, then by how many cameras they touch; equal ones
    stay in order of place. No group stands anywhere for the name of its rule.
    """

    def grave(group: _G) -> tuple[int, int, int]:
        first = group[0]
        return LEVELS.index(first.level), CONSEQUENCES.index(first.consequence), -len(cameras_of(group))

    return sorted(groups, key=grave)


def cameras_of(findings: Iterable[Finding]) -> set[str]:
    """Subjects of the cameras that findings are about, or that they lead to."""
    named = (path for each in findings for path in (device_of(each), *(place.subject for place in each.related)))
    return {path for path in named if path.startswith("cameras/") and path.count("/") == 1}


def device_of(finding: Finding) -> str:
    """Subject path of the device that a finding is about; `site` where it is about no single one.

    What is found on a recorder input or on a run belongs to the camera whose entry it points into.
    """
    pieces = [piece for piece in finding.pointer.split("/") if piece]
    if len(pieces) < 2 or pieces[0] in ("waivers", "rules", "assume"):
        pieces = finding.subject.split("/")
    return "/".join(pieces[:2]) if len(pieces) > 1 else "site"


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
    counts = {name: sum(getattr(each, name) for each in listed) for name in COUNTS}
    known = [each.known for each in listed if isinstance(each, NewsSummary)]
    return NewsSummary(**counts, known=sum(known)) if known else Summary(**counts)
