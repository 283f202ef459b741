"""Every finding with its numbers, working, sources and changes: by rule, so that equal ones are explained once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coaxwright.findings import Finding, Fix, Source
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.causes import rests, where
from coaxwright.reporting.page.margins import Margin, gauge
from coaxwright.reporting.page.places import placed
from coaxwright.reporting.page.sections import brief
from coaxwright.reporting.page.sections.opening import FIRST
from coaxwright.reporting.page.survey import Survey, device_of
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import folded, level, listed, section

_OPEN_UP_TO = 3
"""Groups of so few findings show their working at once; larger ones fold it away."""
_PLACES = 4
"""Related places that a finding shows."""
_LONGEST = 400
"""Characters shown of a line of the site file."""


def findings(survey: Survey) -> Markup:
    """All that failed, notes folded after the rest, then rules that could not be carried out."""
    graver = [group for group in survey.groups if group[0].level != "note"]
    notes = [group for group in survey.groups if group[0].level == "note"]
    parts: list[Child] = [_group(survey, group) for group in graver]
    parts += [_notes(survey, notes, opened=not graver)] if notes else []
    if not parts:
        parts = [tag("p", "No rule failed.")]
    return section(survey.section("findings"), "What was found, and why", *parts, _faults(survey))


def _notes(survey: Survey, groups: Sequence[Sequence[Finding]], *, opened: bool) -> Markup:
    """Notes stand behind a fold, unless there is nothing else to read."""
    words = f"{count(sum(map(len, groups)), 'note')}: {', '.join(group[0].rule for group in groups)}"
    return tag("div", folded(words, [_group(survey, group) for group in groups], opened), class_="long")


def _group(survey: Survey, group: Sequence[Finding]) -> Markup:
    first = group[0]
    told = _shared_fixes(group)
    return tag(
        "article",
        tag("h3", level(first.level), " ", first.title, " ", tag("code", first.rule), id=survey.group(group)),
        tag("p", first.why, class_="why long"),
        tag("div", _cases(survey, group, told), class_="cases"),
        _changes(told, "Do, for each") if told else None,
        _do_on_paper(survey, group),
        tag("p", tag("b", "Caution: "), first.caution, class_="caution long") if first.caution else None,
        _sources(first.sources),
        class_=f"finding {first.level}",
    )


def _do_on_paper(survey: Survey, group: Sequence[Finding]) -> Markup | None:
    """What to do in one line of the short print, or where that stands already."""
    place = next((at for at, thing in enumerate(survey.things[:FIRST], 1) if thing[0] is group[0]), None)
    line = brief.do_line(group[0], group, "do short")
    if place is None or line is None:
        return line
    return tag("p", tag("b", "Do: "), f"as under {place} of “Change first”", class_="do short")


def _cases(survey: Survey, group: Sequence[Finding], told: tuple[Fix, ...]) -> list[Markup]:
    """The findings of a rule, under what they come from where several come from one thing."""
    found = []
    for part in survey.causes.parts(group):
        cause = survey.causes.told(part[0])
        found += [tag("p", tag("b", "One cause: "), f"{cause}.", class_="cause")] if cause else []
        found += [tag("p", "Each by itself:", class_="cause quiet")] if found and not cause else []
        paper = brief.told_on_paper(part, bool(cause))
        found += [_finding(survey, each, len(group), told, each in paper) for each in part]
        found += filter(None, [brief.same_on([each for each in part if each not in paper])])
    return found


def _shared_fixes(group: Sequence[Finding]) -> tuple[Fix, ...]:
    """The changes of a group, where all of it has the same."""
    if len(group) > 1 and all(each.fixes == group[0].fixes for each in group):
        return group[0].fixes
    return ()


def _finding(survey: Survey, finding: Finding, among: int, told: tuple[Fix, ...], on_paper: bool) -> Markup:
    pair = tag("div", _working(finding), None if told else _changes(finding.fixes, "Do"), class_="pair")
    detail = [pair, _places(survey, finding), _written(survey, finding)]
    shown: Child | Iterable[Child] = detail if among <= _OPEN_UP_TO else folded(_summary(finding), detail)
    return tag(
        "div",
        tag("p", _device(survey, finding), finding.message, _line(finding), class_="says"),
        gauge(Margin(finding.margin)) if finding.margin is not None else None,
        tag("div", shown, class_="long"),
        id=survey.finding(finding),
        class_="case" if on_paper else "case long",
    )


def _line(finding: Finding) -> Markup | None:
    """The line of the site file, which on paper stands for the excerpt."""
    return tag("span", f" (line {finding.span.line})", class_="quiet short") if finding.span is not None else None


def _summary(finding: Finding) -> str:
    proven = sum(fix.proven for fix in finding.fixes)
    return "Working" + (f", {count(proven, 'proven change')}" if proven else " and what to change")


def _device(survey: Survey, finding: Finding) -> Markup | None:
    device = device_of(finding)
    if device == "site":
        return None
    return join([placed(survey, device), ": "])


def _working(finding: Finding) -> Markup | None:
    if not finding.working:
        return None
    return tag("div", tag("h4", "Working"), tag("ul", [tag("li", step) for step in finding.working], class_="working"))


def _places(survey: Survey, finding: Finding) -> Markup | None:
    """What else it has to do with, each with a sentence; and what makes it less sure."""
    others = [each for each in finding.related if each.message not in survey.causes.told(finding)]
    items: list[Child] = [join([placed(survey, each.subject, where(each)), f": {each.message}"]) for each in others[:_PLACES]]
    items += [f"and {len(others) - _PLACES} more"] if len(others) > _PLACES else []
    sure = rests(finding)
    told = [tag("b", "Places: "), join(items, "; "), ". "] if items else None
    return tag("p", told, f"Rests on {sure}." if sure else None, class_="places quiet") if told or sure else None


def _changes(fixes: Sequence[Fix], head: str) -> Markup | None:
    """Proven changes with what they bring, apart from kinds of change that nobody has tried here."""
    proven = [_proven(fix) for fix in fixes if fix.proven]
    declared: list[Child] = [fix.title for fix in fixes if not fix.proven]
    if not proven and not declared:
        return None
    return tag(
        "div",
        [tag("h4", f"{head}: proven on this site"), tag("ol", [tag("li", each) for each in proven])] if proven else None,
        [tag("h4", f"{head}: could be tried, not proven on this site"), listed(declared)] if declared else None,
        class_="changes long",
    )


def _proven(fix: Fix) -> Markup:
    notes = wording.change_notes(fix)
    notes += [f"costs {fix.cost:g} {fix.currency or ''}".rstrip()] if fix.cost is not None else []
    notes += [f"then {wording.margin(fix.margin)}"] if fix.margin is not None else []
    return join([fix.title, tag("span", f" ({'; '.join(notes)})", class_="quiet") if notes else None])


def _written(survey: Survey, finding: Finding) -> Markup:
    """Where it is written, with the line itself and the meant stretch marked in it."""
    where = tag("p", wording.place(finding), class_="quiet")
    span = finding.span
    if span is None or not 1 <= span.line <= len(survey.lines):
        return where
    line = survey.lines[span.line - 1][:_LONGEST]
    start = min(max(span.column - 1, 0), len(line))
    end = min(span.end_column - 1, len(line)) if span.end_line == span.line and span.end_column else len(line.rstrip())
    end = max(start, end)
    shown = join([line[:start], tag("mark", line[start:end]), line[end:]])
    return tag("div", where, tag("pre", tag("code", shown)))


def _sources(sources: Sequence[Source]) -> Markup | None:
    if not sources:
        return None
    return tag("p", tag("b", "Sources: "), "; ".join(map(str, sources)), class_="sources long")


def _faults(survey: Survey) -> Markup | None:
    found = ordering.faults(survey.report)
    if not found:
        return None
    items = [join([tag("code", each.rule), " ", each.message]) for each in found]
    return tag("div", tag("h3", "Rules that could not be carried out"), listed(items))
