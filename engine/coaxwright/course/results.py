"""Results of a sitting as a document and as plain data: by learner, by topic, by question. They hold names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright.course.sittings import Sat, Sitting
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Block, Cell, Column, Document, Item, Listing, Note, Section, Strong, Table

NAMES = "These pages hold names: keep them apart from papers and keys, and no longer than they are needed."


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
        Section("By learner", (_learners(sitting),)), Section("By question", (_numbers(sitting), _few(sitting))),
        Section("What each can look at again", (Listing([_again(sitting, each) for each in sitting.sat]),)), Note(NAMES),
    ]  # fmt: skip
    return Document(f"{sitting.exam.data.get('title', 'Exam')}: results", tuple(blocks), _verdict(sitting))


def _verdict(sitting: Sitting) -> str:
    each, least = sitting.exam.points, sitting.exam.pass_mark
    said = (
        f"Mean {sitting.mean * each:.1f} of {sitting.exam.count * each} points, spread {sitting.deviation * each:.1f}."
    )
    if least is not None:
        passed = sum(outcome(sitting, sat) == "pass" for sat in sitting.sat)
        method = sitting.exam.data.get("pass_method")
        by = f" ({method})" if method else ""
        said = f"{passed} of {len(sitting.sat)} reached the pass mark of {least}{by}. {said}"
    if sitting.error is not None and sitting.reliability is not None:
        said += (
            f" Error of one result: ± {sitting.error * each:.1f} points; reliability (KR-20) {sitting.reliability:.2f}."
        )
    doubted = [str(number.number) for number in sitting.numbers if "key" in number.remark]
    return said + (f" Look at the key of {', '.join(doubted)}." if doubted else "")


def _learners(sitting: Sitting) -> Table:
    topics = sitting.topics()
    columns: list[Column | str] = [
        "learner",
        "version",
        Column("points", "number", "", 0),
        "result",
        *topics,
        "wrong questions",
    ]
    rows: list[Sequence[Cell]] = []
    for each in sorted(sitting.sat, key=lambda sat: (-sat.right, sat.learner)):
        shares = ["{} of {}".format(*sitting.of_topic(each, topic)) for topic in topics]
        wrong = [
            str(number.number) for number, mark in zip(sitting.numbers, each.answers, strict=True) if not mark.right
        ]
        said = outcome(sitting, each) + (", near the mark" if near(sitting, each) else "")
        rows.append((each.learner, each.version, float(points(sitting, each)), said, *shares, ", ".join(wrong)))
    return Table(columns, rows)


def _numbers(sitting: Sitting) -> Table:
    columns: list[Column | str] = ["question", "topic", "key", Column("right", "number", "", 0), Column("share right", "number"),
               Column("best less weakest", "number"), Column("fits the rest", "number"), "most met slip", "remark"]  # fmt: skip
    rows = [
        (str(each.number), each.topic, ", ".join(f"{letter} {key}" for letter, key in each.keys.items()), float(each.right),
         each.difficulty, each.discrimination, each.correlation, each.slips[0][0] if each.slips else "", each.remark)
        for each in sitting.numbers
    ]  # fmt: skip
    return Table(columns, rows, fold="scroll")


def _few(sitting: Sitting) -> Note:
    return Note(
        f"{len(sitting.sat)} papers. Below 30 answers read these as hints; a key is doubted only where a question fits the "
        "rest worse than -1 / sqrt(n - 1). Versions count together by number."
    )


def _again(sitting: Sitting, sat: Sat) -> Item:
    wrong = [
        f"{number.number} ({mark.given or 'blank'}): {mark.feedback}"
        for number, mark in zip(sitting.numbers, sat.answers, strict=True) if not mark.right
    ]  # fmt: skip
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
