"""What the facts of a pair read of a camera and of a recorder input, so that equal questions are asked once.

Three questions make an answer: what the picture settles on, what is stored of it, and what else travels. Each
reads its own few properties, and each is asked once for everything that is equal in them. A maker counts only
where the recorder names makers: to all other inputs every maker is one. Titles, prices and lenses count nowhere.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from functools import lru_cache
from typing import Any, NamedTuple

from coaxwright.facts.makers import maker_of
from coaxwright.facts.picture.signal_cache import Desk
from coaxwright.facts.picture.signals import Signal, pairs
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.common import VideoMode
from coaxwright.model.recorder_parts import RecorderPart


class Numbers:
    """Small numbers for equal things, in order of first appearance."""

    __slots__ = ("of",)

    def __init__(self) -> None:
        self.of: dict[Hashable, int] = {}

    def number(self, thing: Hashable) -> int:
        """The number of a thing; a new one for a new thing."""
        return self.of.setdefault(thing, len(self.of))


def signals_of(part: CameraPart) -> tuple[Signal, ...]:
    """Every signal of a camera, none twice."""
    return tuple(dict.fromkeys(signal for signal, _ in _signals(part)))


def _signals(part: CameraPart) -> tuple[tuple[Signal, str | None], ...]:
    """Every signal with whether it is sent on request only."""
    rows = (_row(row.family, row.mode, row.only) for row in part.emits)
    return tuple(dict.fromkeys(each for row in rows for each in row))


@lru_cache(maxsize=10_000)
def _row(
    family: str | tuple[str, ...], mode: VideoMode | tuple[VideoMode, ...], only: str | None
) -> tuple[tuple[Signal, str | None], ...]:
    """Every signal of a row; many cameras have rows in common."""
    return tuple((Signal(*pair), only) for pair in pairs(family, mode))


def picture_traits(part: CameraPart) -> tuple[Any, ...]:
    """What settling a picture reads of a camera, its maker apart."""
    starts = part.starts_as if isinstance(part.starts_as, tuple) else (part.starts_as,)
    begun = tuple(Signal(row.family, row.mode) for row in starts if row is not None)
    return (_signals(part), begun, part.heeds_asks, part.switched_by == ())


def feature_traits(part: CameraPart) -> tuple[Any, ...]:
    """What sound, control and firmware read of a camera, its maker apart."""
    sound, control = part.sound, part.control
    return (
        (sound.microphone, sound.over_coax) if sound else (),
        control.over_coax if control else None,
        part.firmware_over_coax,
    )


class CameraKind(NamedTuple):
    """One kind of camera: numbers of its traits, its maker, and a camera of that kind."""

    picture: int
    features: int
    maker: str
    camera: str


@immutable
class Kinds:
    """Cameras put together: `of[i]` is the kind of camera i."""

    of: list[int]
    kinds: list[CameraKind]


def kinds_of(parts: Iterable[tuple[str, CameraPart]]) -> Kinds:
    """Cameras by what settles a pair."""
    pictures, features, found = Numbers(), Numbers(), Numbers()
    kinds: list[CameraKind] = []
    of = []
    for name, part in parts:
        key = (
            pictures.number(picture_traits(part)),
            features.number(feature_traits(part)),
            maker_of(name, part),
        )
        number = found.number(key)
        if number == len(kinds):
            kinds.append(CameraKind(*key, name))
        of.append(number)
    return Kinds(of, kinds)


@immutable
class InputTraits:
    """What the three questions read of one recorder input, and the makers that each of them tells apart."""

    picture: Hashable
    stored: Hashable
    features: Hashable
    picture_makers: frozenset[str]
    feature_makers: frozenset[str]


def input_traits(name: str, part: RecorderPart, desk: Desk, number: int) -> InputTraits:
    """Lay out one input of a recorder."""
    group = part.inputs[desk.group_of[number]]
    maker = maker_of(name, part)
    asked_of = {row.maker for row in group.accepts} | {row.maker for row in group.asks}
    features, told_apart = _features(part, number)
    return InputTraits(
        (group.accepts, group.asks, maker if "own" in asked_of else ""),
        (part.encodes, part.encodes_total, number if desk.channelled else 0),
        (features, maker if "own" in told_apart else ""),
        _makers(asked_of, maker),
        _makers(told_apart, maker),
    )


def _features(part: RecorderPart, number: int) -> tuple[Hashable, set[str]]:
    """What the features read of a recorder at one input, and whose cameras they tell apart."""
    sound, control, firmware = part.sound, part.control, part.firmware_over_coax
    takes = sound.coax_channels if sound else None
    sorts = part.sorted_motion
    read = (
        (sound.coax_families, sound.coax_maker, None if takes is None else number in takes) if sound else (),
        (control.coax_families, control.coax_maker) if control else (),
        (firmware.families, firmware.maker) if firmware else (),
        None if sorts is None else number in sorts,
    )
    named = {each.coax_maker for each in (sound, control) if each is not None}
    return read, named | ({firmware.maker} if firmware else set())


def _makers(named: set[str], own: str) -> frozenset[str]:
    return frozenset((named - {"own", "any"}) | ({own} if "own" in named else set())) - {""}
