"""Workings of the network, of serial lines, jackets, screens, and of boxes on a picture's way.

Every sum computes again from the numbers in its line; words in brackets explain the number before them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.network.network_cameras import NetworkStreamed, stream_of
from coaxwright.facts.picture.planned_working import planned_lines
from coaxwright.facts.picture.recording import plan_of
from coaxwright.facts.sheets import Camera, DiskGroup, Hop, NetworkPath, Recorder, SerialBus, Sheath, Switch
from coaxwright.facts.written import counted, counts, number
from coaxwright.topology.records import CablePath

Lines = tuple[str, ...]
_MEGA = 1e6
PRACTICE = "source: common practice"


def _sum(pieces: Iterable[str], total: str) -> str:
    return f"{' + '.join(pieces)} = {total}"


def _megabits(camera: Camera) -> str:
    return f"{number(camera.bitrate / _MEGA)} ({camera.name})"


def network_cameras(context: Context, name: str) -> list[Any]:
    """Sheets of the network cameras that a recorder records."""
    paths = context.topology.lists.network_into.get(name, ())
    return [context.cameras[path.owner] for path in paths]


def _incoming(context: Context, recorder: Recorder) -> Lines:
    pieces = [_megabits(camera) for camera in network_cameras(context, recorder.name)]
    entry = context.loaded.site.recorders[recorder.name]
    if entry.network_cameras and entry.record is not None:
        each = (entry.record.bitrate or 0.0) + (entry.record.second_stream or 0.0)
        pieces.append(f"{entry.network_cameras} x {number(each / _MEGA)} (without an entry of their own)")
    return _sum(pieces, f"{number(recorder.incoming / _MEGA)} Mb/s"), PRACTICE


def network_stream(context: Context, camera: Camera) -> NetworkStreamed:
    """The stream of a network camera, with how its bits were found."""
    site = context.loaded.site
    entry = site.cameras[camera.name]
    plan = plan_of(entry.record, site.recorders[_recorder_of(context, camera)].record, entry)
    return stream_of(camera, context.part(camera.part).network, plan, context.ledger.values)


def _recorder_of(context: Context, camera: Camera) -> str:
    into = context.topology.lists.network_into.items()
    return next(name for name, paths in into if any(path.owner == camera.name for path in paths))


def network_disks(context: Context, camera: Camera) -> DiskGroup:
    """The disks on which a network camera is recorded."""
    found: DiskGroup = context.recorders[_recorder_of(context, camera)].disks
    return found


def network_recorded(context: Context, camera: Camera) -> Lines:
    """Columns, lines and rate of a network camera."""
    stated = context.part(camera.part).network.mode
    asked = network_stream(context, camera).plan.rate
    text = f"{camera.part} sends up to {stated}"
    return (f"{text}; {asked:g} fps are asked for" if asked is not None else text,)


def network_main(context: Context, camera: Camera) -> Lines:
    """Main stream of a network camera."""
    streamed = network_stream(context, camera)
    mode: Any = streamed.mode  # both are known where the bits are
    rate: Any = streamed.rate
    values = context.ledger.values
    if rate.by == "assumed":
        return tuple(planned_lines(_raster(camera), rate, streamed.plan, values))
    if rate.by == "maker":
        stated = context.part(camera.part).network
        share = f"{number(stated.bitrate)} x {mode.fps:g} / {stated.mode.fps:g}"
        return f"{share} = {number(rate.bitrate)} bit/s", f"source: {context.part(camera.part).source}"
    return (f"{number(rate.bitrate)} bit/s, as set",)


def network_bitrate(context: Context, camera: Camera) -> Lines:
    """Main and second stream of a network camera."""
    streamed = network_stream(context, camera)
    rate: Any = streamed.rate  # known where the bits are
    lines = network_main(context, camera)
    if streamed.plan.second_stream:
        second = f"{number(rate.bitrate)} bit/s + {number(streamed.plan.second_stream)} bit/s (second stream)"
        return *lines, f"{second} = {number(streamed.bitrate)} bit/s"
    return lines


def _outgoing(context: Context, recorder: Recorder) -> Lines:
    rate = f"{recorder.viewers} (viewers) x {recorder.viewed} (channels) x {number(recorder.view_rate / _MEGA)} Mb/s"
    return f"{rate} = {number(recorder.outgoing / _MEGA)} Mb/s", PRACTICE


def _view_rate(context: Context, recorder: Recorder) -> Lines:
    stream = context.loaded.site.recorders[recorder.name].viewed_stream
    return (f"largest {stream} stream of its channels: {number(recorder.view_rate / _MEGA)} Mb/s",)


def _decode(context: Context, recorder: Recorder) -> Lines:
    network = network_cameras(context, recorder.name)
    cameras = [link.camera for link in recorder.links] + network
    largest = sorted(cameras, key=_decoded, reverse=True)[: recorder.playback]
    pieces = [f"{_raster(camera)} ({camera.name}, played back)" for camera in largest]
    pieces += [f"{_raster(camera)} ({camera.name}, live)" for camera in network]
    return _sum(pieces, f"{number(recorder.decode_needed)} px/s"), PRACTICE


def _decoded(camera: Camera) -> float:
    return float(camera.recorded_width * camera.recorded_height * camera.recorded_fps)


def _raster(camera: Camera) -> str:
    return f"{camera.recorded_width} x {camera.recorded_height} x {camera.recorded_fps:g}"


def _load(context: Context, switch: Switch) -> Lines:
    cameras = [context.cameras[path.owner] for path in _behind(context, switch.name)]
    if not cameras:
        return ("no network camera behind it",)
    return _sum([_megabits(camera) for camera in cameras], f"{number(switch.load / _MEGA)} Mb/s"), PRACTICE


def _behind(context: Context, name: str) -> list[CablePath]:
    """Ways of the cameras behind a switch, through other switches too."""
    lists, found = context.topology.lists, list[CablePath]()
    for path in (*lists.network.values(), *lists.uplinks.values()):
        if path.target is not None and path.target.device == name:
            found += _behind(context, path.owner) if path.owner_kind == "switch" else [path]
    return found


def _added(steps: Iterable[tuple[float, str]], total: str, none: str) -> str:
    """The sum that was made of these figures, each with what it is of."""
    pieces = [f"{number(value)} ({what})" for value, what in steps]
    return _sum(pieces, total) if pieces else none


def _bus_metres(context: Context, bus: SerialBus) -> Lines:
    return (_added(bus.steps["metres"], f"{number(bus.metres)} m", "no cable"),)


def _bus_loads(context: Context, bus: SerialBus) -> Lines:
    total = f"{number(bus.unit_loads)} unit loads"
    return _added(bus.steps["unit_loads"], total, "no device"), "source: TIA-485-A clause 4.2.6, from memory"


def _path_metres(context: Context, path: NetworkPath) -> Lines:
    lists = context.topology.lists
    drawn = lists.network.get(path.owner) or lists.uplinks[path.owner]
    lengths = [(hop.metres, path.owner) for hop in drawn.hops or () if hop.metres is not None]
    return (_added(lengths, f"{number(path.metres)} m", "no cable"),)


def _pairs(context: Context, sheath: Sheath) -> Lines:
    return _added(sheath.steps["pairs_used"], f"{sheath.pairs_used} pairs", "no run"), PRACTICE


def _alternating(context: Context, sheath: Sheath) -> Lines:
    return (", ".join(sheath.steps["alternating"]) or "no power runs in it",)


def _before(context: Context, hop: Hop) -> Lines:
    """Losses of the pieces that stand before an amplifier."""
    return (_added(hop.steps, f"{number(hop.loss_before)} dB", "nothing stands before it: 0 dB"),)


def _talk_back(context: Context, camera: Camera) -> Lines:
    return (camera.talk_back_broken_by or "loudspeaker, family and recorder agree", PRACTICE)


_COUNTS = {
    "serial_bus": "devices addresses addresses_shared speeds protocols stars terminated",
    "sheath": "cables pictures powers",
    "monitor": "screens",
}
LINE_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("recorder", "incoming"): _incoming,
    ("recorder", "outgoing"): _outgoing,
    ("recorder", "view_rate"): _view_rate,
    ("recorder", "decode_needed"): _decode,
    ("switch", "load"): _load,
    ("serial_bus", "metres"): _bus_metres,
    ("serial_bus", "unit_loads"): _bus_loads,
    ("network_path", "metres"): _path_metres,
    **counts(_COUNTS),
    ("serial_bus", "terminated_least"): counted("terminated_least", "terminated"),
    ("sheath", "pairs_used"): _pairs,
    ("sheath", "alternating"): _alternating,
    ("hop", "loss_before"): _before,
    ("camera", "talk_back_works"): _talk_back,
}
