"""Puts table cells together from answers that are each asked once: picture, stored stream, features.

The answers are those of `cells`, asked of one camera and one input for all that are equal in what is read.
Reads parts only.
"""

from __future__ import annotations

from array import array
from collections.abc import Hashable
from dataclasses import dataclass, field

from coaxwright.facts.picture.recording import Stored
from coaxwright.facts.picture.signal_cache import Desk
from coaxwright.facts.picture.signals import Settled
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import Cell, Clerk, assembled, features_alone, spread_over, stored
from coaxwright.pairing.grouping import CameraKind, InputTraits, Numbers, input_traits
from coaxwright.pairing.shortcuts import Admits, Shortcuts
from coaxwright.pairing.small_sites import Question

_Streams = dict[int, Stored | None]
_Works = tuple[bool | None, ...]
_Features = dict[tuple[int, str | None], _Works]


@dataclass(slots=True)
class _Pictures:
    """Numbers of pictures at inputs that are equal in what settling reads, by keys, and what they admit by makers."""

    known: dict[Hashable, int] = field(default_factory=dict)
    admits: dict[str, Admits] = field(default_factory=dict)


@immutable
class _Asked:
    """One input, with what was found of pictures, streams and features at inputs that are equal in what those read."""

    desk: Desk
    number: int
    traits: InputTraits
    pictures: _Pictures
    streams: _Streams
    features: _Features
    extra_loss: float


class Assembly:
    """Cells of many pairs under one question; `cells` holds each different one once."""

    def __init__(self, clerk: Clerk, question: Question, kinds: list[CameraKind]) -> None:
        self.clerk, self.question, self.kinds = clerk, question, kinds
        self.cells: list[Cell] = []
        self._told = Numbers()
        self._spreads: dict[Hashable, int] = {}
        self._single: list[Cell] = []
        self._numbers = Numbers()
        self._settled: list[Settled] = []
        self._outcomes = Numbers()
        self._assembled: dict[Hashable, int] = {}
        self._pictures: dict[Hashable, _Pictures] = {}
        self._streams: dict[Hashable, _Streams] = {}
        self._features: dict[Hashable, _Features] = {}
        self._told_apart: dict[frozenset[str], list[int]] = {}
        self._shortcuts = Shortcuts(clerk.memory, kinds, [clerk.sends(kind.camera, question) for kind in kinds])

    def column(self, recorder: str) -> array[int]:
        """Cell numbers of every kind of camera on one recorder, each on the input that keeps most of it.

        What is done for each kind is a few look-ups. With `channels` every kind is asked by itself, as other inputs count.
        """
        number = self.question.number
        groups = self.clerk.alike(recorder) if number is None else [[number]]
        inputs = [self._cells(self._asked(recorder, group[0])) for group in groups]
        sizes = tuple(len(group) for group in groups) if number is None else ()
        pairs = list(zip(*inputs, strict=True))
        known = {pair: self._several(pair, sizes) for pair in dict.fromkeys(pairs)}
        return array("l", [known[pair] for pair in pairs])

    def _cells(self, asked: _Asked) -> list[int]:
        """The number among single cells of what every kind of camera comes to on one input."""
        pictures = self._picture_numbers(asked)
        if self.question.channels is not None:
            pairs = zip(self.kinds, pictures, strict=True)
            return [self._cell(asked, kind, one, self._works_of(asked, kind, one)) for kind, one in pairs]
        apart = self._features_apart(asked.traits.feature_makers)
        families = [each.emitted.family for each in self._settled]
        asks = list(zip(apart, [families[picture] for picture in pictures], strict=True))
        keys = list(zip(pictures, self._works(asked, asks, pictures), strict=True))
        places = dict(zip(keys, range(len(keys)), strict=True))
        known = {key: self._cell(asked, self.kinds[place], *key) for key, place in places.items()}
        return [known[key] for key in keys]

    def _works(self, asked: _Asked, asks: list[tuple[int, str | None]], pictures: list[int]) -> list[_Works]:
        """Which features work, of every kind: `asks` is its number of features and the family that it sends."""
        works = asked.features
        for place, ask in enumerate(asks):
            if ask not in works:
                works[ask] = self._works_of(asked, self.kinds[place], pictures[place])
        return [works[ask] for ask in asks]

    def _works_of(self, asked: _Asked, kind: CameraKind, picture: int) -> _Works:
        return features_alone(self.clerk.memory, asked.desk, asked.number, kind.camera, self._settled[picture])

    def _picture_numbers(self, asked: _Asked) -> list[int]:
        """The number of what the picture settles on, of every kind."""
        found = [0] * len(self.kinds)
        intake, pictures = asked.desk.intakes[asked.desk.group_of[asked.number]], asked.pictures
        for key, places in self._shortcuts.parted(intake, pictures.admits, asked.traits.picture_makers):
            if key is None:
                for place in places:
                    found[place] = self._picture(asked, self.kinds[place])
                continue
            if places and key not in pictures.known:
                pictures.known[key] = self._picture(asked, self.kinds[places[0]])
            for place in places:
                found[place] = pictures.known[key]
        return found

    def _features_apart(self, makers: frozenset[str]) -> list[int]:
        """A number for every kind: the same for those whose features no input that names these makers tells apart."""
        if makers not in self._told_apart:
            numbers = Numbers()
            self._told_apart[makers] = [
                numbers.number((kind.features, kind.maker if kind.maker in makers else "")) for kind in self.kinds
            ]
        return self._told_apart[makers]

    def _asked(self, recorder: str, number: int) -> _Asked:
        """An input laid out. Raises ValueError where the recorder has none of that number."""
        desk = self.clerk.desk(recorder, self.question.made)
        if number not in desk.group_of:
            raise ValueError(f"{desk.part_id} has no input {number}")
        traits = input_traits(recorder, desk.part, desk, number)
        pictures = self._pictures.setdefault(traits.picture, _Pictures())
        streams = self._streams.setdefault(traits.stored, {})
        features = self._features.setdefault(traits.features, {})
        extra = desk.extra_loss[desk.group_of[number]]
        return _Asked(desk, number, traits, pictures, streams, features, extra)

    def _several(self, single: tuple[int, ...], sizes: tuple[int, ...]) -> int:
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

    def _cell(self, asked: _Asked, kind: CameraKind, picture: int, works: _Works) -> int:
        """The number among single cells of what a kind of camera with that picture and features comes to on one input."""
        settled = self._settled[picture]
        stream = self._stream(asked, kind, picture)
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
        key = ("whole", kind.picture, kind.maker if kind.maker in asked.traits.picture_makers else "")
        known = asked.pictures.known
        found = known.get(key)
        if found is None:
            one = self.clerk.settled(asked.desk, asked.number, kind.camera, self.question)
            assert one is not None
            told = (one.outcome, one.emitted.family, one.width, one.height, one.fps, one.signal)
            found = known[key] = self._outcomes.number(told)
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
