"""Small things that several fragments have: buttons that ask for something, hints for ears, one site's survey."""

from __future__ import annotations

import json
from collections.abc import Sequence

from coaxwright.reporting.page.survey import Survey
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.workspace.project import Workspace

PREFIX = "at"
"""What ids of devices on the page begin with; the drawing links to them."""


def button(
    do: str,
    words: Child | Sequence[Child],
    *,
    off: str = "",
    class_: str = "",
    id_: str = "",
    pick: str | None = None,
    many: bool = False,
    wait: str = "",
    of_row: bool = False,
    **args: object,
) -> Markup:
    """A button that asks for `do` with `args`. `off` is why it cannot be pressed now; it stays in the order of focus.

    `pick`: files of these endings are chosen first and go with it (`many` of them). `wait`: the title of the dialog that
    opens at once, before the answer is there. `of_row`: the row that was last in focus goes with it.
    """
    told = tag("span", f": {off}", class_="ears") if off else None
    shown = words if words is None or isinstance(words, str) else join(words)
    return tag(
        "button", shown, told, type="button", data_do=do, data_args=json.dumps(args) if args else None,
        aria_disabled="true" if off else None, class_=class_ or None, id=id_ or None, data_pick=pick,
        data_many="yes" if many else None, data_wait=wait or None, data_of_row="yes" if of_row else None,
    )  # fmt: skip


def goes(to: str, words: Child, *, class_: str = "") -> Markup:
    """A button that leads to an address of the page."""
    return tag("button", words, type="button", data_go=to, class_=class_ or None)


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
