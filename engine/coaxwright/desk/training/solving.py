"""A guided diagnosis, walked step by step: what was measured, which suspects fell, how long it took.

A walk is its steps alone (`m3.h.s1`: the fourth measurement, a hint, the second suspect named), so that an address holds it
and going back takes a step back. Times and verdicts are those of the page that `course diagnosis` makes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coaxwright.course.cases import HINT, WRONG
from coaxwright.immutable import immutable

_STEP = re.compile(r"[ms][0-9]{1,3}|h")
MOST_STEPS = 60


@dataclass(slots=True)
class Walk:
    """How far a learner has come."""

    steps: list[str] = field(default_factory=list)
    measured: list[int] = field(default_factory=list)
    fallen: dict[int, int] = field(default_factory=dict)
    wrong: list[int] = field(default_factory=list)
    spent: float = 0.0
    named: int | None = None
    hint: int | None = None
    hinted: bool = False

    @property
    def over(self) -> bool:
        """Whether the cause was named."""
        return self.named is not None


def steps_of(text: str) -> list[str]:
    """The steps that an address states; whatever is none is left out."""
    return [each for each in text.split(".")[:MOST_STEPS] if _STEP.fullmatch(each)]


def walked(data: Mapping[str, Any], suspects: int, steps: list[str]) -> Walk:
    """The walk along these steps; a step that makes no sense there is left out."""
    walk = Walk()
    for step in steps:
        if not walk.over and _taken(walk, data, suspects, step):
            walk.steps.append(step)
    return walk


def _taken(walk: Walk, data: Mapping[str, Any], suspects: int, step: str) -> bool:
    if step == "h":
        walk.spent += HINT
        walk.hint, walk.hinted = best_next(walk, data), True
        return True
    number = int(step[1:])
    if step[0] == "m":
        if number >= len(data["spots"]) or number in walk.measured:
            return False
        walk.measured.append(number)
        walk.spent += data["spots"][number]["minutes"]
        walk.hint, walk.hinted = None, False
        for place in data["spots"][number]["falls"]:
            walk.fallen.setdefault(place, len(walk.measured))
        return True
    if number >= suspects or number in walk.wrong or number in walk.fallen:
        return False
    if number in data["true"] or number in data["alike"]:
        walk.named = number
    else:
        walk.wrong.append(number)
        walk.spent += WRONG
    return True


def best_next(walk: Walk, data: Mapping[str, Any]) -> int | None:
    """The measurement that excludes most for its minutes; None where nothing more tells suspects apart."""
    worth = {
        place: sum(each not in walk.fallen for each in spot["falls"]) / spot["minutes"]
        for place, spot in enumerate(data["spots"])
        if place not in walk.measured
    }
    best = max(worth, key=lambda place: (worth[place], -place), default=None)
    return best if best is not None and worth[best] > 0 else None


@immutable
class Told:
    """The end of a walk in words."""

    words: str
    score: int


def told(walk: Walk, data: Mapping[str, Any]) -> Told:
    """What is said at the end: the repair, the time against that of the best course, the score."""
    assert walk.named is not None
    right, best = walk.named in data["true"], data["best"]
    known = "That is it. " if right else "No measurement here tells this from the true cause; one looks at both. "
    share = min(100, round(100 * best["minutes"] / walk.spent)) if walk.spent else 0
    score = share if walk.measured or not best["says"] else 0
    course = f" ({'; '.join(best['says'])})" if best["says"] else ""
    guess = "" if walk.measured else " Naming without measuring is a guess."
    words = (
        f"{known}{data['repairs'][walk.named]} You spent {walk.spent:g} minutes; the best course takes {best['minutes']:g}"
        f"{course}. Score: {score} of 100.{guess}"
    )
    return Told(words, score)


@immutable
class Would:
    """What a measurement would do now: suspects that it rules out, and how many are left."""

    place: int
    out: tuple[int, ...]
    left: int


def would(walk: Walk, data: Mapping[str, Any], suspects: int) -> list[Would]:
    """For the trainer: what each measurement not yet made would do, the most telling first."""
    now = suspects - len(walk.fallen)
    found = []
    for place, spot in enumerate(data["spots"]):
        if place not in walk.measured:
            out = tuple(each for each in spot["falls"] if each not in walk.fallen)
            found.append(Would(place, out, now - len(out)))
    return sorted(found, key=lambda each: (each.left, data["spots"][each.place]["minutes"], each.place))
