"""Below the drawing: what was assumed, who answers for what, what the site was checked with."""

from __future__ import annotations

from coaxwright.desk.views.pieces import button, head, survey_of
from coaxwright.reporting import ordering
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, tag
from coaxwright.show.pieces import table
from coaxwright.workspace.project import Workspace

_ASSUMED = ("what", "value", "source", "times used")
_WAIVED = ("rule", "on", "found", "reason", "by")


def more(work: Workspace) -> Markup | None:
    """Folded lists, each with its number in its line."""
    survey = survey_of(work)
    if survey is None or not survey.sheets("camera"):
        return None
    report = survey.report
    assumed: list[list[Child]] = [[each.what, each.value, each.source, str(each.count)] for each in report.assumed]
    waived: list[list[Child]] = [
        [tag("code", each.rule), each.subject, each.message, each.waived.reason, each.waived.by or "not named"]
        for each in ordering.waived(report) if each.waived is not None
    ]  # fmt: skip
    return tag(
        "div", head("h-more", "More about this site"),
        tag(
            "div",
            _fold("assumed", "Assumed", f"{count(len(assumed), 'value')} that nobody gave", _ASSUMED, assumed),
            _fold("waived", "Waived", f"{count(len(waived), 'finding')} that someone answers for", _WAIVED, waived),
            _made_with(work),
            class_="fold",
        ),
    )  # fmt: skip


def _fold(name: str, words: str, note: str, heads: tuple[str, ...], rows: list[list[Child]]) -> Markup:
    body = table(words, heads, rows, class_="tbl stack") if rows else tag("p", "Nothing.")
    return tag("details", tag("summary", tag("b", words), tag("span", note)), body, id=f"more-{name}")


def _made_with(work: Workspace) -> Markup:
    text = (
        "This page says what follows from the site file and the parts it names. It does not replace a survey on site, the"
        " makers' instructions, or the review that local codes ask of licensed people. Nothing is sent anywhere."
    )
    rules = f"{count(len(work.rulebook.rules), 'rule')}, {work.rulebook.digest[:23]}…"
    return tag("details", tag("summary", tag("b", "Checked with"), tag("span", rules)), tag("p", text),
               tag("div", button("compare-page", "Compare with the saved file"), class_="acts"), id="more-made")  # fmt: skip
