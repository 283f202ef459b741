"""What walking lists and texts costs the exact evaluator; lists inside lists are equal item by item."""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.language.evaluating import _Exhausted, _Run, _weight
from coaxwright.language.functions import equal_list

TWICE = ["ab", "cdef"]


@pytest.mark.parametrize(
    ("value", "steps"),
    [
        (3, 0), (True, 0), ("", 0), ("abc", 0), ("abcd", 1), ("abcdefgh", 2), ("abcdefghijkl", 3),
        ([], 0), ((), 0), ([1, 2, 3], 3), ((1.5,), 1),
        (["ab", "cdef"], 2 + 6 // 4), ([[1, 2], [3]], 2 + 2 + 1), ([TWICE, TWICE], 2 + 2 * 3), ([[], []], 2),
        ([[[1], [2]], [[3]]], 2 + (2 + 1 + 1) + (1 + 1)),
    ],
)  # fmt: skip
def test_weights(value: Any, steps: int) -> None:
    """One step an item, one for four characters, all that is inside counted each time it stands there."""
    assert _weight(value, {}) == steps


def test_a_list_that_stands_in_itself_many_times_is_walked_once() -> None:
    """Sixty doublings: 2^60 items counted in sixty looks."""
    value: Any = [1]
    for _ in range(60):
        value = [value, value]
    assert _weight(value, {}) > 2**60


@pytest.mark.parametrize(("steps", "enough"), [(3, True), (2, False)])
def test_walking_is_paid_before_it_is_done(steps: int, enough: bool) -> None:
    run = _Run(steps)
    if enough:
        run.charge([1, 2, 3])
        assert run.steps == 0
    else:
        with pytest.raises(_Exhausted):
            run.charge([1, 2, 3])


@pytest.mark.parametrize(
    ("left", "right", "same"),
    [
        ([1, 2], [1, 2], True), ([1, 2], [2, 1], False), ([1], [1, 1], False), ([], [], True), ([], [1], False),
        ([[1], [2]], [[1], [2]], True), ([[1], [2]], [[1], [3]], False), ([[1], []], [[1], []], True),
        (1, 1, True), (1, 2, False),
        ([float("nan")], [float("nan")], False),
    ],
)  # fmt: skip
def test_lists_are_equal_item_by_item(left: Any, right: Any, same: bool) -> None:
    """Common Expression Language specification, "Equality"; a NaN equals nothing (IEEE 754-2019 clause 5.11)."""
    assert equal_list(left, right) is same
