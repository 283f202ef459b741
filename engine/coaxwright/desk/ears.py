"""How work that is going on hears of what came meanwhile, and says how far it is."""

from __future__ import annotations

import time
from collections.abc import Callable

from coaxwright import pace

_PAUSE = 0.1
"""Seconds between two questions, or two words, that leave the engine."""


class Ears:
    """How work that is going on hears of what came meanwhile, and says how far it is. The server's: other requests are
    counted in `waiting`, `stop` is set beside them. In a page the worker asks its page instead (`Inside`).
    """

    def __init__(self) -> None:
        self.waiting, self.stop, self.progress = 0, False, ""

    def begin(self) -> None:
        """A request is begun."""
        self.stop, self.progress = False, ""

    def told_to_stop(self) -> bool:
        """Whether who asked wants no more of it."""
        return self.stop

    def newer(self) -> bool:
        """Whether something newer was asked."""
        return self.waiting > 1

    def hear(self, what: str, done: int, of: int | None) -> None:
        """Take a step of the work."""
        self.progress = f"{done} of {of} {what}" if of is not None else f"{done} {what}"


class Inside(Ears):
    """Within a page: `tell` takes words on how far the work is, `dropped` says whether the page wants no more of it."""

    def __init__(self, tell: Callable[[str], None], dropped: Callable[[], bool]) -> None:
        super().__init__()
        self._tell, self._dropped, self._next, self._asked = tell, dropped, 0.0, 0.0

    def newer(self) -> bool:
        """Asked a few times a second: the question leaves the engine."""
        now = time.monotonic()
        if now >= self._asked:
            self._asked = now + _PAUSE
            self.stop = self.stop or bool(self._dropped())
        return self.stop

    def told_to_stop(self) -> bool:
        """The page takes back its question for the one as for the other."""
        return self.newer()

    def hear(self, what: str, done: int, of: int | None) -> None:
        """Words go out a few times a second."""
        super().hear(what, done, of)
        now = time.monotonic()
        if now >= self._next:
            self._next = now + _PAUSE
            self._tell(self.progress)


class Patience(pace.TimeLimit):
    """Long work stops when it is told to; where it gives way, it stops as well when anything newer waits, and is begun
    again when the page is idle.
    """

    def __init__(self, ears: Ears, *, gives_way: bool) -> None:
        super().__init__(None)
        self._ears, self._gives_way = ears, gives_way

    def over(self) -> bool:
        """Whether the work has to stop with what it has."""
        self.stopped = self.stopped or self._ears.told_to_stop() or (self._gives_way and self._ears.newer())
        return self.stopped
