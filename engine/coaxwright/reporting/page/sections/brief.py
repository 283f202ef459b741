"""What the short print has in place of what it leaves out: what to do in one line, who has the same, notes in a table.

A page printed short lacks what is marked `long` (workings, sources, lines of the site file, further cases, pictures), and has
what is marked `short`. On the screen, and on paper where all was asked for, it is the other way round.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from coaxwright.findings import Finding, Fix
from coaxwright.reporting import wording
from coaxwright.reporting.page.survey import Survey, device_of, named
from coaxwright.rulebook.cautions import apart
from coaxwright.show import figures
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import level, listed, sign, table

LEFT_OUT = (
    "Printed short: workings, sources, lines of the site file, further cases of the same, the table of lines and pictures of "
    "volts, disks and views are on the page on the screen, and on paper with --full."
)
_TOLD_APART = 2
"""Cases that a finding without a common cause shows on paper; of one cause it shows the worst alone."""


def told_on_paper(part: Sequence[Finding], one_cause: bool) -> list[Finding]:
    """The cases that stand in the short print: those that fall short most."""
    worst = sorted(part, key=lambda each: 0.0 if each.margin is None else each.margin)
    return worst[: 1 if one_cause else _TOLD_APART]


def same_on(others: Sequence[Finding]) -> Markup | None:
    """The devices of the cases that are left out, each with its margin, so that no figure is lost."""
    if not others:
        return None
    told = Counter(map(_named, others))
    names = [name if times == 1 else f"{name} ({times} times)" for name, times in told.items()]
    return tag("p", f"The same on {', '.join(names)}.", class_="short")


def _named(finding: Finding) -> str:
    room = wording.margin(finding.margin)
    return f"{named(device_of(finding))}{f' ({room})' if room else ''}"


def do_line(told: Finding, group: Sequence[Finding], class_: str = "do") -> Markup | None:
    """The proven change that clears most of a group; otherwise kinds of change, said to be untried."""
    proven = [fix for each in (told, *group) for fix in each.fixes if fix.proven and not fix.hides]
    if proven:
        best = max(proven, key=lambda fix: (-len(fix.harms), -len(fix.loses), len(fix.clears)))
        brings = "; ".join([f"clears {figures.count(len(best.clears), 'finding')}", *_besides(best)])
        return tag("p", tag("b", "Do: "), f"{best.title} (proven on this site: {brings})", class_=class_)
    declared = [fix.title for fix in told.fixes if not fix.hides][:2]
    if not declared:
        return None
    return tag("p", tag("b", "Do: "), join(declared, "; or "), " (not tried on this site)", class_=class_)


def _besides(fix: Fix) -> list[str]:
    """What a change does besides clearing findings, with the level of what it harms, and what it costs."""
    notes = [note for note in wording.change_notes(fix) if not note.startswith(("clears ", "open "))]
    return notes + ([f"costs {fix.cost:g} {fix.currency or ''}".rstrip()] if fix.cost is not None else [])


def closing(survey: Survey) -> Markup | None:
    """Notes in a table and every caution once, where the short print has room for them."""
    parts = [each for each in (_notes(survey), _cautions(survey)) if each is not None]
    return tag("section", tag("h2", "Notes and cautions"), parts, class_="short") if parts else None


def _notes(survey: Survey) -> Markup | None:
    groups = [group for group in survey.groups if group[0].level == "note"]
    if not groups:
        return None
    rows = [_note(group) for group in groups]
    told = figures.count(sum(map(len, groups)), "note")
    caption = join([level("note"), f" {figures.count(len(rows), 'matter')}, {told}"])
    return table(caption, ("what", "of", "do"), rows, class_="notes")


def _note(group: Sequence[Finding]) -> list[Child]:
    """What is noted, in the words of its worst case where it has one alone, and where else."""
    worst = told_on_paper(group, one_cause=True)[0]
    on = dict.fromkeys(named(device_of(each)) for each in group)
    declared = [fix.title for fix in worst.fixes if not fix.hides][:1]
    what = join([worst.title, ". ", worst.message, " ", tag("code", worst.rule)])
    return [what, ", ".join(on), join(declared)]


def _cautions(survey: Survey) -> Markup | None:
    told = apart(group[0].caution for group in survey.groups if group[0].caution)
    return join([tag("h3", "Cautions"), listed(told, "cautions")]) if told else None


def found_briefly(findings: Sequence[Finding], opened: Sequence[Finding], more: Child) -> Markup:
    """The gravest finding of a device by name, and how many others; `more` is what the screen has of them."""
    words = [figures.count(len(findings) - 1, "more", "more")] if len(findings) > 1 else []
    words += [f"{figures.count(len(opened), 'question')} open"] if opened else []
    first = tag("span", sign(findings[0].level), findings[0].rule, class_="one") if findings else None
    short = tag("span", first, tag("span", ", ".join(words), class_="one") if words else None, class_="short")
    return join([tag("span", more, class_="long"), short])
