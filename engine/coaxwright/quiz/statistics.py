"""Classical statistics of a marked paper: how hard each question was, how well it told strong from weak, reliability.

Formulas: classical test theory (from memory; Kuder and Richardson 1937 for KR-20). Bands of discrimination: Ebel and
Frisbie 1991 (from memory). Too few answers are said to be too few, not judged.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from coaxwright.immutable import immutable

FEW, SOME = 30, 100
UPPER = 0.27
TOO_FEW, CAUTIOUS = "too few to judge", "with caution"


@immutable
class ItemStatistics:
    """`difficulty` is the share that was right; `discrimination` upper less lower 27 %; `correlation` point-biserial
    with the rest of the score; None where it cannot be computed. `chosen` counts answers by option.
    """

    item: str
    answered: int
    difficulty: float | None
    discrimination: float | None
    correlation: float | None
    chosen: Mapping[str, int]
    verdict: str
    unused: tuple[str, ...]


@immutable
class PaperStatistics:
    """Of all learners: mean and standard deviation of scores, KR-20, standard error of measurement."""

    learners: int
    items: int
    mean: float
    deviation: float
    reliability: float | None
    error: float | None
    verdict: str


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean; 0 of nothing."""
    return sum(values) / len(values) if values else 0.0


def deviation(values: Sequence[float]) -> float:
    """Population standard deviation."""
    middle = mean(values)
    return math.sqrt(mean([(value - middle) ** 2 for value in values]))


def kr20(right: Sequence[Sequence[int]]) -> float | None:
    """Reliability of right (1) and wrong (0), learners by items: k/(k-1) (1 - sum pq / variance); None where
    the scores do not differ or there is one item.
    """
    count = len(right[0]) if right else 0
    scores = [float(sum(row)) for row in right]
    spread = deviation(scores) ** 2
    if count < 2 or spread == 0:
        return None
    shares = [mean([float(row[place]) for row in right]) for place in range(count)]
    return count / (count - 1) * (1 - sum(share * (1 - share) for share in shares) / spread)


def discrimination(marks: Sequence[int], scores: Sequence[float]) -> float | None:
    """Share right among the best 27 % less that among the weakest 27 %; None below four learners.

    Learners of one score at the border of a group belong to it in equal shares, so that the order of rows is nothing.
    """
    group = max(1, round(UPPER * len(marks)))
    if len(marks) < 4:
        return None
    low = _shares_of_weakest(scores, group)
    high = _shares_of_weakest([-score for score in scores], group)
    return sum((most - least) * mark for most, least, mark in zip(high, low, marks, strict=True)) / group


def _shares_of_weakest(scores: Sequence[float], group: int) -> list[float]:
    """How much of each learner is in the group of so many with the least scores."""
    border = sorted(scores)[group - 1]
    below = sum(score < border for score in scores)
    share = (group - below) / sum(score == border for score in scores)
    return [1.0 if score < border else share if score == border else 0.0 for score in scores]


def point_biserial(marks: Sequence[int], rest: Sequence[float]) -> float | None:
    """Correlation of right or wrong with the score on all other items; None where one of them does not vary."""
    share, spread = mean([float(mark) for mark in marks]), deviation(rest)
    if spread == 0 or share in (0.0, 1.0):
        return None
    right = mean([score for score, mark in zip(rest, marks, strict=True) if mark])
    return (right - mean(rest)) / spread * math.sqrt(share / (1 - share))


def verdict_of(learners: int, difficulty: float | None, telling: float | None) -> str:
    """What can be said of a question."""
    if learners < FEW or difficulty is None:
        return TOO_FEW
    said = _band(telling)
    if difficulty < 0.2 or difficulty > 0.8:
        said += ", review: hardly anyone right" if difficulty < 0.2 else ", review: almost all right"
    return said if learners >= SOME else f"{said} ({CAUTIOUS})"


def _band(telling: float | None) -> str:
    if telling is None:
        return "not told apart"
    if telling < 0:
        return "check the key"
    bands = ((0.2, "poor"), (0.3, "marginal"), (0.4, "good"))
    return next((word for most, word in bands if telling < most), "very good")
