"""What is wished of a draw before the plan is drawn, from the seed alone: which faults, changes or parts stand as options, and
which of them is the key.

Each is wished for as often as the others, so that the words of an option do not tell how likely it is the key: who has
learned earlier papers by heart and sees no table is no better off than who guesses. Options that nature makes seldom would
otherwise be known as wrong ones.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import TypeVar

from coaxwright.quiz.forms import Change, Choice

Kind = TypeVar("Kind")


def some(wish: random.Random | None, pool: Sequence[Kind], count: int) -> list[Kind] | None:
    """So many of a pool, drawn evenly; None where nothing is wished or the pool is too small."""
    return wish.sample(list(pool), count) if wish is not None and len(pool) >= count else None


def changes(wish: random.Random | None, offered: Sequence[Change], options: int) -> list[int] | None:
    """Places of the changes to stand as options, the one that is to mend it first.

    Of changes that are another way to say the same (`group`) one stands at most: the greater would always be the key.
    """
    groups: dict[str, list[int]] = {}
    for place, change in enumerate(offered):
        groups.setdefault(change.group or str(place), []).append(place)
    picked = some(wish, list(groups), options)
    return None if picked is None or wish is None else [wish.choice(groups[each]) for each in picked]


def parts(wish: random.Random | None, choice: Choice, place: int, options: int) -> tuple[str, tuple[str, ...]] | None:
    """The part that is to suffice, and those next to it in size that stand with it; the key comes to stand in its place."""
    if wish is None or len(choice.of) < options:
        return None
    start = wish.randrange(len(choice.of) - options + 1)
    window = choice.of[start : start + options]
    return window[place % options], window
