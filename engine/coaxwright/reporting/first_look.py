"""A site in one screen: whether it holds, what fails and why, and one proven change for each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.findings import Finding, Fix, SiteReport
from coaxwright.reporting.consequences import consequence
from coaxwright.reporting.page.sections.opening import verdict
from coaxwright.reporting.page.survey import Survey
from coaxwright.reporting.wording import margin
from coaxwright.show.painter import visible
from coaxwright.show.screen import Screen
from coaxwright.show.wrapping import wrapped

_WIDTH = 96
_LEFT = 11


def first_look(
    report: SiteReport, fixes: Sequence[tuple[Finding, Fix | None]], screen: Screen, next_: Sequence[str]
) -> str:
    """The screen; `fixes` has the best proven change of each finding that is told, `next_` are the closing lines."""
    survey = Survey(report)
    best = {finding.key: fix for finding, fix in fixes}
    told = [each for group in survey.groups for each in group if each.key in best]
    lines = [f"{visible(report.site)} ({visible(report.file)})", visible(verdict(survey)), ""]
    for finding in told:
        lines += [*_finding(finding, best[finding.key], screen), ""]
    return "\n".join([*lines, *next_]) + "\n"


def _finding(finding: Finding, fix: Fix | None, screen: Screen) -> Iterator[str]:
    yield f"{screen.painter.paint(finding.level.upper(), finding.level)}  {consequence(finding)[1]}. {finding.rule}"
    yield from _row("found", finding.message, screen)
    yield from _row("why", f"{finding.why.split('. ')[0].rstrip('.')}.", screen)
    if finding.working:
        yield from _row("working", finding.working[0], screen)
    yield from _row("change", _change(fix) if fix is not None else "no single change was proven to clear it", screen)


def _change(fix: Fix) -> str:
    """What was proven of a change, in a sentence."""
    room = margin(fix.margin)
    cost = "no parts to buy" if fix.cost == 0 else f"{fix.cost:g} {fix.currency or ''}".rstrip() if fix.cost else ""
    worse = [*fix.introduces, *fix.opens, *map(str, fix.worsens)]
    told = [f"then {room}" if room else "", cost, f"gets worse: {', '.join(worse)}" if worse else "nothing gets worse"]
    gives = [f"gives up {each}" for each in fix.gives_up] + [f"loses {each}" for each in fix.loses]
    return f"{fix.title}: proven; {'; '.join(filter(None, [*told, *gives]))}"


def _row(name: str, text: str, screen: Screen) -> list[str]:
    return wrapped(text, screen, min(_WIDTH, screen.prose), f"  {name:{_LEFT - 2}}", " " * _LEFT)
