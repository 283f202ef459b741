"""Results of a sitting as a document and as plain data: by learner, by topic, by question. They hold names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright.course.sittings import FEW_SAID, OfNumber, Sat, Sitting
from coaxwright.quiz import statistics
from coaxwright.quiz.marking import Marked
from coaxwright.show.figures import count
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Block, Cell, Column, Document, Item, Listing, Note, Section, Strong, Table

NAMES = "These pages hold names: keep them apart from papers and keys, and no longer than they are needed."
FEW_OF_TOPIC = 10
"""Questions of a topic below which a share says little of one learner (common practice, from memory)."""


def points(sitting: Sitting, sat: Sat) -> int:
    """Points of one learner."""
    return sat.right * sitting.exam.points


def outcome(sitting: Sitting, sat: Sat) -> str:
    """Pass or not yet; empty where nobody set a pass mark."""
    least = sitting.exam.pass_mark
    return "" if least is None else "pass" if points(sitting, sat) >= least else "not yet"


def near(sitting: Sitting, sat: Sat) -> bool:
    """Whether a result lies within one standard error of the pass mark, so that the paper alone does not settle it."""
    least, error = sitting.exam.pass_mark, sitting.error
    return least is not None and error is not None and abs(points(sitting, sat) - least) <= error * sitting.exam.points


def results_document(sitting: Sitting) -> Document:
    """All results."""
    blocks: list[Block] = [
        Section("By learner", (_learners(sitting), *_near_ones(sitting))), Section("By topic", (_topics(sitting),)),
        *question_sections(sitting),
        Section("What each can look at again", (Listing([_again(sitting, each) for each in sitting.sat]),), sheet=True),
        Note(NAMES),
    ]  # fmt: skip
    return Document(
        f"{heading(sitting)}: results",
        tuple(blocks),
        verdict(sitting),
        paper="form",
        foot=f"{heading(sitting)}: holds names",
    )


def questions_document(sitting: Sitting) -> Document:
    """What holds no name: the class as a whole, its topics, its questions."""
    blocks = (Section("By topic", (_topics(sitting),)), *question_sections(sitting))
    return Document(f"{heading(sitting)}: questions", blocks, verdict(sitting), paper="form")


def question_sections(sitting: Sitting) -> tuple[Section, ...]:
    """The table by question, and what to do about those that look wrong."""
    said = [_doubt(each) for each in sitting.numbers if doubted(each)]
    asked = (Section("Questions to read again with the class", (Listing(said), _STRIKE)),) if said else ()
    return (Section("By question", (_numbers(sitting), _few(sitting))), *asked)


def heading(sitting: Sitting) -> str:
    """Title and day of the exam."""
    return ", ".join(each for each in (sitting.exam.title, sitting.exam.day) if each)


def doubted(number: OfNumber) -> bool:
    """Whether those who did well on the rest got it wrong oftener than chance would have it."""
    return "key" in number.remark


def verdict(sitting: Sitting) -> str:
    """The class in a paragraph."""
    each, least, shown = sitting.exam.points, sitting.exam.pass_mark, sitting.exam.language.number
    whole = sitting.exam.count * each
    said = f"Mean {shown(sitting.mean * each, 1)} of {whole} points, spread {shown(sitting.deviation * each, 1)}."
    if least is not None:
        passed = sum(outcome(sitting, sat) == "pass" for sat in sitting.sat)
        said = f"{passed} of {len(sitting.sat)} reached the pass mark of {least}{method(sitting)}. {said}"
    if sitting.error is not None and sitting.reliability is not None:
        said += (
            f" Error of one result: ± {shown(sitting.error * each, 1)} points; "
            f"reliability (KR-20) {shown(sitting.reliability, 2)}."
        )
    struck = ", ".join(map(str, sitting.exam.data.get("struck") or ()))
    said += f" Struck out: question {struck}." if struck else ""
    names = [str(number.number) for number in sitting.numbers if doubted(number)]
    return said + (f" Look at the key of {', '.join(names)}." if names else "")


def method(sitting: Sitting) -> str:
    """Who set the pass mark and how, in brackets; empty where nobody said."""
    said = sitting.exam.data.get("pass_method")
    return f" ({said})" if said else ""


def _learners(sitting: Sitting) -> Table:
    topics = sitting.topics()
    columns: list[Column | str] = [
        "learner", "version", Column("points", "number", "", 0), "result", *topics, "wrong questions",
    ]  # fmt: skip
    rows: list[Sequence[Cell]] = []
    for each in sorted(sitting.sat, key=lambda sat: (-sat.right, sat.learner)):
        shares = ["{} of {}".format(*sitting.of_topic(each, topic)) for topic in topics]
        numbers = ", ".join(str(number.number) for number, _ in wrong_of(sitting, each))
        said = outcome(sitting, each) + (", near the mark" if near(sitting, each) else "")
        rows.append((each.learner, each.version, float(points(sitting, each)), said, *shares, numbers))
    return Table(columns, rows)


def wrong_of(sitting: Sitting, sat: Sat) -> list[tuple[OfNumber, Marked]]:
    """The questions that a learner did not get right, with what was given."""
    pairs = zip(sitting.numbers, sat.answers, strict=True)
    return [(number, mark) for number, mark in pairs if not mark.right]


def _near_ones(sitting: Sitting) -> tuple[Note, ...]:
    many = sum(near(sitting, each) for each in sitting.sat)
    if not many or sitting.error is None:
        return ()
    error = sitting.exam.language.number(sitting.error * sitting.exam.points, 1)
    return (
        Note(
            f"{count(many, 'result lies', 'results lie')} within ± {error} points of the pass mark. There the paper alone does "
            "not settle it: look at the work, or let them sit another paper."
        ),
    )


def _topics(sitting: Sitting) -> Table:
    columns: list[Column | str] = ["topic", Column("questions", "number", "", 0), Column("share right", "number"),
                                   Column("weakest", "number"), Column("best", "number")]  # fmt: skip
    shown = sitting.exam.language.number
    rows: list[Sequence[Cell]] = []
    for topic in sitting.topics():
        shares = [right / asked for right, asked in (sitting.of_topic(each, topic) for each in sitting.sat)]
        asked = sum(each.topic == topic for each in sitting.numbers)
        rows.append(
            (topic, float(asked), *(shown(each, 2) for each in (statistics.mean(shares), min(shares), max(shares))))
        )
    return Table(columns, rows)


def _numbers(sitting: Sitting) -> Table:
    columns: list[Column | str] = ["question", "topic", "asks", "key", Column("right", "number", "", 0),
               Column("share right", "number"), Column("best less weakest", "number"), Column("fits the rest", "number"),
               "most met slip", "remark"]  # fmt: skip
    shown = sitting.exam.language.number
    rows = [
        (str(each.number), each.topic, ", ".join(each.patterns), _keys(sitting, each), float(each.right),
         shown(each.difficulty, 2), shown(each.discrimination, 2), shown(each.correlation, 2),
         each.slips[0][0] if each.slips else "", each.remark.removesuffix(FEW_SAID).removesuffix("; "))
        for each in sitting.numbers
    ]  # fmt: skip
    return Table(columns, rows, fold="scroll")


def _keys(sitting: Sitting, number: OfNumber) -> str:
    return ", ".join(f"{letter} {sitting.exam.language.text(key)}" for letter, key in number.keys.items())


def _doubt(number: OfNumber) -> Item:
    said = [f"The first version asks: {number.question}"]
    if number.rival is not None:
        said.append(f"Right by the key: {number.right}. Wrong answer met most: {number.rival.answer} ({number.rival.chosen}).")
    words = f"Question {number.number} ({number.topic}): those who did well on the rest got it wrong, or gave another answer."
    return Item(words, (Listing(said),))


_STRIKE = Note(
    "Where a question turns out to be at fault, mark again with --strike and its number: it counts for nobody, and the pass "
    "mark keeps its share of all points."
)


def _few(sitting: Sitting) -> Note:
    return Note(
        f"{len(sitting.sat)} papers. Below 30 answers read these as hints; a key is doubted only where a question fits the "
        "rest worse than -1 / sqrt(n - 1), or where a wrong answer was given as often and fits better by that much. "
        "Versions count together by number."
    )


def _again(sitting: Sitting, sat: Sat) -> Item:
    text = sitting.exam.language.text
    wrong = [
        f"{number.number} ({mark.given or 'blank'}): {text(mark.feedback)}" for number, mark in wrong_of(sitting, sat)
    ]
    return Item((Strong(sat.learner), f": {points(sitting, sat)} points"), (Listing(wrong),) if wrong else ())


def results_data(sitting: Sitting) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "format": FORMAT, "title": sitting.exam.data.get("title"), "pass_mark": sitting.exam.pass_mark,
        "points_of_all": sitting.exam.count * sitting.exam.points, "mean": sitting.mean, "deviation": sitting.deviation,
        "reliability": sitting.reliability, "error": sitting.error,
        "learners": [{
            "learner": each.learner, "version": each.version, "right": each.right, "points": points(sitting, each),
            "result": outcome(sitting, each) or None, "near_the_mark": near(sitting, each),
            "topics": {topic: list(sitting.of_topic(each, topic)) for topic in sitting.topics()},
            "answers": [plain(mark) for mark in each.answers],
        } for each in sitting.sat],
        "questions": [plain(each) for each in sitting.numbers],
    }  # fmt: skip


def questions_data(sitting: Sitting) -> dict[str, Any]:
    """What is kept of a sitting without names: the questions and how they did."""
    return {
        "format": FORMAT, "title": sitting.exam.title, "date": sitting.exam.data.get("date"), "papers": len(sitting.sat),
        "mean": sitting.mean, "deviation": sitting.deviation, "reliability": sitting.reliability,
        "questions": [plain(each) for each in sitting.numbers],
    }  # fmt: skip
