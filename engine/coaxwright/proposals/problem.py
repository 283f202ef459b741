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
    _covers: dict[int, float] = field(default_factory=dict)

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

    def disk_cover(self, recorders: int) -> float:
        """The least that disks cost where so many recorders each have one and all hold what is wanted at least."""
        if recorders not in self._covers:
            self._covers[recorders] = self._disk_cover(recorders)
        return self._covers[recorders]

    def _disk_cover(self, recorders: int) -> float:
        """Exact, over mixes of at least so many disks: of mixes that hold as much the cheapest is kept."""
        if not self.disks:
            return 0.0
        most = max(recorders, math.ceil(self.least_bytes / max(usable for usable, _ in self.disks)) + 1)
        mixes, best = {0.0: 0.0}, math.inf
        for number in range(1, most + len(self.cameras) + 1):
            mixes = _undominated(self._with_one_more(mixes))
            if number >= recorders:
                best = min([best, *(price for usable, price in mixes.items() if usable >= self.least_bytes - 1.0)])
            if number >= most and min(mixes.values()) >= best:
                break
        return best

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


def covers(units: Sequence[Unit], most: int) -> list[list[float]]:
    """`covers[k][n]`: the least price of units from the k-th on that have places for n cameras (exact, by dynamic
    programming over whole numbers).
    """
    table = [[0.0] + [math.inf] * most]
    for unit in reversed(units):
        row = list(table[-1])
        for count in range(1, most + 1):
            row[count] = min(row[count], row[max(0, count - unit.places)] + unit.price)
        table.append(row)
    return table[::-1]
