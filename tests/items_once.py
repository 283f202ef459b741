"""Questions made once for several tests of one process: making one takes some hundred trials of a site.

For tests that ask whether two ways lead to the same order of a question, or what is printed of it. That the same order
gives the same question is `tests/quiz/test_papers.py`'s to show, which makes them anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any

import pytest

MAKERS = ("coaxwright.quiz.papers", "coaxwright.course.lessons", "coaxwright.course.practice")
_MADE: dict[tuple[Any, ...], Any] = {}


def remembering(make: Any) -> Any:
    """`make_item` that remembers; a question on a site of one's own, and a refusal, is made anew."""

    def made(bank: Any, order: Any, *more: Any) -> Any:
        if order.plan is not None or more:
            return make(bank, order, *more)
        key = (bank.digest, order.pattern.id, order.seed, order.place, order.size, order.band, order.sound)
        if key not in _MADE:
            _MADE[key] = make(bank, order)
        return _MADE[key]

    return made


@contextmanager
def remembered() -> Iterator[None]:
    """Inside, the same order gives the question that was made for it before."""
    with pytest.MonkeyPatch.context() as patch:
        for name in MAKERS:
            module = import_module(name)
            patch.setattr(module, "make_item", remembering(module.make_item))
        yield


@pytest.fixture(scope="module")
def items_once() -> Iterator[None]:
    """While a module's tests run; fixtures of a whole run are made before this one, and call `remembered` themselves."""
    with remembered():
        yield
