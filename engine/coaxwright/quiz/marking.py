"""Marks answers against a key: scores, feedback for each slip, statistics. Answers are known by item id, not by place.

A table of answers has a column `learner` and either a column for each item id, or the columns `item` and `answer`.
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.immutable import immutable
from coaxwright.quiz import statistics
from coaxwright.quiz.statistics import ItemStatistics, PaperStatistics
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.yaml_source import decode, read_bytes

MOST_BYTES = 16 * 1024 * 1024
_NUMBER = re.compile(r"\s*([+-]?[0-9]+(?:[.,][0-9]+)?)\s*([^0-9\s].*)?")
Answers = Mapping[str, Mapping[str, str]]


@immutable
class Marked:
    """One answer: right or not, and what to tell."""

    item: str
    given: str
    right: bool
    slip: str
    feedback: str


@immutable
class Result:
    """A whole class: answers of each learner in the order of the paper, and the statistics."""

    learners: Mapping[str, tuple[Marked, ...]]
    items: tuple[ItemStatistics, ...]
    paper: PaperStatistics


def read_key(path: Path) -> Mapping[str, Any]:
    """The plain data of a key file. Raises Refusal."""
    text = decode(read_bytes(path, str(path), MOST_BYTES), str(path))
    try:
        data = json.loads(text)
    except ValueError as error:
        raise Refusal(
            [Problem(str(path), "this is no JSON", "name the key-*.json written beside the paper")]
        ) from error
    data = data.get("key", data) if isinstance(data, dict) else {}
    if not isinstance(data.get("items"), dict) or not all("options" in item for item in data["items"].values()):
        raise Refusal([Problem(str(path), "this is no key", "name the key-*.json written beside the paper")])
    return dict(data)


def read_answers(path: Path, key: Mapping[str, Any]) -> Answers:
    """Answers by learner and item id. Raises Refusal for columns, ids or learners that make no sense."""
    text = decode(read_bytes(path, str(path), MOST_BYTES), str(path))
    rows = list(csv.reader(io.StringIO(text)))
    if not rows or "learner" not in (heads := [head.strip() for head in rows[0]]):
        what = "the first row has no column `learner`"
        raise Refusal([Problem(str(path), what, "write `learner` and a column for each item id", Span(1, 1))])
    long = {"item", "answer"} <= set(heads)
    if not long:
        _known([head for head in heads if head != "learner"], key, path, 1)
    found: dict[str, dict[str, str]] = {}
    for line, row in enumerate(rows[1:], start=2):
        if any(cell.strip() for cell in row):
            _take(found, dict(zip(heads, row, strict=False)), long, key, path, line)
    if not found:
        raise Refusal([Problem(str(path), "there is no answer in this table", "write a row for each learner")])
    return found


def _take(
    found: dict[str, dict[str, str]], row: Mapping[str, str], long: bool, key: Mapping[str, Any], path: Path, line: int
) -> None:
    learner = row.get("learner", "").strip()
    if not learner:
        raise Refusal([Problem(str(path), "this row names no learner", "fill in `learner`", Span(line, 1))])
    new = {row["item"].strip(): row.get("answer", "")} if long else {n: v for n, v in row.items() if n != "learner"}
    _known(new, key, path, line)
    own = found.setdefault(learner, {})
    twice = own.keys() & new.keys()
    if twice:
        what = f"{learner} answers {min(twice)} twice"
        raise Refusal([Problem(str(path), what, "keep one answer", Span(line, 1))])
    own.update({name: value.strip() for name, value in new.items()})


def _known(names: Sequence[str] | Mapping[str, str], key: Mapping[str, Any], path: Path, line: int) -> None:
    for name in names:
        if name not in key["items"]:
            right = did_you_mean(name, key["items"]) or "is this the key of another paper?"
            raise Refusal([Problem(str(path), f"the key has no item `{name}`", right, Span(line, 1))])


def mark(key: Mapping[str, Any], answers: Answers) -> Result:
    """Scores, feedback and statistics."""
    items = key["items"]
    marked = {
        learner: tuple(_marked(name, item, given.get(name, "")) for name, item in items.items())
        for learner, given in answers.items()
    }
    right = [[int(each.right) for each in row] for row in marked.values()]
    scores = [float(sum(row)) for row in right]
    return Result(
        marked,
        tuple(_of_item(place, name, item, marked, right, scores) for place, (name, item) in enumerate(items.items())),
        _of_paper(right, scores),
    )


def _marked(name: str, item: Mapping[str, Any], given: str) -> Marked:
    if not given:
        return Marked(name, given, False, "", "No answer.")
    if item["entered"]:
        return _entered(name, item, given)
    letter = given.upper().rstrip(".):")
    option = item["options"].get(letter)
    if option is None:
        return Marked(name, given, False, "", f"`{given}` is none of the options.")
    if option["right"]:
        return Marked(name, letter, True, "", "Right.")
    return Marked(name, letter, False, option["slip"], f"{option['named']}: {option['feedback']}")


def number_of(text: str, unit: str) -> float | None:
    """An entered number, with its unit or without; a decimal comma is read as a point. None for anything else."""
    found = _NUMBER.fullmatch(text)
    if found is None or (found[2] and found[2].strip() != unit):
        return None
    return float(found[1].replace(",", "."))


def _entered(name: str, item: Mapping[str, Any], given: str) -> Marked:
    value, entered = number_of(given, item["entered"]["unit"]), item["entered"]
    if value is None:
        return Marked(name, given, False, "", f"`{given}` is no number in {entered['unit']}.")
    if math.isclose(value, entered["value"], rel_tol=entered["tolerance"]):
        return Marked(name, given, True, "", "Right.")
    for wrong in item["typical"]:
        if math.isclose(value, wrong["value"], rel_tol=entered["tolerance"]):
            return Marked(name, given, False, wrong["slip"], f"{wrong['named']}: {wrong['feedback']}")
    return Marked(name, given, False, "", f"{item['answer']} would be right.")


def _of_item(
    place: int, name: str, item: Mapping[str, Any], marked: Mapping[str, tuple[Marked, ...]],
    right: Sequence[Sequence[int]], scores: Sequence[float],
) -> ItemStatistics:  # fmt: skip
    marks = [row[place] for row in right]
    rest = [score - mark for score, mark in zip(scores, marks, strict=True)]
    chosen = dict.fromkeys(item["options"], 0)
    for row in marked.values():
        if row[place].given in chosen:
            chosen[row[place].given] += 1
    difficulty = statistics.mean([float(mark) for mark in marks]) if marks else None
    telling = statistics.discrimination(marks, scores)
    enough = len(marks) >= statistics.FEW
    unused = tuple(
        letter for letter, count in chosen.items() if enough and letter != item["key"] and count < 0.05 * len(marks)
    )
    verdict = statistics.verdict_of(len(marks), difficulty, telling)
    correlation = statistics.point_biserial(marks, rest)
    return ItemStatistics(
        name,
        sum(bool(row[place].given) for row in marked.values()),
        difficulty,
        telling,
        correlation,
        chosen,
        verdict,
        unused,
    )


def _of_paper(right: Sequence[Sequence[int]], scores: Sequence[float]) -> PaperStatistics:
    reliability, spread = statistics.kr20(right), statistics.deviation(scores)
    error = None if reliability is None else spread * math.sqrt(max(0.0, 1 - reliability))
    learners = len(scores)
    verdict = (
        statistics.TOO_FEW if learners < statistics.FEW else statistics.CAUTIOUS if learners < statistics.SOME else ""
    )
    return PaperStatistics(
        learners, len(right[0]) if right else 0, statistics.mean(scores), spread, reliability, error, verdict
    )
