"""The two halves of an item as plain data: what is printed for learners, and what is for trainers only.

Writers of papers get `Sheet`s made here and nothing else, so that no trace of a key can reach a paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.drawing import drawing_of
from coaxwright.quiz.items import Item, Option, Wrong
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.tables import Table

NOTE = (
    "Take what the tables print as given. Cables are copper at the temperature given unless a table says otherwise; "
    "resistance of copper rises by 0.393 % a kelvin from 20 °C. A dash, or a missing column, stands where the plan says "
    "nothing."
)
CAUTION = (
    "For training only. Work on supplies, ladders and cables is for competent persons under local rules; "
    "a real plan needs review by one."
)


@immutable
class Question:
    """What a learner sees of one item. `unit` is set where a number is to be entered."""

    id: str
    number: int
    topic: str
    level: str
    intro: str
    stem: str
    tables: tuple[Table, ...]
    given: tuple[tuple[str, str], ...]
    lines: tuple[tuple[str, str, str], ...]
    options: tuple[tuple[str, str], ...]
    unit: str
    entered: bool


@immutable
class Sheet:
    """What a learner sees of a paper; `minutes` is 0 where no time is set."""

    letter: str
    title: str
    mark: str
    questions: tuple[Question, ...]
    minutes: int = 0


def sheet_of(paper: Paper) -> Sheet:
    """The half of a paper that may be printed."""
    questions = tuple(_question(number, item) for number, item in enumerate(paper.items, start=1))
    return Sheet(paper.letter, paper.title, mark_of(paper), questions, paper.minutes)


def mark_of(paper: Paper) -> str:
    """What a paper can be made from again."""
    return f"coaxwright {paper.version}, seed {paper.seed}, paper {paper.letter}, bank {paper.bank[7:19]}"


def _question(number: int, item: Item) -> Question:
    asked = item.posed.asked
    shown = asked.pattern.form.printed
    return Question(
        id=item.id, number=number, topic=item.topic, level=item.level, intro=item.intro, stem=item.posed.stem,
        tables=item.tables, given=item.given, lines=drawing_of(asked.plan, item.posed.shows),
        options=tuple((option.id, option.answer.text) for option in item.options),
        unit=(shown.unit if shown else "") if item.numeric else "", entered=item.numeric,
    )  # fmt: skip


def question_data(question: Question) -> dict[str, Any]:
    """A question as JSON data."""
    return {
        "number": question.number, "topic": question.topic, "level": question.level, "scenario": question.intro,
        "question": question.stem,
        "tables": [{"of": t.of, "title": t.title, "columns": list(t.heads), "rows": [list(row) for row in t.rows]}
                   for t in question.tables],
        "given": [{"what": what, "value": value} for what, value in question.given],
        "drawing": [list(line) for line in question.lines],
        "options": [{"id": letter, "text": text} for letter, text in question.options],
        "answer_unit": question.unit or None,
    }  # fmt: skip


def paper_data(paper: Paper) -> dict[str, Any]:
    """The paper as JSON data: items by id, in order of number."""
    sheet = sheet_of(paper)
    return {
        "title": sheet.title, "letter": sheet.letter, "made_by": sheet.mark, "note": NOTE,
        **({"minutes": sheet.minutes} if sheet.minutes else {}),
        "items": {question.id: question_data(question) for question in sheet.questions},
    }  # fmt: skip


def key_data(bank: Bank, paper: Paper) -> dict[str, Any]:
    """The key as JSON data: for every item its key, working, sources, and what to tell who chose otherwise."""
    return {
        "title": paper.title, "letter": paper.letter, "made_by": mark_of(paper), "seed": paper.seed,
        "bank": paper.bank, "version": paper.version,
        "items": {item.id: item_key(bank, number, item) for number, item in enumerate(paper.items, start=1)},
    }  # fmt: skip


def item_key(bank: Bank, number: int, item: Item) -> dict[str, Any]:
    """The key of one item."""
    form = item.posed.asked.pattern.form
    entered: Mapping[str, Any] = {
        "value": item.posed.key.number, "tolerance": form.tolerance, "unit": form.printed.unit if form.printed else "",
    } if item.numeric else {}  # fmt: skip
    return {
        "number": number, "pattern": item.pattern, "kind": item.kind, "topic": item.topic, "level": item.level,
        "key": item.key or None, "answer": item.posed.key.text, "entered": dict(entered) or None,
        "question": item.posed.stem, "estimate": item.estimate, "band": item.band,
        "working": list(item.posed.working), "sources": list(item.posed.sources), "caution": form.caution,
        "options": {option.id: _option_data(bank, option) for option in item.options},
        "typical": [_typical_data(bank, wrong) for wrong in item.typical],
    }  # fmt: skip


def _option_data(bank: Bank, option: Option) -> dict[str, Any]:
    if not option.slip:
        return {"text": option.answer.text, "right": True}
    return {
        "text": option.answer.text, "right": False, "slip": option.slip, "named": _named(bank, option),
        "feedback": option.feedback, **({"slips": list(option.pair)} if option.pair else {}),
    }  # fmt: skip


def _named(bank: Bank, option: Option) -> str:
    return "; and ".join(bank.slips[slip].title for slip in option.pair or (option.slip,))


def _typical_data(bank: Bank, wrong: Wrong) -> dict[str, Any]:
    return {
        "value": wrong.answer.number, "text": wrong.answer.text, "slip": wrong.slip,
        "named": bank.slips[wrong.slip].title, "feedback": wrong.feedback,
    }  # fmt: skip
