"""The report for a person at a terminal.

Three depths: `grouped` (the first finding of a rule in full, its equals as a line each), `full` (each in
full) and `concise` (a line each, for search tools). A margin bar holds a finding together, and every state
has its word, so nothing hangs on colour. The last line counts everything and says what to do next.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from coaxwright.errors import Problem
from coaxwright.findings import Finding, Report, SiteReport
from coaxwright.immutable import immutable
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.causes import Causes, brief, rests
from coaxwright.reporting.excerpt import excerpt
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.to_do import LEAST, MOST, things_to_do, told
from coaxwright.show.painter import Painter, Style, columns, visible

WIDTH = 100
MANY_FINDINGS = 30
_LABEL = 10
_LINE_ENDS = re.compile(r"\r\n|\n|\r")


@immutable
class _Source:
    """The lines of the site file, split once: findings may be many."""

    file: str
    lines: list[str]


def render(report: Report, setting: Setting) -> str:
    """Return the report as text."""
    if setting.detail == "concise":
        lines = [_concise(each, setting.painter) for site in report.sites for each in _all(site)]
    else:
        lines = [line for site in report.sites for line in _site(site, setting)]
        lines += _advice(report)
    return "\n".join([*lines, _closing(report, setting.painter)]) + "\n"


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


def _concise(finding: Finding, painter: Painter) -> str:
    """One line, never wrapped: place, state, rule, subject, message."""
    file = visible(finding.file)
    at = f"{file}:{finding.span.line}:{finding.span.column}" if finding.span else file
    word, style = _state(finding)
    told = f"supply {wording.supply(finding.missing)}" if word == "open" else visible(finding.message)
    return f"{at}: {painter.paint(word, style)} {finding.rule} {visible(finding.subject)}: {told}"


def _site(site: SiteReport, setting: Setting) -> list[str]:
    head = f"{visible(site.site)} ({visible(site.file)})"
    lines = [setting.painter.paint(head, "strong"), "", *_first(site)]
    source = _Source(site.file, _LINE_ENDS.split(site.text))
    groups = ordering.by_rule(ordering.failed(site))
    causes = Causes(finding for group in groups for finding in group)
    for group in groups:
        lines += _group(group, source, setting, causes)
    lines += _faults(site, setting.painter)
    lines += _open(site, setting.painter)
    lines += _waived(site, setting.painter)
    return [*lines, *_assumed(site)]


def _first(site: SiteReport) -> list[str]:
    """What to do first, where there is more than one thing to do."""
    things = things_to_do(site)
    if len(things) < LEAST:
        return []
    lines = ["To do first:"]
    for number, line in enumerate(told(things), 1):
        sign = f"{number}. " if number <= min(MOST, len(things)) else ""
        wrapped = _wrapped(visible(sign + line), "     ")
        lines += [f"  {wrapped[0].strip()}", *wrapped[1:]]
    return [*lines, ""]


def _group(group: list[Finding], source: _Source, setting: Setting, causes: Causes) -> list[str]:
    """The findings of one rule: the first in full, the others by what they come from."""
    painter = setting.painter
    parts = causes.parts(group)
    if setting.detail == "full":
        every = [finding for part in parts for finding in part]
        return [line for finding in every for line in [*_block(finding, source, painter, causes), ""]]
    first = parts[0][0]
    lines, bar = _block(first, source, painter, causes), _bar(first, painter)
    for head, members in _others(parts, causes):
        lines += [bar, *_barred(_wrapped(visible(head)), bar), *(f"{bar}   {_brief(finding)}" for finding in members)]
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


def _brief(finding: Finding) -> str:
    line = f" (line {finding.span.line})" if finding.span else ""
    short = wording.margin(finding.margin)
    return f"{visible(finding.subject)}{line}: {visible(finding.message)}" + (f" [{short}]" if short else "")


def _bar(finding: Finding, painter: Painter) -> str:
    return painter.paint("|", _state(finding)[1])


def _block(finding: Finding, source: _Source, painter: Painter, causes: Causes) -> list[str]:
    """One finding in full."""
    word, style = _state(finding)
    head = f"{painter.paint(word.upper(), style)}  {finding.rule}  {visible(finding.title)}"
    lines = [head, *_wrapped(visible(finding.message))]
    short = wording.margin(finding.margin)
    lines += [f"Against the limit: {short}."] if short else []
    told = causes.told(finding)
    lines += ["", *_where(finding, source), *_labelled("cause", [told]), *_reasons(finding, painter, told)]
    return _barred(lines, _bar(finding, painter))


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


def _reasons(finding: Finding, painter: Painter, cause: str) -> list[str]:
    lines = _labelled("why", [finding.why])
    lines += _labelled("working", finding.working)
    lines += _labelled("places", brief(finding, cause))
    lines += _labelled("rests on", [rests(finding)])
    for head, changes in wording.fix_lines(finding):
        lines += [f"{head}:", *(line for change in changes for line in _wrapped(f"- {change}", "  "))]
    lines += _labelled("source", [str(source) for source in finding.sources])
    if finding.caution:
        lines += [painter.paint(line, "warning") for line in _labelled("CAUTION", [finding.caution])]
    return lines


def _labelled(label: str, texts: Iterable[str]) -> list[str]:
    """Texts under one label, each wrapped, all starting in the same column."""
    lines = [line for text in texts if text for line in _wrapped(visible(_one_line(text)), " " * _LABEL)]
    return [label.ljust(_LABEL) + lines[0][_LABEL:], *lines[1:]] if lines else []


def _one_line(text: str) -> str:
    """Folded prose of a rule file on one line; only its own line ends are softened, nothing else."""
    return " ".join(text.split("\n")).strip()


def _wrapped(text: str, indent: str = "") -> list[str]:
    """Break at spaces so that no line is wider than `WIDTH`, as a terminal counts; long words stay whole."""
    lines: list[str] = []
    current = indent
    for word in text.split(" "):
        if current.strip() and columns(current) + 1 + columns(word) > WIDTH:
            lines.append(current)
            current = indent + word
        else:
            current = f"{current} {word}" if current != indent else indent + word
    return [*lines, current]


def _faults(site: SiteReport, painter: Painter) -> list[str]:
    lines: list[str] = []
    for finding in ordering.faults(site):
        told = f"could not be carried out for {visible(finding.subject)}"
        head = f"{painter.paint('FAULT', 'error')}  {finding.rule}  {told}"
        lines += [*_barred([head, *_wrapped(visible(finding.message))], _bar(finding, painter)), ""]
    return lines


def _open(site: SiteReport, painter: Painter) -> list[str]:
    """What stays open, by what would settle it."""
    found = ordering.opened(site)
    if not found:
        return []
    bar = _bar(found[0], painter)
    lines = [f"{painter.paint('OPEN', 'open')}  not judged, since a fact is missing"]
    for wanted in ordering.by_missing(found):
        on = ", ".join(f"{visible(each.subject)}{_line(each)}" for each in wanted.findings)
        of = f" of {on}" if wanted.below else ""
        on = "" if wanted.below else f" on {on}"
        lines += _wrapped(f"supply {wording.supply(wanted.facts)}{of}")
        lines += _wrapped(f"for {', '.join(wanted.rules)}{on}", "  ")
    return [*_barred(lines, bar), ""]


def _line(finding: Finding) -> str:
    return f" (line {finding.span.line})" if finding.span else ""


def _waived(site: SiteReport, painter: Painter) -> list[str]:
    found = ordering.waived(site)
    if not found:
        return []
    lines = [f"{painter.paint('WAIVED', 'quiet')}  known, and someone answers for it"]
    for finding in found:
        lines += _wrapped(f"{finding.rule} on {visible(finding.subject)}: {visible(finding.message)}")
        lines += _wrapped(f"reason: {wording.waiver(finding)}", "  ")
    return [*_barred(lines, _bar(found[0], painter)), ""]


def _assumed(site: SiteReport) -> list[str]:
    if not site.assumed:
        return []
    lines = [line for each in site.assumed for line in _wrapped(wording.assumption(each), "  ")]
    return ["Assumed, since nobody gave it:", *lines, ""]


def _advice(report: Report) -> list[str]:
    """A hint for long reports."""
    told = sum(len(ordering.failed(site)) for site in report.sites)
    return ["(`--detail concise` gives one line a finding.)", ""] if told > MANY_FINDINGS else []


def unread_line(problem: Problem) -> str:
    """What could not be read, on one line that a terminal can be given."""
    return visible(str(problem))


def _closing(report: Report, painter: Painter) -> str:
    summary = ordering.total(site.summary for site in report.sites)
    sites = f"{len(report.sites)} sites: " if len(report.sites) != 1 else ""
    bad = summary.error or summary.fault or report.unread
    style: Style = "error" if bad else "warning" if summary.warning else "open" if summary.open else "good"
    unread = f"; {len(report.unread)} not read" if report.unread else ""
    return (
        painter.paint(f"{sites}{wording.counts(summary)}{unread}.", style)
        + f"{visible(wording.judged_as_of(report))} Next: {wording.next_step(report)}."
    )
