"""Changes for a finding: each tried on a copy of the site and judged again, told with what it brings and what it costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.desk.views.pieces import button
from coaxwright.findings import Finding, Fix
from coaxwright.reporting import wording
from coaxwright.show.figures import count
from coaxwright.show.markup import Markup, join, tag
from coaxwright.workspace.acting import Actions


def changes(finding: Finding, found: Actions | str | None) -> Markup | None:
    """What was proven, or that it is being looked for, or why there is none."""
    if finding.kind != "fail":
        return None
    heading = tag("h4", "Proven changes", id="h-changes", tabindex="-1")
    if found is None:
        return join([heading, _looking()])
    if isinstance(found, str):
        again = tag("div", button("look", "Look again", again=True), class_="acts")
        return join([heading, tag("p", found, class_="quiet"), again])
    if not found.fixes:
        return join(
            [
                heading,
                tag("p", f"None found that makes nothing worse: {found.why}.", class_="quiet"),
                _declared(finding),
            ]
        )
    last = [_change(finding, number, fix, len(found.fixes)) for number, fix in enumerate(found.fixes, 1)]
    return join([heading, *last])


def _looking() -> Markup:
    """Asked for once the page is idle; how far it is stands beside it, and it can be stopped."""
    words = tag("p", "Looking for changes. ", tag("span", data_progress="yes"), class_="quiet")
    return tag("div", words, tag("div", button("stop", "Stop"), class_="acts"), id="looking", data_soon="look")


def _declared(finding: Finding) -> Markup | None:
    """Kinds of change that the rule names and nobody has tried on this site."""
    titles = [fix.title for fix in finding.fixes if not fix.proven]
    if not titles:
        return None
    return join([tag("h4", "Could be looked into (not tried)"), tag("ul", [tag("li", title) for title in titles])])


def _change(finding: Finding, number: int, fix: Fix, among: int) -> Markup:
    rows = [join([tag("dt", name), tag("dd", words)]) for name, words in _told(fix)]
    title = tag("p", tag("b", f"{number}. {fix.title}" if among > 1 else fix.title))
    apply = button(
        "apply", ["Apply", tag("span", f": {fix.title}", class_="ears")], class_="main-act" if number == 1 else "",
        rule=finding.rule, subject=finding.subject, number=number,
    )  # fmt: skip
    return tag(
        "div",
        title,
        tag("dl", rows),
        tag("div", apply, class_="acts"),
        class_="change gives" if fix.gives_up else "change",
    )


def _told(fix: Fix) -> Iterator[tuple[str, str]]:
    """What a change brings, line by line; that nothing gets worse is said as well."""
    if fix.margin is not None:
        yield "Then", wording.margin(fix.margin)
    yield "Clears", _cleared(fix.clears)
    yield "Costs", _cost(fix)
    if fix.gives_up:
        yield "Gives up", ", ".join(fix.gives_up)
    if fix.loses:
        yield "Loses", ", ".join(fix.loses)
    worse = [*fix.introduces, *fix.opens, *map(str, fix.worsens)]
    yield "Gets worse", ", ".join(worse) or "nothing"


def _cost(fix: Fix) -> str:
    if fix.cost is None:
        return "not known: a price is missing"
    if fix.cost == 0:
        return "no parts to buy"
    money = f"{abs(fix.cost):g} {fix.currency or ''}".strip()
    return money if fix.cost > 0 else f"{money} less"


def _cleared(keys: Sequence[str]) -> str:
    """How many findings, and of what: `3 findings: cellar, yard`."""
    subjects = dict.fromkeys(key.partition(" on ")[2].partition("/")[2] or "the site" for key in keys)
    names = list(dict.fromkeys(each.partition("/")[0] for each in subjects))
    shown = ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
    return f"{count(len(keys), 'finding')}: {shown}"
