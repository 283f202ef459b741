"""What sittings tell of how hard kinds of question are, from their `questions.json`, which hold no names.

Few answers are trusted little: the share that was wrong is drawn towards what the estimate leads to expect, as strongly as the
estimates turn out to be worth (empirical Bayes with beta priors: Casella 1985, from memory; the weight by moments).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.course.history import Asked, OfPattern, by_pattern
from coaxwright.course.sittings import FEW_SAID
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import statistics
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.difficulty import Measured, band_of
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.marking import MOST_BYTES
from coaxwright.reading.json_text import json_value
from coaxwright.reading.yaml_source import decode, read_bytes
from coaxwright.show.figures import count
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Block, Column, Document, Note, Table

DRAWS = 3
LEAST_WEIGHT, MOST_WEIGHT = 4.0, 200.0
"""So many answers an estimate counts for, at least and at most."""
_RIGHT = "name a file that `coaxwright course calibrate --format json` wrote"


@immutable
class Calibrated:
    """A pattern: its estimate, how many answered and were right, and its difficulty: the share wrong, drawn together."""

    pattern: str
    answers: int
    right: int
    estimate: float
    difficulty: float
    band: str
    remark: str


def estimates(bank: Bank, patterns: Sequence[str]) -> dict[str, float]:
    """The mean estimate of some questions of each pattern; patterns that the bank does not have are left out."""
    known = {pattern.id for pattern in bank.patterns}
    return {name: _estimate(bank, name) for name in patterns if name in known}


def _estimate(bank: Bank, name: str) -> float:
    orders = (Order(bank.pattern(name), f"calibrate/{place}", place) for place in range(DRAWS))
    return statistics.mean([make_item(bank, order).estimate for order in orders])


def calibrated(asked: Sequence[Asked], estimate: Mapping[str, float]) -> list[Calibrated]:
    """Patterns that were asked and have an estimate, in order of name. Raises Refusal where there are none."""
    held = [each for each in by_pattern(asked) if each.pattern in estimate and each.answers]
    if not held:
        raise Refusal(
            [Problem("calibrate", "no question of these sittings is of a pattern of the bank", "name others")]
        )
    expected = _expected(held, estimate)
    weight = _weight(held, expected)
    return [_drawn(each, estimate[each.pattern], expected[each.pattern], weight) for each in held]


def _expected(held: Sequence[OfPattern], estimate: Mapping[str, float]) -> dict[str, float]:
    """The share wrong that each estimate leads to expect: the line of least squares through all answers, each pattern with
    the weight of its answers; a line that falls is taken as level.
    """
    whole = sum(each.answers for each in held)
    wrong = sum(each.answers - each.right for each in held) / whole
    middle = sum(each.answers * estimate[each.pattern] for each in held) / whole
    across = [(each.answers, estimate[each.pattern] - middle, 1 - each.share - wrong) for each in held]
    spread = sum(weight * x * x for weight, x, _ in across)
    slope = max(0.0, sum(weight * x * y for weight, x, y in across) / spread) if spread > 1e-9 else 0.0
    return {each.pattern: _within(wrong + slope * (estimate[each.pattern] - middle)) for each in held}


def _within(share: float) -> float:
    return min(0.98, max(0.02, share))


def _weight(held: Sequence[OfPattern], expected: Mapping[str, float]) -> float:
    """How many answers an expectation is worth: what shares vary about it, less what chance alone makes them vary."""
    chance = [expected[each.pattern] * (1 - expected[each.pattern]) for each in held]
    seen = statistics.mean([(1 - each.share - expected[each.pattern]) ** 2 for each in held])
    own = seen - statistics.mean([each / held[place].answers for place, each in enumerate(chance)])
    return min(MOST_WEIGHT, max(LEAST_WEIGHT, statistics.mean(chance) / own - 1)) if own > 1e-9 else MOST_WEIGHT


def _drawn(each: OfPattern, estimate: float, expected: float, weight: float) -> Calibrated:
    difficulty = round((each.answers - each.right + weight * expected) / (each.answers + weight), 3)
    few = FEW_SAID if each.answers < statistics.FEW else ""
    return Calibrated(each.pattern, each.answers, each.right, round(estimate, 3), difficulty, band_of(difficulty), few)


def calibration_data(found: Sequence[Calibrated]) -> dict[str, Any]:
    """Plain data, which `difficulty` of an exam project reads."""
    return {"format": FORMAT, "patterns": [plain(each) for each in found]}


def calibration_document(found: Sequence[Calibrated]) -> Document:
    """The same as a document, hardest first."""
    columns: list[Column | str] = [
        "kind of question", Column("answers", "number", "", 0), Column("share wrong", "number"),
        Column("estimate", "number"), Column("difficulty", "number"), "band", "remark",
    ]  # fmt: skip
    ranked = sorted(found, key=lambda each: -each.difficulty)
    rows = [
        (each.pattern, float(each.answers), 1 - each.right / each.answers, each.estimate, each.difficulty, each.band, each.remark)
        for each in ranked
    ]  # fmt: skip
    said = (
        "Difficulty is the share wrong, drawn towards what the estimate leads to expect: the more, the fewer answers."
    )
    blocks: list[Block] = [Table(columns, rows, fold="scroll"), Note(said)]
    answers = sum(each.answers for each in found)
    return Document(
        "Difficulty from answers", tuple(blocks), f"{count(len(found), 'kind')}, {count(answers, 'answer')}."
    )


def read_calibration(path: Path) -> dict[str, Measured]:
    """What a calibration holds, by pattern. Raises Refusal."""
    data = json_value(decode(read_bytes(path, str(path), MOST_BYTES), str(path)), str(path), _RIGHT)
    rows = data.get("patterns") if isinstance(data, dict) else None
    if not isinstance(rows, list) or not all(map(_is_row, rows)):
        raise Refusal([Problem(str(path), "this holds no difficulties of patterns", _RIGHT)])
    return {each["pattern"]: Measured(float(each["difficulty"]), float(each["estimate"])) for each in rows}


def _is_row(each: object) -> bool:
    return (
        isinstance(each, dict)
        and isinstance(each.get("pattern"), str)
        and all(isinstance(each.get(name), int | float) and 0 <= each[name] <= 1 for name in ("difficulty", "estimate"))
    )
