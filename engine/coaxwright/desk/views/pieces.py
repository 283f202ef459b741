"""Small things that several fragments have: buttons that ask for something, hints for ears, one site's survey."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.reporting.page.survey import Survey
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.workspace.project import Workspace

PREFIX = "at"
"""What ids of devices on the page begin with; the drawing links to them."""


def button(do: str, words: Child | Sequence[Child], *, off: str = "", class_: str = "", **data: str | None) -> Markup:
    """A button that asks for `do`. `off` is why it cannot be pressed now; it stays in the order of focus."""
    told = tag("span", f": {off}", class_="ears") if off else None
    shown = words if words is None or isinstance(words, str) else join(words)
    return tag(
        "button", shown, told, type="button", data_do=do, aria_disabled="true" if off else None, class_=class_ or None,
        **{f"data_{name}": value for name, value in data.items()},
    )  # fmt: skip


def survey_of(work: Workspace) -> Survey | None:
    """The open site as the report's builders see it; None where it was never judged."""
    report = work.site.report
    return None if report is None else Survey(report, (), PREFIX)


def cell_id(path: str) -> str:
    """The id of the cell at a pointer."""
    return f"c{path}"


def head(anchor: str, words: str, *acts: Child, note: str = "") -> Markup:
    """A heading with what can be done beside it."""
    return tag(
        "div", tag("h2", words, id=anchor, tabindex="-1"), tag("span", note, class_="quiet") if note else None,
        tag("div", acts, class_="acts") if any(acts) else None, class_="head",
    )  # fmt: skip
