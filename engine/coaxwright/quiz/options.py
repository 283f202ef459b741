"""Chooses which wrong results become options, and in which order they stand.

Numbers and parts stand in order of size, so the key comes to its place by the choice of its neighbours (as far as slips
lead to smaller and to larger results); verdicts have one fixed order; all else is put where it is wanted.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

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
    shuffled = _alike(posed, wrongs, draw)[:wanted]
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
    """Wrong results below and above the key, so that it comes to stand in its place where that can be."""
    mixed = draw.sample(list(wrongs), len(wrongs))
    below = [each for each in mixed if order(each.answer) < order(posed.key)]
    above = [each for each in mixed if order(each.answer) > order(posed.key)]
    low = min(len(below), max(place % (wanted + 1), wanted - len(above)))
    return [_option(each) for each in (*below[:low], *above[: wanted - low])]


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
