"""Network cameras of a recorder: what they record, how many bits that is, and what they show of themselves.

A network camera encodes by itself, so its stream is its own part's; the recorder only stores it. Works on one
camera at a time; sums are made in `record_binding` and `recorder_network`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from coaxwright.facts.chains import Verdict
from coaxwright.facts.context import Context
from coaxwright.facts.picture.camera_binding import bind_camera
from coaxwright.facts.picture.link_binding import lack, put_verdict
from coaxwright.facts.picture.path_binding import PathBinder
from coaxwright.facts.picture.planned_bits import BITS, bits_of, planned_rate, tell_bits
from coaxwright.facts.picture.recording import Plan, Rate, plan_of
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.facts.picture.stream_levels import deciding_max, possible_codecs
from coaxwright.facts.recorder_sheets import RecorderSheets
from coaxwright.facts.sheets import Camera
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart, NetworkStream
from coaxwright.model.common import VideoMode
from coaxwright.model.site import Recording
from coaxwright.reading.tables import Assumption
from coaxwright.topology.records import CablePath


class NetworkStreamed(NamedTuple):
    """One network camera as recorded: its mode and rates; `rate` None where its part states no stream."""

    camera: Camera
    mode: VideoMode | None
    rate: Rate | None
    plan: Plan

    @property
    def bitrate(self) -> float:
        """Main and second stream, bit/s."""
        return (self.rate.bitrate if self.rate else 0.0) + (self.plan.second_stream or 0.0)

    @property
    def decoded(self) -> float:
        """Picture elements a second of its main stream."""
        return 0.0 if self.mode is None else self.mode.width * self.mode.height * self.mode.fps


@immutable
class NetworkCameraBinder:
    """Fills the sheets of the network cameras of one recorder."""

    context: Context
    memory: SignalCache
    ways: PathBinder
    made: RecorderSheets
    common: Recording | None

    def bind(self, path: CablePath) -> NetworkStreamed:
        """The camera's sheet, the runs of its way, and its stream."""
        name, site = path.owner, self.context.loaded.site
        sheet, entry = self.context.cameras[name], site.cameras[name]
        bind_camera(sheet, entry, self.memory, site.retention, self.context.ledger)
        way = self.ways.read(path, sheet.known("setting"), None, ())
        self.made.runs.setdefault(sheet.subject, []).extend(way.runs)
        part = self.memory.part_of(entry.part)
        self._what_travels(sheet, part, entry.part)
        plan = plan_of(entry.record, self.common, entry)
        streamed = stream_of(sheet, part.network, plan, self.context.ledger.values)
        self._recorded(sheet, entry.part, streamed)
        return streamed

    def _what_travels(self, sheet: Camera, part: CameraPart, part_id: str) -> None:
        """Sound, control and firmware: the network carries all that the devices have; there is no coax. Lines of their
        own are for the binding of lines.
        """
        nothing = Verdict(False, "it is a network camera: no coax leads to it", cause="not-joined")
        put_verdict(sheet, "firmware", nothing)
        sheet.sorted_motion_works = False
        undrawn = Verdict(False, "no way for it is drawn", cause="not-drawn")
        controlled = {"network": Verdict(True), "none": undrawn}
        if sheet.control_by != "serial":
            put_verdict(sheet, "control", controlled.get(sheet.control_by, nothing))
        if sheet.sound_by == "network":
            put_verdict(sheet, "sound", _own(part.sound.microphone if part.sound else None, part_id, "microphone"))
        elif sheet.sound_by != "line":
            put_verdict(sheet, "sound", undrawn if sheet.sound_by == "none" else nothing)
        if sheet.wants_talk_back:
            put_verdict(sheet, "talk_back", _own(part.sound.loudspeaker if part.sound else None, part_id, "loudspeaker"))

    def _recorded(self, sheet: Camera, part_id: str, streamed: NetworkStreamed) -> None:
        if streamed.mode is None or streamed.rate is None:
            missing = (f"parts/{part_id}/network",)
            lack(sheet, ("recorded_width", "recorded_height", "recorded_fps", *BITS), missing)
            return
        sheet.recorded_width, sheet.recorded_height, sheet.recorded_fps = streamed.mode
        tell_bits(sheet, bits_of(streamed.rate, streamed.plan, 1.0))
        stated: Any = self.memory.part_of(part_id).network
        most = deciding_max(streamed.rate.bitrate, network_codecs(stated, streamed.rate, streamed.plan), *streamed.mode)
        sheet.put("level_rate_max", most, f"{sheet.subject}/record/codec")


def stream_of(sheet: Camera, stated: NetworkStream | None, plan: Plan, values: Mapping[str, Assumption]) -> NetworkStreamed:
    """The main stream as recorded: no faster than asked for; its bits as set, as stated, or as planned."""
    if stated is None:
        return NetworkStreamed(sheet, None, None, plan)
    fps = stated.mode.fps if plan.rate is None else min(plan.rate, stated.mode.fps)
    mode = VideoMode(stated.mode.width, stated.mode.height, fps)
    if plan.bitrate is not None:
        return NetworkStreamed(sheet, mode, Rate(plan.bitrate, "set", plan.codec or "", 0.0, ()), plan)
    codec = next((each for each in stated.codecs if each == plan.codec), stated.codecs[0])
    unsaid = (plan.codec is None and len(stated.codecs) > 1) or "codecs" not in stated.model_fields_set
    guessed = ("network-codec",) if unsaid else ()
    if stated.bitrate is not None and codec == stated.codecs[0]:
        rate = Rate(stated.bitrate * fps / stated.mode.fps, "maker", codec, 0.0, guessed)
        return NetworkStreamed(sheet, mode, rate, plan)
    return NetworkStreamed(sheet, mode, planned_rate(mode.width * mode.height, fps, codec, plan, values, guessed), plan)


def network_codecs(stated: NetworkStream, rate: Rate, plan: Plan) -> tuple[str, ...]:
    """The codecs that its stream may have; one that is set and that it does not have is none of them."""
    if rate.by != "set":
        return (rate.codec,)
    listed = stated.codecs if "codecs" in stated.model_fields_set else None
    if plan.codec is not None and listed is not None and plan.codec not in listed:
        return listed[:1]
    return possible_codecs(listed, plan, rate)


def _own(has: bool | None, part_id: str, what: str) -> Verdict:
    """Whether a camera has a microphone or a loudspeaker of its own."""
    if has is None:
        return Verdict(None, "", (f"parts/{part_id}/sound/{what}",))
    return Verdict(True) if has else Verdict(False, f"the camera has no {what}", cause="camera")
