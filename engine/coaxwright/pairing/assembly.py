"""Puts table cells together from answers that are each asked once: picture, stored stream, features.

The answers are those of `cells`, asked of one camera and one input for all that are equal in what is read.
Reads parts only.
"""

from __future__ import annotations

from array import array
from collections.abc import Hashable

from coaxwright.facts.picture.picture_memory import Desk
from coaxwright.facts.picture.recording import Stored
from coaxwright.facts.picture.signals import Settled
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import Cell, Clerk, assembled, features_alone, stored
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
        self.numbers = Numbers()
        self.cells: list[Cell] = []
        self._pictures: dict[Hashable, dict[_Pair, Settled]] = {}
        self._streams: dict[Hashable, _Streams] = {}
        self._features: dict[Hashable, _Features] = {}

    def column(self, recorder: str, kinds: list[CameraKind]) -> array[int]:
        """Cell numbers of every kind of camera on one recorder, each on the input that keeps most of it."""
        number = self.question.number
        inputs = self.clerk.first_inputs(recorder) if number is None else [number]
        columns = [self._at_input(recorder, each, kinds) for each in inputs]
        if len(columns) == 1:
            return columns[0]
        return array("l", [max(several, key=self._worth) for several in zip(*columns, strict=True)])

    def _worth(self, number: int) -> tuple[object, int]:
        return (self.cells[number].worth, self.cells[number].kept)

    def _at_input(self, recorder: str, number: int, kinds: list[CameraKind]) -> array[int]:
        """Cell numbers of every kind of camera on one input. The inner loop of a table: a few look-ups a pair."""
        desk = self.clerk.desk(recorder, self.question.made)
        traits = input_traits(recorder, desk.part, desk, number)
        pictures = self._pictures.setdefault(traits.picture, {})
        asked = _Asked(
            desk, number, self._streams.setdefault(traits.stored, {}), self._features.setdefault(traits.features, {})
        )
        known: dict[tuple[int, str, int, str], int] = {}
        column = array("l", bytes(array("l").itemsize * len(kinds)))
        for place, kind in enumerate(kinds):
            maker = kind.maker if kind.maker in traits.picture_makers else ""
            other = kind.maker if kind.maker in traits.feature_makers else ""
            key = (kind.picture, maker, kind.features, other)
            found = known.get(key)
            if found is None:
                settled = pictures.get(key[:2])
                if settled is None:
                    settled = pictures[key[:2]] = self._settled(desk, number, kind.camera)
                found = known[key] = self._cell(asked, kind, other, settled)
            column[place] = found
        return column

    def _settled(self, desk: Desk, number: int, camera: str) -> Settled:
        settled = self.clerk.settled(desk, number, camera, self.question)
        if settled is None:
            raise ValueError(f"{desk.part_id} has no input {number}")
        return settled

    def _cell(self, asked: _Asked, kind: CameraKind, maker: str, settled: Settled) -> int:
        stream = asked.stream(settled)
        key = (kind.features, maker, settled.emitted.family)
        works = asked.features.get(key)
        if works is None:
            alone = features_alone(self.clerk.memory, asked.desk, asked.number, kind.camera, settled)
            works = asked.features[key] = alone
        cell = assembled(settled, stream, works)
        found = self.numbers.number(cell)
        if found == len(self.cells):
            self.cells.append(cell)
        return found
