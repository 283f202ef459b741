"""Chooses which wrong results become options, and in which order they stand.

Numbers and parts stand in order of size, so the key comes to its place by the choice of its neighbours (as far as slips
lead to smaller and to larger results); verdicts have one fixed order; all else is put where it is wanted.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Callable, Mapping, Sequence
from itertools import combinations
from typing import Any

from coaxwright.quiz.answers import FALSE, OPEN, TRUE, Answer
from coaxwright.quiz.items import LETTERS, Option, Posed, Wrong
from coaxwright.quiz.two_slips import ANOTHER_ROW

LEAST_GAP = 0.05
MOST_LENGTH = 1.4
MOST_SPREAD = 9
"""Thirds of an octave that options may be apart where they can: eight times, the bits of a byte."""
_FIGURE = re.compile(r"\d+(?:\.\d+)?")


def apart(one: Answer, other: Answer) -> bool:
    """Whether two results differ as printed, and by a twentieth of the greater where they are numbers."""
    if one.text == other.text:
        return False
    if one.number is None or other.number is None:
        return True
    return abs(one.number - other.number) >= LEAST_GAP * max(abs(one.number), abs(other.number))


def usable(posed: Posed) -> list[Wrong]:
    """Wrong results that differ from the key and from each other; the first of those that do not is kept."""
    kept: list[Wrong] = []
    for wrong in posed.wrongs:
        positive = wrong.answer.number is None or wrong.answer.number > 0
        if positive and all(apart(wrong.answer, each) for each in (posed.key, *(other.answer for other in kept))):
            kept.append(wrong)
    return kept


def choose(posed: Posed, place: int, draw: random.Random, strict: bool = False) -> tuple[Option, ...] | None:
    """The options in their order; None where there are too few wrong results, or `strict` and their sizes tell the key."""
    wanted = posed.asked.pattern.form.options - 1
    wrongs = usable(posed)
    if len(wrongs) < wanted:
        return None
    order = _order_of(posed)
    if _figured(posed):
        letter = place if order else draw.randrange(wanted + 1)
        picked = _balanced(posed, wrongs, letter, draw, strict)
    elif order is not None:
        picked = _around(posed, wrongs, place, order, draw)[0]
    else:
        picked = _orders(posed, wrongs, draw) if posed.asked.members else _alike(posed, wrongs, draw)[:wanted]
    if picked is None:
        return None
    options = [_option(wrong) for wrong in picked]
    if order is not None:
        return _lettered(sorted([*options, _key(posed)], key=lambda option: order(option.answer)))
    draw.shuffle(options)
    options.insert(place % (wanted + 1), _key(posed))
    return _lettered(options)


def _figured(posed: Posed) -> bool:
    """Whether the options are figures that are compared with each other: numbers, or pictures by their figures."""
    form = posed.asked.pattern.form
    if form.counts is not None and len(posed.wrongs) == form.options - 1:
        return False
    return form.kind == "picture" or (posed.key.number is not None and form.least is None and form.kind != "order")


def _order_of(posed: Posed) -> Callable[[Answer], float] | None:
    """By what options are sorted; None where any order will do."""
    form = posed.asked.pattern.form
    if form.kind == "true-or-open":
        return lambda answer: (TRUE, FALSE, OPEN).index(answer.text)
    if form.least is not None:
        parts = form.least.of
        return lambda answer: parts.index(answer.text)
    if posed.key.number is not None:
        return lambda answer: answer.number or 0.0
    return None


Look = tuple[int, ...]


def _figures(answer: Answer) -> tuple[float, ...]:
    if answer.number is not None:
        return (answer.number,)
    return tuple(float(each) for each in _FIGURE.findall(answer.text)) or (0.0,)


def _balanced(
    posed: Posed, wrongs: Sequence[Wrong], place: int, draw: random.Random, strict: bool
) -> Sequence[Wrong] | None:
    """Wrong results that look the same with the key in any other place; where slips lead to none such, the results of
    other rows alone, which are drawn as the key is. None where there are neither and `strict`.
    """
    wanted = posed.asked.pattern.form.options - 1
    picked, places = _around(posed, wrongs, place, _figures, draw)
    if places > wanted:
        return picked
    rows = [each for each in wrongs if each.slip == ANOTHER_ROW]
    if len(rows) >= wanted:
        return draw.sample(rows, wanted)
    return None if strict else picked


def _around(
    posed: Posed, wrongs: Sequence[Wrong], place: int, order: Callable[[Answer], Any], draw: random.Random
) -> tuple[Sequence[Wrong], int]:
    """Wrong results below and above the key: of all that stand for choice those that look the same with the key in most
    other places, then those with which it comes to its place. Also in how many places it could stand like that.
    """
    looks = _looks(posed, wrongs, order, draw)
    widest = max(len(places) for places in looks.values())
    fitting = [(look, places) for look, places in looks.items() if len(places) == widest]
    near = [each for each in fitting if max(map(abs, each[0]), default=0) <= MOST_SPREAD]
    fewest = min(map(_pairs, near or fitting))
    places = draw.choice([each[1] for each in near or fitting if _pairs(each) == fewest])
    at = place % posed.asked.pattern.form.options
    return places[at if at in places else draw.choice(sorted(places))], widest


def _pairs(look: tuple[Look, Mapping[int, Sequence[Wrong]]]) -> int:
    """In how many of its places a look takes two mistakes at once: fewer are more like what learners do."""
    return sum(any(each.pair for each in some) for some in look[1].values())


def _looks(
    posed: Posed, wrongs: Sequence[Wrong], order: Callable[[Answer], Any], draw: random.Random
) -> dict[Look, dict[int, tuple[Wrong, ...]]]:
    """How options can look, and for each look the places of the key with the wrong results that give it."""
    mixed = sorted(draw.sample(list(wrongs), len(wrongs)), key=lambda each: len(each.pair))
    found: dict[Look, dict[int, tuple[Wrong, ...]]] = {}
    for some in combinations(mixed, posed.asked.pattern.form.options - 1):
        values = [order(each.answer) for each in some]
        at = sum(value < order(posed.key) for value in values)
        found.setdefault(_look([order(posed.key), *values]), {}).setdefault(at, some)
    return found


def _look(values: Sequence[Any]) -> Look:
    """How far results in order of size are from the least, in thirds of an octave: all that can be seen of them without
    the plan. What is less than half an octave apart looks alike.
    """
    ranked = sorted(value if isinstance(value, tuple) else (value,) for value in values)
    return tuple(_octaves(each, low) for row in ranked[1:] for each, low in zip(row, ranked[0], strict=False))


def _octaves(value: float, least: float) -> int:
    thirds = 3 * math.log2(max(value, 1e-9) / max(least, 1e-9))
    return round(thirds) if abs(thirds) >= 1.5 else 0


def _orders(posed: Posed, wrongs: Sequence[Wrong], draw: random.Random) -> list[Wrong]:
    """Two wrong orders beside the right one, drawn evenly of those of which none is another turned round: then the right
    one is no oftener than chance the one that lies between the others.
    """
    wanted = posed.asked.pattern.form.options - 1
    some = [each for each in combinations(wrongs, wanted) if not _mirrored([posed.key, *(wrong.answer for wrong in each)])]
    return list(draw.choice(some)) if some else draw.sample(list(wrongs), wanted)


def _mirrored(orders: Sequence[Answer]) -> bool:
    names = [each.text.split(", ") for each in orders]
    return any(one == other[::-1] for one, other in combinations(names, 2))


def _alike(posed: Posed, wrongs: Sequence[Wrong], draw: random.Random) -> list[Wrong]:
    """Wrong results in a drawn order; that nothing fails comes first wherever a fault is hidden (else its being there
    would tell that nothing does), what looks wrong and holds before the rest, and last what differs much in length.
    """
    length = len(posed.key.text)
    mixed = draw.sample(list(wrongs), len(wrongs))
    return sorted(
        mixed,
        key=lambda each: (
            each.slip != "fault-overlooked", not _fits(len(each.answer.text), length), each.slip != "looks-wrong-holds",
        ),
    )  # fmt: skip


def _fits(one: int, other: int) -> bool:
    return max(one, other) <= MOST_LENGTH * min(one, other)


def _key(posed: Posed) -> Option:
    return Option("", posed.key)


def _option(wrong: Wrong) -> Option:
    return Option("", wrong.answer, wrong.slip, wrong.feedback, wrong.by, wrong.pair)


def _lettered(options: Sequence[Option]) -> tuple[Option, ...]:
    return tuple(
        Option(letter, each.answer, each.slip, each.feedback, each.by, each.pair)
        for letter, each in zip(LETTERS, options, strict=False)
    )
