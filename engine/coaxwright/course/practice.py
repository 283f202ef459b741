"""Practice as one page: questions with what each answer comes from, another of the same kind, spaced repeats.

It works from disk and on a phone and needs no engine; progress stays in the browser. Without scripts every question stands
there with its answer folded up. Keys are in the page: it is for practising, not for exams.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright import pace
from coaxwright.course.pages import tables_and_drawing, whole
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.items import Item
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import NOTE, Question, item_key, sheet_of
from coaxwright.reading.suggest import did_you_mean
from coaxwright.show.markup import Markup, tag


@immutable
class Practice:
    """What is ordered: topics (all where none is named), so many questions of each pattern, the seed."""

    topics: tuple[str, ...] = ()
    each: int = 3
    seed: int = 1
    size: str = "small"
    title: str = "Practice: analog-HD video over coax"


def practice_page(bank: Bank, wanted: Practice) -> str:
    """The page. Raises Refusal for a topic that is not there."""
    for topic in wanted.topics:
        if topic not in bank.topics:
            right = did_you_mean(topic, bank.topics) or f"there are: {', '.join(bank.topics)}"
            raise Refusal([Problem("practice", f"there is no question on the topic `{topic}`", right)])
    items = list(_items(bank, wanted))
    paper = Paper("P", wanted.title, wanted.seed, bank.digest, "", tuple(items))
    sheet = sheet_of(paper)
    topics = list(dict.fromkeys(item.topic for item in items))
    made = [
        _question(question, item, item_key(bank, question.number, item))
        for question, item in zip(sheet.questions, items, strict=True)
    ]
    return whole(
        wanted.title,
        [*_head(topics), tag("p", NOTE, class_="note"), *made],
        "practice.js",
        data_name=f"{wanted.title}/{wanted.seed}",
    )


def _items(bank: Bank, wanted: Practice) -> Iterator[Item]:
    """So many of each pattern as come out; a pattern that gives none is left out."""
    for pattern in pace.counted(bank.of(wanted.topics), "patterns"):
        known = set[tuple[str, ...]]()
        for number in range(wanted.each):
            item = practice_item(bank, pattern, wanted, number)
            said = (item.posed.stem, *(option.answer.text for option in item.options)) if item else ()
            if item is not None and said not in known:
                known.add(said)
                yield item


def practice_item(bank: Bank, pattern: LoadedPattern, wanted: Practice, number: int) -> Item | None:
    """One question of a pattern, as it stands on the page with that seed; None where none comes out."""
    try:
        return make_item(bank, Order(pattern, f"practice/{wanted.seed}/{pattern.id}/{number}", number, wanted.size))
    except Refusal:
        return None


def _head(topics: list[str]) -> Iterator[Markup]:
    choices = [tag("option", "all topics", value=""), *(tag("option", topic, value=topic) for topic in topics)]
    yield tag(
        "p",
        "Answers are told at once. Right ones come again after 1, 3, 7, 21 and 60 days. Progress stays in this browser.",
        class_="quiet",
    )
    yield tag("div", tag("label", "Topic ", tag("select", choices, id="topic")), class_="row script", hidden=True)
    lines = [
        tag(
            "li",
            f"{topic}: ",
            tag("meter", "", min=0, max=1, value=0, aria_label=f"sure of {topic}"),
            " ",
            tag("span", ""),
            data_topic=topic,
        )
        for topic in topics
    ]
    yield tag("details", tag("summary", "Progress"), tag("ul", lines, id="progress"),
              tag("button", "Forget my progress", id="forget", type="button"), class_="script", hidden=True)  # fmt: skip


def _question(question: Question, item: Item, key: Mapping[str, Any]) -> Markup:
    entered = _entered(key) if question.entered else None
    return tag(
        "section", tag("h2", f"{item.posed.asked.pattern.form.title}", tabindex="-1"), tag("p", question.intro, class_="quiet"),
        list(tables_and_drawing(question)), tag("p", question.stem, class_="stem"),
        _entry(question) if question.entered else _options(question, key),
        tag("div", "", class_="said", role="status", tabindex="-1"),
        tag("div", _working(key), tag("div", tag("button", "Another of the same kind", class_="again", type="button"),
                                      tag("button", "Next", class_="next", type="button"), class_="row"),
            class_="after script", hidden=True),
        tag("details", tag("summary", "Answer"), tag("p", _answer(key)), class_="plain"),
        class_="question", data_pattern=item.pattern, data_answer=key["answer"], data_entered=entered,
    )  # fmt: skip


def _answer(key: Mapping[str, Any]) -> str:
    return f"{key['key']}: {key['answer']}" if key["key"] else str(key["answer"])


def _options(question: Question, key: Mapping[str, Any]) -> Markup:
    told = key["options"]
    buttons = [
        tag("button", f"{letter}: {text}", class_="option", type="button", data_right="yes" if told[letter]["right"] else "no",
            data_says="" if told[letter]["right"] else f"{told[letter]['named']}: {told[letter]['feedback']}")
        for letter, text in question.options
    ]  # fmt: skip
    return tag("ul", [tag("li", button) for button in buttons], class_="options")


def _entry(question: Question) -> Markup:
    return tag("div", tag("label", "Answer ", tag("input", inputmode="decimal", autocomplete="off")), f" {question.unit}",
               tag("button", "Enter", class_="enter", type="button"), class_="row")  # fmt: skip


def _entered(key: Mapping[str, Any]) -> str:
    typical = [{"value": each["value"], "says": f"{each['named']}: {each['feedback']}"} for each in key["typical"]]
    return json.dumps({**key["entered"], "typical": typical}, ensure_ascii=False)


def _working(key: Mapping[str, Any]) -> Markup:
    lines = [tag("li", line) for line in key["working"]]
    sources = tag("p", f"Sources: {'; '.join(key['sources'])}", class_="quiet") if key["sources"] else None
    return tag("div", tag("h3", "Working"), tag("ol", lines), sources)
