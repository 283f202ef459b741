"""Puts table cells together from answers that are each asked once: picture, stored stream, features.

The answers are those of `cells`, asked of one camera and one input for all that are equal in what is read.
Reads parts only.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Hashable
from typing import Any

from coaxwright.facts.picture.picture_memory import Desk
from coaxwright.facts.picture.recording import Stored
from coaxwright.facts.picture.signals import Settled
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import Cell, Clerk, assembled, features_alone, spread_over, stored
from coaxwright.pairing.grouping import CameraKind, Numbers, input_traits
from coaxwright.pairing.small_sites import Question

_Pair = tuple[int, str]
_Streams = dict[Settled, Stored | None]
_Features = dict[tuple[int, str, str | None], tuple[bool | None, ...]]


@immutable
class _Asked:
    """One input, with what was found of streams and features at inputs that are equal in what those read."""

    desk: Desk
    number: int
    streams: _Streams
    features: _Features

    def stream(self, settled: Settled) -> Stored | None:
        """What the input records of a settled picture."""
        try:
            return self.streams[settled]
        except KeyError:
            found = self.streams[settled] = stored(self.desk, self.number, settled)
            return found


class Assembly:
    """Cells of many pairs under one question; `cells` holds each different one once."""

    def __init__(self, clerk: Clerk, question: Question) -> None:
        self.clerk, self.question = clerk, question
        self.cells: list[Cell] = []
        self._told = Numbers()
        self._single: list[Cell] = []
        self._numbers = Numbers()
        self._pictures: dict[Hashable, dict[_Pair, Settled]] = {}
        self._streams: dict[Hashable, _Streams] = {}
        self._features: dict[Hashable, _Features] = {}

    def column(self, recorder: str, kinds: list[CameraKind]) -> array[int]:
        """Cell numbers of every kind of camera on one recorder, each on the input that keeps most of it."""
        if self.question.number is not None:
            numbers = self._at_input(recorder, self.question.number, kinds)
            return self._translated(list(numbers), lambda number: self._single[number])
        groups = self.clerk.alike(recorder)
        sizes = [len(group) for group in groups]
        columns = [self._at_input(recorder, group[0], kinds) for group in groups]
        several = list(zip(*columns, strict=True))
        return self._translated(several, lambda place: spread_over([self._single[each] for each in place], sizes))

    def _translated(self, places: list[Any], cell_of: Callable[[Any], Cell]) -> array[int]:
        """Numbers among `cells`, each different place looked at once."""
        known = {place: self._number(cell_of(place)) for place in dict.fromkeys(places)}
        return array("l", map(known.__getitem__, places))

    def _number(self, cell: Cell) -> int:
        found = self._told.number(cell)
        if found == len(self.cells):
            self.cells.append(cell)
        return found

    def _at_input(self, recorder: str, number: int, kinds: list[CameraKind]) -> array[int]:
        """Cell numbers of every kind of camera on one input. The inner loop of a table: a few look-ups a pair."""
        desk = self.clerk.desk(recorder, self.question.made)
        traits = input_traits(recorder, desk.part, desk, number)
        pictures = self._pictures.setdefault(traits.picture, {})
        asked = _Asked(
            desk, number, self._streams.setdefault(traits.stored, {}), self._features.setdefault(traits.features, {})
        )
        known: dict[tuple[int, str, int, str], int] = {}
        crowded = self.question.channels is not None
        column = array("l", bytes(array("l").itemsize * len(kinds)))
        for place, kind in enumerate(kinds):
            maker = kind.maker if kind.maker in traits.picture_makers else ""
            other = kind.maker if kind.maker in traits.feature_makers else ""
            key = (kind.picture, kind.maker if crowded else maker, kind.features, other)
            found = known.get(key)
            if found is None:
                settled = pictures.get((kind.picture, maker))
                if settled is None:
                    settled = pictures[kind.picture, maker] = self._settled(desk, number, kind.camera)
                found = known[key] = self._cell(asked, kind, other, settled)
            column[place] = found
        return column

    def _settled(self, desk: Desk, number: int, camera: str) -> Settled:
        settled = self.clerk.settled(desk, number, camera, self.question)
        if settled is None:
            raise ValueError(f"{desk.part_id} has no input {number}")
        return settled

    def _cell(self, asked: _Asked, kind: CameraKind, maker: str, settled: Settled) -> int:
        stream = self._stream(asked, kind, settled)
        key = (kind.features, maker, settled.emitted.family)
        works = asked.features.get(key)
        if works is None:
            alone = features_alone(self.clerk.memory, asked.desk, asked.number, kind.camera, settled)
            works = asked.features[key] = alone
        cell = assembled(settled, stream, works)
        cell = self.clerk.with_run(cell, kind.camera, asked.desk, asked.number, self.question, settled)
        found = self._numbers.number(cell)
        if found == len(self._single):
            self._single.append(cell)
        return found

    def _stream(self, asked: _Asked, kind: CameraKind, settled: Settled) -> Stored | None:
        """What is recorded: alone, or (where `channels` is asked) with the same camera on other inputs too."""
        if self.question.channels is None:
            return asked.stream(settled)
        return self.clerk.stream(asked.desk, asked.number, kind.camera, self.question, settled)
