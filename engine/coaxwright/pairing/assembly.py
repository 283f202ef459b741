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
from coaxwright.pairing.cells import Cell, Clerk, assembled, features_alone, spread_over, stored
from coaxwright.pairing.grouping import CameraKind, InputTraits, Numbers, input_traits
from coaxwright.pairing.small_sites import Question

_Pair = tuple[int, str]
_Streams = dict[int, Stored | None]
_Works = tuple[bool | None, ...]
_Features = dict[tuple[int, str, str | None], _Works]


@immutable
class _Asked:
    """One input, with what was found of pictures, streams and features at inputs that are equal in what those read."""

    desk: Desk
    number: int
    traits: InputTraits
    pictures: dict[_Pair, int]
    streams: _Streams
    features: _Features
    extra_loss: float


class Assembly:
    """Cells of many pairs under one question; `cells` holds each different one once."""

    def __init__(self, clerk: Clerk, question: Question) -> None:
        self.clerk, self.question = clerk, question
        self.cells: list[Cell] = []
        self._told = Numbers()
        self._spreads: dict[Hashable, int] = {}
        self._single: list[Cell] = []
        self._numbers = Numbers()
        self._settled: list[Settled] = []
        self._outcomes = Numbers()
        self._assembled: dict[Hashable, int] = {}
        self._pictures: dict[Hashable, dict[_Pair, int]] = {}
        self._streams: dict[Hashable, _Streams] = {}
        self._features: dict[Hashable, _Features] = {}

    def column(self, recorder: str, kinds: list[CameraKind]) -> array[int]:
        """Cell numbers of every kind of camera on one recorder, each on the input that keeps most of it.

        The inner loop of a table: a few look-ups a pair. With `channels` every maker counts, as other inputs do.
        """
        number = self.question.number
        groups = self.clerk.alike(recorder) if number is None else [[number]]
        inputs = [self._asked(recorder, group[0]) for group in groups]
        sizes = tuple(len(group) for group in groups) if number is None else ()
        pictures = frozenset().union(*(each.traits.picture_makers for each in inputs))
        features = frozenset().union(*(each.traits.feature_makers for each in inputs))
        crowded = self.question.channels is not None
        known: dict[tuple[int, str, int, str], int] = {}
        column = array("l", bytes(array("l").itemsize * len(kinds)))
        for place, kind in enumerate(kinds):
            maker = kind.maker if crowded or kind.maker in pictures else ""
            key = (kind.picture, maker, kind.features, kind.maker if kind.maker in features else "")
            found = known.get(key)
            if found is None:
                found = known[key] = self._several([self._cell(each, kind) for each in inputs], sizes)
            column[place] = found
        return column

    def _asked(self, recorder: str, number: int) -> _Asked:
        """An input laid out. Raises ValueError where the recorder has none of that number."""
        desk = self.clerk.desk(recorder, self.question.made)
        if number not in desk.group_of:
            raise ValueError(f"{desk.part_id} has no input {number}")
        traits = input_traits(recorder, desk.part, desk, number)
        pictures = self._pictures.setdefault(traits.picture, {})
        streams = self._streams.setdefault(traits.stored, {})
        features = self._features.setdefault(traits.features, {})
        extra = desk.extra_loss[desk.group_of[number]]
        return _Asked(desk, number, traits, pictures, streams, features, extra)

    def _several(self, single: list[int], sizes: tuple[int, ...]) -> int:
        """The number among `cells` of what the cells on several inputs come to together."""
        key = (*single, sizes)
        found = self._spreads.get(key)
        if found is None:
            cells = [self._single[each] for each in single]
            cell = spread_over(cells, sizes) if sizes else cells[0]
            found = self._spreads[key] = self._told.number(cell)
            if found == len(self.cells):
                self.cells.append(cell)
        return found

    def _cell(self, asked: _Asked, kind: CameraKind) -> int:
        """The number among single cells of what a kind of camera comes to on one input."""
        picture = self._picture(asked, kind)
        settled = self._settled[picture]
        stream = self._stream(asked, kind, picture)
        maker = kind.maker if kind.maker in asked.traits.feature_makers else ""
        key = (kind.features, maker, settled.emitted.family)
        works = asked.features.get(key)
        if works is None:
            alone = features_alone(self.clerk.memory, asked.desk, asked.number, kind.camera, settled)
            works = asked.features[key] = alone
        whole = (picture, stream, works, asked.extra_loss)
        found = self._assembled.get(whole)
        if found is None:
            found = self._assembled[whole] = self._new_cell(asked, kind, settled, stream, works)
        return found

    def _new_cell(self, asked: _Asked, kind: CameraKind, settled: Settled, stream: Stored | None, works: _Works) -> int:
        cell = assembled(settled, stream, works)
        cell = self.clerk.with_run(cell, kind.camera, asked.desk, asked.number, self.question, settled)
        found = self._numbers.number(cell)
        if found == len(self._single):
            self._single.append(cell)
        return found

    def _picture(self, asked: _Asked, kind: CameraKind) -> int:
        """The number of what the picture settles on: one for all that are equal in what a cell tells of them."""
        key = (kind.picture, kind.maker if kind.maker in asked.traits.picture_makers else "")
        found = asked.pictures.get(key)
        if found is None:
            one = self.clerk.settled(asked.desk, asked.number, kind.camera, self.question)
            assert one is not None
            told = (one.outcome, one.emitted.family, one.width, one.height, one.fps, one.signal)
            found = asked.pictures[key] = self._outcomes.number(told)
            if found == len(self._settled):
                self._settled.append(one)
        return found

    def _stream(self, asked: _Asked, kind: CameraKind, picture: int) -> Stored | None:
        """What is recorded: alone, or (where `channels` is asked) with the same camera on other inputs too."""
        settled = self._settled[picture]
        if self.question.channels is not None:
            return self.clerk.stream(asked.desk, asked.number, kind.camera, self.question, settled)
        try:
            return asked.streams[picture]
        except KeyError:
            found = asked.streams[picture] = stored(asked.desk, asked.number, settled)
            return found
