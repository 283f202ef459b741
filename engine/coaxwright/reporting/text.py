"""The report for a person at a terminal.

Three depths: `grouped` (the first finding of a rule in full, its equals as a line each), `full` (each in
full) and `concise` (a line each, for search tools). A margin bar holds a finding together, and every state
has its word, so nothing hangs on colour. The last line counts everything and says what to do next.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from coaxwright.findings import Finding, Report, SiteReport
from coaxwright.immutable import immutable
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.causes import Causes, brief, rests, without_names
from coaxwright.reporting.excerpt import excerpt
from coaxwright.reporting.formats import Detail, Setting
from coaxwright.reporting.to_do import LEAST, MOST, things_to_do, told
from coaxwright.show.painter import Style, visible
from coaxwright.show.screen import Screen
from coaxwright.show.wrapping import wrapped

WIDTH = 100
MANY_FINDINGS = 30
_LABEL = 10
_BAR = 2
_LINE_ENDS = re.compile(r"\r\n|\n|\r")


@immutable
class _Source:
    """The lines of the site file, split once: findings may be many."""

    file: str
    lines: list[str]


def render(report: Report, setting: Setting) -> str:
    """Return the report as text."""
    screen = Screen(setting.width, setting.painter)
    if setting.detail == "concise":
        lines = [_concise(each, screen) for site in report.sites for each in _all(site)]
    else:
        lines = [line for site in report.sites for line in _site(site, setting.detail, screen)]
        lines += _advice(report)
    return "\n".join([*lines, _closing(report, screen)]) + "\n"


def _all(site: SiteReport) -> list[Finding]:
    return ordering.by_place(site.findings)


def _state(finding: Finding) -> tuple[str, Style]:
    """The word for a finding and its colour."""
    if finding.waived is not None:
        return "waived", "quiet"
    if finding.kind == "open":
        return "open", "open"
    if finding.kind == "fault":
        return "fault", "error"
    return finding.level, finding.level


def _concise(finding: Finding, screen: Screen) -> str:
    """One line, never wrapped: place, state, rule, subject, message."""
    file = visible(finding.file)
    at = f"{file}:{finding.span.line}:{finding.span.column}" if finding.span else file
    word, style = _state(finding)
    told = f"supply {wording.supply(finding.missing)}" if word == "open" else visible(finding.message)
    return f"{at}: {screen.painter.paint(word, style)} {finding.rule} {visible(finding.subject)}: {told}"


def _site(site: SiteReport, detail: Detail, screen: Screen) -> list[str]:
    head = f"{visible(site.site)} ({visible(site.file)})"
    lines = [screen.painter.paint(head, "strong"), "", *_first(site, screen)]
    source = _Source(site.file, _LINE_ENDS.split(site.text))
    groups = ordering.by_rule(ordering.failed(site))
    causes = Causes(finding for group in groups for finding in group)
    for group in groups:
        lines += _group(group, source, detail, screen, causes)
    lines += _faults(site, screen)
    lines += _open(site, screen)
    lines += _waived(site, screen)
    return [*lines, *_since(site, screen), *_assumed(site, screen)]


def _since(site: SiteReport, screen: Screen) -> list[str]:
    """What is worse and what is gone since the site was judged before."""
    lines = [part for line in wording.since(site) for part in _wrapped(visible(line), screen, "  ")]
    return [f"Since {visible(site.since.against)}:", *lines, ""] if site.since is not None else []


def _first(site: SiteReport, screen: Screen) -> list[str]:
    """What to do first, where there is more than one thing to do."""
    things = things_to_do(site)
    if len(things) < LEAST:
        return []
    lines = ["To do first:"]
    for number, line in enumerate(told(things), 1):
        sign = f"{number}. " if number <= min(MOST, len(things)) else ""
        wrapped = _wrapped(sign + line, screen, "     ")
        lines += [f"  {wrapped[0].strip()}", *wrapped[1:]]
    return [*lines, ""]


def _group(
    group: list[Finding], source: _Source, detail: Detail, screen: Screen, causes: Causes
) -> list[str]:
    """The findings of one rule: the first in full, the others by what they come from."""
    parts = causes.parts(group)
    if detail == "full":
        every = [finding for part in parts for finding in part]
        return [line for finding in every for line in [*_block(finding, source, screen, causes), ""]]
    first = parts[0][0]
    lines, bar = _block(first, source, screen, causes), _bar(first, screen)
    for head, members in _others(parts, causes):
        lines += [bar, *_barred(_wrapped(head, screen), bar), *(f"{bar}   {_brief(finding, first)}" for finding in members)]
    return [*lines, ""]


def _others(parts: list[list[Finding]], causes: Causes) -> Iterator[tuple[str, list[Finding]]]:
    """All but the first finding of a group, under what they come from."""
    for at, part in enumerate(parts):
        rest = part if at else part[1:]
        told = causes.told(part[0])
        if rest and told and at:
            yield f"one cause for {len(rest)}, {told}:", rest
        elif rest:
            yield f"{'from the same cause' if told else 'the same'} at {len(rest)} more:", rest


def _brief(finding: Finding, first: Finding) -> str:
    """A finding in a line; where it says what the first says but for names, only where it is."""
    line = f" (line {finding.span.line})" if finding.span else ""
    short = wording.margin(finding.margin)
    again = without_names(finding) == without_names(first) and finding.message != first.message
    told = "the same" if again else visible(finding.message)
    return f"{visible(finding.subject)}{line}: {told}" + (f" [{short}]" if short else "")


def _bar(finding: Finding, screen: Screen) -> str:
    return screen.painter.paint("|", _state(finding)[1])


def _block(finding: Finding, source: _Source, screen: Screen, causes: Causes) -> list[str]:
    """One finding in full."""
    word, style = _state(finding)
    head = f"{screen.painter.paint(word.upper(), style)}  {finding.rule}  {visible(finding.title)}"
    lines = [head, *_wrapped(finding.message, screen)]
    short = wording.margin(finding.margin)
    lines += [f"Against the limit: {short}."] if short else []
    told = causes.told(finding)
    lines += ["", *_where(finding, source), *_labelled("cause", [told], screen), *_reasons(finding, screen, told)]
    return _barred(lines, _bar(finding, screen))


def _barred(lines: Iterable[str], bar: str) -> list[str]:
    return [f"{bar} {line}" if line else bar for line in lines]


def _where(finding: Finding, source: _Source) -> list[str]:
    """Place in words, and the line itself when the file's text is at hand."""
    lines = [f"at {wording.place(finding)} ({visible(finding.pointer or finding.subject)})"]
    span = finding.span
    if span is None or finding.file != source.file or not 0 < span.line <= len(source.lines):
        return lines
    # Only the first line of a stretch over several is shown: it carries the name of what is meant.
    end = span.end_column if span.end_line in (0, span.line) else 0
    shown, mark = excerpt(source.lines[span.line - 1], span.column, end)
    gutter = f"{span.line:>5} > "
    return [*lines, gutter + shown, " " * len(gutter) + mark]


def _reasons(finding: Finding, screen: Screen, cause: str) -> list[str]:
    lines = _labelled("why", [finding.why], screen)
    lines += _labelled("working", finding.working, screen)
    lines += _labelled("places", brief(finding, cause), screen)
    lines += _labelled("rests on", [rests(finding)], screen)
    for head, changes in wording.fix_lines(finding):
        lines += [f"{head}:", *(line for change in changes for line in _wrapped(f"- {change}", screen, "  "))]
    lines += _labelled("source", [str(source) for source in finding.sources], screen)
    if finding.caution:
        lines += [screen.painter.paint(line, "warning") for line in _labelled("CAUTION", [finding.caution], screen)]
    return lines


def _labelled(label: str, texts: Iterable[str], screen: Screen) -> list[str]:
    """Texts under one label, each wrapped, all starting in the same column."""
    lines = [line for text in texts if text for line in _wrapped(text.strip(), screen, " " * _LABEL)]
    return [label.ljust(_LABEL) + lines[0][_LABEL:], *lines[1:]] if lines else []


def _wrapped(text: str, screen: Screen, indent: str = "") -> list[str]:
    """Lines that stand beside a bar."""
    return wrapped(text, screen, min(WIDTH, (screen.width or WIDTH + _BAR) - _BAR), indent, indent)


def _faults(site: SiteReport, screen: Screen) -> list[str]:
    lines: list[str] = []
    for finding in ordering.faults(site):
        told = f"could not be carried out for {visible(finding.subject)}"
        head = f"{screen.painter.paint('FAULT', 'error')}  {finding.rule}  {told}"
        lines += [*_barred([head, *_wrapped(finding.message, screen)], _bar(finding, screen)), ""]
    return lines


def _open(site: SiteReport, screen: Screen) -> list[str]:
    """What stays open, by what would settle it."""
    found = ordering.opened(site)
    if not found:
        return []
    bar = _bar(found[0], screen)
    lines = [f"{screen.painter.paint('OPEN', 'open')}  not judged, since a fact is missing"]
    for wanted in ordering.by_missing(found):
        on = ", ".join(f"{visible(each.subject)}{_line(each)}" for each in wanted.findings)
        of = f" of {on}" if wanted.below else ""
        on = "" if wanted.below else f" on {on}"
        lines += _wrapped(f"supply {wording.supply(wanted.facts)}{of}", screen)
        lines += _wrapped(f"for {', '.join(wanted.rules)}{on}", screen, "  ")
    return [*_barred(lines, bar), ""]


def _line(finding: Finding) -> str:
    return f" (line {finding.span.line})" if finding.span else ""


def _waived(site: SiteReport, screen: Screen) -> list[str]:
    found = ordering.waived(site)
    if not found:
        return []
    lines = [f"{screen.painter.paint('WAIVED', 'quiet')}  known, and someone answers for it"]
    for finding in found:
        lines += _wrapped(f"{finding.rule} on {finding.subject}: {finding.message}", screen)
        lines += _wrapped(f"reason: {wording.waiver(finding)}", screen, "  ")
    return [*_barred(lines, _bar(found[0], screen)), ""]


def _assumed(site: SiteReport, screen: Screen) -> list[str]:
    if not site.assumed:
        return []
    lines = [line for each in site.assumed for line in _wrapped(wording.assumption(each), screen, "  ")]
    return ["Assumed, since nobody gave it:", *lines, ""]


def _advice(report: Report) -> list[str]:
    """A hint for long reports."""
    told = sum(len(ordering.failed(site)) for site in report.sites)
    return ["(`--detail concise` gives one line a finding.)", ""] if told > MANY_FINDINGS else []


def _closing(report: Report, screen: Screen) -> str:
    summary = ordering.total(site.summary for site in report.sites)
    sites = f"{len(report.sites)} sites: " if len(report.sites) != 1 else ""
    bad = summary.error or summary.fault or report.unread
    style: Style = "error" if bad else "warning" if summary.warning else "open" if summary.open else "good"
    unread = f"; {len(report.unread)} not read" if report.unread else ""
    return (
        screen.painter.paint(f"{sites}{wording.counts(summary)}{unread}.", style)
        + f"{visible(wording.judged_as_of(report))} Next: {wording.next_step(report)}."
    )
