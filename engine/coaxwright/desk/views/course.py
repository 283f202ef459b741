"""The course's view: lessons, practice, papers, marking. Guided diagnosis is in `cases`."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from coaxwright.course.pages import tables_and_drawing
from coaxwright.desk.training.papers import Order, Sat
from coaxwright.desk.training.practising import VARIANTS, Posed, Progress, Turn
from coaxwright.desk.views.pieces import button, goes
from coaxwright.quiz.forms import LEVELS
from coaxwright.quiz.marking import Marked
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import NOTE, sheet_of
from coaxwright.quiz.scenes import SIZES
from coaxwright.quiz.writing import FORMATS
from coaxwright.show.figures import count
from coaxwright.show.html import fragment
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import mark

TASKS = {
    "lessons": "Lessons", "practice": "Practice", "diagnosis": "Diagnosis", "seen": "What is seen", "papers": "Papers",
    "marking": "Marking",
}  # fmt: skip


def room(task: str, content: Child | Iterable[Child]) -> Markup:
    """The whole view."""
    links = [
        tag("li", tag("a", words, href=f"#/course/{name}", aria_current="page" if name == task else None))
        for name, words in TASKS.items()
    ]
    return tag(
        "div",
        tag("div", tag("h1", f"Course: {TASKS[task].lower()}", id="h1", tabindex="-1"), class_="where"),
        tag("nav", tag("ul", links), aria_label="Course", class_="tasks"),
        content,
        class_="course",
    )


# Lessons


def lessons(known: Mapping[str, str]) -> Markup:
    """All lessons by topic."""
    items = [tag("li", tag("a", title, href=f"#/course/lessons/{topic}"), f" ({topic})") for topic, title in known.items()]
    return tag("ul", items, class_="lines-of")


def lesson(topic: str, title: str, parts: Sequence[Markup], seed: int) -> Markup:
    """One lesson, with the same as a page."""
    return join([
        tag("h2", title, id="h-lesson", tabindex="-1"),
        tag("div", button("course-file", "Save it as a page", file="lesson", topic=topic, seed=seed),
            goes(f"/course/lessons/{topic}/{seed + 1}", "Other numbers"), goes(f"/course/practice/{topic}/1/0/0", "Practise it"),
            class_="acts"),
        tag("div", parts, class_="lesson"),
    ])  # fmt: skip


# Practice


def topics(known: Mapping[str, int]) -> Markup:
    """Topics to practise, each with how many kinds of question there are."""
    items = [
        tag("li", tag("a", topic, href=f"#{Turn(topic).address}"), f": {count(many, 'kind')} of question")
        for topic, many in known.items()
    ]
    return join([
        tag("p", "Each answer is told at once: right, or what the wrong one comes from. Nobody sees your answers but you."),
        tag("ul", items, class_="lines-of"),
    ])  # fmt: skip


def practice(turn: Turn, asked: Posed, progress: Progress, outcomes: Sequence[str]) -> Markup:
    """One question of a round: what is given, what was answered, what comes next."""
    given = progress.given.get(turn, [])
    told = [asked.marked(each) for each in given]
    right = any(each.right for each in told)
    shown = right or turn in progress.shown
    question = asked.question
    return join([
        tag("div", tag("h2", f"Practice: {turn.topic}", id="h-question", tabindex="-1"),
            tag("span", f"question {turn.place % asked.count + 1} of {asked.count}", class_="quiet"), class_="head"),
        _progress(turn, asked.count, outcomes),
        tag(
            "div",
            tag("section", tag("h3", asked.title), tag("p", question.intro, class_="quiet"), list(tables_and_drawing(question)),
                tag("p", NOTE, class_="quiet"), aria_label="What is given"),
            tag("section", tag("p", question.stem, class_="stem", id="stem"),
                _entry(turn, question.unit, told, right) if question.entered else _options(turn, asked, given),
                tag("div", _said(told[-1]) if told else None, id="course-said", tabindex="-1"),
                _next(turn, asked.count, shown), _working(asked) if shown else None, aria_label="Question"),
            class_="two even",
        ),
    ])  # fmt: skip


def _progress(turn: Turn, many: int, outcomes: Sequence[str]) -> Markup:
    words = {"ok": "right", "no": "not at once", "": "not answered"}
    items = [
        tag("li", mark({"ok": "pass", "no": "error"}.get(outcome, "open")), str(place + 1),
            tag("span", f" {words[outcome]}", class_="ears"), aria_current="step" if place == turn.place % many else None)
        for place, outcome in enumerate(outcomes)
    ]  # fmt: skip
    return tag("ol", items, class_="prog", aria_label=f"{many} questions")


def _options(turn: Turn, asked: Posed, given: Sequence[str]) -> Markup:
    items = []
    for letter, text in asked.question.options:
        told = asked.marked(letter) if letter in given else None
        say = None
        if told is not None:
            before = "" if letter == given[-1] else f" {why(told)}"  # of the last one it stands below
            state, words = ("pass", "Right.") if told.right else ("error", f"Not yet.{before}")
            say = tag("span", mark(state), words, class_=f"tell {state}")
        items.append(tag("li", button("course-answer", f"{letter}: {text}", class_="option", **_of(turn), given=letter), say))
    return tag("ul", items, class_="options", aria_labelledby="stem")


def _of(turn: Turn) -> dict[str, Any]:
    return {"topic": turn.topic, "seed": turn.seed, "place": turn.place, "variant": turn.variant}


def _entry(turn: Turn, unit: str, told: Sequence[Marked], right: bool) -> Markup:
    """A number to be entered."""
    last = told[-1].given if told else ""
    return tag(
        "form",
        tag("label", f"Your answer, in {unit}" if unit else "Your answer", for_="q-given"),
        tag("input", type="text", id="q-given", name="given", value=last, inputmode="decimal", autocomplete="off", maxlength="60",
            aria_describedby="stem"),
        tag("div", tag("button", "Answer", type="submit", class_="main-act"), class_="acts") if not right else None,
        data_do="course-answer", data_args=json.dumps(_of(turn)), class_="ask", id=f"entry-{turn.place}-{turn.variant}",
    )  # fmt: skip


def why(told: Marked) -> str:
    """What a wrong answer comes from, as a sentence."""
    return told.feedback[:1].upper() + told.feedback[1:]


def _said(told: Marked) -> Markup:
    """What the last answer comes to."""
    state, words = ("pass", "Right.") if told.right else ("error", "Not yet.")
    more = None if told.right else f" {why(told)}"
    return tag("p", tag("b", mark(state), words, class_=state), more, class_="said")


def _next(turn: Turn, many: int, shown: bool) -> Markup:
    following = Turn(turn.topic, turn.seed, (turn.place + 1) % many)
    again = Turn(turn.topic, turn.seed, turn.place, (turn.variant + 1) % VARIANTS)
    return tag(
        "div",
        None if shown else button("course-working", "Show the working: it counts as not known", **_of(turn)),
        goes(again.address, "Another of this kind"),
        goes(following.address, "Next question", class_="main-act" if shown else ""),
        button("course-file", "Save a page to practise with", file="practice", topic=turn.topic, seed=turn.seed),
        class_="acts",
    )


def _working(asked: Posed) -> Markup:
    key = asked.key
    answer = f"{key['key']}: {key['answer']}" if key["key"] else str(key["answer"])
    sources = tag("p", f"Sources: {'; '.join(key['sources'])}", class_="quiet") if key["sources"] else None
    caution = tag("p", tag("b", "Caution. "), key["caution"], class_="caution") if key["caution"] else None
    return tag("section", tag("h3", "Working"), tag("ol", [tag("li", line) for line in key["working"]], class_="working"),
               tag("p", f"Right: {answer}"), sources, caution, aria_label="Working")  # fmt: skip


# Papers


def papers(order: Order, known: Sequence[str], made: Sequence[Paper]) -> Markup:
    """What a paper is to be, and the paper as it comes out."""
    return tag(
        "div",
        tag("section", tag("h2", "A paper", id="h-paper"), _order_form(order, known), tag("h2", "A whole exam"), _exam(),
            aria_labelledby="h-paper"),
        tag("section", _preview(order, made) if made else tag("p", "The paper stands here; its key is kept apart."),
            id="paper", aria_label="The paper"),
        class_="two",
    )  # fmt: skip


def _order_form(order: Order, known: Sequence[str]) -> Markup:
    boxes = [
        tag("label", tag("input", type="checkbox", name=f"topic-{each}", checked=each in order.topics), each, class_="tick")
        for each in known
    ]
    return tag(
        "form",
        tag("fieldset", tag("legend", "Topics (all where none is ticked)"), tag("div", boxes, class_="boxes")),
        tag("div", _number("count", "Questions", order.count), _number("papers", "Parallel papers", order.papers),
            _number("seed", "Seed", order.seed), _number("minutes", "Minutes", order.minutes), class_="numbers"),
        tag("div", _choice("size", "Size of plans", order.size, tuple(SIZES)),
            _choice("level", "Level", order.level, ("", *LEVELS)),
            _choice("form", "Format", order.form, FORMATS), class_="numbers"),
        tag("div", tag("button", "Make it", type="submit", class_="main-act"), class_="acts"),
        data_do="course-paper", class_="ask", id="order",
    )  # fmt: skip


def _number(name: str, words: str, value: int) -> Markup:
    field = tag("input", type="text", inputmode="numeric", id=f"q-{name}", name=name, value=str(value), autocomplete="off")
    return tag("div", tag("label", words, for_=f"q-{name}"), field)


def _choice(name: str, words: str, value: str, among: Sequence[str]) -> Markup:
    options = [tag("option", each or "all", value=each, selected=each == value) for each in among]
    return tag("div", tag("label", words, for_=f"q-{name}"), tag("select", options, id=f"q-{name}", name=name))


def _exam() -> Markup:
    return tag(
        "div",
        tag("p", "From a project file (YAML): papers, answer sheets and keys of all versions, as one archive.", class_="quiet"),
        tag("div", button("course-exam", "Choose the project", pick=".yaml,.yml"), class_="acts"),
    )


def _preview(order: Order, made: Sequence[Paper]) -> Markup:
    fields: dict[str, Any] = {
        **{f"topic-{each}": True for each in order.topics}, "count": str(order.count), "seed": str(order.seed),
        "papers": str(order.papers), "size": order.size, "level": order.level, "minutes": str(order.minutes),
        "form": order.form,
    }  # fmt: skip
    paper = sheet_of(made[0])
    complaints = [tag("li", each) for one in made for each in one.complaints]
    return join([
        tag("h2", f"Paper {paper.letter}", id="h-made", tabindex="-1"),
        tag("div", button("course-file", "Save papers and keys", class_="main-act", file="papers", **fields), class_="acts"),
        tag("ul", complaints, class_="say warn") if complaints else None,
        tag("p", NOTE, class_="quiet"),
        *(
            tag("section", tag("h3", f"{each.number}. {each.topic}"), tag("p", each.intro, class_="quiet"),
                list(tables_and_drawing(each)), tag("p", each.stem, class_="stem"),
                tag("p", f"Answer: ____________ {each.unit}") if each.entered
                else tag("ul", [tag("li", f"{letter}: {text}") for letter, text in each.options], class_="letters"),
                aria_label=f"Question {each.number}")
            for each in paper.questions
        ),
        tag("p", paper.mark, class_="quiet"),
    ])  # fmt: skip


# Marking


def marking(sat: Sat | None) -> Markup:
    """Files to be marked, and what came out."""
    choose = button("course-mark", "Choose the key and the answers", class_="main-act", pick=".json,.csv", many=True)
    told: Child = None
    if sat is not None and sat.document is not None:
        told = join([
            tag("h2", sat.document.title, id="h-marked", tabindex="-1"),
            tag("div", button("course-file", "Save it as a page", file="results"), class_="acts"), fragment(sat.document),
        ])  # fmt: skip
    elif sat is not None:
        told = join([tag("h2", "Marked", id="h-marked", tabindex="-1"), tag("pre", sat.words, tabindex="0", role="region",
                                                                             aria_label="Results")])  # fmt: skip
    return tag(
        "div",
        tag("p", "Of an exam: exam.json, its key files and the table of answers (CSV). Of one paper: key-A.json and a table by "
            "item id. Nothing of them is kept: names stay on this device, and only while the page is open."),
        tag("div", choose, class_="acts"), tag("div", told, class_="told", id="marked"),
    )  # fmt: skip
