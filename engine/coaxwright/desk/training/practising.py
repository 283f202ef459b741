"""One question at a time, answered by the key as it is marked: the questions of the practice page with the same seed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coaxwright.course.practice import Practice, practice_item
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.marking import Marked, mark_one
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import Question, item_key, sheet_of
from coaxwright.reading.suggest import did_you_mean

MOST = 8
"""Questions of a round; each is of a pattern of its own."""
VARIANTS = 9
"""Others of the same kind, one after the other."""


@immutable
class Turn:
    """Where a learner is: `place` counts questions of the round from 0, `variant` others of the same kind."""

    topic: str
    seed: int = 1
    place: int = 0
    variant: int = 0

    @property
    def address(self) -> str:
        """As the page's address has it."""
        return f"/course/practice/{self.topic}/{self.seed}/{self.place}/{self.variant}"


def turn_of(rest: str) -> Turn | None:
    """A turn from `power/1/3/0`; None where no topic is named. What is no number is 0."""
    topic, *numbers = rest.split("/")
    if not topic:
        return None
    seed, place, variant = [int(each) if each.isdecimal() and len(each) < 7 else 0 for each in (*numbers, "", "", "")][:3]
    return Turn(topic, seed or 1, place, variant % VARIANTS)


@immutable
class Posed:
    """A question as it is shown, with its key; `count` questions are in the round."""

    question: Question
    key: Mapping[str, Any]
    title: str
    count: int

    def marked(self, given: str) -> Marked:
        """An answer, marked as on a paper."""
        return mark_one(self.question.id, self.key, given)


def posed(bank: Bank, turn: Turn) -> Posed:
    """The question of a turn. Raises Refusal for a topic that is not there, or where none comes out."""
    if turn.topic not in bank.topics:
        right = did_you_mean(turn.topic, bank.topics) or f"there are: {', '.join(bank.topics)}"
        raise Refusal([Problem("practice", f"there is no question on the topic `{turn.topic}`", right)])
    patterns = bank.of([turn.topic])[:MOST]
    pattern = patterns[turn.place % len(patterns)]
    item = practice_item(bank, pattern, Practice((turn.topic,), VARIANTS, turn.seed), turn.variant)
    if item is None:
        raise Refusal([Problem("practice", "no question of this kind comes out", "go on to the next, or take another seed")])
    (question,) = sheet_of(Paper("P", turn.topic, turn.seed, bank.digest, "", (item,))).questions
    return Posed(question, item_key(bank, 1, item), item.posed.asked.pattern.form.title, len(patterns))


class Progress:
    """What a learner did, by turn: what was given, and whether the working was looked at, which counts as not known."""

    def __init__(self) -> None:
        self.given: dict[Turn, list[str]] = {}
        self.shown: set[Turn] = set()

    def outcome(self, turn: Turn, known: Posed | None = None) -> str:
        """`ok` where the first answer was right, `no` where it was not or was looked up, else empty."""
        given = self.given.get(turn, [])
        if turn in self.shown or len(given) > 1:
            return "no"
        if not given or known is None:
            return ""
        return "ok" if known.marked(given[0]).right else "no"
