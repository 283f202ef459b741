"""Candidates about the picture: modes, inputs, recorder settings, rates, codecs, sound and control."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from typing import Any

from coaxwright.facts.picture.coax_path import PASSES
from coaxwright.facts.picture.signal_cache import SignalCache, memory_of
from coaxwright.facts.picture.switching import Switchable, switchable
from coaxwright.facts.sheets import Input
from coaxwright.fixes.candidates.bench import (
    DEVICE,
    MOVE,
    SETTING,
    Bench,
    Candidate,
    Steps,
    Want,
    cameras_of,
    entries_of,
)
from coaxwright.fixes.candidates.lines import on_line, one_for_all
from coaxwright.fixes.candidates.networks import moved_ports
from coaxwright.fixes.candidates.new_runs import cables_for, moved, new_run, with_run
from coaxwright.fixes.patching import Operation
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.common import VideoMode
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import Camera as CameraEntry

RATES = (30.0, 25.0, 20.0, 15.0, 12.5, 12.0, 10.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0)
"""Recorded rates that recorders offer (common practice)."""


def switch_mode(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Other modes that the camera emits, largest picture first, of equals those of its present family; of a recorder, one
    frame family for all.

    Only of cameras that can be switched as things are: a menu over the coax needs a picture to be seen on.
    """
    if want.sheets and want.sheets[0].kind == "recorder":
        yield from _one_frame_family(bench, want)
        return
    for name in cameras_of(want.sheets):
        if not switchable_now(bench, name).can:
            continue
        camera = bench.entry("cameras", name)
        now = (camera.set.family, camera.set.mode) if camera.set else (None, None)
        family_now = now[0] or _starts_in(bench.part(camera.part))
        for family, mode in _modes(bench.part(camera.part), family_now):
            if (family, mode) != now:
                written = {"family": family, "mode": str(mode)}
                title = f"switch {name} to {family} {mode}"
                yield Candidate(title, (bench.write(("cameras", name, "set"), written),), SETTING)


def switchable_now(bench: Bench, name: str) -> Switchable:
    """Whether the mode of a camera can be switched where it is, as it is; not known counts as not."""
    camera = bench.entry("cameras", name)
    part = bench.part(camera.part)
    if camera.video is None:
        return switchable(part.switched_by, None, None)
    memory = memory_of(bench.state.basis.facts.context)
    device, _, number = camera.video.into.partition("/")
    recorder = bench.site.recorders.get(device)
    if recorder is None or not number.isdecimal():
        return switchable(part.switched_by, None, None)
    desk = memory.desk(bench.catalogue.full_id(recorder.part), tuple(recorder.set))
    camera_id = bench.catalogue.full_id(camera.part)
    settled = memory.settled(desk, int(number), camera_id, camera.set, bench.site.video_rate)
    if settled is None:
        return switchable(part.switched_by, None, None)
    picture = None if settled.outcome is None else settled.has_picture
    control = memory.over_coax(desk, int(number), camera_id, settled.emitted).control.works
    boxes = [bench.entry("boxes", hop.box).part for hop in camera.video.over or () if hop.box is not None]
    return switchable(part.switched_by, picture, _passed_on(memory, boxes, control))


def _passed_on(memory: SignalCache, boxes: Iterable[str], control: bool | None) -> bool | None:
    """Control over the coax, with the boxes of these parts on the way."""
    if control is False:
        return False
    blocks = memory.shape(tuple(boxes)).blocks[PASSES.index("passes_control")].holds
    return False if blocks else None if blocks is None else control


def _starts_in(part: CameraPart) -> str:
    """The family that a camera part leaves the box in; empty where it states none."""
    starts = part.starts_as
    first = starts[0] if isinstance(starts, list | tuple) else starts
    return str(first.family) if first is not None else ""


def _modes(part: CameraPart, now: str = "") -> list[tuple[str, VideoMode]]:
    """Families and modes that a camera part can be switched to, most picture elements first, then the higher rate, then the
    family of now.
    """
    rows = [emits for emits in part.emits if emits.only is None]
    found = {(family, mode) for emits in rows for family in _each(emits.family) for mode in _each(emits.mode)}
    return sorted(found, key=lambda each: (-each[1].width * each[1].height, -each[1].fps, each[0] != now, each[0]))


def _each(value: str | VideoMode | Iterable[Any]) -> tuple[Any, ...]:
    single = isinstance(value, str | VideoMode)
    return (value,) if single else tuple(value)


def _one_frame_family(bench: Bench, want: Want) -> Iterator[Candidate]:
    for recorder in entries_of(want.sheets, "recorder"):
        for family in (25, 30):
            patch = []
            for name in bench.cameras_on(recorder):
                camera = bench.entry("cameras", name)
                if not switchable_now(bench, name).can:
                    continue
                modes = [each for each in _modes(bench.part(camera.part)) if _of_family(each[1], family)]
                sent = camera.set.family if camera.set else None
                modes.sort(key=lambda each: each[0] != sent)
                if modes:
                    written = {"family": modes[0][0], "mode": str(modes[0][1])}
                    patch.append(bench.write(("cameras", name, "set"), written))
            if patch:
                title = f"switch every camera on {recorder} to modes of the {family} family"
                yield Candidate(title, tuple(patch), SETTING)


def _of_family(mode: VideoMode, family: int) -> bool:
    return abs(family / mode.fps - round(family / mode.fps)) < 0.01


def set_recorder(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Settings that the recorder's part knows and that are not made."""
    for name in entries_of(want.sheets, "recorder"):
        recorder = bench.entry("recorders", name)
        part = bench.part(recorder.part)
        rows = [row.after for group in part.inputs for row in group.accepts if row.after]
        for setting in dict.fromkeys((*rows, *part.settings)):
            if setting not in recorder.set:
                made = [*recorder.set, setting]
                yield Candidate(
                    f"make the setting {setting} on {name}", (bench.write(("recorders", name, "set"), made),), SETTING
                )
        if want.rule.startswith("storage/"):
            yield from _erasing(bench, name)


def _erasing(bench: Bench, name: str) -> Iterator[Candidate]:
    """Erase after the days that are wanted, or after the most that are allowed."""
    wished = [camera.wants.retention for camera in bench.site.cameras.values() if camera.wants and camera.wants.retention]
    wanted = max([*wished, *([bench.site.retention] if bench.site.retention else [])], default=None)
    for days in dict.fromkeys(each for each in (bench.site.retention_max, wanted) if each is not None):
        if days != bench.entry("recorders", name).erase_after:
            written = bench.write(("recorders", name, "erase_after"), f"{days:g} days")
            yield Candidate(f"set {name} to erase after {days:g} days", (written,), SETTING)


def move_input(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Free inputs, those of the same recorder first; line inputs where sound is at stake; free network ports."""
    yield from moved_ports(bench, want)
    for name in cameras_of(want.sheets):
        camera = bench.entry("cameras", name)
        if camera.sound is not None and camera.sound.into is not None:
            yield from _lines(bench, name)
        yield from _inputs(bench, want, name, camera)
    if want.sheets and want.sheets[0].kind == "input":
        yield from _spread(bench, want.sheets[0])
    if want.sheets and want.sheets[0].kind == "recorder":
        yield from _left_out(bench, want.sheets[0].name)


def _inputs(bench: Bench, want: Want, name: str, camera: CameraEntry) -> Iterator[Candidate]:
    own, _, now = camera.video.into.partition("/") if camera.video is not None else ("", "", "")
    for recorder in sorted(bench.site.recorders, key=lambda each: each != own):
        for number in _worth_moving_to(bench, want, recorder, now if recorder == own else ""):
            port = f"{recorder}/{number}"
            path = ("cameras", name, "video")
            if not own:
                yield from _new_ways(bench, path, "video", {"into": port}, f"connect {name} to {port}")
                continue
            made = Candidate(f"move {name} to {port}", (bench.write((*path, "into"), port),), MOVE)
            yield made if recorder == own else moved(made, bench, path, made.patch[0])
    if own:
        yield from _swaps(bench, want, name, own)


_OF_THE_INPUT = ("signal/", "picture/", "view/", "sound/", "control/")
"""Topics of rules whose answer hangs on what the input can do, and not on which of several alike it is."""


def _worth_moving_to(bench: Bench, want: Want, recorder: str, now: str) -> list[int]:
    """Free inputs; where what they can do is at stake the first of each kind, and none like the present one."""
    free = bench.free_inputs(recorder)
    if not want.rule.startswith(_OF_THE_INPUT):
        return free
    part = bench.part(bench.site.recorders[recorder].part)
    first: dict[tuple[object, ...], int] = {}
    for number in free:
        first.setdefault(_kind(part, number), number)
    if now.isdigit():
        first.pop(_kind(part, int(now)), None)
    return sorted(first.values())


def _kind(part: RecorderPart, number: int) -> tuple[object, ...]:
    """What an input can do: its group, the encoding of its channel, sound, sorted motion."""
    sound = part.sound.coax_channels if part.sound else None
    return (
        next((place for place, group in enumerate(part.inputs) if number in group.channels), None),
        tuple(row.channels is None or number in row.channels for row in part.encodes or ()),
        number in (sound or ()),
        number in (part.sorted_motion or ()),
    )


def _new_ways(bench: Bench, path: Steps, use: str, written: dict[str, Any], title: str) -> Iterator[Candidate]:
    """A way where there was none, over a new run of each cable that would do."""
    for cable in cables_for(bench, use, str(path[1])):
        lay = partial(_new_way, bench, path, written, cable)
        yield with_run(Candidate(f"{title} over a new run of {cable}", (), DEVICE), lay)


def _new_way(bench: Bench, path: Steps, written: dict[str, Any], cable: str, length: str) -> tuple[Operation, ...]:
    return (bench.write(path, {**written, "over": [new_run(bench, str(path[1]), cable, length)]}),)


def _swaps(bench: Bench, want: Want, name: str, recorder: str) -> Iterator[Candidate]:
    """The camera changes inputs with another camera of its recorder, where the other input is of another kind."""
    now = bench.entry("cameras", name).video.into
    part = bench.part(bench.site.recorders[recorder].part)
    here = now.rpartition("/")[2]
    for other in bench.cameras_on(recorder):
        port = bench.entry("cameras", other).video.into
        there = port.rpartition("/")[2]
        alike = here.isdigit() and there.isdigit() and _kind(part, int(here)) == _kind(part, int(there))
        if port != now and not (alike and want.rule.startswith(_OF_THE_INPUT)):
            patch = (
                bench.write(("cameras", name, "video", "into"), port),
                bench.write(("cameras", other, "video", "into"), now),
            )
            yield Candidate(f"let {name} and {other} change inputs ({now} and {port})", patch, MOVE)


def _spread(bench: Bench, sheet: Input) -> Iterator[Candidate]:
    """All cameras of one input but the first, each to a free one."""
    recorder, extra = sheet.recorder.name, [camera.name for camera in sheet.cameras][1:]
    free = bench.free_inputs(recorder)
    if len(extra) > 1 and len(free) >= len(extra):
        pairs = list(zip(extra, free, strict=False))
        patch = tuple(bench.write(("cameras", name, "video", "into"), f"{recorder}/{number}") for name, number in pairs)
        yield Candidate(f"move {', '.join(extra)} to free inputs of {recorder}", patch, MOVE)


def _left_out(bench: Bench, recorder: str) -> Iterator[Candidate]:
    """A recorder that nothing names can go."""
    if not bench.cameras_on(recorder):
        yield Candidate(f"leave {recorder} out", (bench.removal(("recorders", recorder)),), DEVICE)


def _lines(bench: Bench, name: str) -> Iterator[Candidate]:
    for recorder, model in bench.site.recorders.items():
        sound = bench.part(model.part).sound
        for number in range(1, (sound.line_inputs or 0) + 1 if sound else 1):
            port = f"{recorder}/audio{number}"
            if port not in bench.lines_used:
                yield Candidate(
                    f"take the sound of {name} to {port}",
                    (bench.write(("cameras", name, "sound", "into"), port),),
                    MOVE,
                )


def set_rate(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Lower recorded rates: of all channels of a recorder, or of the other channels where a camera is meant."""
    names = cameras_of(want.sheets) if want.sheets and want.sheets[0].kind in ("link", "camera") else []
    yield from _bits_within_levels(bench, want)
    for recorder in _recorders(bench, want):
        now = bench.entry("recorders", recorder).record
        most = now.rate if now is not None and now.rate is not None else 1000.0
        for rate in (each for each in RATES if each < most):
            written = bench.write(("recorders", recorder, "record", "rate"), f"{rate:g} fps")
            if names:
                yield from _others_lower(bench, recorder, names, rate, written)
            else:
                yield Candidate(f"record every channel of {recorder} at {rate:g} fps at most", (written,), SETTING)


def _bits_within_levels(bench: Bench, want: Want) -> Iterator[Candidate]:
    """The bit rate of a camera whose stream is beyond the levels of its codec goes down to what they leave it."""
    for sheet in (each for each in want.sheets if each.kind == "camera"):
        most, now = sheet.known("level_rate_max"), sheet.known("stream_rate")
        if most and now is not None and now > most:
            written = bench.write(("cameras", sheet.name, "record", "bitrate"), f"{most / 1000.0:g} kb/s")
            yield Candidate(f"record {sheet.name} at {most / 1000.0:g} kb/s", (written,), SETTING)


def _recorders(bench: Bench, want: Want) -> list[str]:
    """Recorders that are meant: of a switch those that record what is behind it."""
    behind = [sheet for sheet in want.sheets if sheet.kind == "switch"]
    return list(bench.site.recorders) if behind else entries_of(want.sheets, "recorder")


def _others_lower(bench: Bench, recorder: str, names: list[str], rate: float, written: Operation) -> Iterator[Candidate]:
    """The rate for all channels goes down, and what is wanted of these cameras is set on them."""
    patch = [written]
    for name in names:
        wants = bench.entry("cameras", name).wants
        if wants is None or wants.rate is None or wants.rate <= rate:
            return
        patch.append(bench.write(("cameras", name, "record", "rate"), f"{wants.rate:g} fps"))
    title = f"record {recorder} at {rate:g} fps and {', '.join(names)} at the rate that is wanted"
    yield Candidate(title, tuple(patch), SETTING)


def change_codec(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Other codecs of the recorder."""
    for name in entries_of(want.sheets, "recorder"):
        recorder = bench.entry("recorders", name)
        now = recorder.record.codec if recorder.record else None
        for codec in bench.part(recorder.part).codecs or ():
            if codec != now:
                yield Candidate(
                    f"record {name} in {codec}", (bench.write(("recorders", name, "record", "codec"), codec),), SETTING
                )


def set_sound(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Sound over the coax: of the camera, or of each camera of a recorder whose sound has a line."""
    for name in cameras_of(want.sheets):
        camera = bench.entry("cameras", name)
        by = "network" if camera.network is not None else "coax"
        if camera.sound is None or camera.sound.by != by:
            written = bench.write(("cameras", name, "sound"), {"by": by})
            yield Candidate(f"take the sound of {name} over the {by}", (written,), SETTING)


def add_pickup(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A microphone on a free line input, over a line of its own."""
    for name in cameras_of(want.sheets):
        camera = bench.entry("cameras", name)
        own = camera.video.into.partition("/")[0] if camera.video is not None else ""
        for port in _free_lines(bench, own):
            for pickup in bench.catalogue.ids("pickup"):
                written = {"into": port, "pickup": pickup}
                yield from _new_ways(
                    bench, ("cameras", name, "sound"), "sound", written, f"add {pickup} for {name} on {port}"
                )


def _free_lines(bench: Bench, first: str) -> list[str]:
    """The first free line input of every recorder, that of the camera's own first."""
    found = []
    for recorder in sorted(bench.site.recorders, key=lambda each: each != first):
        sound = bench.part(bench.site.recorders[recorder].part).sound
        ports = [f"{recorder}/audio{number}" for number in range(1, (sound.line_inputs or 0) + 1 if sound else 1)]
        found += [port for port in ports if port not in bench.lines_used][:1]
    return found


def set_control(bench: Bench, want: Want) -> Iterator[Candidate]:
    """One speed and protocol on a line; control over the coax or the network, or over the recorder's serial port."""
    yield from one_for_all(bench, want)
    for name in [*cameras_of(want.sheets), *_on_serial_line(bench, want)]:
        camera = bench.entry("cameras", name)
        path = ("cameras", name, "control")
        if camera.control is not None and camera.control.address is not None:
            yield from _addresses(bench, name)
        if camera.control is None or camera.control.by is None:
            by = "network" if camera.network is not None else "coax"
            yield Candidate(f"control {name} over the {by}", (bench.write(path, {"by": by}),), SETTING)
        if camera.video is not None and (camera.control is None or camera.control.into is None):
            port = f"{camera.video.into.partition('/')[0]}/rs485"
            yield from _new_ways(
                bench, path, "control", {"into": port, **_serial(bench, name, port)}, f"control {name} from {port}"
            )


def _serial(bench: Bench, name: str, port: str) -> dict[str, Any]:
    """What a camera on a serial line of its own needs besides: an address that is free there, and its end fitted."""
    others = [camera.control for camera in bench.site.cameras.values() if camera.control is not None]
    taken = {each.address for each in others if each.into == port}
    address = next(number for number in range(1, 256) if number not in taken)
    return {"address": address, **({} if taken else {"terminated": True})}


def _on_serial_line(bench: Bench, want: Want) -> list[str]:
    """Cameras controlled over a serial line that is meant."""
    lines = [f"{sheet.name}/rs485" for sheet in want.sheets if sheet.kind == "serial_bus"]
    return [name for port in lines for name in on_line(bench, port)]


def _addresses(bench: Bench, name: str) -> Iterator[Candidate]:
    """The first addresses that no camera on the same serial port has."""
    control = bench.entry("cameras", name).control
    others = [camera.control for camera in bench.site.cameras.values() if camera.control is not None]
    taken = {each.address for each in others if each.into == control.into}
    for address in [number for number in range(1, 256) if number not in taken][:3]:
        written = bench.write(("cameras", name, "control", "address"), address)
        yield Candidate(f"give {name} the address {address}", (written,), SETTING)
