"""The choice as numbers: what each camera costs by recorder and by source, and what recorders, supplies and disks cost.

A problem holds what small systems showed. Its bound is over exactly these options; nothing here judges.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from coaxwright.proposals.feeding import Feed, Source
from coaxwright.proposals.options import Picture

SECONDS_A_DAY, BITS_A_BYTE = 86400.0, 8.0


class Stand(NamedTuple):
    """A recorder part, or a source, at a position."""

    what: str | Source
    position: str


class Choice(NamedTuple):
    """What a camera becomes."""

    picture: Picture
    feed: Feed

    @property
    def price(self) -> float:
        """Camera, ways and boxes, in the catalogue's currency."""
        return self.picture.price + self.feed.price

    @property
    def bytes_wanted(self) -> float:
        """Bytes to be kept for the days that are wanted of it."""
        kind = self.picture.kind
        return kind.bits * SECONDS_A_DAY * kind.days / BITS_A_BYTE


@dataclass(frozen=True)
class Unit:
    """One recorder or supply that may be bought: price, places for cameras, and what else bounds it."""

    stand: Stand
    price: float
    places: int
    amps: float = math.inf
    amps_each: float = math.inf
    bays: int = 0


@dataclass
class Problem:
    """All that a choice is made from. `pictures[camera][stand]` and `feeds[camera][stand][camera part]`.

    `forbidden` are choices that the check of a whole set aside; they narrow what is chosen, never the bound.
    """

    cameras: Sequence[str]
    recorders: Mapping[Stand, Unit]
    supplies: Mapping[Stand, Unit]
    pictures: Mapping[str, Mapping[Stand, Sequence[Picture]]]
    feeds: Mapping[str, Mapping[Stand, Mapping[str, Feed]]]
    disks: Sequence[tuple[float, float]]
    """Usable bytes and price of each disk that may be bought."""
    forbidden: set[tuple[str, ...]] = field(default_factory=set)
    more_bytes: float = 1.0
    """By how much more is planned for disks than small systems showed."""

    @cached_property
    def byte_price(self) -> float:
        """The least price of a byte: no disk is cheaper by what it holds."""
        return min((price / usable for usable, price in self.disks if usable > 0), default=0.0)

    def choices(self, camera: str, recorder: Stand, source: Stand) -> list[Choice]:
        """Every choice of a camera at two stands that is not forbidden, the cheapest first, disk space counted."""
        found = self.all_choices[camera].get((recorder, source), [])
        return [each for each in found if not self.is_forbidden(camera, each)] if self.forbidden else found

    @cached_property
    def all_choices(self) -> Mapping[str, Mapping[tuple[Stand, Stand], list[Choice]]]:
        """Every choice by camera and pair of stands, forbidden ones included, the cheapest first."""
        return {camera: dict(self._choices_of(camera)) for camera in self.cameras}

    def _choices_of(self, camera: str) -> Iterable[tuple[tuple[Stand, Stand], list[Choice]]]:
        for recorder, pictures in self.pictures[camera].items():
            for source, feeds in self.feeds[camera].items():
                made = [Choice(each, feeds[each.kind.camera]) for each in pictures if each.kind.camera in feeds]
                if made:
                    made.sort(key=lambda each: (self.worth(each), each.picture.kind.camera))
                    yield (recorder, source), made

    def worth(self, choice: Choice) -> float:
        """Its price with the least that its recordings cost."""
        return choice.price + choice.bytes_wanted * self.byte_price

    def is_forbidden(self, camera: str, choice: Choice) -> bool:
        """Whether a check of a whole spoke against it."""
        if not self.forbidden:
            return False
        kind, picture, feed = choice.picture.kind, choice.picture, choice.feed
        return bool(
            self.forbidden
            & {
                ("picture", camera, kind.camera, str(kind.said), kind.recorder, picture.way.title),
                ("feed", camera, kind.camera, feed.source.part, feed.way.title),
                ("camera", kind.camera),
            }
        )

    @cached_property
    def disk_prices(self) -> list[float]:
        """The least price of exactly 0, 1, 2 ... disks that together hold what is wanted at least; without end where none do.

        Exact, over mixes: of mixes that hold as much the cheapest is kept. One disk for each camera is looked at at least.
        """
        if not self.disks:
            return [0.0]
        most = math.ceil(self.least_bytes / max(usable for usable, _ in self.disks)) + 1 + len(self.cameras)
        mixes, found = {0.0: 0.0}, [0.0 if self.least_bytes <= 1.0 else math.inf]
        for _ in range(most):
            mixes = _undominated(self._with_one_more(mixes))
            found.append(min((price for held, price in mixes.items() if held >= self.least_bytes - 1.0), default=math.inf))
        return found

    @cached_property
    def cheapest_disks(self) -> int:
        """How many disks the cheapest mix has; more bays than that lower no price."""
        return self.disk_prices.index(min(self.disk_prices))

    def _with_one_more(self, mixes: Mapping[float, float]) -> dict[float, float]:
        """Mixes with a disk more: bytes that they hold, no more than are wanted, and their least price."""
        found: dict[float, float] = {}
        for usable, price in mixes.items():
            for more, cost in self.disks:
                held = min(usable + more, self.least_bytes)
                found[held] = min(found.get(held, math.inf), price + cost)
        return found

    @cached_property
    def least_bytes(self) -> float:
        """Bytes to be kept at least, over all that each camera may become."""
        return sum(
            min((each.bytes_wanted for found in self.all_choices[camera].values() for each in found), default=0.0)
            for camera in self.cameras
        )


def _undominated(mixes: Mapping[float, float]) -> dict[float, float]:
    """Without mixes that hold less than a cheaper one."""
    found: dict[float, float] = {}
    best = math.inf
    for usable in sorted(mixes, reverse=True):
        if mixes[usable] < best:
            best = found[usable] = mixes[usable]
    return found


def covers(units: Sequence[Unit], most: int, bays: int = 0) -> list[list[list[float]]]:
    """`covers[k][n][b]`: the least price of units from the k-th on that have places for n cameras and bays for b disks
    (exact, by dynamic programming over whole numbers).
    """
    table = [[[0.0 if n == b == 0 else math.inf for b in range(bays + 1)] for n in range(most + 1)]]
    for unit in reversed(units):
        row = [list(each) for each in table[-1]]
        for n in range(most + 1):
            for b in range(bays + 1):
                if n or b:
                    less = row[max(0, n - unit.places)][max(0, b - unit.bays)]
                    row[n][b] = min(row[n][b], less + unit.price)
        table.append(row)
    return table[::-1]
