"""Cameras as sources of signals, inputs as takers of them, and the form of what the two settle on.

Laid out from part models once, so that settling is a few look-ups. Not for deciding: see `settling`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import field, replace
from typing import NamedTuple

from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.facts.picture.frames import frame_family, nominal, spoken
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart, Emits
from coaxwright.model.common import VideoMode
from coaxwright.model.recorder_parts import Asks, InputGroup, RecorderPart

RANK = {"full": 4, "asked-down": 3, "reduced-width": 2, "needs-setting": 1, "no-picture": 0}
"""Outcomes from best to worst, for choosing what to switch to."""
OVER_COAX = "menu-over-coax"
SWITCHED_BY = {
    OVER_COAX: "in its menu over the coax",
    "menu-button": "with its menu button",
    "dip-switch": "with its switches",
    "service-lead": "with its service lead",
}
CAMERA = "{camera}"
"""Stands for the camera's subject in what is lacking; see `Settled.lacking_of`."""


class Signal(NamedTuple):
    """A family and a mode in it."""

    family: str
    mode: VideoMode

    def __str__(self) -> str:
        """As it is read aloud: `TVI 2560x1440 at 25 frames a second`."""
        return f"{self.family.upper()} {spoken(self.mode)}"


@immutable
class Emitter:
    """A camera part as a source of signals, each in the order of the part, none twice.

    `signals` are those that it can be switched to, `on_request` those that it sends only when a recorder asks.
    `starts` are its factory settings, `strays` those stated that it cannot be switched to. `ways` are the ways in
    which a person switches it: None where its part does not say, empty where there are none.
    """

    part: str
    maker: str
    signals: tuple[Signal, ...]
    on_request: tuple[Signal, ...]
    starts: tuple[Signal, ...]
    strays: tuple[Signal, ...]
    heeds_asks: bool | None
    ways: tuple[str, ...] | None

    @classmethod
    def of(cls, part_id: str, part: CameraPart) -> Emitter:
        """Lay out a camera part."""
        free = _signals_of(row for row in part.emits if row.only is None)
        own = {(one.family, nominal(one.mode)): one for one in reversed(free)}
        asked = [one for one in _signals_of(row for row in part.emits if row.only is not None) if one not in free]
        rows = part.starts_as if isinstance(part.starts_as, tuple) else (part.starts_as,)
        stated = [Signal(row.family, row.mode) for row in rows if row is not None]
        starts = [own.get((one.family, nominal(one.mode))) for one in stated]
        strays = [one for one, found in zip(stated, starts, strict=True) if found is None]
        known = [one for one in starts if one is not None]
        maker = maker_of(part_id, part)
        heeds, ways = part.heeds_asks, part.switched_by
        return cls(part_id, maker, free, tuple(asked), tuple(known), tuple(strays), heeds, ways)

    @property
    def all(self) -> tuple[Signal, ...]:
        """Everything that it can send, by itself or on request."""
        return self.signals + self.on_request

    @property
    def switched_by(self) -> str:
        """The ways in which it is switched, as words; empty where none is known."""
        return ", or ".join(SWITCHED_BY[way] for way in self.ways or ())


def _signals_of(rows: Iterable[Emits]) -> tuple[Signal, ...]:
    return tuple(dict.fromkeys(Signal(*pair) for row in rows for pair in pairs(row.family, row.mode)))


def pairs(family: str | tuple[str, ...], mode: VideoMode | tuple[VideoMode, ...]) -> Iterator[tuple[str, VideoMode]]:
    """Every family of a row with every mode of it. A single mode is itself a tuple: hence the type check."""
    families = (family,) if isinstance(family, str) else family
    modes = (mode,) if isinstance(mode, VideoMode) else mode
    return ((one, other) for one in families for other in modes)


class Emitted(NamedTuple):
    """How a camera is switched: None for what is not known, and what would make it known."""

    family: str | None
    mode: VideoMode | None
    can: bool | None
    lacking: tuple[str, ...]


class Row(NamedTuple):
    """One way in which an input admits a signal."""

    reduced: bool
    maker: str
    after: str | None


def _best_first(row: Row) -> tuple[bool, bool]:
    """Full width before reduced, automatic before after a setting."""
    return (row.reduced, row.after is not None)


@immutable
class Intake:
    """One input group of a recorder, with the recorder settings made, as a taker of signals."""

    part: str
    maker: str
    rows: dict[tuple[str, VideoMode], tuple[Row, ...]]
    families: tuple[str, ...]
    asks: tuple[Asks, ...]
    made: frozenset[str]

    @classmethod
    def of(cls, part_id: str, part: RecorderPart, group: InputGroup, made: Iterable[str] = ()) -> Intake:
        """Lay out one input group of a recorder part on which the settings `made` are made."""
        rows: dict[tuple[str, VideoMode], list[Row]] = {}
        for each in group.accepts:
            for family, mode in pairs(each.family, each.mode):
                row = Row(each.width == "reduced", each.maker, each.after)
                rows.setdefault((family, nominal(mode)), []).append(row)
        families = tuple(dict.fromkeys(family for family, _ in rows))
        frozen = {key: tuple(sorted(several, key=_best_first)) for key, several in rows.items()}
        return cls(part_id, maker_of(part_id, part), frozen, families, group.asks, frozenset(made))

    def takes(self, signal: Signal, camera_maker: str) -> Row | None:
        """The best row that admits the signal with the settings made; None when there is none."""
        for row in self.rows.get((signal.family, nominal(signal.mode)), ()):
            if (row.after is None or row.after in self.made) and lets_in(row.maker, camera_maker, self.maker):
                return row
        return None

    @property
    def unmade(self) -> tuple[str, ...]:
        """Recorder settings that a row waits for and that are not made, in the order of the part."""
        waiting = (row.after for rows in self.rows.values() for row in rows if row.after is not None)
        return tuple(name for name in dict.fromkeys(waiting) if name not in self.made)

    def after(self, setting: str) -> Intake:
        """The same input with one more setting made."""
        return replace(self, made=self.made | {setting})

    def would_take(self, signal: Signal, camera_maker: str) -> Row | None:
        """The best row that admits the signal once a setting that is not made yet is made."""
        for row in self.rows.get((signal.family, nominal(signal.mode)), ()):
            if row.after is not None and lets_in(row.maker, camera_maker, self.maker):
                return row
        return None


@immutable
class Acquired:
    """What one signal of the camera comes to on one input: size and rate are 0 without a picture."""

    outcome: str
    signal: Signal
    width: int
    height: int
    fps: float
    asked_by: Asks | None = None

    @property
    def pixels(self) -> int:
        """Picture elements of a frame acquired."""
        return self.width * self.height

    @property
    def worth(self) -> tuple[int, int, float]:
        """For choosing the best: outcome, picture elements, frame rate."""
        return (RANK[self.outcome], self.pixels, self.fps)


class Written(NamedTuple):
    """Modes of a settled pair as they are written, and the frame family of the mode on the cable."""

    emitted: str
    settled: str
    best: str
    frame_family: int

    @classmethod
    def of(cls, settled: Settled) -> Written:
        """Write down the modes; empty where there is none."""
        mode, signal = settled.emitted.mode, settled.signal
        return cls(
            "" if mode is None else str(mode),
            "" if signal is None else str(signal.mode),
            str(settled.best.signal.mode),
            0 if signal is None else frame_family(signal.mode.fps),
        )


@immutable
class Settled:
    """The answer for one camera on one input; `outcome` None where `lacking` says what is not known."""

    outcome: str | None
    because: str
    emitted: Emitted
    signal: Signal | None
    width: int
    height: int
    fps: float
    setting_needed: str
    best: Acquired
    family_taken: bool | None
    lacking: tuple[str, ...] = ()
    ways: tuple[str, ...] | None = None
    has_picture: bool = field(init=False)
    """A picture arrives without anyone touching camera or recorder."""
    written: Written = field(init=False)

    def __post_init__(self) -> None:
        """Work out once what every camera of the pair is told."""
        arrives = self.outcome is not None and RANK[self.outcome] > RANK["needs-setting"]
        object.__setattr__(self, "has_picture", arrives)
        object.__setattr__(self, "written", Written.of(self))

    @property
    def gains_by_switching(self) -> bool:
        """Another signal of the camera would come to more than what arrives now (or may arrive: that is open)."""
        now = (-1, 0, 0.0) if self.outcome is None else (RANK[self.outcome], self.width * self.height, self.fps)
        return self.best.outcome != "no-picture" and self.best.worth > now

    def lacking_of(self, subject: str) -> tuple[str, ...]:
        """What to supply, for the camera `subject` (`cameras/c1`)."""
        return tuple(path.replace(CAMERA, subject) for path in self.lacking)
