"""The network side of one recorder: what comes in, what goes out to viewers, and what its screens decode.

Made only for a recorder that has network cameras, viewers or playback; works on sheets that are filled
already.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from coaxwright.facts.network.network_cameras import NetworkStreamed
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.picture.recording import Plan, plan_of
from coaxwright.facts.sheets import Camera, Recorder
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.model.site import Recording
from coaxwright.portable import added

Channels = Sequence[tuple[Camera, Recording | None]]


def bind_network_side(
    sheet: Recorder, entry: RecorderEntry, part: RecorderPart, coax: Channels, network: Sequence[NetworkStreamed]
) -> None:
    """All fields about the network and about decoding. `coax` are cameras on inputs, each with its record."""
    _bind_stated(sheet, entry, part)
    if sheet.network_cameras:
        _bind_incoming(sheet, entry, network)
    if entry.viewers:
        _bind_outgoing(sheet, entry, coax, network)
    if entry.playback:
        _bind_decoding(sheet, entry, coax, network)


def _bind_stated(sheet: Recorder, entry: RecorderEntry, part: RecorderPart) -> None:
    """What the part and the site say in so many words."""
    network = part.network
    stated = {
        "network_cameras_max": (network and network.cameras_max, "network/cameras_max"),
        "incoming_max": (network and network.incoming, "network/incoming"),
        "outgoing_max": (network and network.outgoing, "network/outgoing"),
        "viewers_max": (network and network.viewers, "network/viewers"),
        "decode_total": (part.decodes_total, "decodes_total"),
    }
    for name, (value, at) in stated.items():
        if value is not None:
            setattr(sheet, name, value)
        else:
            lack(sheet, (name,), (f"parts/{entry.part}/{at}",))
    if entry.uplink is not None:
        sheet.uplink = entry.uplink
    else:
        lack(sheet, ("uplink",), (f"{sheet.subject}/uplink",))
    if entry.viewed is not None:
        sheet.viewed = entry.viewed
    else:
        lack(sheet, ("viewed",), (f"{sheet.subject}/viewed",))


def _bind_incoming(sheet: Recorder, entry: RecorderEntry, network: Sequence[NetworkStreamed]) -> None:
    """Bit rate of all network cameras: those with an entry by their own, the others as set for the recorder."""
    missing = [path for each in network if each.rate is None for path in each.camera.missing("bitrate")]
    total = added(each.bitrate for each in network)
    if entry.network_cameras:
        plan = plan_of(None, entry.record)
        if plan.bitrate is None:
            missing.append(f"{sheet.subject}/record/bitrate")
        else:
            total += entry.network_cameras * (plan.bitrate + (plan.second_stream or 0.0))
    if missing:
        lack(sheet, ("incoming",), tuple(missing))
    else:
        sheet.incoming = total


def _bind_outgoing(
    sheet: Recorder, entry: RecorderEntry, coax: Channels, network: Sequence[NetworkStreamed]
) -> None:
    """Viewers x channels x largest stream watched."""
    if entry.viewed_stream is None:
        lack(sheet, ("view_rate", "outgoing"), (f"{sheet.subject}/viewed_stream",))
        return
    plans = [(camera, plan_of(record, entry.record)) for camera, record in coax]
    plans += [(each.camera, each.plan) for each in network]
    asked = _second if entry.viewed_stream == "second" else _main
    rates, missing = [], list[str]()
    for camera, plan in plans:
        rate, lacking = asked(camera, plan)
        rates.append(rate)
        missing += lacking
    if missing:
        lack(sheet, ("view_rate", "outgoing"), tuple(missing))
        return
    sheet.view_rate = max(rates, default=0.0)
    if entry.viewed is None:
        lack(sheet, ("outgoing",), (f"{sheet.subject}/viewed",))
    else:
        sheet.outgoing = entry.viewers * entry.viewed * sheet.view_rate


Asked = Callable[[Camera, Plan], tuple[float, tuple[str, ...]]]


def _second(camera: Camera, plan: Plan) -> tuple[float, tuple[str, ...]]:
    """The second stream of one channel, or what would give it."""
    if plan.second_stream is None:
        return 0.0, (f"{camera.subject}/record/second_stream",)
    return plan.second_stream, ()


def _main(camera: Camera, plan: Plan) -> tuple[float, tuple[str, ...]]:
    """The main stream of one channel: what is recorded without the second one."""
    rate = camera.known("bitrate")
    if rate is None:
        return 0.0, camera.missing("bitrate")
    return rate - (plan.second_stream or 0.0), ()


def _bind_decoding(
    sheet: Recorder, entry: RecorderEntry, coax: Channels, network: Sequence[NetworkStreamed]
) -> None:
    """Playback of its largest channels, and every network camera live; coax pictures are live without."""
    if entry.network_cameras:
        lack(sheet, ("decode_needed",), (f"{sheet.subject}/network_cameras",))
        return
    recorded = [camera for camera, _ in coax] + [each.camera for each in network]
    missing = [path for camera in recorded for path in _unrecorded(camera)]
    if missing:
        lack(sheet, ("decode_needed",), tuple(missing))
        return
    sizes = sorted(
        (camera.recorded_width * camera.recorded_height * camera.recorded_fps for camera in recorded), reverse=True
    )
    sheet.decode_needed = added(sizes[: entry.playback]) + added(each.decoded for each in network)


def _unrecorded(camera: Camera) -> tuple[str, ...]:
    return () if camera.known("recorded_fps") is not None else camera.missing("recorded_fps")
