"""What a value costs to walk: as much as walking it would take, told without walking what stands in it twice."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.language.evaluating import _weight

TYPED = st.recursive(
    st.lists(st.integers(), max_size=4) | st.lists(st.text(max_size=9), max_size=4),
    lambda inner: st.lists(inner.filter(bool), max_size=4) | inner.map(lambda item: [item] * 3),
    max_leaves=20,
)


def _walked(value: Any) -> float:
    if isinstance(value, str):
        return len(value) / 4
    return len(value) + sum(map(_walked, value)) if isinstance(value, list) else 0


def _texts(value: Any) -> int:
    return sum(map(_texts, value)) if isinstance(value, list) and value and isinstance(value[0], list) else 1


@settings(max_examples=200, deadline=None)
@given(TYPED)
def test_same_as_walking(value: Any) -> None:
    """Save for quarters of texts, rounded down once for each list of texts."""
    assert 0 <= _walked(value) - _weight(value, {}) < _texts(value)


def test_a_list_in_itself_many_times() -> None:
    """Walked item by item this would take hours."""
    value: list[Any] = [1]
    for _ in range(40):
        value = [value, value]
    assert _weight(value, {}) == 2**42 - 2 - 2**40
