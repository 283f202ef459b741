"""What one recorder records: shared encoder, rates and bits, for the recorder and for each camera on it.

Works on links that are settled already; disks are in `store_binding`. What is missing opens exactly what
depends on it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from coaxwright.facts.context import Context
from coaxwright.facts.network.network_cameras import NetworkStreamed
from coaxwright.facts.physics.encoding import h264_level, macroblock_rate
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.picture.planned_bits import BITS, Bits, bits_of, planned_rate, tell_bits
from coaxwright.facts.picture.recording import (
    Frame,
    Plan,
    Rate,
    Stored,
    codec_of,
    demand,
    plan_of,
    share_known,
    stated_rate,
    wanted_stream,
)
from coaxwright.facts.picture.signal_cache import Desk, SignalCache, macroblock_levels
from coaxwright.facts.picture.signals import Settled
from coaxwright.facts.picture.stream_levels import CODECS, deciding_max, possible_codecs
from coaxwright.facts.sheets import Camera, Link, Recorder
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.model.site import Recording
from coaxwright.portable import added
from coaxwright.reading.tables import Assumption

_RECORDED = ("recorded_width", "recorded_height", "recorded_fps")
_STREAM = (*_RECORDED, "recorded_reduced", "limited_by", "level_rate", "level")
MEANS = ("bitrate_mean", "bitrate_mean_low", "bitrate_mean_high")
_SHARES = ("motion-share", "sorted-motion-share")
_DARK = Stored(0, 0, 0.0, "no-picture")


class Channel(NamedTuple):
    """One camera on one input, settled: what recording it needs."""

    camera: Camera
    link: Link
    number: int
    settled: Settled | None
    record: Recording | None
    entry: CameraEntry | None = None


class Flow(NamedTuple):
    """Bits of one channel, and the assumptions used; None where open."""

    bits: Bits | None
    level_rate: float
    level: str
    assumed: tuple[str, ...]
    lacking: tuple[str, ...]
    most: float | None = None


@dataclass(slots=True, eq=False, repr=False)
class Totals:
    """Sums over the channels of one recorder, each with what is lacking for it."""

    bitrate: float = 0.0
    mean: float = 0.0
    low: float = 0.0
    high: float = 0.0
    level_rate: float = 0.0
    on_assumed_motion: list[str] = field(default_factory=list)
    lacking_bitrate: tuple[str, ...] = ()
    lacking_streams: tuple[str, ...] = ()

    def add(self, bits: Bits, cameras: int = 1) -> None:
        """Count so many cameras of these bits."""
        self.bitrate += cameras * bits.peak
        self.low += cameras * bits.low * bits.share
        self.mean += cameras * bits.mean * bits.share
        self.high += cameras * bits.high * bits.share


@dataclass(slots=True, eq=False, repr=False)
class RecordBinder:
    """Records of one recorder: `context.ledger` counts what is assumed."""

    context: Context
    memory: SignalCache
    desk: Desk
    sheet: Recorder
    entry: RecorderEntry
    flows: dict[tuple[Stored, Plan], Flow] = field(default_factory=dict)
    uses: dict[str, int] = field(default_factory=dict)
    totals: Totals = field(default_factory=Totals)
    network: Sequence[NetworkStreamed] = ()

    def bind(self, channels: Sequence[Channel]) -> Totals:
        """Fill what is recorded of each channel, and the recorder's sums; returns them for the disks."""
        common = plan_of(None, self.entry.record)
        plans = [
            common if one.entry is None else plan_of(one.record, self.entry.record, one.entry) for one in channels
        ]
        wanted = [self._wanted(one, plan) for one, plan in zip(channels, plans, strict=True)]
        streams = share_known(wanted, self.desk.part.encodes_total)
        for one, plan, stream, alone in zip(channels, plans, streams, wanted, strict=True):
            if stream is None:
                self._bind_open(one, plan, alone)
            else:
                self._bind_channel(one, plan, stream)
        self._bind_encoder(wanted, streams)
        self._bind_rates()
        for name, uses in self.uses.items():
            self.context.ledger.take(name, uses)
        return self.totals

    # One channel

    def _wanted(self, one: Channel, plan: Plan) -> Stored | None:
        """What the channel would record alone; fills what the encoding table says; None where open."""
        link, settled = one.link, one.settled
        if settled is None or settled.outcome is None:
            missing = settled.lacking_of(link.subject) if settled else (f"{link.subject}/video/into",)
            self._open(one, missing)
            return None
        if not settled.has_picture:
            link.recorded_reduced, link.channel_ceiling = False, 0.0
            return _DARK
        frame = Frame(settled.width, settled.height, settled.fps, settled.outcome == "reduced-width")
        ceiling = self.desk.ceiling(one.number, frame)
        if ceiling is None:
            self._open(one, (f"parts/{self.desk.part_id}/encodes",))
            return None
        link.recorded_reduced, link.channel_ceiling = ceiling.reduced, ceiling.rate
        return wanted_stream(frame, ceiling, plan.rate)

    def _open(self, one: Channel, missing: tuple[str, ...]) -> None:
        lack(one.link, (*_STREAM, "channel_ceiling"), missing)
        lack(one.camera, (*_RECORDED, *BITS), missing)
        self.totals.lacking_streams += missing

    def _bind_open(self, one: Channel, plan: Plan, alone: Stored | None) -> None:
        """A rate that is open: the frame is that of the channel whatever the others ask, and a bit rate that is set is known
        where a picture arrives.
        """
        link, camera, missing = one.link, one.camera, self.totals.lacking_streams
        if alone is not None:
            link.recorded_width, link.recorded_height = camera.recorded_width, camera.recorded_height = alone[:2]
            lack(link, ("recorded_fps", "limited_by", "level_rate", "level"), missing)
            lack(camera, ("recorded_fps", *BITS), missing)
        if plan.bitrate is None or one.settled is None or not one.settled.has_picture:
            self.totals.lacking_bitrate += missing
            return
        share, assumed = duty_of(plan, self.context.ledger.values)
        bits = bits_of(set_rate(plan.bitrate, plan), plan, share)
        self._use(assumed, camera.name)
        self._add_flow(camera, Flow(bits, 0.0, "", assumed, ()))

    def _bind_channel(self, one: Channel, plan: Plan, stream: Stored) -> None:
        link, camera = one.link, one.camera
        link.recorded_width, link.recorded_height, link.recorded_fps, link.limited_by = stream
        camera.recorded_width, camera.recorded_height, camera.recorded_fps = stream[:3]
        key = (stream, plan)
        flow = self.flows.get(key)
        if flow is None:
            flow = self.flows[key] = self._flow(stream, plan)
        link.level_rate = flow.level_rate
        if flow.level:
            link.level = flow.level
        self.totals.level_rate += flow.level_rate
        self._use(flow.assumed, camera.name)
        self._add_flow(camera, flow)
        if flow.most is not None:
            camera.level_rate_max = flow.most
        elif flow.bits is not None:
            lack(camera, ("level_rate_max",), (f"{self.sheet.subject}/record/codec",))

    def _use(self, assumed: tuple[str, ...], camera: str) -> None:
        """Count what is assumed for a camera, and keep its name where that is its share of the day."""
        for name in assumed:
            self.uses[name] = self.uses.get(name, 0) + 1
            if name in _SHARES:
                self.totals.on_assumed_motion.append(camera)

    def _add_flow(self, camera: Camera, flow: Flow) -> None:
        if flow.bits is None:
            lack(camera, BITS, flow.lacking)
            self.totals.lacking_bitrate += flow.lacking
            return
        tell_bits(camera, flow.bits)
        self.totals.add(flow.bits)

    # Bits

    def _flow(self, stream: Stored, plan: Plan) -> Flow:
        if stream.fps <= 0.0:
            return Flow(Bits(0.0, 0.0, 0.0, 0.0, 1.0), 0.0, "", (), (), 0.0)
        rate = macroblock_rate(stream.width, stream.height, stream.fps)
        main = main_rate(self.desk, stream, plan, self.context.ledger.values)
        if main is None:
            missing = (f"{self.sheet.subject}/record/codec",)
            return Flow(None, rate, self._level(stream, 0.0), (), missing)
        share, assumed = duty_of(plan, self.context.ledger.values)
        level = self._level(stream, main.bitrate)
        codecs = possible_codecs(self.desk.part.codecs, plan, main)
        most = deciding_max(main.bitrate, codecs, stream.width, stream.height, stream.fps)
        return Flow(bits_of(main, plan, share), rate, level, main.assumed + assumed, (), most)

    def _level(self, stream: Stored, bitrate: float) -> str:
        levels = self.memory.traits.get("h264-levels")
        if levels is None:
            levels = self.memory.traits["h264-levels"] = macroblock_levels()
        return h264_level(stream.width, stream.height, stream.fps, levels, bitrate) or ""

    # The recorder

    def _bind_encoder(self, wanted: Sequence[Stored | None], streams: Sequence[Stored | None]) -> None:
        sheet, total = self.sheet, self.desk.part.encodes_total
        if total is not None:
            sheet.encode_total = total
        else:
            lack(sheet, ("encode_total",), (f"parts/{self.desk.part_id}/encodes_total",))
        missing = self.totals.lacking_streams
        if None in wanted:
            lack(sheet, ("encode_demand",), missing)
        else:
            sheet.encode_demand = added(demand(each) for each in wanted if each is not None)
        if None in streams:
            lack(sheet, ("encode_used", "level_rate"), missing)
        else:
            sheet.encode_used = added(demand(each) for each in streams if each is not None)
            sheet.level_rate = self.totals.level_rate
        if any(each is not None and each.limited_by == "shared-budget" for each in streams):
            self.uses["encoder-sharing"] = 1
        if total is None and len(wanted) > 1:
            self.uses["encoder-total"] = 1

    def _bind_rates(self) -> None:
        """Sums of bit rates, with network cameras at the rate written for the recorder's channels."""
        sheet, totals, part = self.sheet, self.totals, self.desk.part
        if part.record_bitrate is not None:
            sheet.bitrate_max = part.record_bitrate
        else:
            lack(sheet, ("bitrate_max",), (f"parts/{self.desk.part_id}/record_bitrate",))
        self._add_network_cameras()
        if totals.lacking_bitrate:
            totals.lacking_bitrate = tuple(dict.fromkeys(totals.lacking_bitrate))
            lack(sheet, ("bitrate", *MEANS), totals.lacking_bitrate)
        else:
            sheet.bitrate, sheet.bitrate_mean = totals.bitrate, totals.mean
            sheet.bitrate_mean_low, sheet.bitrate_mean_high = totals.low, totals.high

    def _add_network_stream(self, one: NetworkStreamed) -> None:
        """A network camera that has an entry of its own."""
        if one.rate is None:
            self.totals.lacking_bitrate += one.camera.missing("bitrate")
            return
        share, assumed = duty_of(one.plan, self.context.ledger.values)
        self._use((*one.rate.assumed, *assumed), one.camera.name)
        self.totals.add(bits_of(one.rate, one.plan, share))

    def _add_network_cameras(self) -> None:
        for one in self.network:
            self._add_network_stream(one)
        cameras = self.entry.network_cameras
        if not cameras:
            return
        plan = plan_of(None, self.entry.record)
        if plan.bitrate is None:
            self.totals.lacking_bitrate += (f"{self.sheet.subject}/record/bitrate",)
            return
        share, assumed = duty_of(plan, self.context.ledger.values)
        for place in range(cameras):
            self._use(assumed, f"network camera {place + 1}")
        each = plan.bitrate + (plan.second_stream or 0.0)
        self.totals.add(Bits(each, each, each, each, share), cameras)


def main_rate(desk: Desk, stream: Stored, plan: Plan, values: Mapping[str, Assumption]) -> Rate | None:
    """Bit rate of the main stream: set, else the maker's, else planned.

    A codec that nobody named keeps it open, unless every codec comes to the same rate (bits a pixel that a site
    assumes are those of any codec).
    """
    if plan.bitrate is not None:
        return set_rate(plan.bitrate, plan)
    codec, guessed = codec_of(desk.part, plan)
    if codec is not None:
        return _rate_in(desk, stream, codec, plan, values, ("codec",) if guessed else ())
    first, *others = (_rate_in(desk, stream, each, plan, values, ()) for each in CODECS)
    same = all((one.bitrate, one.by) == (first.bitrate, "assumed") for one in others)
    return first if same else None


def set_rate(bitrate: float, plan: Plan) -> Rate:
    """A main stream whose bit rate, in bit/s, is written in the site."""
    return Rate(bitrate, "set", plan.codec or "", 0.0, ())


def _rate_in(
    desk: Desk, stream: Stored, codec: str, plan: Plan, values: Mapping[str, Assumption], assumed: tuple[str, ...]
) -> Rate:
    stated = stated_rate(desk.part.bitrates or (), codec, stream)
    if stated is not None:
        return Rate(stated, "maker", codec, 0.0, assumed)
    return planned_rate(stream.width * stream.height, stream.fps, codec, plan, values, assumed)


def duty_of(plan: Plan, values: Mapping[str, Assumption]) -> tuple[float, tuple[str, ...]]:
    """Share of the day that is recorded, and what was assumed for it."""
    schedule = plan.schedule
    assumed: tuple[str, ...] = ()
    if schedule is None:
        schedule, assumed = values["schedule"].value, ("schedule",)
    if schedule == "continuous":
        return 1.0, assumed
    if plan.motion_share is not None:
        return plan.motion_share, assumed
    name = f"{schedule}-share"
    return float(values[name].value), (*assumed, name)
