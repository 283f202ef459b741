"""The upper edge of the page: how the file stands, undo, redo, save; and the verdict below it."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.desk.room import Room
from coaxwright.desk.taking_in import ENDINGS
from coaxwright.desk.views.look import FILES, FIRST
from coaxwright.desk.views.pieces import button, goes, survey_of
from coaxwright.reporting.page.sections.opening import state, tally, verdict
from coaxwright.reporting.page.survey import Survey
from coaxwright.show.figures import count
from coaxwright.show.markup import NOTHING, Markup, tag
from coaxwright.show.pieces import mark
from coaxwright.workspace.project import Workspace


def views(rooms: Sequence[Room], at: str) -> Markup:
    """The views of the page, where there is more than one; `at` is the room that is shown, empty for the site."""
    if not rooms:
        return NOTHING
    links = [("", FIRST, "Site"), *((room.name, f"/{room.name}", room.word) for room in rooms)]
    items = [
        tag("li", tag("a", word, href=f"#{to}", aria_current="page" if name == at else None))
        for name, to, word in links
    ]
    return tag("nav", tag("ul", items), aria_label="Views")


def foot(work: Workspace, reading: bool) -> Markup | None:
    """At hand at the lower edge of a phone: what is wrong, Undo, Save."""
    if not work.is_open or reading:
        return None
    undo, unsaved = work.site.history.done[-1:], work.site.unsaved_steps
    return tag(
        "div",
        tag("a", tag("b", spoken(work) or "Not judged."), href="#h-todo", class_="btn"),
        button("undo", ["Undo", _ears(undo[0].name if undo else "")], off="" if undo else "nothing to undo"),
        button("save", "Save", off="" if unsaved else "there is nothing to save", class_="main-act" if unsaved else ""),
        class_="at-hand", role="group", aria_label="At hand",
    )  # fmt: skip


def bar(work: Workspace, reading: bool = False) -> Markup | None:
    """The state of the file in words, and what can be done with it as a whole."""
    if not work.is_open:
        return None
    site = work.site
    undo, redo = site.history.done[-1:], site.history.undone[-1:]
    unsaved = site.unsaved_steps
    if reading:
        words = tag("span", "To read: this site is edited in another tab.", class_="quiet", id="stands")
        return tag("div", words, button("take-over", "Edit here instead", class_="main-act"), _menu(work), class_="file",
                   role="group", aria_label="File")  # fmt: skip
    stands = f"{count(unsaved, 'change')} not saved" if unsaved else "Saved" if site.history.done else "No changes yet"
    return tag(
        "div",
        tag("span", stands, class_="quiet", id="stands"),
        button("undo", ["Undo", _ears(undo[0].name if undo else "")], off="" if undo else "nothing to undo"),
        button("redo", ["Redo", _ears(redo[0].name if redo else "")], off="" if redo else "nothing to redo"),
        button("save", "Save", off="" if unsaved else "there is nothing to save", class_="main-act" if unsaved else ""),
        _menu(work),
        class_="file", role="group", aria_label="File",
    )  # fmt: skip


def _ears(name: str) -> Markup | None:
    return tag("span", f": {name}", class_="ears") if name else None


def _menu(work: Workspace) -> Markup:
    """Everything else that can be done with the file: a list of buttons that unfolds."""
    state = work.site.state
    wanted = state is not None and bool(state.basis.loaded.site.wanted)
    items = [
        goes(f"/site/{FILES}", "Open another site"),
        button("copy", "Save as a copy"),
        button("import", "Import a schedule from a spreadsheet", pick=",".join(ENDINGS)),
        button("propose", "Propose a system") if wanted else None,
        *(button("download", words, kind=kind) for kind, words in _DOWNLOADS),
        button("compare-page", "Compare with the saved file"),
        button("keys", "Keys"),
        button("forget", "Forget this site"),
    ]
    listed = tag("ul", [tag("li", item) for item in items if item is not None])
    return tag("details", tag("summary", "File and downloads"), listed, class_="menu", id="menu")


_DOWNLOADS = (
    ("report", "Report as a page"), ("customer", "Report for the customer"), ("compared", "What changed, as a page"),
    ("pack", "Hand-over pack"), ("schedule", "Schedule as a workbook"), ("file", "The file itself"),
)  # fmt: skip


def judged(work: Workspace) -> Markup | None:
    """The site's name, the verdict in one sentence, and every judgement by its outcome."""
    if not work.is_open:
        return None
    site, survey = work.site, survey_of(work)
    name = survey.report.site if survey is not None else site.name
    where = tag("div", tag("h1", name, id="h1", tabindex="-1"), tag("span", site.name, class_="quiet"), class_="where")
    if site.problems:
        return tag("div", where, _unread(work, survey))
    if survey is None:
        return tag("div", where)
    if not survey.sheets("camera"):
        return tag(
            "div",
            where,
            tag("p", "No cameras yet, so there is no verdict. An empty site does not pass.", class_="verdict"),
        )
    shown = state(survey.report.summary)
    return tag(
        "div", where, tag("p", mark(shown), sentence(survey), class_=f"verdict {shown}"), tally(survey.report.summary)
    )


def sentence(survey: Survey) -> str:
    """The verdict in one sentence, as the report says it."""
    return verdict(survey)


def _unread(work: Workspace, survey: Survey | None) -> Markup:
    """What keeps the text from being judged, each with its line and what would be right."""
    problems = work.site.problems
    told = f"This file cannot be read yet: {count(len(problems), 'problem')}. Nothing was judged."
    items = []
    for problem in problems[:20]:
        line = problem.span.line if problem.span else 0
        go = button("line", f"Go to line {line}", line=line) if line else None
        right = tag("p", f"{problem.right[:1].upper()}{problem.right[1:]}.", class_="quiet") if problem.right else None
        items.append(tag("li", tag("p", tag("b", f"Line {line}: " if line else ""), problem.what, "."), right, go))
    old = tag("p", "The figures below are from before your last edit.", class_="quiet") if survey is not None else None
    more = tag("p", f"{len(problems) - 20} more.") if len(problems) > 20 else None
    return tag(
        "div", tag("p", mark("error"), told, class_="verdict error"), old, tag("ol", items, class_="problems"), more
    )


def spoken(work: Workspace) -> str:
    """The verdict for ears: counts only."""
    site = work.site
    if site.problems:
        return f"{count(len(site.problems), 'problem')} in the file. Nothing was judged."
    if site.report is None:
        return ""
    summary = site.report.summary
    told = [count(number, word) for number, word in ((summary.error, "error"), (summary.warning, "warning")) if number]
    if summary.open:
        told.append(f"{summary.open} open")
    if summary.fault:
        told.append(f"{summary.fault} not judged")
    survey = survey_of(work)
    if survey is not None and not survey.sheets("camera"):
        return "No cameras yet."
    return ", ".join(told) + "." if told else "Holds. Nothing is missing."
