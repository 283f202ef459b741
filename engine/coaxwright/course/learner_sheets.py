"""A sheet for each learner: points, topics, what went wrong and the likely slip. They hold names and results."""

from __future__ import annotations

from coaxwright.course.results import FEW_OF_TOPIC, heading, method, near, outcome, points, wrong_of
from coaxwright.course.sittings import Sat, Sitting
from coaxwright.quiz.marking import Marked
from coaxwright.show.tree import Block, Cell, Column, Document, Note, Paragraph, Section, Sign, Table

KEPT = "This page holds a name and a result. It is kept with the results of this exam only, and is removed on request."


def sheets_document(sitting: Sitting) -> Document:
    """All sheets, each to begin on a page of its own."""
    ordered = sorted(sitting.sat, key=lambda sat: sat.learner)
    sheets = tuple(Section(each.learner, _sheet(sitting, each), sheet=place > 0) for place, each in enumerate(ordered))
    return Document(f"{heading(sitting)}: sheets for learners", sheets, paper="reader", foot=KEPT)


def _sheet(sitting: Sitting, sat: Sat) -> tuple[Block, ...]:
    whole = sitting.exam.count * sitting.exam.points
    said = f"{heading(sitting)}, paper {sat.version}. {points(sitting, sat)} of {whole} points."
    return (
        Paragraph(said + _of_mark(sitting, sat)), *_chance(sitting, sat), _topics(sitting, sat), *_wrong(sitting, sat),
        Sign(("trainer", "seen by the learner")), Note(KEPT),
    )  # fmt: skip


def _of_mark(sitting: Sitting, sat: Sat) -> str:
    reached = {"": "", "pass": " Reached.", "not yet": " Not reached yet."}[outcome(sitting, sat)]
    return f" The pass mark is {sitting.exam.pass_mark}{method(sitting)}.{reached}" if reached else ""


def _chance(sitting: Sitting, sat: Sat) -> tuple[Paragraph, ...]:
    if not near(sitting, sat) or sitting.error is None:
        return ()
    error = sitting.exam.language.number(sitting.error * sitting.exam.points, 1)
    return (Paragraph(f"A little more or less may be chance: the error of one result is ± {error} points."),)


def _topics(sitting: Sitting, sat: Sat) -> Section:
    rows: list[tuple[Cell, ...]] = []
    few = False
    for topic in sitting.topics():
        right, asked = sitting.of_topic(sat, topic)
        few = few or asked < FEW_OF_TOPIC
        rows.append((topic, f"{right} of {asked}", f"the lesson on {topic}" if right < asked else ""))
    note = (Note("So few questions do not judge a topic. They show where to look, no more."),) if few else ()
    return Section("By topic", (Table(["topic", "right", "look at"], rows), *note), kept=True)


def _wrong(sitting: Sitting, sat: Sat) -> tuple[Section, ...]:
    text = sitting.exam.language.text
    rows: list[tuple[Cell, ...]] = [
        (
            f"{number.number}, {number.topic}",
            mark.given or "blank",
            text(_right(sitting, sat, mark)),
            text(mark.feedback),
        )
        for number, mark in wrong_of(sitting, sat)
    ]
    if not rows:
        return ()
    return (
        Section(
            "What went wrong, and the likely slip",
            (Table([Column("question", wraps=False), "given", "right", "slip"], rows),),
        ),
    )


def _right(sitting: Sitting, sat: Sat, mark: Marked) -> str:
    """The right answer in words, its letter before it where there is one."""
    item = sitting.exam.keys[sat.version]["items"][mark.item]
    return f"{item['key']}: {item['answer']}" if item["key"] else str(item["answer"])
