"""What can be wrong with an input, and how it is told.

A `Problem` is one thing a person can mend; a `Refusal` carries all the problems of what was read, together.
Nothing here prints or knows where text comes from.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coaxwright.immutable import immutable


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of one file: 1-based lines and columns (in characters), 0-based character offsets `start`, `end`."""

    line: int
    column: int
    end_line: int = 0
    end_column: int = 0
    start: int = 0
    end: int = 0


@immutable
class Problem:
    """One thing wrong: `file:line:column: what; right`.

    `what` says what is wrong in one sentence without a full stop, `right` what would be right (may be empty),
    `path` is the document path as keys and indices, for machines.
    """

    file: str
    what: str
    right: str = ""
    span: Span | None = None
    path: tuple[str | int, ...] = ()

    def __str__(self) -> str:
        """`file:line:column: what; right`, on one line."""
        place = f"{self.file}:{self.span.line}:{self.span.column}" if self.span else self.file
        return f"{place}: {self.what}; {self.right}" if self.right else f"{place}: {self.what}"


class Refusal(Exception):
    """The input cannot be checked. `problems` has at least one entry, in order of place."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        if not self.problems:
            raise ValueError("a refusal needs at least one problem")
        super().__init__("\n".join(str(problem) for problem in self.problems))
