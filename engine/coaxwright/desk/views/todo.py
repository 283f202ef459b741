"""What to change, gravest first; the finding that is open with its working, where it comes from, and proven changes."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from coaxwright.desk.views.changes import changes
from coaxwright.desk.views.look import Look
from coaxwright.desk.views.pieces import button, cell_id, head, survey_of
from coaxwright.findings import Finding
from coaxwright.fixes.patching import has_path
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.causes import rests, where
from coaxwright.reporting.consequences import consequence, touched
from coaxwright.reporting.page.survey import Survey, device_of
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import level, mark
from coaxwright.workspace.acting import Actions
from coaxwright.workspace.cells import Wrong, column_at, typed_steps
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.site_text import value_of

_PLACES = 6
"""Related places that an open finding shows."""
FIRST = 3
"""Findings of one rule that are shown before the rest of them is folded away."""


def todo(work: Workspace, look: Look, found: Actions | str | None) -> Markup | None:
    """The list; `found` is what can be done about the open finding, where that was asked for."""
    survey = survey_of(work)
    if survey is None or not survey.sheets("camera"):
        return None
    groups = survey.groups
    grave = [group for group in groups if group[0].level != "note"]
    notes = [each for group in groups if group[0].level == "note" for each in group]
    items = [_group(survey, group, look, found) for group in grave]
    value = value_of(work.site)
    items += [_wanted(path, rules, value) for path, rules in _missing(ordering.opened(survey.report))]
    listed = (
        tag("ol", items, class_="todo")
        if items
        else tag("p", mark("pass"), "Nothing that was judged asks for a change.")
    )
    return tag("div", head("h-todo", "Change first", note="gravest first" if len(items) > 1 else ""), listed,
               _notes(survey, notes, look, found))  # fmt: skip


def _group(survey: Survey, group: Sequence[Finding], look: Look, found: Actions | str | None) -> Markup:
    """Findings of one rule: the worst ones, and the rest folded."""
    ordered = sorted(group, key=lambda each: 0.0 if each.margin is None else each.margin)
    first, rest = ordered[:FIRST], ordered[FIRST:]
    about = touched(survey, group)
    words = join([consequence(group[0])[1], f". {about}" if about else ""])
    told: list[Child] = [_finding(survey, each, look, found) for each in first]
    told = [*(tag("p", "One cause: ", each, class_="quiet cause") for each in _causes(survey, group)), *told]
    open_rest = any(each.key == look.finding for each in rest)
    more = (
        tag("details", tag("summary", f"The same at {len(rest)} more"), [_finding(survey, each, look, found) for each in rest],
            open=open_rest, id=f"more-{survey.group(group)}")
        if rest else None
    )  # fmt: skip
    is_open = any(each.key == look.finding for each in group)
    return tag(
        "li", tag("p", level(group[0].level), " ", tag("span", words, class_="quiet"), class_="q"), told, more,
        id=survey.group(group), class_=f"{group[0].level} isopen" if is_open else group[0].level,
    )  # fmt: skip


def _causes(survey: Survey, group: Sequence[Finding]) -> list[str]:
    """What several findings of the site come from, each once."""
    return list(dict.fromkeys(told for each in group if (told := survey.causes.told(each))))


def _finding(survey: Survey, finding: Finding, look: Look, found: Actions | str | None) -> Markup:
    """One finding: its sentence as a button that opens it."""
    is_open = finding.key == look.finding
    asked = json.dumps({"rule": finding.rule, "subject": finding.subject})
    press = tag(
        "button", finding.message, type="button", data_do="finding", data_args=asked,
        aria_expanded="true" if is_open else "false", id=f"b-{survey.finding(finding)}",
    )  # fmt: skip
    short = _margin(finding)
    margin = tag("p", short, class_="quiet best") if short and not is_open else None
    body = _opened(survey, finding, found) if is_open else None
    return tag("div", tag("h3", press), margin, body, class_="one", id=survey.finding(finding))


def _margin(finding: Finding) -> str:
    """`Short by 12 %.`; empty where there is no such number."""
    words = wording.margin(finding.margin)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _opened(survey: Survey, finding: Finding, found: Actions | str | None) -> Markup:
    """Working, why it counts, where it is written, what was proven, sources, caution."""
    working = tag("ul", [tag("li", step) for step in finding.working], class_="working") if finding.working else None
    return tag(
        "div",
        [tag("h4", "Working"), working] if working else None,
        tag("p", _margin(finding)) if finding.margin is not None else None,
        changes(finding, found),
        tag("p", tag("b", "Caution. "), finding.caution, class_="caution") if finding.caution else None,
        tag("h4", "Where it comes from"), _places(survey, finding),
        tag("p", f"Rests on {rests(finding)}.", class_="quiet") if rests(finding) else None,
        tag("h4", "Why it counts"), tag("p", finding.why, class_="quiet"),
        tag("p", "Sources: ", "; ".join(map(str, finding.sources)), ". Rule ", tag("code", finding.rule), class_="quiet"),
        class_="body",
    )  # fmt: skip


def _places(survey: Survey, finding: Finding) -> Markup:
    """The entry that it is about, its line of the file, and the values that it rests on."""
    device = device_of(finding)
    rows: list[list[Child]] = []
    if device != "site":
        rows.append([tag("a", device.partition("/")[2], href=f"#{survey.anchor(device)}"), _written(survey, finding)])
    else:
        rows.append(["the site", _written(survey, finding)])
    rows += [[where(each), each.message] for each in finding.related[:_PLACES]]
    return tag("ul", [tag("li", name, tag("span", words)) for name, words in rows], class_="rel")


def _written(survey: Survey, finding: Finding) -> Markup:
    span = finding.span
    if span is None or not 1 <= span.line <= len(survey.lines):
        return tag("span", "")
    line = survey.lines[span.line - 1].strip()
    return join([tag("code", line if len(line) <= 160 else f"{line[:160]}…"), " ",
                 button("line", f"Line {span.line}", line=span.line, class_="plain")])  # fmt: skip


def _missing(opened: Iterable[Finding]) -> list[tuple[str, list[str]]]:
    """What is missing, by its path, with the rules that wait for it; those for which most wait first."""
    found: dict[str, dict[str, None]] = {}
    for finding in opened:
        for path in finding.missing or (finding.message,):
            found.setdefault(path, {})[finding.rule] = None
    return sorted(((path, list(rules)) for path, rules in found.items()), key=lambda each: -len(each[1]))


def _wanted(path: str, rules: Sequence[str], value: object) -> Markup:
    """A fact that nobody gave: what waits for it, and a field for it where a cell has it."""
    wait = "1 rule waits" if len(rules) == 1 else f"{len(rules)} rules wait"
    head = tag("p", level("open"), " ", tag("span", f"Not judged. {wait} for it", class_="quiet"), class_="q")
    return tag(
        "li",
        head,
        tag("div", tag("h3", _asked(path, value), class_="asks"), _field(f"/{path}"), class_="one"),
        class_="open",
    )


def _asked(path: str, value: object) -> str:
    """`cameras/gate/video/over/0/length` as people say it; what is written but leads nowhere is told so."""
    steps = path.split("/")
    if " " in path or len(steps) < 3:
        return path
    at = 3 if steps[0] == "parts" and len(steps) > 3 else 2
    rest = [step for step in steps[at:] if step != "over" and not step.isdecimal()]
    there = has_path(value, typed_steps(f"/{path}"))
    words = "leads nowhere as it is written" if there else "is not given"
    return f"{'/'.join(steps[1:at])}: {' '.join(rest).replace('_', ' ')} {words}."


def _field(path: str) -> Markup | None:
    """A field that sets one cell."""
    try:
        column = column_at(typed_steps(path))
    except Wrong:
        return None
    if not column.unit:
        return None
    name = path.split("/")[2] if path.count("/") > 1 else ""
    anchor = f"ask{path}"
    return tag(
        "form",
        tag("label", f"{name}, {column.name}" if name else column.name, for_=anchor),
        tag("input", type="text", id=anchor, name="text", placeholder=column.hint, autocomplete="off"),
        tag("button", "Set", type="submit"), tag("a", "cell", href=f"#{cell_id(path)}", class_="plain btn"),
        class_="supply", data_do="supply", data_args=json.dumps({"path": path}),
    )  # fmt: skip


def _notes(survey: Survey, notes: Sequence[Finding], look: Look, found: Actions | str | None) -> Markup | None:
    if not notes:
        return None
    items: Iterable[Markup] = [tag("li", _finding(survey, each, look, found), class_="note") for each in notes]
    is_open = any(each.key == look.finding for each in notes)
    summary = tag("summary", f"{count(len(notes), 'note')}, nothing that has to be done")
    return tag("details", summary, tag("ul", items, class_="todo notes"), open=is_open, id="notes")
