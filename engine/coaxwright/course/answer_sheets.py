"""Answer sheets to print: boxes of 5 mm in blocks of five, cells for figures with their unit, one sheet for one version."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.course.pages import asset
from coaxwright.quiz.printed import Question, Sheet
from coaxwright.show.markup import Markup, tag
from coaxwright.show.page import finished

BLOCK = 5
DIGITS = 7


def answer_sheet(sheet: Sheet) -> str:
    """The page for one version."""
    title = f"{sheet.title}: answer sheet {sheet.letter}"
    blocks = [_block(sheet.questions[place : place + BLOCK]) for place in range(0, len(sheet.questions), BLOCK)]
    body = tag(
        "main", tag("h1", title),
        tag("div", tag("span", "Name"), tag("span", "Number"), tag("span", "Date"), class_="line"),
        tag("p", f"Version {sheet.letter}. Cross one box for each question. To correct, fill the wrong box and cross another. "
                 "Write figures one digit to a cell; a point or a comma takes a cell of its own."),
        tag("div", blocks, class_="blocks"),
        tag("footer", f"{sheet.mark}. Columns of the table of answers are in this order."),
    )  # fmt: skip
    return finished(title, [body], css=asset("sheet.css"), common=False)


def _block(questions: Sequence[Question]) -> Markup:
    span = (
        f"Questions {questions[0].number} to {questions[-1].number}"
        if len(questions) > 1
        else f"Question {questions[0].number}"
    )
    return tag("fieldset", tag("legend", span), tag("ol", [tag("li", list(_line(each))) for each in questions]))


def _line(question: Question) -> Iterator[Markup]:
    yield tag("span", str(question.number), class_="number")
    if question.entered:
        yield tag("span", [tag("span", "", class_="cell") for _ in range(DIGITS)])
        yield tag("span", question.unit)
    for letter, _ in question.options:
        yield tag("span", letter, tag("i", "", aria_hidden="true"), class_="box")
