"""Pieces that pages of the course share: the frame, and one question with its tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files

from coaxwright.quiz.drawing import as_svg
from coaxwright.quiz.printed import CAUTION, Question
from coaxwright.quiz.tables import Table
from coaxwright.show.markup import Markup, tag
from coaxwright.show.page import finished


@cache
def asset(name: str) -> str:
    """A stylesheet or script of this room."""
    return files("coaxwright.course").joinpath(name).read_text(encoding="utf-8")


def whole(title: str, main: Iterable[Markup | None], script: str = "", **attributes: str) -> str:
    """A page of its own, which loads nothing."""
    body = tag("main", tag("h1", title), main, tag("footer", tag("p", CAUTION)), **attributes)
    return finished(title, [body], css=asset("page.css"), script=asset(script) if script else "", common=False)


def tables_and_drawing(question: Question) -> Iterator[Markup]:
    """What a question is worked out from."""
    given = Table("given", "Also given", ("what", "value"), question.given) if question.given else None
    for place, table in enumerate([*question.tables, *([given] if given else [])], start=1):
        yield scrolled(table, f"{table.title}, table {place} of question {question.number}")
    if question.lines:
        yield Markup(as_svg(question.lines, "What is joined to what; as in the tables"))


def scrolled(table: Table, name: str) -> Markup:
    """A table in a window of its own, which scrolls sideways where the page is narrow."""
    site = table.of == "site"
    heads, rows = (table.heads[1:], [row[1:] for row in table.rows]) if site else (table.heads, table.rows)
    made = tag(
        "table", tag("caption", table.title), tag("thead", tag("tr", [tag("th", head, scope="col") for head in heads])),
        tag("tbody", [tag("tr", [tag("td", cell) for cell in row]) for row in rows]),
    )  # fmt: skip
    return tag("div", made, class_="scroll", tabindex="0", role="region", aria_label=name)
