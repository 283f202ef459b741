"""Answers of a sitting, with several versions in one table, marked by the number of the question.

A table has columns `learner` (or `name`), `version` (left out where there is one), and one for each number; cells are parted
by comma, semicolon or tab. Answers of all versions to one number count together: parallel papers ask one pattern there.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.course.languages import Language, language_of
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import statistics
from coaxwright.quiz.marking import MOST_BYTES, Marked, mark_one, read_key
from coaxwright.reading.csv_rows import Row, Table, delimiter_of
from coaxwright.reading.json_text import json_value
from coaxwright.reading.yaml_source import decode, read_bytes

LEARNER = frozenset({"learner", "name", "candidate"})
"""Headings of the column of names."""
_VERSION = frozenset({"version", "paper", "letter", "form"})
FEW_SAID = "few answers: a hint"
Keys = Mapping[str, Mapping[str, Any]]
Answers = tuple[str, str, list[str]]
"""Learner, version, and what was given to each question in the order of the paper."""


@immutable
class Exam:
    """What an exam folder holds: its project data, and the key of each version."""

    data: Mapping[str, Any]
    keys: Keys

    @property
    def count(self) -> int:
        """Questions on a paper."""
        return len(next(iter(self.keys.values()))["items"])

    @property
    def points(self) -> int:
        """Points of a question."""
        return int(self.data.get("points") or 1)

    @property
    def pass_mark(self) -> int | None:
        """Points needed; None where nobody set it."""
        value = self.data.get("pass_mark")
        return value if isinstance(value, int) else None

    @property
    def title(self) -> str:
        """What the exam is called."""
        return str(self.data.get("title") or "Exam")

    @property
    def day(self) -> str:
        """The day of the exam, as its language writes it; empty where nobody gave one."""
        return self.language.day(self.data.get("date"))

    @property
    def language(self) -> Language:
        """How its dates and numbers are written."""
        return language_of(str(self.data.get("language") or "en"))


@immutable
class Sat:
    """One learner's paper, marked, in the order of the numbers."""

    learner: str
    version: str
    answers: tuple[Marked, ...]

    @property
    def right(self) -> int:
        """Questions answered rightly."""
        return sum(each.right for each in self.answers)


@immutable
class Rival:
    """The wrong answer that most gave to a question: its letter, or over several versions its slip; how it fits the rest."""

    answer: str
    chosen: int
    correlation: float | None


@immutable
class OfNumber:
    """Statistics of one number over all versions. `question` is that of the first version; `items` are ids by version;
    `rival` is None where nobody answered wrongly.
    """

    number: int
    topic: str
    question: str
    items: Mapping[str, str]
    patterns: tuple[str, ...]
    keys: Mapping[str, str]
    right: int
    answered: int
    difficulty: float
    discrimination: float | None
    correlation: float | None
    slips: tuple[tuple[str, int], ...]
    remark: str
    rival: Rival | None


@immutable
class Sitting:
    """A whole class: each learner's paper, each number's statistics, the exam's."""

    exam: Exam
    sat: tuple[Sat, ...]
    numbers: tuple[OfNumber, ...]
    reliability: float | None
    error: float | None
    mean: float
    deviation: float

    def topics(self) -> list[str]:
        """Topics in the order of the paper."""
        return list(dict.fromkeys(each.topic for each in self.numbers))

    def of_topic(self, sat: Sat, topic: str) -> tuple[int, int]:
        """Right answers and questions of a topic."""
        marks = [mark.right for each, mark in zip(self.numbers, sat.answers, strict=True) if each.topic == topic]
        return sum(marks), len(marks)


def read_exam(folder: Path) -> Exam:
    """An exam from the folder that `course exam` wrote. Raises Refusal."""
    path = folder / "exam.json"
    data = json_value(
        decode(read_bytes(path, str(path), MOST_BYTES), str(path)), str(path), "name the folder that course exam wrote"
    )
    versions = data.get("versions") if isinstance(data, dict) else None
    if not isinstance(versions, list) or not versions:
        raise Refusal([Problem(str(path), "this is no exam", "name the folder that `coaxwright course exam` wrote")])
    keys = {str(letter): read_key(folder / f"key-{letter}.json") for letter in versions}
    if len({len(key["items"]) for key in keys.values()}) != 1:
        raise Refusal(
            [Problem(str(folder), "the keys differ in the number of questions", "keep the files of one exam together")]
        )
    return sound(Exam(data, keys), str(path))


def sound(exam: Exam, file: str) -> Exam:
    """The exam, whose date and language can be written. Raises Refusal."""
    try:
        exam.language.day(exam.data.get("date"))
    except (ValueError, TypeError):
        what = f"`{exam.data.get('date')}` is no date"
        raise Refusal([Problem(file, what, "write it as in 2026-12-01")]) from None
    return exam


def read_answers(path: Path, exam: Exam) -> list[Answers]:
    """Learner, version and answers by number, row by row. Raises Refusal at line and column."""
    text = decode(read_bytes(path, str(path), MOST_BYTES), str(path))
    table = Table(text, str(path), delimiter_of(text))
    rows = [row for row in table if any(cell.strip() for cell in row.cells)]
    if len(rows) < 2:
        raise Refusal([Problem(str(path), "there is no answer in this table", "write a row for each learner")])
    columns = _columns(table, rows[0], exam)
    for row in rows[1:]:
        table.one_line(row, "this cell")
    found = [_taken(table, row, columns, exam) for row in rows[1:]]
    twice = [name for name, count in Counter(name for name, _, _ in found).items() if count > 1]
    if twice:
        raise Refusal([Problem(str(path), f"{twice[0]} stands in two rows", "keep one row for each learner")])
    return found


def _columns(table: Table, heads: Row, exam: Exam) -> Mapping[str, int]:
    columns: dict[str, int] = {}
    for place, cell in enumerate(heads.cells):
        word = cell.strip().lower().removeprefix("q").strip()
        name = "learner" if word in LEARNER else "version" if word in _VERSION else word
        if not name:
            continue
        if name in columns:
            raise Refusal([table.problem(heads, place, f"there are two columns `{cell}`", "keep one of them")])
        if name not in ("learner", "version") and not (name.isdecimal() and 1 <= int(name) <= exam.count):
            right = f"learner, version, and numbers from 1 to {exam.count}"
            raise Refusal([table.problem(heads, place, f"the column `{cell}` is none of this exam", right)])
        columns[str(int(name)) if name.isdecimal() else name] = place
    lacking = [name for name in ("learner", *map(str, range(1, exam.count + 1))) if name not in columns]
    if lacking:
        raise Refusal(
            [
                table.problem(
                    heads, 0, f"the first row has no column `{lacking[0]}`", "begin from answers.csv of the exam"
                )
            ]
        )
    if "version" not in columns and len(exam.keys) > 1:
        raise Refusal(
            [
                table.problem(
                    heads, 0, "the first row has no column `version`", f"say {' or '.join(exam.keys)} for each learner"
                )
            ]
        )
    return columns


def _taken(table: Table, row: Row, columns: Mapping[str, int], exam: Exam) -> Answers:
    def cell(name: str) -> str:
        place = columns.get(name, len(row.cells))
        return row.cells[place].strip() if place < len(row.cells) else ""

    learner, version = cell("learner"), cell("version").upper() or next(iter(exam.keys))
    if not learner:
        raise Refusal([table.problem(row, columns["learner"], "this row names no learner", "fill in `learner`")])
    if "version" in columns and (not cell("version") or version not in exam.keys):
        what = f"`{cell('version')}` is no version of this exam"
        raise Refusal([table.problem(row, columns["version"], what, f"there are {', '.join(exam.keys)}")])
    return learner, version, [cell(str(number)) for number in range(1, exam.count + 1)]


def mark(exam: Exam, rows: Sequence[Answers]) -> Sitting:
    """All papers marked, with statistics that do not depend on the order of rows."""
    sat = tuple(
        Sat(learner, version, tuple(
            mark_one(name, item, given)
            for (name, item), given in zip(exam.keys[version]["items"].items(), answers, strict=True)
        ))
        for learner, version, answers in rows
    )  # fmt: skip
    right = [[int(mark.right) for mark in each.answers] for each in sat]
    scores = [float(sum(row)) for row in right]
    reliability, spread = statistics.kr20(right), statistics.deviation(scores)
    error = None if reliability is None else spread * math.sqrt(max(0.0, 1 - reliability))
    numbers = tuple(_of_number(exam, sat, right, scores, place) for place in range(exam.count))
    return Sitting(exam, sat, numbers, reliability, error, statistics.mean(scores), spread)


def struck_out(exam: Exam, rows: Sequence[Answers], numbers: Sequence[int]) -> tuple[Exam, list[Answers]]:
    """An exam and its answers without some questions; the pass mark keeps its share of all points, rounded up.

    Raises Refusal for a number that is not there, or where none is left.
    """
    held = [int(item.get("number") or place) for place, item in enumerate(_first(exam).values(), start=1)]
    for number in numbers:
        if number not in held:
            raise Refusal([Problem("--strike", f"there is no question {number}", f"numbers go from 1 to {exam.count}")])
    left = [place for place, number in enumerate(held) if number not in numbers]
    if not left:
        raise Refusal([Problem("--strike", "no question is left", "strike out fewer")])
    keys = {letter: {**key, "items": _some(key["items"], left)} for letter, key in exam.keys.items()}
    least = None if exam.pass_mark is None else -(-exam.pass_mark * len(left) // exam.count)
    gone = sorted({*exam.data.get("struck", ()), *numbers})
    data = {**exam.data, "pass_mark": least, "questions": len(left), "struck": gone}
    return Exam(data, keys), [(name, version, [given[place] for place in left]) for name, version, given in rows]


def _first(exam: Exam) -> Mapping[str, Mapping[str, Any]]:
    found: Mapping[str, Mapping[str, Any]] = next(iter(exam.keys.values()))["items"]
    return found


def _some(items: Mapping[str, Any], places: Sequence[int]) -> dict[str, Any]:
    listed = list(items.items())
    return dict(listed[place] for place in places)


def _of_number(
    exam: Exam, sat: Sequence[Sat], right: Sequence[Sequence[int]], scores: Sequence[float], place: int
) -> OfNumber:
    items = {letter: list(key["items"].values())[place] for letter, key in exam.keys.items()}
    marks = [row[place] for row in right]
    rest = [score - mark for score, mark in zip(scores, marks, strict=True)]
    correlation = statistics.point_biserial(marks, rest)
    slips = Counter(each.answers[place].slip for each in sat if each.answers[place].slip)
    first, rival = next(iter(items.values())), _rival(sat, rest, place, len(items) > 1)
    return OfNumber(
        int(first.get("number") or place + 1), str(first.get("topic", "")), str(first.get("question", "")),
        {letter: list(key["items"])[place] for letter, key in exam.keys.items()},
        tuple(dict.fromkeys(str(item.get("pattern", "")) for item in items.values())),
        {letter: str(item["key"] or item["answer"]) for letter, item in items.items()},
        sum(marks), sum(bool(each.answers[place].given) for each in sat), statistics.mean([float(mark) for mark in marks]),
        statistics.discrimination(marks, scores), correlation, tuple(sorted(slips.items(), key=lambda pair: (-pair[1], pair[0]))),
        "; ".join(_remarks(marks, correlation, rival)), rival,
    )  # fmt: skip


def _rival(sat: Sequence[Sat], rest: Sequence[float], place: int, versions: bool) -> Rival | None:
    """Letters differ between versions, so there it goes by slips."""
    wrong = [None if each.answers[place].right else each.answers[place] for each in sat]
    said = ["" if mark is None else mark.slip if versions else mark.given for mark in wrong]
    known = [Rival(answer, said.count(answer), statistics.point_biserial([int(each == answer) for each in said], rest))
             for answer in dict.fromkeys(said) if answer]  # fmt: skip
    return max(known, key=lambda each: (each.chosen, each.correlation or 0.0, each.answer), default=None)


def doubtful(papers: int, right: int, correlation: float | None, rival: Rival | None) -> bool:
    """Whether a key is to be looked at: those who did well on the rest got it wrong more than chance would have it, below
    -1 / sqrt(n - 1); or a wrong answer was given as often as the key, and fits the rest better by that much; or nobody was
    right, and most gave one and the same answer.
    """
    if papers < 2:
        return False
    chance, fit = 1 / math.sqrt(papers - 1), correlation or 0.0
    if fit < -chance or rival is None:
        return fit < -chance
    better = (rival.correlation or 0.0) - fit > chance
    return (rival.chosen >= right and better) or (not right and rival.chosen > papers / 2)


def _remarks(marks: Sequence[int], correlation: float | None, rival: Rival | None) -> Iterator[str]:
    """What a question's figures say."""
    count = len(marks)
    if doubtful(count, sum(marks), correlation, rival):
        yield "look at the key"
    if marks and not any(marks):
        yield "nobody right"
    elif all(marks):
        yield "everybody right"
    if count < statistics.FEW:
        yield FEW_SAID
