"""Chooses which wrong results become options, and in which order they stand.

Numbers and parts stand in order of size, so the key comes to its place by the choice of its neighbours (as far as slips
lead to smaller and to larger results); verdicts have one fixed order; all else is put where it is wanted.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from itertools import combinations, pairwise

from coaxwright.quiz.answers import FALSE, OPEN, TRUE, Answer
from coaxwright.quiz.items import LETTERS, Option, Posed, Wrong

LEAST_GAP = 0.05
MOST_LENGTH = 1.4


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


def choose(posed: Posed, place: int, draw: random.Random) -> tuple[Option, ...] | None:
    """The options in their order; None where there are too few wrong results."""
    wanted = posed.asked.pattern.form.options - 1
    wrongs = usable(posed)
    if len(wrongs) < wanted:
        return None
    order = _order_of(posed)
    if order is not None:
        picked = _around(posed, wrongs, place, wanted, order, draw)
        return _lettered(sorted([*picked, _key(posed)], key=lambda option: order(option.answer)))
    shuffled = _orders(posed, wrongs, draw) if posed.asked.members else _alike(posed, wrongs, draw)[:wanted]
    draw.shuffle(shuffled)
    options = [_option(wrong) for wrong in shuffled]
    options.insert(place % (wanted + 1), _key(posed))
    return _lettered(options)


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


def _around(
    posed: Posed,
    wrongs: Sequence[Wrong],
    place: int,
    wanted: int,
    order: Callable[[Answer], float],
    draw: random.Random,
) -> list[Option]:
    """Wrong results below and above the key: of all that stand for choice those first that look the same with the key in
    other places, then those with which it comes to its place.
    """
    mixed = draw.sample(list(wrongs), len(wrongs))
    chosen: dict[tuple[float, ...], dict[int, tuple[Wrong, ...]]] = {}
    for some in combinations(mixed, wanted):
        at = sum(order(each.answer) < order(posed.key) for each in some)
        look = _look([order(answer) for answer in (posed.key, *(each.answer for each in some))])
        chosen.setdefault(look, {}).setdefault(at, some)
    widest = max(len(places) for places in chosen.values())
    looks = [places for places in chosen.values() if len(places) == widest]
    places = next((each for each in looks if place % (wanted + 1) in each), looks[0])
    at = place % (wanted + 1) if place % (wanted + 1) in places else draw.choice(sorted(places))
    return [_option(each) for each in places[at]]


def _look(values: Sequence[float]) -> tuple[float, ...]:
    """How far results in order of size are apart, in half octaves: all that can be seen of them without the plan."""
    ranked = sorted(max(value, 1e-9) for value in values)
    return tuple(round(2 * math.log2(high / low)) for low, high in pairwise(ranked))


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
    return Option("", wrong.answer, wrong.slip, wrong.feedback, wrong.by)


def _lettered(options: Sequence[Option]) -> tuple[Option, ...]:
    return tuple(
        Option(letter, each.answer, each.slip, each.feedback, each.by)
        for letter, each in zip(LETTERS, options, strict=False)
    )
