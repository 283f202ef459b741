"""Kinds of judges: which options of a printed question are defensible, and whether a named wrong method gives an option.

A judge is made of formulas of this package; it never sees the key.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from .paper import Read
from .plan import Missing, Plan, number

TRUE, FALSE, OPEN = "The statement is true", "The statement is false", "A needed fact is missing"
Result = float | str
Answer = Callable[[Plan], Result]
CLOSE = 0.004  # share by which a printed figure may be off besides its last digit: given figures are rounded


class NotReproduced(Exception):
    """A slip for which no wrong method is written here."""


def printed_close(text: str, value: float) -> bool:
    """Whether a printed number is this value, to half of its last digit and a little for rounded data."""
    digits = text.split()[0].partition(".")[2]
    return abs(number(text) - value) <= 0.5 * 10.0 ** -len(digits) + CLOSE * abs(value) + 1e-9


def other_rows(plan: Plan) -> list[Plan]:
    """The same question asked about each other device that a table lists beside the one that it names."""
    named = [
        (title, name) for title in ("Cameras", "Screens") for name in plan.names(title)
        if re.search(rf"\b{re.escape(name)}\b", plan.stem)
    ]  # fmt: skip
    return [
        replace(plan, stem=re.sub(rf"\b{re.escape(name)}\b", other, plan.stem))
        for title, name in named for other in plan.names(title) if other != name
    ]  # fmt: skip


def inversions(one: str, other: str) -> int:
    """In how many pairs two orders of the same names differ."""
    first, second = one.split(", "), other.split(", ")
    return sum(
        second.index(before) > second.index(after)
        for place, before in enumerate(first) for after in first[place + 1 :]
    )  # fmt: skip


@dataclass(frozen=True)
class Misread:
    """The wrong method that reads the plan otherwise and goes on rightly."""

    answer: Answer
    edit: Callable[[Plan], Plan]

    def __call__(self, plan: Plan) -> Result:
        return self.answer(self.edit(plan))


@dataclass(frozen=True)
class Scaled:
    """The wrong method that takes the right result so many times."""

    answer: Answer
    factor: float

    def __call__(self, plan: Plan) -> Result:
        return times_result(self.answer(plan), self.factor)


misread, scaled = Misread, Scaled


def times_result(value: Result, factor: float) -> float:
    if isinstance(value, str):
        raise NotReproduced("words cannot be scaled")
    return value * factor


def together(answer: Answer, pair: Sequence[Answer], plan: Plan) -> Result:
    """What two wrong methods come to together: the plan misread in both ways, then worked (in the way of the one that has a
    way of its own), then both factors.
    """
    own = [each for each in pair if not isinstance(each, Misread | Scaled)]
    if len(own) > 1:
        raise NotReproduced("two ways of working at once")
    for each in pair:
        plan = each.edit(plan) if isinstance(each, Misread) and each.answer is answer else plan
    turned = [each.answer for each in pair if isinstance(each, Misread | Scaled) and each.answer is not answer]
    value = [*own, *turned, answer][0](plan)
    for each in pair:
        value = times_result(value, each.factor) if isinstance(each, Scaled) else value
    return value


FACTORS: Mapping[str, float] = {
    "half-counted": 0.5, "twice-counted": 2.0, "halved-again": 0.25, "doubled-again": 4.0, "feet-turned-round": 0.3048,
}  # fmt: skip
"""Slips that are a factor whatever is asked."""
MISCOUNTED = 8


@dataclass(frozen=True)
class Judge:
    """A question with one result: a number or words. Wrong methods are results too, by the name of the slip."""

    answer: Answer
    wrong: Mapping[str, Answer] = field(default_factory=dict)

    def defensible(self, plan: Plan, read: Read) -> list[str]:
        """Letters of the options that stand: words alike; of numbers those that are the value."""
        value = self.answer(plan)
        if isinstance(value, str):
            return [letter for letter, text in read.options.items() if text == value]
        return [letter for letter, text in read.options.items() if printed_close(text, value)]

    def nearest(self, plan: Plan, read: Read) -> list[str]:
        """Letters that stand where an assumed figure is other than printed: of numbers the nearest."""
        value = self.answer(plan)
        if isinstance(value, str):
            return self.defensible(plan, read)
        return [min(read.options, key=lambda letter: abs(number(read.options[letter]) - value))]

    def follows(self, plan: Plan, slip: str, text: str) -> bool:
        """Whether the wrong method of that name comes to the words of the option."""
        if slip == "another-row":
            return any(self._comes_to(self.answer(other), text) for other in other_rows(plan))
        if slip in ("neighbours-swapped", "one-out-of-line"):
            return inversions(str(self.answer(plan)), text) == 1 + (slip == "one-out-of-line")
        if slip == "miscounted":
            return 0 < abs(number(text) - float(self.answer(plan))) <= MISCOUNTED
        return self._comes_to(self._wrong(slip)(plan), text)

    def both(self, plan: Plan, slips: Sequence[str], text: str) -> bool:
        """Whether two wrong methods together come to the words of the option."""
        return self._comes_to(together(self.answer, [self._wrong(slip) for slip in slips], plan), text)

    def _wrong(self, slip: str) -> Answer:
        if slip in self.wrong:
            return self.wrong[slip]
        if slip not in FACTORS:
            raise NotReproduced(slip)
        return Scaled(self.answer, FACTORS[slip])

    @staticmethod
    def _comes_to(value: Result, text: str) -> bool:
        return value == text if isinstance(value, str) else printed_close(text, value)


@dataclass(frozen=True)
class Verdict:
    """A statement that is true, false, or cannot be judged. `edits` are misreadings that lead to the other verdict."""

    holds: Callable[[Plan], bool]
    edits: Mapping[str, Callable[[Plan], Plan]] = field(default_factory=dict)

    def verdict(self, plan: Plan) -> str:
        try:
            return TRUE if self.holds(plan) else FALSE
        except Missing:
            return OPEN

    def defensible(self, plan: Plan, read: Read) -> list[str]:
        found = self.verdict(plan)
        return [letter for letter, text in read.options.items() if text == found]

    nearest = defensible

    def follows(self, plan: Plan, slip: str, text: str) -> bool:
        found = self.verdict(plan)
        if slip == "unknown-taken-as-fine":
            return found == OPEN and text == TRUE
        if slip == "unknown-taken-as-bad":
            return found == OPEN and text == FALSE
        if slip == "printed-value-overlooked":
            return found != OPEN and text == OPEN
        if slip == "verdict-turned-round":
            return {found, text} == {TRUE, FALSE}
        if slip not in self.edits:
            raise NotReproduced(slip)
        return text != found and self.verdict(self.edits[slip](plan)) == text


STEPS = {"one-step-too-small": -1, "one-step-too-large": 1, "two-steps-too-small": -2, "two-steps-too-large": 2}


@dataclass(frozen=True)
class Least:
    """The first of parts, smallest first, that suffices. Every option is judged by itself."""

    parts: tuple[str, ...]
    suffices: Callable[[Plan, str], bool]
    edits: Mapping[str, Callable[[Plan], Plan]] = field(default_factory=dict)

    def _stands(self, plan: Plan, part: str) -> bool:
        smaller = self.parts[: self.parts.index(part)]
        return self.suffices(plan, part) and not any(self.suffices(plan, each) for each in smaller)

    def defensible(self, plan: Plan, read: Read) -> list[str]:
        return [letter for letter, text in read.options.items() if self._stands(plan, text)]

    nearest = defensible

    def follows(self, plan: Plan, slip: str, text: str) -> bool:
        if slip in STEPS:
            step = STEPS[slip]
            at = next(place for place, part in enumerate(self.parts) if self._stands(plan, part))
            return self.parts[at + step] == text
        if slip not in self.edits:
            raise NotReproduced(slip)
        return self._stands(self.edits[slip](plan), text)


@dataclass(frozen=True)
class Claim:
    """A named fault: on which things it can be judged, and on which of them it is there."""

    judged: Callable[[Plan], Mapping[str, bool]]
    """Thing as options name it, to whether the fault is there; things that it does not concern are left out."""


Claims = Mapping[str, Claim]
"""By rule."""


def failing(claims: Claims, plan: Plan) -> set[tuple[str, str]]:
    """Rules and things on which a fault is there. What cannot be judged from the print is none that is there."""
    found = set()
    for rule, claim in claims.items():
        try:
            found |= {(rule, thing) for thing, there in claim.judged(plan).items() if there}
        except Missing:
            continue
    return found


@dataclass(frozen=True)
class Spot:
    """Which of several named faults is there, or none. `titles` gives the rule of a title as options print it."""

    claims: Claims
    titles: Mapping[str, str]
    sound: str = "whole plan: It holds as it is drawn"

    def stands(self, plan: Plan, text: str) -> bool:
        """Whether all that an option says is so."""
        if text == self.sound:
            return not failing(self.claims, plan)
        return all(self._there(plan, each) for each in text.split("; and "))

    def _there(self, plan: Plan, text: str) -> bool:
        thing, _, title = text.partition(": ")
        judged = self.claims[self.titles[title]].judged(plan)
        if thing not in judged:
            raise KeyError(f"nothing can be said of `{text}`")
        return judged[thing]

    def defensible(self, plan: Plan, read: Read) -> list[str]:
        return [letter for letter, text in read.options.items() if self.stands(plan, text)]

    nearest = defensible

    def follows(self, plan: Plan, slip: str, text: str) -> bool:
        """A wrong option suspects what holds, or overlooks what fails."""
        if slip == "fault-overlooked":
            return text == self.sound and bool(failing(self.claims, plan))
        if slip in ("fault-elsewhere", "looks-wrong-holds"):
            return text != self.sound and any(not self._there(plan, each) for each in text.split("; and "))
        raise NotReproduced(slip)


@dataclass(frozen=True)
class Change:
    """Which change mends a fault and brings no other. `figure` measures it: the greater the better."""

    rule: str
    claims: Claims
    edit: Callable[[Plan, str], Plan]
    figure: Callable[[Plan], float]
    marks: Mapping[str, Callable[[Plan, str], bool]] = field(default_factory=dict)
    """Slips that are judged in a way of their own."""

    def nearest(self, plan: Plan, read: Read) -> list[str]:
        """Letters that stand where an assumed figure is other than printed: what is there before is no harm."""
        return [letter for letter, text in read.options.items() if self.stands(plan, text)]

    def _after(self, plan: Plan, text: str) -> tuple[bool, bool]:
        """Whether the fault is still there after the change, and whether another has come."""
        before, after = failing(self.claims, plan), failing(self.claims, self.edit(plan, text))
        still = any(rule == self.rule for rule, _ in after)
        return still, bool({each for each in after - before if each[0] != self.rule})

    def stands(self, plan: Plan, text: str) -> bool:
        return self._after(plan, text) == (False, False)

    def defensible(self, plan: Plan, read: Read) -> list[str]:
        there = {rule for rule, _ in failing(self.claims, plan)}
        if there != {self.rule}:
            raise AssertionError(f"the plan fails by {there}, not by {self.rule} alone")
        return self.nearest(plan, read)

    def follows(self, plan: Plan, slip: str, text: str) -> bool:
        """The slip says rightly what the change does: nothing, too little, the opposite, or a fault for a fault."""
        still, harm = self._after(plan, text)
        if slip in self.marks:
            return self.marks[slip](plan, text)
        if slip == "cures-by-harming":
            return not still and harm
        gain = self.figure(self.edit(plan, text)) - self.figure(plan)
        signs = {"step-too-small": gain > 1e-6, "cause-mistaken": abs(gain) <= 1e-6, "wrong-direction": gain < -1e-6}
        if slip not in signs:
            raise NotReproduced(slip)
        return still and signs[slip]
