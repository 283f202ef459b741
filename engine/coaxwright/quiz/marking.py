"""Marks answers against a key: scores, feedback for each slip, statistics. Answers are known by item id, not by place.

A table of answers has a column `learner` and either a column for each item id, or the columns `item` and `answer`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.quantities import quoted
from coaxwright.quiz import statistics
from coaxwright.quiz.statistics import ItemStatistics, PaperStatistics
from coaxwright.reading.csv_rows import Row, Table, delimiter_of
from coaxwright.reading.json_text import json_value
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
    data = json_value(text, str(path), _KEY)
    data = data.get("key", data) if isinstance(data, dict) else {}
    items = data.get("items") if isinstance(data, dict) else None
    if not isinstance(items, dict) or not items:
        raise Refusal([Problem(str(path), "this is no key", _KEY)])
    wrong = [name for name, item in items.items() if not _is_item(item)]
    if wrong:
        raise Refusal([Problem(str(path), f"the item {quoted(wrong[0])} is none of a key", _KEY)])
    return dict(data)


_KEY = "name the key-*.json written beside the paper"
_Fields = Mapping[str, type | tuple[type, ...]]
_ITEM: _Fields = {"key": (str, type(None)), "answer": str, "entered": (dict, type(None)), "options": dict, "typical": list}
_ENTERED: _Fields = {"value": (int, float), "tolerance": (int, float), "unit": str}
_OPTION: _Fields = {"text": str, "right": bool}
_WRONG: _Fields = {"slip": str, "named": str, "feedback": str}
_TYPICAL: _Fields = {"value": (int, float), **_WRONG}


def is_key(data: object) -> bool:
    """Whether this is the plain data of a key, with all that marking reads."""
    items = data.get("items") if isinstance(data, dict) else None
    return isinstance(items, dict) and bool(items) and all(map(_is_item, items.values()))


def _is_item(item: Mapping[str, Any]) -> bool:
    """Whether all that marking reads of an item is there, and of its kind."""
    return (
        _has(item, _ITEM)
        and (not item["entered"] or _has(item["entered"], _ENTERED))
        and all(_has(each, _OPTION) and (each["right"] or _has(each, _WRONG)) for each in item["options"].values())
        and all(_has(each, _TYPICAL) for each in item["typical"])
    )


def _has(value: object, fields: _Fields) -> bool:
    return isinstance(value, dict) and all(
        name in value and isinstance(value[name], kind) for name, kind in fields.items()
    )


def read_answers(path: Path, key: Mapping[str, Any]) -> Answers:
    """Answers by learner and item id. Raises Refusal for columns, ids or learners that make no sense."""
    text = decode(read_bytes(path, str(path), MOST_BYTES), str(path))
    table = Table(text, str(path), delimiter_of(text))
    rows = iter(table)
    heads = next(rows, Row([], 1))
    columns = _columns(table, heads, key)
    found: dict[str, dict[str, str]] = {}
    for row in rows:
        if any(cell.strip() for cell in row.cells):
            _take(found, table, row, columns, key)
    if not found:
        raise Refusal([Problem(str(path), "there is no answer in this table", "write a row for each learner")])
    return found


def _columns(table: Table, heads: Row, key: Mapping[str, Any]) -> Mapping[str, int]:
    """The place of each column by its name. Raises Refusal for one that is missing, unknown or there twice."""
    names = [head.strip() for head in heads.cells]
    if "learner" not in names:
        what = "the first row has no column `learner`"
        raise Refusal([table.problem(heads, 0, what, "write `learner` and a column for each item id")])
    for place, name in enumerate(names):
        if name and name in names[:place]:
            first = names.index(name) + 1
            what = f"there are two columns {quoted(name)}, the first is column {first}"
            raise Refusal([table.problem(heads, place, what, "keep one of them")])
    columns = {name: place for place, name in enumerate(names) if name or _is_filled(names, place)}
    if not {"item", "answer"} <= columns.keys():
        for name, place in columns.items():
            if name != "learner":
                _known(name, key, table, heads, place)
    return columns


def _is_filled(names: Sequence[str], place: int) -> bool:
    """Whether a column without a heading stands between others: those at the end are blank in many tables."""
    return any(names[place:])


def _take(
    found: dict[str, dict[str, str]], table: Table, row: Row, columns: Mapping[str, int], key: Mapping[str, Any]
) -> None:
    beyond = next((place for place, cell in enumerate(row.cells) if place > max(columns.values()) and cell.strip()), None)
    if beyond is not None:
        raise Refusal([table.problem(row, beyond, "this cell stands under no heading", "check commas and quotation marks")])
    cells = {name: row.cells[place].strip() if place < len(row.cells) else "" for name, place in columns.items()}
    learner = cells.pop("learner")
    if not learner:
        raise Refusal([table.problem(row, columns["learner"], "this row names no learner", "fill in `learner`")])
    if "\n" in learner or "\r" in learner:
        what = "the name of this learner goes over several lines"
        raise Refusal([table.problem(row, columns["learner"], what, "check the quotation marks")])
    table.one_line(row, "this answer")
    if {"item", "answer"} <= columns.keys():
        cells = {cells["item"]: cells["answer"]}
        _known(next(iter(cells)), key, table, row, columns["item"])
    own = found.setdefault(learner, {})
    twice = own.keys() & cells.keys()
    if twice:
        what = f"{learner} answers {min(twice)} twice"
        raise Refusal([table.problem(row, columns["learner"], what, "keep one answer")])
    own.update(cells)


def _known(name: str, key: Mapping[str, Any], table: Table, row: Row, place: int) -> None:
    if name not in key["items"]:
        right = did_you_mean(name, key["items"]) or "is this the key of another paper?"
        raise Refusal([table.problem(row, place, f"the key has no item `{name}`", right)])


def mark(key: Mapping[str, Any], answers: Answers) -> Result:
    """Scores, feedback and statistics."""
    items = key["items"]
    marked = {
        learner: tuple(mark_one(name, item, given.get(name, "")) for name, item in items.items())
        for learner, given in answers.items()
    }
    right = [[int(each.right) for each in row] for row in marked.values()]
    scores = [float(sum(row)) for row in right]
    return Result(
        marked,
        tuple(_of_item(place, name, item, marked, right, scores) for place, (name, item) in enumerate(items.items())),
        _of_paper(right, scores),
    )


def mark_one(name: str, item: Mapping[str, Any], given: str) -> Marked:
    """One answer against one item of a key, with what to tell who gave it."""
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
