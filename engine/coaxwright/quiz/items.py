"""Records of one question: what a learner sees, and apart from it what only a trainer may see.

`Posed` is a question with its key and every wrong result that could be offered; `Item` is what came of it: options
chosen and ordered, everything that is printed.
"""

from __future__ import annotations

from coaxwright.immutable import immutable
from coaxwright.quiz.answers import Answer, Asked
from coaxwright.quiz.tables import Table
from coaxwright.rulebook.judging import Judgement

LETTERS = "ABCD"


@immutable
class Wrong:
    """A wrong result: as it is printed, the slip that leads to it, and what to tell who fell for it."""

    answer: Answer
    slip: str
    feedback: str
    by: int = -1
    """Which wrong method of the pattern, or which of its changes, by place; -1 where none is listed."""
    pair: tuple[str, ...] = ()
    """The names of both, where two wrong methods lead to it together."""


@immutable
class Posed:
    """A question on a plan: its key, its possible wrong results, and how the key came about."""

    asked: Asked
    stem: str
    key: Answer
    wrongs: tuple[Wrong, ...]
    working: tuple[str, ...]
    wanted: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    shows: tuple[str, ...] = ()
    proofs: tuple[Judgement, ...] = ()


@immutable
class Option:
    """One option as printed. `slip` is empty for the key; `feedback` is for the key file only."""

    id: str
    answer: Answer
    slip: str = ""
    feedback: str = ""
    by: int = -1
    pair: tuple[str, ...] = ()


@immutable
class Item:
    """One finished question. What stands under `key` and in options beyond their text is for trainers only."""

    id: str
    posed: Posed
    intro: str
    tables: tuple[Table, ...]
    given: tuple[tuple[str, str], ...]
    options: tuple[Option, ...]
    key: str
    typical: tuple[Wrong, ...]
    estimate: float
    band: str

    @property
    def pattern(self) -> str:
        """Id of its pattern."""
        return self.posed.asked.pattern.id

    @property
    def topic(self) -> str:
        """Topic of its pattern."""
        return self.posed.asked.pattern.topic

    @property
    def kind(self) -> str:
        """Kind of question."""
        return self.posed.asked.pattern.form.kind

    @property
    def level(self) -> str:
        """Recall, apply or analyse."""
        return self.posed.asked.pattern.form.level

    @property
    def numeric(self) -> bool:
        """Whether a number is entered instead of an option chosen."""
        return not self.options

    def option(self, identifier: str) -> Option:
        """The option of that letter; KeyError."""
        for each in self.options:
            if each.id == identifier:
                return each
        raise KeyError(identifier)
