"""Results as sheets of a workbook: learners, topics, questions, answers. Numbers are numbers; the workbook holds names."""

from __future__ import annotations

from coaxwright.course.results import near, outcome, points
from coaxwright.course.sittings import Sitting
from coaxwright.quiz import statistics
from coaxwright.schedules.exporting import Schedule
from coaxwright.schedules.workbook import workbook_bytes

Row = tuple[str | float, ...]


def results_workbook(sitting: Sitting, file: str) -> bytes:
    """The workbook. Raises Refusal for a cell that would hold more than a cell takes."""
    return workbook_bytes(result_tables(sitting), file)


def result_tables(sitting: Sitting) -> list[Schedule]:
    """All sheets."""
    return [_learners(sitting), _topics(sitting), _questions(sitting), _answers(sitting)]


def _learners(sitting: Sitting) -> Schedule:
    topics = sitting.topics()
    heads = (
        "learner",
        "version",
        "points",
        "points of all",
        "result",
        "near the mark",
        *(f"{each}, right" for each in topics),
    )
    whole = sitting.exam.count * sitting.exam.points
    rows: list[Row] = [
        (each.learner, each.version, points(sitting, each), whole, outcome(sitting, each), "yes" if near(sitting, each) else "no",
         *(sitting.of_topic(each, topic)[0] for topic in topics))
        for each in sitting.sat
    ]  # fmt: skip
    return Schedule("Learners", heads, tuple(rows))


def _topics(sitting: Sitting) -> Schedule:
    rows: list[Row] = []
    for topic in sitting.topics():
        shares = [right / asked for right, asked in (sitting.of_topic(each, topic) for each in sitting.sat)]
        asked = sum(each.topic == topic for each in sitting.numbers)
        rows.append((topic, asked, statistics.mean(shares), min(shares), max(shares)))
    return Schedule("Topics", ("topic", "questions", "share right", "weakest", "best"), tuple(rows))


def _questions(sitting: Sitting) -> Schedule:
    heads = ("number", "topic", "pattern", "asks", "key", "right", "answered", "share right", "best less weakest",
             "fits the rest", "most met slip", "remark")  # fmt: skip
    rows: list[Row] = [
        (each.number, each.topic, ", ".join(each.patterns), each.question,
         ", ".join(f"{letter} {key}" for letter, key in each.keys.items()), each.right, each.answered, each.difficulty,
         _or_blank(each.discrimination), _or_blank(each.correlation), each.slips[0][0] if each.slips else "", each.remark)
        for each in sitting.numbers
    ]  # fmt: skip
    return Schedule("Questions", heads, tuple(rows))


def _answers(sitting: Sitting) -> Schedule:
    heads = ("learner", "version", "number", "given", "right", "slip")
    rows: list[Row] = [
        (each.learner, each.version, number.number, mark.given, "yes" if mark.right else "no", mark.slip)
        for each in sitting.sat
        for number, mark in zip(sitting.numbers, each.answers, strict=True)
    ]
    return Schedule("Answers", heads, tuple(rows))


def _or_blank(value: float | None) -> str | float:
    return "" if value is None else value
