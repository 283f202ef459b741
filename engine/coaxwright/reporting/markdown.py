"""The report as Markdown, for a pull request, a ticket or a mail.

Text of users and rules is escaped, so that it can neither format nor link nor break out of a table.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coaxwright.findings import Finding, Report, SiteReport
from coaxwright.reporting import failing, ordering, wording
from coaxwright.reporting.causes import Causes, brief, rests
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.to_do import LEAST, MOST, things_to_do, told
from coaxwright.show.markdown import escaped


def render(report: Report, setting: Setting) -> str:
    """Return the report as Markdown."""
    lines = [line for site in report.sites for line in _site(site)]
    lines += [f"- not read: {escaped(str(problem))}" for problem in report.unread]
    summary = ordering.total(site.summary for site in report.sites)
    unread = f"; {len(report.unread)} not read" if report.unread else ""
    counted = f"**{escaped(wording.counts(summary) + unread)}.**"
    day = wording.judged_as_of(report)
    closing = f"{counted}{f' {escaped(day)}' if day else ''} Next: {_next(report)}."
    return "\n".join([*lines, "", closing]) + "\n"


def _next(report: Report) -> str:
    """The next step; its back-ticked command is ours and stays code."""
    return wording.next_step(report)


def _site(site: SiteReport) -> list[str]:
    lines = [f"## {escaped(site.site)}", "", escaped(site.file), ""]
    lines += _first(site)
    groups = ordering.by_rule(ordering.failed(site))
    causes = Causes(finding for group in groups for finding in group)
    lines += _overview(groups)
    for group in groups:
        lines += _group(group, causes)
    lines += _faults(site)
    lines += _open(site)
    lines += _waived(site)
    lines += _failing(site)
    return [*lines, *_assumed(site)]


def _first(site: SiteReport) -> list[str]:
    """What to do first, where there is more than one thing to do."""
    things = things_to_do(site)
    if len(things) < LEAST:
        return []
    lines = [f"{number}. {escaped(line)}" for number, line in enumerate(told(things[:MOST]), 1)]
    more = len(things) - MOST
    return ["### To do first", "", *lines, *([f"{MOST + 1}. and {more} more, below"] if more > 0 else ()), ""]


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [_row(head), _row(["---"] * len(head))]
    return [*lines, *(_row(row) for row in rows), ""]


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _overview(groups: list[list[Finding]]) -> list[str]:
    if not groups:
        return []
    ordered = [finding for group in groups for finding in group]
    rows = [_overview_row(finding) for finding in ordered]
    return _table(["level", "rule", "subject", "line", "what", "margin"], rows)


def _overview_row(finding: Finding) -> list[str]:
    line = str(finding.span.line) if finding.span else ""
    cells = [
        finding.level,
        finding.rule,
        finding.subject,
        line,
        finding.message,
        wording.margin(finding.margin),
    ]
    return [escaped(cell) for cell in cells]


def _group(group: list[Finding], causes: Causes) -> list[str]:
    """The reasons of one rule, then the working of each finding."""
    first = group[0]
    lines = [f"### {escaped(first.rule)}: {escaped(first.title)}", "", escaped(first.why), ""]
    for at, part in enumerate(causes.parts(group)):
        told = causes.told(part[0])
        lines += [f"One cause: {escaped(told)}.", ""] if told else ["Each by itself:", ""] if at else []
        lines += [line for finding in part for line in _finding(finding, told)]
    lines += [f"Source: {escaped(str(source))}\n" for source in first.sources]
    return [*lines, f"**Caution:** {escaped(first.caution)}", ""] if first.caution else lines


def _finding(finding: Finding, cause: str) -> list[str]:
    lines = [
        f"- **{escaped(finding.subject)}** ({escaped(wording.place(finding))}): {escaped(finding.message)}"
    ]
    lines += [f"  - working: {escaped(step)}" for step in finding.working]
    lines += [f"  - place: {escaped(place)}" for place in brief(finding, cause)]
    lines += [f"  - rests on {rests(finding)}"] if rests(finding) else []
    for head, changes in wording.fix_lines(finding):
        lines += [f"  - {head}: {escaped(change)}" for change in changes]
    return [*lines, ""]


def _faults(site: SiteReport) -> list[str]:
    found = ordering.faults(site)
    if not found:
        return []
    rows = [[escaped(each.rule), escaped(each.subject), escaped(each.message)] for each in found]
    return ["### Rules that could not be carried out", "", *_table(["rule", "subject", "what"], rows)]


def _open(site: SiteReport) -> list[str]:
    found = ordering.opened(site)
    if not found:
        return []
    rows = [
        [escaped(wording.supply(each.missing)), escaped(each.rule), escaped(each.subject)] for each in found
    ]
    return ["### Open: a fact is missing", "", *_table(["supply", "for rule", "on"], rows)]


def _waived(site: SiteReport) -> list[str]:
    found = ordering.waived(site)
    if not found:
        return []
    rows = [[escaped(each.rule), escaped(each.subject), escaped(wording.waiver(each))] for each in found]
    return ["### Waived", "", *_table(["rule", "subject", "reason"], rows)]


def _failing(site: SiteReport) -> list[str]:
    """What goes dark with one part."""
    found = failing.table_of(site)
    if found is None:
        return []
    rows = [[escaped(row.words), escaped(row.lost), str(row.cameras)] for row in found.rows]
    rows += [[escaped(found.more), "", ""]] if found.more else []
    return ["### If one thing fails", "", failing.ABOUT, "", *_table(["part", "what is lost", "cameras"], rows)]


def _assumed(site: SiteReport) -> list[str]:
    if not site.assumed:
        return []
    lines = [f"- {escaped(wording.assumption(each))}" for each in site.assumed]
    return ["### Assumed, since nobody gave it", "", *lines, ""]
