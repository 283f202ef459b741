"""The first screen: whether the site holds, all five outcomes counted, what to change first, what to supply."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from coaxwright.findings import Finding, Summary
from coaxwright.immutable import immutable
from coaxwright.reporting import ordering
from coaxwright.reporting.page.places import placed
from coaxwright.reporting.page.sections.brief import do_line
from coaxwright.reporting.page.survey import Survey, device_of, named
from coaxwright.rulebook.cautions import apart
from coaxwright.show import figures
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import level, link, listed, mark, names

FIRST = 5
"""Things to do that the first screen names."""
_CAUTIONS = 4
_GROUP_WORDS = {"cameras": "camera", "recorders": "recorder", "supplies": "supply", "junctions": "junction"}


def opening(survey: Survey) -> Markup:
    """The whole first screen."""
    return tag(
        "section",
        tag("p", mark(state(survey.report.summary)), verdict(survey), class_=f"verdict {state(survey.report.summary)}"),
        tally(survey.report.summary),
        tag("div", _change(survey), _aside(survey), class_="first"),
        aria_label="Verdict",
        class_="opening",
    )


def verdict(survey: Survey) -> str:
    """The answer in one sentence. Never more than was judged, and never that anything is harmless."""
    summary = survey.report.summary
    open_too = f" {figures.count(summary.open, 'question')} still open." if summary.open else ""
    if summary.fault:
        return f"Not fully checked: {figures.count(summary.fault, 'judgement')} could not be carried out.{open_too}"
    if summary.error:
        return f"Does not work as drawn: {_failing(survey, 'error')}.{open_too}"
    if summary.warning:
        told = figures.count(summary.warning, "warning")
        return f"No error found, {told} to weigh before ordering.{open_too}"
    if summary.open:
        return f"Nothing failed, but {figures.count(summary.open, 'question')} open: an answer may still change that."
    if summary.passed:
        return "Everything that could be judged passes."
    return "Nothing was judged: no rule applies to this site."


def _failing(survey: Survey, at: str) -> str:
    """`3 cameras of 32 and 1 recorder have errors`; the site itself where only it has."""
    devices = [device for device, found in survey.by_device.items() if any(finding.level == at for finding in found)]
    parts = []
    for group, word in _GROUP_WORDS.items():
        bad = sum(device.startswith(f"{group}/") for device in devices)
        total = len(survey.sheets(word))
        if bad:
            parts.append(figures.count(bad, word, group) + (f" of {total}" if total > 1 else ""))
    others = len(devices) - sum(device.startswith(tuple(f"{group}/" for group in _GROUP_WORDS)) for device in devices)
    if others:
        parts.append("the site as a whole" if others == 1 else figures.count(others, "other thing"))
    if not parts:
        return f"there {'is' if survey.report.summary.error == 1 else 'are'} {figures.count(survey.report.summary.error, at)}"
    told = " and ".join(filter(None, [", ".join(parts[:-1]), parts[-1]]))
    return f"{told} {'has' if len(devices) == 1 else 'have'} errors"


def state(summary: Summary) -> str:
    """What the verdict looks like: `error`, `warning`, `open` or `pass`."""
    if summary.error or summary.fault:
        return "error"
    if summary.warning:
        return "warning"
    return "open" if summary.open or not summary.passed else "pass"


def tally(summary: Summary) -> Markup:
    """Every judgement in one of five outcomes, none left out for being nought."""
    fails = summary.error + summary.warning + summary.note
    split = join(
        [tag("span", mark(name), f"{figures.count(getattr(summary, name), name)}") for name in ("error", "warning", "note")],
        " ",
    )
    cells: list[tuple[str, str, Child]] = [
        ("error" if summary.error else "note", f"{fails} failed", split),
        ("open", f"{summary.open} open", "a fact is missing"),
        ("pass", f"{summary.passed} passed", "judged, and holds"),
        ("", f"{summary.not_applicable} not applicable", "the rule does not concern it"),
        ("", f"{summary.waived} waived", "someone answers for it"),
    ]
    if summary.fault:
        cells.insert(0, ("error", f"{summary.fault} not carried out", "a rule is broken"))
    items = [tag("li", tag("b", head), " ", tag("span", why, class_="quiet")) for _, head, why in cells]
    return tag("ul", items, class_="tally", aria_label=f"{summary.judged} judgements by outcome")


def _change(survey: Survey) -> Markup:
    groups = survey.things
    heading = tag("h2", "Change first" if groups else "To change", id=survey.section("first"))
    if not groups:
        return tag("div", heading, tag("p", "Nothing that was judged asks for a change."), class_="change")
    items = [_first_of(survey, group) for group in groups[:FIRST]]
    left = len(groups) - FIRST
    more = tag("p", link(survey.section("findings"), f"{left} more below")) if left > 0 else None
    return tag("div", heading, tag("ol", items, class_="firsts"), more, class_="change")


def _first_of(survey: Survey, group: Sequence[Finding]) -> Markup:
    """One kind of finding: the worst case of it in words, how many, and what to do."""
    alike = [each for each in group if each.rule == group[0].rule]
    told = min(alike, key=lambda finding: 0.0 if finding.margin is None else finding.margin)
    others = [each for each in dict.fromkeys(map(device_of, alike)) if each != device_of(told)]
    more = tag("span", " The same on ", names([placed(survey, each, named(each)) for each in others], 6), ".") if others else None
    beside = len(group) - len(alike)
    rest = f" {figures.count(beside, 'more finding comes', 'more findings come')} from the same." if beside else None
    return tag(
        "li",
        tag("p", level(group[0].level), " ", link(survey.group(group), group[0].rule)),
        tag("p", told.message, more, rest),
        do_line(told, group),
    )


def _aside(survey: Survey) -> Markup:
    return tag("div", _open(survey), _cautions(survey), _assumed(survey), class_="aside")


def _open(survey: Survey) -> Markup | None:
    found = ordering.opened(survey.report)
    if not found:
        return None
    groups = supplies(found)
    items = [_supply(each.field, each.of) for each in groups[:4]]
    more = len(groups) - 4
    tail = f"All {len(groups)} with the rules that wait for them" if more > 0 else "The rules that wait for them"
    return tag(
        "div", tag("h2", f"Open: supply {figures.count(len(groups), 'fact')}"), listed(items),
        tag("p", link(survey.section("open"), tail)),
    )  # fmt: skip


def _supply(field: str, subjects: Sequence[str]) -> Markup:
    if not any(subjects):
        return tag("code", field)
    return join([tag("code", field), " of ", names([tag("span", each) for each in subjects], 4)])


@immutable
class Supply:
    """A fact to supply: its field, the entries that lack it and their names, the findings that wait. Not `exact`: the field
    is a sentence.
    """

    field: str
    entries: tuple[str, ...]
    of: tuple[str, ...]
    findings: tuple[Finding, ...]
    exact: bool = True


def supplies(found: Iterable[Finding]) -> list[Supply]:
    """What to supply, fields of like devices together, those that open most first."""
    groups: dict[str, dict[tuple[str, str], list[Finding]]] = {}
    unnamed: list[Supply] = []
    for finding in found:
        for path in finding.missing:
            entry, name, field = _parted(path)
            groups.setdefault(field, {}).setdefault((entry, name), []).append(finding)
        if not finding.missing:
            unnamed.append(Supply(f"{device_of(finding)}: what the message names", (), (), (finding,), exact=False))
    made = [
        Supply(field, tuple(entry for entry, _ in of), tuple(name for _, name in of), _once(of.values()))
        for field, of in groups.items()
    ]
    return sorted([*made, *unnamed], key=lambda each: (-len(each.of), -len(each.findings)))


def _once(groups: Iterable[Sequence[Finding]]) -> tuple[Finding, ...]:
    """Findings in order, one that lacks a fact of two entries not twice."""
    return tuple({id(finding): finding for group in groups for finding in group}.values())


def _parted(path: str) -> tuple[str, str, str]:
    """`cameras/gate/place/ambient_min` as entry, its name, and field; parts have ids of two words."""
    match = re.match(r"(parts/([^/]+/[^/]+)|\w+/([^/]+))/(.+)", path)
    return ("", "", path) if match is None else (match[1], match[2] or match[3], match[4])


def _cautions(survey: Survey) -> Markup | None:
    told = apart(group[0].caution for group in survey.groups if group[0].caution)
    if not told:
        return None
    shown = list(told)[:_CAUTIONS]
    left = len(told) - len(shown)
    on_screen = tag("p", link(survey.section("findings"), f"{left} more, each with its finding"), class_="long")
    more = join([on_screen, tag("p", f"{left} more under “Notes and cautions”", class_="short")]) if left else None
    return tag("div", tag("h2", "Cautions"), listed(shown, "cautions"), more)


def _assumed(survey: Survey) -> Markup | None:
    assumed = survey.report.assumed
    if not assumed:
        return None
    shown = sorted(assumed, key=lambda each: -each.count)[:4]
    items = [join([_short(each.what), ": ", tag("b", each.value)]) for each in shown]
    left = len(assumed) - len(shown)
    tail = f"{left} more, and where each comes from" if left > 0 else "Where each comes from"
    return tag(
        "div", tag("h2", f"Assumed: {figures.count(len(assumed), 'value')}"), listed(items),
        tag("p", link(survey.section("assumed"), tail)),
    )  # fmt: skip


def _short(what: str) -> str:
    """What a value is, without the sentence that explains it."""
    return re.split(r": |\. ", what.rstrip("."), maxsplit=1)[0]
