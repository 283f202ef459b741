"""A class of known abilities over three exams: marks give its order, statistics give the two bad questions.

Models and coefficients from outside stand in `simulated`. Bounds are wide against the figures of docs/quality.md, which come
from 300 classes.
"""

from __future__ import annotations

import statistics

import pytest
from scipy.stats import spearmanr
from tests.course.simulated import QUESTIONS, TURNED, WRONG_KEY, Outcome, outcome, spearman

from coaxwright.course.sittings import Rival, doubtful

CLASSES = 20
BAD = {WRONG_KEY, TURNED}


@pytest.fixture(scope="module")
def classes(tmp_path_factory: pytest.TempPathFactory) -> list[Outcome]:
    folder = tmp_path_factory.mktemp("classes")
    return [outcome(seed, folder) for seed in range(CLASSES)]


def test_marks_recover_the_order_of_abilities(classes: list[Outcome]) -> None:
    assert statistics.median(each for one in classes for each in one.single) >= 0.85
    assert statistics.median(one.together for one in classes) >= 0.92


def test_statistics_find_the_planted_questions(classes: list[Outcome]) -> None:
    found = sum(len(one.in_history & BAD) for one in classes)
    false = sum(len(one.in_history - BAD) for one in classes)
    assert found >= 0.8 * 2 * CLASSES
    assert false <= 0.02 * (QUESTIONS - 2) * CLASSES
    assert classes[0].in_history >= BAD


def test_spearman_is_that_of_others() -> None:
    """Against scipy, shared ranks included."""
    one, other = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0], [2.0, 7.0, 1.0, 8.0, 2.0, 8.0, 1.0, 8.0]
    assert spearman(one, other) == pytest.approx(float(spearmanr(one, other).statistic))


@pytest.mark.parametrize(
    ("right", "fit", "rival", "doubted"),
    [
        (9, 0.4, Rival("B", 4, -0.2), False),
        (5, -0.26, Rival("B", 4, 0.3), False),
        (5, -0.27, Rival("B", 4, 0.3), True),
        (5, 0.1, Rival("B", 5, 0.36), False),
        (5, 0.1, Rival("B", 5, 0.37), True),
        (6, 0.1, Rival("B", 5, 0.37), False),
        (0, None, Rival("B", 8, None), True),
        (0, None, Rival("B", 7, None), False),
        (15, None, None, False),
    ],
)
def test_when_a_key_is_doubted(right: int, fit: float | None, rival: Rival | None, doubted: bool) -> None:
    """By hand for 15 papers, where chance is 1 / sqrt(14) = 0.267. To look at wrong answers: Haladyna 2004 (from memory)."""
    assert doubtful(15, right, fit, rival) is doubted
