"""Progress of long commands on standard error; what goes to standard output stays the same, byte for byte.

On a terminal one line is written over again and wiped at the end; elsewhere, as in a log, a line now and then, and none
for work that is soon done.
"""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

from coaxwright.pace import heard_by

TERMINAL = (1.0, 0.2)
"""On a terminal: seconds before the first word, and between one and the next."""
ELSEWHERE = (10.0, 10.0)
"""The same for a log or a pipe."""


class Teller:
    """Says how far work has come, on one stream."""

    def __init__(self, stream: TextIO, on_terminal: bool, clock: Callable[[], float] = time.monotonic) -> None:
        self._stream, self._on_terminal, self._clock = stream, on_terminal, clock
        first, self._pause = TERMINAL if on_terminal else ELSEWHERE
        self._next = clock() + first
        self._shown = 0

    def __call__(self, what: str, done: int, of: int | None) -> None:
        """Take a step; it is told when the time has come."""
        now = self._clock()
        if now < self._next:
            return
        self._next = now + self._pause
        self._write(f"coaxwright: {done} of {of} {what}" if of is not None else f"coaxwright: {done} {what}")

    def wipe(self) -> None:
        """Take the line off the terminal, so that something else can be written there."""
        if self._shown:
            self._put("\r" + " " * self._shown + "\r")
            self._shown = 0

    def _write(self, text: str) -> None:
        if not self._on_terminal:
            self._put(f"{text}\n")
            return
        text = text[: max(1, shutil.get_terminal_size().columns - 1)]
        self._put("\r" + text.ljust(self._shown))
        self._shown = max(len(text), self._shown)

    def _put(self, text: str) -> None:
        """Progress that cannot be written is no fault."""
        try:
            self._stream.write(text)
            self._stream.flush()
        except (OSError, ValueError):
            return


_telling: list[Teller] = []


@contextmanager
def progress() -> Iterator[None]:
    """Within this block, long work is told on standard error."""
    stream = sys.stderr
    if stream is None:
        yield
        return
    _telling.append(Teller(stream, _is_terminal(stream)))
    try:
        with heard_by(_telling[-1]):
            yield
    finally:
        _telling.pop().wipe()


def _is_terminal(stream: TextIO) -> bool:
    try:
        return stream.isatty()
    except (ValueError, AttributeError):
        return False


def wipe() -> None:
    """Before anything else is written to a terminal."""
    for teller in _telling:
        teller.wipe()
