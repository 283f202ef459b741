"""How far long work has come, and when it has to stop.

Work that may take long says so with `step` or `counted`; who wants to show it listens with `heard_by` (the command
line does, for every command). A search that may be cut short asks `out_of_time`, which is true once the time given
with `within` has passed. Without a listener and without a limit both cost next to nothing, and no room has to hand a
callback through to another.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Sized
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

Item = TypeVar("Item")
Listener = Callable[[str, int, int | None], None]
"""Takes what is counted (as in "pairs"), how many are done, and how many there are (None where nobody knows)."""

_listener: ContextVar[Listener | None] = ContextVar("listener", default=None)


def step(what: str, done: int, of: int | None = None) -> None:
    """Say that so many of something are done."""
    listener = _listener.get()
    if listener is not None:
        listener(what, done, of)


def counted(items: Iterable[Item], what: str, of: int | None = None) -> Iterator[Item]:
    """Hand the items on, and say before each how many are done. `of` is their number where they have no length."""
    total = len(items) if of is None and isinstance(items, Sized) else of
    for done, item in enumerate(items):
        step(what, done, total)
        yield item


@contextmanager
def heard_by(listener: Listener | None) -> Iterator[None]:
    """Within this block, every `step` goes to that listener (to nobody where it is None)."""
    before = _listener.set(listener)
    try:
        yield
    finally:
        _listener.reset(before)


class TimeLimit:
    """A time that searches keep to, in seconds from its making; None is without end.

    `stopped` turns true when a search asked after it had passed: its result may then be less than it could be.
    """

    def __init__(self, seconds: float | None, clock: Callable[[], float] = time.monotonic) -> None:
        self.seconds, self.stopped, self._clock = seconds, False, clock
        self._end = None if seconds is None else clock() + seconds

    def over(self) -> bool:
        """Whether the time has passed; a search that is told so stops."""
        if not self.stopped and self._end is not None and self._clock() >= self._end:
            self.stopped = True
        return self.stopped


_limit: ContextVar[TimeLimit | None] = ContextVar("limit", default=None)


@contextmanager
def within(limit: TimeLimit) -> Iterator[TimeLimit]:
    """Within this block, `out_of_time` is answered by that limit."""
    before = _limit.set(limit)
    try:
        yield limit
    finally:
        _limit.reset(before)


STOPPED = "stopped by time"


def stopped() -> str:
    """`stopped by time` where a search within this limit was; else nothing."""
    limit = _limit.get()
    return STOPPED if limit is not None and limit.stopped else ""


def out_of_time() -> bool:
    """Whether a search has to stop with what it has."""
    limit = _limit.get()
    return limit is not None and limit.over()
