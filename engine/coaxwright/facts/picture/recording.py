"""Acquired against recorded: what one channel is stored as, how channels share the encoder, and its bit rate.

Pure: works on recorder parts, acquired frames and settings made. What a recorder can encode is its part's own
data; that processors share one budget over the channels in use is common practice. Disks: see `storing`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from operator import attrgetter
from typing import Any, NamedTuple

from coaxwright.facts.physics.encoding import share_budget
from coaxwright.facts.picture.frames import halved
from coaxwright.model.recorder_parts import Encodes, RecorderPart, StreamRate
from coaxwright.model.site import Camera, Recording
from coaxwright.portable import added

SIZE_SLACK = 1.02
"""A 2592x1944 frame counts as covered by 2560x1944 or 2560x1920 and is cropped to it: common practice."""
RATE_SLACK = 1.0e-9
"""Rates that differ by less than this share are one rate."""


class Frame(NamedTuple):
    """An acquired picture: columns, lines, frames a second, and whether it arrived at reduced width."""

    width: int
    height: int
    fps: float
    reduced: bool = False


class Ceiling(NamedTuple):
    """What one channel makes of a frame: stored columns and lines, and the most frames a second."""

    width: int
    height: int
    rate: float
    reduced: bool


class Stored(NamedTuple):
    """One recorded stream: its frame, its rate, and the cause of that rate."""

    width: int
    height: int
    fps: float
    limited_by: str


def covers(width: int, height: int, up_to: tuple[int, int]) -> bool:
    """A row for frames of `up_to` holds for a frame of that size, small differences of rasters apart."""
    return width <= up_to[0] * SIZE_SLACK and height <= up_to[1] * SIZE_SLACK


def encoding_row(rows: Sequence[Encodes], channel: int, frame: Frame) -> Encodes | None:
    """The row that decides for a frame on a channel; None where there is none."""
    fitting = [
        row
        for row in rows
        if (row.channels is None or channel in row.channels) and covers(frame.width, frame.height, row.up_to)
    ]
    return min(fitting, key=_smallest_first, default=None)


def channel_ceiling(rows: Sequence[Encodes], channel: int, frame: Frame) -> Ceiling | None:
    """What `channel` stores of the frame by the encoding rows; None where no row says.

    The smallest full-width row that covers the acquired frame decides, a row for named channels before one
    for all. Where none covers, a `reduced` row does, and every other column of the frame is stored (a frame
    that was acquired at reduced width already is stored as it is).
    """
    row = encoding_row(rows, channel, frame)
    if row is None:
        return None
    width, height = min(frame.width, row.up_to.width), min(frame.height, row.up_to.height)
    halving = row.width == "reduced" and not frame.reduced
    return Ceiling(halved(width) if halving else width, height, row.rate, halving)


def _smallest_first(row: Encodes) -> tuple[bool, int, bool, float]:
    return (row.width == "reduced", row.up_to.width * row.up_to.height, row.channels is None, -row.rate)


def wanted_stream(frame: Frame, ceiling: Ceiling, set_rate: float | None) -> Stored:
    """What a channel would record without a common limit: the least of acquired, set and ceiling."""
    rate, cause = frame.fps, "acquired"
    if set_rate is not None and set_rate < rate * (1.0 - RATE_SLACK):
        rate, cause = set_rate, "set-by-hand"
    if ceiling.rate < rate * (1.0 - RATE_SLACK):
        rate, cause = ceiling.rate, "channel-ceiling"
    return Stored(ceiling.width, ceiling.height, rate, cause)


def demand(stream: Stored) -> float:
    """Picture elements a second of a stream: columns * lines * rate."""
    return stream.width * stream.height * stream.fps


def share_encoder(streams: Sequence[Stored], total: float | None) -> list[Stored]:
    """The streams after the common limit of `total` picture elements a second, max-min fair; same order.

    None means that no common limit is known: the streams stay as they are.
    """
    demands = [demand(each) for each in streams]
    if total is None or added(demands) <= total * (1.0 + RATE_SLACK):
        return list(streams)
    shares = share_budget(total, demands)
    return [
        each if share >= asked * (1.0 - RATE_SLACK) else _slowed(each, share)
        for each, asked, share in zip(streams, demands, shares, strict=True)
    ]


def share_known(wanted: Sequence[Stored | None], total: float | None) -> list[Stored | None]:
    """Streams after the common limit of the encoder, None where what a channel asks is open.

    Where the demand of some channel is open, a channel that asks for no more than an equal part of the total
    gets it whatever the others ask; the rest is open.
    """
    known = [each for each in wanted if each is not None]
    if len(known) == len(wanted) or total is None:
        shared = iter(share_encoder(known, total))
        return [None if each is None else next(shared) for each in wanted]
    part = total / len(wanted)
    return [each if each is not None and demand(each) <= part * (1.0 + RATE_SLACK) else None for each in wanted]


def _slowed(stream: Stored, share: float) -> Stored:
    return stream._replace(fps=share / (stream.width * stream.height), limited_by="shared-budget")


# Bit rate


class Plan(NamedTuple):
    """How a channel is recorded after the camera's own words and then the recorder's; None: nobody said."""

    rate: float | None = None
    codec: str | None = None
    bitrate: float | None = None
    second_stream: float | None = None
    schedule: str | None = None
    motion_share: float | None = None
    motion: str | None = None
    noise: str | None = None
    sound: bool = False


_OF_SCENE = ("motion", "noise", "sound")
_SAID = attrgetter(*(name for name in Plan._fields if name not in _OF_SCENE))


def plan_of(own: Recording | None, common: Recording | None, camera: Camera | None = None) -> Plan:
    """Field by field: what is written at the camera, else what is written at the recorder; with what the camera looks at
    and whether its sound is wanted, where its entry is given.
    """
    one, other = (Plan() if each is None else Plan._make((*_SAID(each), None, None, False)) for each in (own, common))
    plan = Plan._make(first if first is not None else then for first, then in zip(one, other, strict=True))
    if camera is None:
        return plan
    sound = camera.sound is not None or bool(camera.wants is not None and camera.wants.sound)
    motion, noise = (camera.scene.motion, camera.scene.noise) if camera.scene else (None, None)
    return plan._replace(motion=motion, noise=noise, sound=sound)


def _first(values: Iterable[Any]) -> object:
    """The first that is not None."""
    return next((value for value in values if value is not None), None)


class Spread(NamedTuple):
    """Factors on the planned rate by day: `peak` by day or by night, whichever is more; means of a day, least, planned, most."""

    peak: float
    low: float
    mean: float
    high: float


STEADY = Spread(1.0, 1.0, 1.0, 1.0)
"""Of a rate that is set or stated: it is what it is."""


class Rate(NamedTuple):
    """A bit rate of the main stream in bit/s, whence (`set`, `maker`, `assumed`), and assumptions by name."""

    bitrate: float
    by: str
    codec: str
    bits_per_pixel: float
    assumed: tuple[str, ...]
    spread: Spread | None = None


def stated_rate(rows: Iterable[StreamRate], codec: str, stream: Stored) -> float | None:
    """Bit/s that the maker's table gives for a stream; None where it says nothing of that size and codec.

    The smallest size that covers the stream, and of it the smallest rate that is not below the stream's (else
    the largest). Another rate or frame than the row's scales with picture elements a second, as in the
    planning rule (common practice).
    """
    fitting = [row for row in rows if row.codec == codec and covers(stream.width, stream.height, row.up_to)]
    if not fitting:
        return None
    least = min(row.up_to.width * row.up_to.height for row in fitting)
    sized = [row for row in fitting if row.up_to.width * row.up_to.height == least]
    enough = [row for row in sized if row.rate >= stream.fps * (1.0 - RATE_SLACK)]
    row = min(enough, key=lambda each: each.rate) if enough else max(sized, key=lambda each: each.rate)
    return row.bitrate * demand(stream) / (least * row.rate)


def codec_of(part: RecorderPart, plan: Plan) -> tuple[str | None, bool]:
    """The codec used, and whether it was assumed: set, else the only one, else H.264, which fills most."""
    if plan.codec is not None:
        return plan.codec, False
    if not part.codecs:
        return None, False
    if len(part.codecs) == 1:
        return part.codecs[0], False
    return ("h264" if "h264" in part.codecs else part.codecs[0]), True
