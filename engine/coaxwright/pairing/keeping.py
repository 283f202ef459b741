"""So many of something to be kept of a set of cameras, and the way of filling inputs that keeps it.

The assignment of `placing` keeps most altogether; it may keep fewer of one thing than is asked for. Then all ways of
filling the inputs are compared, cameras that come to the same counted and not told apart, so that it is found exactly
whether the number can be kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from math import prod
from typing import TypeAlias

from coaxwright.errors import Problem, Refusal
from coaxwright.pairing.cells import FEATURES, Cell
from coaxwright.pairing.placing import PICTURES, assigned, values_of
from coaxwright.reading.suggest import did_you_mean

Keep: TypeAlias = Mapping[str, int]
"""What is to be kept, and of how many cameras."""
_Cells: TypeAlias = tuple[Cell, ...]
_Free: TypeAlias = tuple[int, ...]
_Trail: TypeAlias = "tuple[_Trail, tuple[int, int, int]] | None"
"""Pieces placed so far: the trail before, and (kind, place, how many) of the last; None at the start."""
_State: TypeAlias = tuple[_Free, _Free, int]
"""Inputs still free of each group, how many keep each thing, and pieces of the kind still to be placed."""

KEEPABLE = ("picture", "full", "full-width", *(name.replace("_", "-") for name in FEATURES))
"""`full` is the outcome full; `full-width` that or asked-down; `picture` any picture."""
MOST_STATES = 150_000
"""Ways of filling that are held at a time; beyond them a few weighings of what is to be kept stand in."""


def parse_keep(texts: Sequence[str]) -> dict[str, int]:
    """`sound=6,full=8` as numbers. Raises Refusal."""
    found: dict[str, int] = {}
    for piece in (each.strip() for text in texts for each in text.split(",")):
        name, sign, many = (each.strip() for each in piece.partition("="))
        if name not in KEEPABLE:
            near = did_you_mean(name, KEEPABLE) or f"there are: {', '.join(KEEPABLE)}"
            raise Refusal([Problem(f"--keep {piece}", f"there is no `{name}` to keep", near)])
        if not (sign and many.isascii() and many.isdecimal() and 1 <= int(many[:6]) <= 1024):
            raise Refusal([Problem(f"--keep {piece}", "says not of how many cameras", "write a number, as in sound=6")])
        found[name] = int(many)
    return found


def kept_by(cell: Cell, name: str) -> bool:
    """Whether a camera on its input keeps one of `KEEPABLE`; nothing is kept without a picture."""
    if cell.verdict not in PICTURES:
        return False
    if name in ("picture", "full"):
        return name == "picture" or cell.verdict == "full"
    if name == "full-width":
        return cell.verdict in ("full", "asked-down")
    return getattr(cell, name.replace("-", "_")) is True


def seated(
    kinds: list[_Cells], counts: list[int], sizes: list[int], keep: Keep, stays: list[list[bool]] | None = None
) -> tuple[list[list[int]], bool]:
    """For every kind of camera the groups of inputs that its pieces go to, and whether no other way keeps more.

    Most of what is asked to be kept, then most altogether, as `placing` counts it; `stays` is as there.
    """
    values = values_of(kinds, sum(counts), stays)
    usual = assigned(values, counts, sizes)
    flags = [[tuple(kept_by(cell, name) for name in keep) for cell in cells] for cells in kinds]
    needs = tuple(keep.values())
    if not _shortfall(usual, flags, needs):
        return usual, True
    if prod(size + 1 for size in sizes) * prod(need + 1 for need in needs) <= MOST_STATES:
        return _every_way(values, counts, sizes, flags, needs), True
    return _weighed(values, counts, sizes, flags, needs), len(needs) == 1


def _shortfall(shares: list[list[int]], flags: list[list[tuple[bool, ...]]], needs: tuple[int, ...]) -> int:
    """How many are lacking over all that is to be kept."""
    kept = [0] * len(needs)
    for kind, places in enumerate(shares):
        for place in places:
            kept = [many + flag for many, flag in zip(kept, flags[kind][place], strict=True)]
    return sum(max(0, need - many) for need, many in zip(needs, kept, strict=True))


def _every_way(
    values: list[list[int]], counts: list[int], sizes: list[int], flags: list[list[tuple[bool, ...]]],
    needs: tuple[int, ...],
) -> list[list[int]]:  # fmt: skip
    """The best of all ways: of those that leave the same inputs free and keep as much, the one of most worth goes on."""
    states: dict[tuple[_Free, _Free], tuple[int, _Trail]] = {(tuple(sizes), (0,) * len(needs)): (0, None)}
    for kind, count in enumerate(counts):
        begun = {(free, kept, count): found for (free, kept), found in states.items()}
        for place in range(len(sizes)):
            begun = _filled(begun, kind, place, values[kind][place], flags[kind][place], needs)
        states = {}
        for (free, kept, _), found in begun.items():
            if (free, kept) not in states or states[free, kept][0] < found[0]:
                states[free, kept] = found
    _, trail = max(states.items(), key=lambda each: (sum(each[0][1]), each[1][0]))[1]
    return _shares(trail, len(counts))


def _filled(
    begun: dict[_State, tuple[int, _Trail]], kind: int, place: int, value: int, flags: tuple[bool, ...], needs: tuple[int, ...]
) -> dict[_State, tuple[int, _Trail]]:
    """Every state with none, one, two ... more pieces of a kind on one group of inputs."""
    found: dict[_State, tuple[int, _Trail]] = {}
    for (free, kept, left), (worth, trail) in begun.items():
        for many in range(min(left, free[place]) + 1):
            rest = (*free[:place], free[place] - many, *free[place + 1 :])
            now = tuple(min(need, had + many * flag) for need, had, flag in zip(needs, kept, flags, strict=True))
            key, total = (rest, now, left - many), worth + many * value
            if key not in found or found[key][0] < total:
                found[key] = (total, (trail, (kind, place, many)) if many else trail)
    return found


def _shares(trail: _Trail, kinds: int) -> list[list[int]]:
    shares: list[list[int]] = [[] for _ in range(kinds)]
    while trail is not None:
        trail, (kind, place, many) = trail
        shares[kind] += [place] * many
    return [sorted(each) for each in shares]


def _weighed(
    values: list[list[int]], counts: list[int], sizes: list[int], flags: list[list[tuple[bool, ...]]],
    needs: tuple[int, ...],
) -> list[list[int]]:  # fmt: skip
    """The best of some assignments in which what is to be kept counts before all else, each thing more or less."""
    great = sum(counts) * max((value for row in values for value in row), default=0) + 1
    tried = []
    for weights in product((0, 1, 2), repeat=len(needs)):
        more = [
            [value + great * sum(w * f for w, f in zip(weights, flag, strict=True)) for value, flag in zip(*rows, strict=True)]
            for rows in zip(values, flags, strict=True)
        ]
        shares = assigned(more, counts, sizes)
        worth = sum(values[kind][place] for kind, places in enumerate(shares) for place in places)
        tried.append((-_shortfall(shares, flags, needs), worth, shares))
    return max(tried, key=lambda each: each[:2])[2]
