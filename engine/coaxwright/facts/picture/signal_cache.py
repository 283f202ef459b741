"""What is the same for many cameras, worked out once: parts laid out, settled pairs, shapes of ways, rows.

A memory belongs to one catalogue of parts: keep it for as long as that does, so that an edit finds it warm.
It holds results of pure functions only and may be thrown away at any time. Nothing here decides anything.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coaxwright.facts.chains import Verdict
from coaxwright.facts.context import Context
from coaxwright.facts.physics.encoding import MacroblockLevel
from coaxwright.facts.picture.coax_path import Known, Piece, Shape, measured_loss, run_loss, shape_of
from coaxwright.facts.picture.control import coax_control, coax_firmware, sorted_motion
from coaxwright.facts.picture.frames import nominal
from coaxwright.facts.picture.pair import Pair, Switched
from coaxwright.facts.picture.recording import Ceiling, Frame, channel_ceiling
from coaxwright.facts.picture.settling import emitted, settle
from coaxwright.facts.picture.signals import Emitted, Emitter, Intake, Settled
from coaxwright.facts.picture.sound import coax_sound
from coaxwright.model.common import VideoMode
from coaxwright.model.measured import MeasuredRun
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import CameraSet
from coaxwright.reading.tables import Row, load_table
from coaxwright.topology.records import CablePath, Lists, Port

PartOf = Callable[[str], Any]
LineInputs = list[tuple[Port, list[CablePath]]]


class ModeFigures(NamedTuple):
    """What is known of a mode: MHz, dB that an input is assumed to equalise, and the spread of published figures."""

    top_frequency: float
    loss_limit: float | None
    low: float | None
    high: float | None


class OverCoax(NamedTuple):
    """What camera and input do over the coax besides the picture, boxes and picture left aside."""

    sound: Verdict
    control: Verdict
    firmware: Verdict
    sorted_motion: Verdict


@dataclass(slots=True, eq=False, repr=False)
class Desk:
    """One recorder part with the settings made on it, and what its inputs have been found to do."""

    part_id: str
    part: RecorderPart
    intakes: list[Intake]
    group_of: dict[int, int]
    extra_loss: list[float]
    channelled: bool
    settled: dict[Any, Settled] = field(default_factory=dict)
    over_coax: dict[Any, OverCoax] = field(default_factory=dict)
    ceilings: dict[Any, Ceiling | None] = field(default_factory=dict)

    @classmethod
    def of(cls, part_id: str, part: RecorderPart, made: tuple[str, ...]) -> Desk:
        """Lay out a recorder part; a channel that two groups name belongs to the first."""
        group_of: dict[int, int] = {}
        for index, group in enumerate(part.inputs):
            for channel in group.channels:
                group_of.setdefault(channel, index)
        return cls(
            part_id,
            part,
            [Intake.of(part_id, part, group, made) for group in part.inputs],
            group_of,
            [group.loss_limit_extra or 0.0 for group in part.inputs],
            any(row.channels is not None for row in part.encodes or ()),
        )

    def ceiling(self, channel: int, frame: Frame) -> Ceiling | None:
        """What a channel stores of a frame; None where no encoding row says."""
        key = (channel if self.channelled else 0, frame)
        try:
            return self.ceilings[key]
        except KeyError:
            found = self.ceilings[key] = channel_ceiling(self.part.encodes or (), channel, frame)
            return found


class SignalCache:
    """Results shared by all recorders whose parts come from one catalogue."""

    __slots__ = ("_desks", "_emitters", "_lines", "_losses", "_modes", "_shapes", "_switched", "part_of", "traits")

    def __init__(self, part_of: PartOf) -> None:
        self.part_of = part_of
        self.traits: dict[Any, Any] = {}
        self._emitters: dict[str, Emitter] = {}
        self._switched: dict[tuple[str, str | None, VideoMode | None, int], Emitted] = {}
        self._desks: dict[tuple[str, tuple[str, ...]], Desk] = {}
        self._losses: dict[tuple[str, float, float], Known] = {}
        self._shapes: dict[tuple[str, ...], Shape] = {}
        self._lines: tuple[Lists, dict[str, LineInputs]] | None = None
        self._modes: dict[tuple[str, VideoMode], ModeFigures | None] = {}

    def emitter(self, part_id: str) -> Emitter:
        """A camera part as a source of signals."""
        try:
            return self._emitters[part_id]
        except KeyError:
            made = self._emitters[part_id] = Emitter.of(part_id, self.part_of(part_id))
            return made

    def desk(self, part_id: str, made: tuple[str, ...]) -> Desk:
        """A recorder part with the settings made on it."""
        key = (part_id, made)
        try:
            return self._desks[key]
        except KeyError:
            desk = self._desks[key] = Desk.of(part_id, self.part_of(part_id), made)
            return desk

    def forget(self, part_id: str) -> None:
        """Let go of a recorder part with all that was found out at it."""
        for key in [key for key in self._desks if key[0] == part_id]:
            del self._desks[key]

    def switched(self, part_id: str, switch: CameraSet | None, video_rate: int) -> Emitted:
        """How a camera is switched, by what its `set` says."""
        family, mode = (switch.family, switch.mode) if switch is not None else (None, None)
        key = (part_id, family, mode, video_rate)
        try:
            return self._switched[key]
        except KeyError:
            found = self._switched[key] = emitted(self.emitter(part_id), family, mode, video_rate)
            return found

    def settled(self, desk: Desk, channel: int, camera: str, switch: CameraSet | None, video_rate: int) -> Settled | None:
        """What a camera and a channel settle on; None where the recorder has no such channel."""
        group = desk.group_of.get(channel)
        if group is None:
            return None
        key = (camera, switch and (switch.family, switch.mode), group, video_rate)
        try:
            return desk.settled[key]
        except KeyError:
            sends = self.switched(camera, switch, video_rate)
            found = desk.settled[key] = settle(self.emitter(camera), desk.intakes[group], sends, video_rate)
            return found

    def over_coax(self, desk: Desk, channel: int, camera: str, sends: Emitted) -> OverCoax:
        """What else camera and channel do over the coax."""
        key = (camera, sends.family, channel)
        try:
            return desk.over_coax[key]
        except KeyError:
            found = desk.over_coax[key] = self._over_coax(desk, channel, camera, sends)
            return found

    def _over_coax(self, desk: Desk, channel: int, camera: str, sends: Emitted) -> OverCoax:
        pair = Pair(Switched(camera, self.part_of(camera), sends.family, sends.lacking), desk.part_id, desk.part)
        return OverCoax(
            coax_sound(pair, channel),
            coax_control(pair),
            coax_firmware(pair),
            sorted_motion(desk.part_id, desk.part, channel),
        )

    def mode(self, family: str, mode: VideoMode) -> ModeFigures | None:
        """Top frequency and loss limit of a mode; None for a mode that the table does not have."""
        key = (family, mode)
        try:
            return self._modes[key]
        except KeyError:
            row = load_table("signal-modes").get(family, nominal(mode))
            figures = None if row is None else _figures(row)
            self._modes[key] = figures
            return figures

    def line_inputs(self, lists: Lists) -> dict[str, LineInputs]:
        """Line inputs for sound that lines end in, with those lines, by the id of their recorder."""
        if self._lines is None or self._lines[0] is not lists:
            found: dict[str, LineInputs] = {}
            for port, paths in lists.others.items():
                if port.kind == "recorder-audio-in":
                    found.setdefault(port.device, []).append((port, paths))
            self._lines = (lists, found)
        return self._lines[1]

    def run_loss(self, cable: str, mhz: float, degc: float, alpha: Mapping[str, float]) -> Known:
        """dB a metre of a cable; `alpha` gives the temperature coefficients of `coax` and `pair`."""
        key = (cable, mhz, degc)
        try:
            return self._losses[key]
        except KeyError:
            part = self.part_of(cable)
            coefficient = alpha["coax" if "coax" in part.carries else "pair"]
            found = self._losses[key] = run_loss(cable, part, mhz, degc, coefficient)
            return found

    def measured_loss(self, cable: str, measured: MeasuredRun, mhz: float, degc: float, alpha: Mapping[str, float]) -> Known:
        """dB of a run whose loss was measured: too seldom the same twice to be kept."""
        part = self.part_of(cable)
        return measured_loss(cable, part, measured, mhz, degc, alpha["coax" if "coax" in part.carries else "pair"])

    def shape(self, pieces: tuple[str, ...]) -> Shape:
        """What a way of these cable and box parts, camera first, is like apart from lengths."""
        try:
            return self._shapes[pieces]
        except KeyError:
            found = shape_of([Piece(each, self.part_of(each)) for each in pieces])
            self._shapes[pieces] = found
            return found


def _figures(row: Row) -> ModeFigures:
    """A row of the table of modes; without a spread its limit is both ends."""
    limit = row["loss_limit"]
    low, high = (limit if row[end] is None else row[end] for end in ("limit_low", "limit_high"))
    return ModeFigures(row["top_frequency"], limit, low, high)


def memory_of(context: Context) -> SignalCache:
    """The memory of the site's catalogue, made when first asked for; kept in the context's `memo`."""
    memory: SignalCache | None = context.memo.get(("signal_cache",))
    if memory is None:
        memory = context.memo["signal_cache",] = SignalCache(context.part)
    return memory


def macroblock_levels() -> list[MacroblockLevel]:
    """Rows of ITU-T H.264 Table A-1 with the bit rates of High profile, lowest first."""
    return [
        MacroblockLevel(row["level"], row["macroblocks_per_second"], row["frame_macroblocks"], row["bit_rate_high"])
        for row in load_table("h264-levels").rows
    ]
