"""A lesson as one page: the idea, a picture computed from the facts, a worked example with every step, slips, three questions.

Nothing in it is drawn by hand: curves and cells are facts of plans that were edited point by point, the example and the
questions come from the bank of questions, their keys at the foot.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from coaxwright.course.charts import curve_svg, slider, stripes_svg
from coaxwright.course.lesson_forms import Cells, Curve, Lesson, load_lessons
from coaxwright.course.pages import scrolled, tables_and_drawing, whole
from coaxwright.diagnosis.knowledge import value_of
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import scenes
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.items import Item
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.plans import NoSuchPlace, Plan, edited, put_at
from coaxwright.quiz.printed import NOTE, Question, item_key, sheet_of
from coaxwright.quiz.tables import Table
from coaxwright.reading.suggest import did_you_mean
from coaxwright.show.markup import Markup, tag

MOST_PLANS = 30


@immutable
class Picture:
    """What was computed for a lesson: points of a curve with its limit, or rows of cells."""

    points: tuple[tuple[float, float], ...] = ()
    limit: float | None = None
    rows: tuple[tuple[str, str], ...] = ()


def lesson_page(bank: Bank, topic: str, seed: int = 1) -> str:
    """The page of a topic. Raises Refusal for one that has no lesson."""
    return whole(*lesson_parts(bank, topic, seed), "lesson.js")


def lesson_parts(bank: Bank, topic: str, seed: int = 1) -> tuple[str, list[Markup]]:
    """The title of a lesson, and what stands below it. Raises Refusal for a topic that has none."""
    lessons = load_lessons(bank)
    if topic not in lessons:
        right = did_you_mean(topic, lessons) or f"there are: {', '.join(lessons)}"
        raise Refusal([Problem("lesson", f"there is no lesson on `{topic}`", right)])
    lesson = lessons[topic]
    items = [
        _item(bank, name, f"lesson/{seed}/{topic}/{place}", place)
        for place, name in enumerate((lesson.example, *lesson.questions))
    ]
    sheet = sheet_of(Paper("L", lesson.title, seed, bank.digest, "", tuple(items)))
    asked = [
        (question, item_key(bank, question.number, item)) for question, item in zip(sheet.questions, items, strict=True)
    ]
    parts = [
        _idea(lesson), _picture(bank, lesson, topic, seed), _example(*asked[0]), _slips(asked),
        *_questions(asked[1:]), _answers(asked[1:]), _sources(bank, lesson, asked),
    ]  # fmt: skip
    return lesson.title, parts


def _item(bank: Bank, name: str, seed: str, place: int) -> Item:
    return make_item(bank, Order(bank.pattern(name), seed, place, "small"))


def _idea(lesson: Lesson) -> Markup:
    return tag("section", tag("h2", "The idea"), tag("p", lesson.idea))


def _picture(bank: Bank, lesson: Lesson, topic: str, seed: int) -> Markup:
    if lesson.stripes:
        said = (
            "Above as sent, below as stored: each stored column is the mean of two, shown twice as wide. A stripe each 2 "
            "columns is gone, each 4 is grey, each 8 has soft edges."
        )
        return tag("section", tag("h2", "A picture of it"), tag("figure", stripes_svg(), tag("figcaption", said)))
    found = picture_of(bank, lesson, topic, seed)
    if lesson.curve is not None:
        curve = lesson.curve
        said = f"{curve.says} over {curve.x}, computed on a plan of this lesson" + (
            f"; broken line: the limit, {found.limit:g} {curve.shown}." if found.limit is not None else "."
        )
        drawn = curve_svg(
            found.points,
            found.limit,
            f"{curve.x}{f', {curve.unit}' if curve.unit else ''}",
            f"{curve.says}, {curve.shown}",
        )
        rows = tuple((f"{x:g}", f"{y:.2f}") for x, y in found.points[:: max(1, len(found.points) // 8)])
        table = scrolled(
            Table("curve", "Some points of it", (f"{curve.x} {curve.unit}".strip(), curve.shown), rows),
            "points of the curve",
        )
        moved = slider(found.points, found.limit, curve.x, curve.unit, curve.shown)
        return tag("section", tag("h2", "A picture of it"), tag("figure", drawn, moved, tag("figcaption", said)), table)
    cells = lesson.cells
    assert cells is not None
    table = scrolled(Table("cells", f"{cells.says}, computed", (cells.x, cells.says), found.rows), cells.says)
    return tag("section", tag("h2", "A picture of it"), table)


def picture_of(bank: Bank, lesson: Lesson, topic: str, seed: int) -> Picture:
    """What the picture of a lesson shows, computed on the first drawn plan on which it tells something."""
    draw = random.Random(f"lesson/{seed}/{topic}/picture")
    for _ in range(MOST_PLANS):
        plan = scenes.generate(bank, draw, "medium", topic)
        found = (
            _curve(plan, lesson.curve) if lesson.curve else _cells(plan, lesson.cells) if lesson.cells else Picture()
        )
        if (len({y for _, y in found.points}) > 2 and found.limit is not None) or len(
            {said for _, said in found.rows}
        ) > 1:
            return found
    raise Refusal([Problem("lesson", f"no plan shows the picture of `{topic}`", "try another seed")])


def _device(plan: Plan, about: str) -> tuple[str, tuple[str, ...]] | None:
    sheet = next(iter(plan.facts().by_kind(about)), None)
    return None if sheet is None else (sheet.subject, tuple(sheet.subject.split("/")[:2]))


def _curve(plan: Plan, curve: Curve | None) -> Picture:
    found = _device(plan, curve.about) if curve else None
    if curve is None or found is None:
        return Picture()
    points, limit = list[tuple[float, float]](), None
    for place in range(int((curve.to - curve.start) / curve.step) + 1):
        x = curve.start + place * curve.step
        value = f"{x:g} {curve.unit}" if curve.unit else int(x)
        read = _read(plan, curve.at, value, found, curve.about, (curve.y, curve.limit))
        if isinstance(read[0], int | float):
            points.append((x, float(read[0]) / curve.scale))
        if isinstance(read[1], int | float):
            limit = float(read[1]) / curve.scale
    return Picture(tuple(points), limit)


def _cells(plan: Plan, cells: Cells | None) -> Picture:
    found = _device(plan, cells.about) if cells else None
    if cells is None or found is None:
        return Picture()
    try:
        plan = edited(plan, cells.before, found[1])
    except NoSuchPlace:
        return Picture()
    rows = [(str(value), _read(plan, cells.at, value, found, cells.about, (cells.y,))[0]) for value in cells.put]
    return Picture(rows=tuple((value, str(said)) for value, said in rows if said is not None))


def _read(
    plan: Plan, at: str, value: object, found: tuple[str, tuple[str, ...]], about: str, texts: Sequence[str]
) -> list[Any]:
    """What expressions come to with a value put into the plan; None each where that makes no site."""
    try:
        facts = edited(plan, (put_at(at, value),), found[1]).facts()
    except (Refusal, NoSuchPlace):
        return [None] * len(texts)
    sheet = facts.sheet(found[0], about)
    return [None if sheet is None else value_of(text, about, sheet) for text in texts]


def _example(question: Question, key: Mapping[str, Any]) -> Markup:
    steps = tag("ol", [tag("li", line) for line in key["working"]])
    return tag(
        "section", tag("h2", "A worked example"), tag("p", NOTE, class_="note"), tag("p", question.intro, class_="quiet"),
        list(tables_and_drawing(question)), tag("p", question.stem, class_="stem"), tag("h3", "Step by step"), steps,
        tag("p", tag("b", f"Answer: {key['answer']}")),
    )  # fmt: skip


def _slips(asked: Sequence[tuple[Question, Mapping[str, Any]]]) -> Markup:
    """The usual slips, each once, with why."""
    told = dict[str, str]()
    for _, key in asked:
        for each in (*(option for option in key["options"].values() if not option["right"]), *key["typical"]):
            told.setdefault(each["named"], each["feedback"].partition(" Here: ")[0])
    lines = [tag("li", tag("b", f"{name[:1].upper()}{name[1:]}. "), why) for name, why in told.items()]
    return tag("section", tag("h2", "Usual slips"), tag("ul", lines))


def _questions(asked: Sequence[tuple[Question, Mapping[str, Any]]]) -> Iterator[Markup]:
    yield tag("h2", "Three questions")
    for place, (question, _) in enumerate(asked, start=1):
        options = tag("ul", [tag("li", f"{letter}: {text}") for letter, text in question.options])
        answer = tag("p", f"Answer: ____________ {question.unit}") if question.entered else options
        yield tag("section", tag("h3", f"Question {place}"), tag("p", question.intro, class_="quiet"),
                  list(tables_and_drawing(question)), tag("p", question.stem, class_="stem"), answer)  # fmt: skip


def _answers(asked: Sequence[tuple[Question, Mapping[str, Any]]]) -> Markup:
    lines = [
        tag(
            "li",
            f"{key['key']}: {key['answer']}" if key["key"] else key["answer"],
            tag("ul", [tag("li", line) for line in key["working"]]),
        )
        for _, key in asked
    ]
    return tag(
        "section",
        tag("h2", "Answers"),
        tag("details", tag("summary", "Show them, with their workings"), tag("ol", lines)),
    )


def _sources(bank: Bank, lesson: Lesson, asked: Sequence[tuple[Question, Mapping[str, Any]]]) -> Markup:
    found = [source for _, key in asked for source in key["sources"]]
    rules = [bank.rulebook.rule(rule) for rule in lesson.rules]
    lines = [tag("li", tag("code", rule.id), f": {rule.title}. {rule.why}") for rule in rules]
    cautions = [tag("p", rule.caution, class_="caution") for rule in rules if rule.caution][:1]
    return tag("section", tag("h2", "The rules behind it"), tag("ul", lines), cautions,
               tag("h2", "Sources"), tag("ul", [tag("li", each) for each in dict.fromkeys(found)]))  # fmt: skip


__all__ = ["lesson_page", "lesson_parts", "picture_of"]
