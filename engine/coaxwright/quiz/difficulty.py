"""How hard a question is likely to be before anyone has answered: steps of thought, how much is to be read, and how near the
nearest wrong answer comes. What answers of learners tell comes from `course calibrate` and takes the place of the mean of a
pattern; the rest then only says how far a question lies from that mean.

Weights are our own; what they are worth is tested against invented learners (docs/quality.md).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coaxwright.immutable import immutable
from coaxwright.quiz.items import Option, Posed
from coaxwright.quiz.tables import EMPTY, Table

BANDS = ((0.4, "easy"), (0.58, "middling"), (9.0, "hard"))
MOST_STEPS, MOST_TABLES, MOST_CELLS = 6, 6, 80
STEPS, READING, NEARNESS = 0.5, 0.2, 0.3
WORDS = 0.5
"""Nearness of worded options, of which nobody knows it."""


@immutable
class Measured:
    """What answers told of a pattern: how hard it is, and the mean estimate of the questions that were asked."""

    difficulty: float
    estimate: float


Known = Mapping[str, Measured]
"""By pattern."""


def estimated(posed: Posed, options: Sequence[Option], tables: Sequence[Table], known: Known | None = None) -> float:
    """Difficulty from 0 (everyone) to 1 (nobody is right); an estimate, moved to what is known of the pattern."""
    form = posed.asked.pattern.form
    steps = min(1.0, (form.steps - 1) / (MOST_STEPS - 1))
    own = STEPS * steps + READING * _reading(tables) + NEARNESS * _nearness(posed, options)
    measured = (known or {}).get(posed.asked.pattern.id)
    moved = own if measured is None else measured.difficulty + own - measured.estimate
    return round(min(1.0, max(0.0, moved)), 3)


def band_of(estimate: float) -> str:
    """Easy, middling or hard."""
    return next(name for most, name in BANDS if estimate < most)


def _reading(tables: Sequence[Table]) -> float:
    """Tables to go through, and cells that say something."""
    cells = sum(cell != EMPTY for table in tables for row in table.rows for cell in row)
    return 0.5 * min(1.0, len(tables) / MOST_TABLES) + 0.5 * min(1.0, cells / MOST_CELLS)


def _nearness(posed: Posed, options: Sequence[Option]) -> float:
    """1 for a wrong number that all but equals the key, 0 for one that is half or double of it and beyond."""
    key, wrong = posed.key.number, [option for option in options if option.slip]
    numbers = [option.answer.number for option in wrong if option.answer.number is not None]
    if key is None or not numbers:
        return WORDS
    gap = min(abs(number - key) / max(abs(number), abs(key), 1e-12) for number in numbers)
    return 1.0 - min(1.0, 2 * gap)
