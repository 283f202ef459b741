"""The report as Markdown, for a pull request, a ticket or a mail."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.findings import Finding, Report, SiteReport
from coaxwright.reporting import failing, ordering, wording
from coaxwright.reporting.causes import Causes, brief, rests
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.to_do import LEAST, MOST, things_to_do, told
from coaxwright.show.forms import rendered
from coaxwright.show.tree import (
    Block,
    Caution,
    Document,
    Item,
    Listing,
    Paragraph,
    Section,
    Strong,
    Table,
    Working,
)


def render(report: Report, setting: Setting) -> str:
    """Return the report as Markdown."""
    unread = tuple(f"not read: {problem}" for problem in report.unread)
    summary = ordering.total(site.summary for site in report.sites)
    counted = wording.counts(summary) + (f"; {len(unread)} not read" if unread else "")
    closing = (Strong(f"{counted}."), f"{wording.judged_as_of(report)} Next: ", *wording.runs(wording.next_step(report)), ".")
    sites = (Section(site.site, tuple(_site(site))) for site in report.sites)
    return rendered(Document("", (*sites, Listing(unread), Paragraph(closing))), "md")


def _site(site: SiteReport) -> Iterator[Block]:
    groups = ordering.by_rule(ordering.failed(site))
    causes = Causes(finding for group in groups for finding in group)
    yield Paragraph(site.file)
    yield from _first(site)
    if groups:
        rows = [_overview_row(finding) for group in groups for finding in group]
        yield Table(("level", "rule", "subject", "line", "what", "margin"), rows)
    for group in groups:
        yield Section(f"{group[0].rule}: {group[0].title}", tuple(_group(group, causes)))
    yield from _tables(site)
    if site.assumed:
        yield Section("Assumed, since nobody gave it", (Listing([wording.assumption(each) for each in site.assumed]),))


def _first(site: SiteReport) -> Iterator[Block]:
    """What to do first, where there is more than one thing to do."""
    things = things_to_do(site)
    if len(things) >= LEAST:
        more = [f"and {len(things) - MOST} more, below"] if len(things) > MOST else []
        yield Section("To do first", (Listing([*told(things[:MOST]), *more], "number"),))


def _overview_row(finding: Finding) -> tuple[str, ...]:
    line = str(finding.span.line) if finding.span else ""
    return finding.level, finding.rule, finding.subject, line, finding.message, wording.margin(finding.margin)


def _group(group: list[Finding], causes: Causes) -> Iterator[Block]:
    """The reasons of one rule, then the working of each finding."""
    first = group[0]
    yield Paragraph(first.why)
    for at, part in enumerate(causes.parts(group)):
        cause = causes.told(part[0])
        if cause or at:
            yield Paragraph(f"One cause: {cause}." if cause else "Each by itself:")
        yield from (Listing((_finding(finding, cause),)) for finding in part)
    yield from (Paragraph(f"Source: {source}") for source in first.sources)
    if first.caution:
        yield Caution(first.caution)


def _finding(finding: Finding, cause: str) -> Item:
    said = (Strong(finding.subject), f" ({wording.place(finding)}): {finding.message}")
    rest = rests(finding)
    fixes = (Working(changes, head) for head, changes in wording.fix_lines(finding))
    places = Working(brief(finding, cause), "place")
    return Item(said, (Working(finding.working), places, Listing((f"rests on {rest}",) if rest else ()), *fixes))


def _tables(site: SiteReport) -> Iterator[Block]:
    """What is left: faults, what is open, what is waived, what goes dark with one part."""
    faults = [(each.rule, each.subject, each.message) for each in ordering.faults(site)]
    opened = [(wording.supply(each.missing), each.rule, each.subject) for each in ordering.opened(site)]
    waived = [(each.rule, each.subject, wording.waiver(each)) for each in ordering.waived(site)]
    dark = failing.table_of(site)
    for heading, heads, rows in (
        ("Rules that could not be carried out", ("rule", "subject", "what"), faults),
        ("Open: a fact is missing", ("supply", "for rule", "on"), opened),
        ("Waived", ("rule", "subject", "reason"), waived),
    ):
        if rows:
            yield Section(heading, (Table(heads, rows),))
    if dark is not None:
        rows = [*((row.words, row.lost, str(row.cameras)) for row in dark.rows), *([(dark.more, "", "")] if dark.more else ())]
        yield Section("If one thing fails", (Paragraph(failing.ABOUT), Table(("part", "what is lost", "cameras"), rows)))
