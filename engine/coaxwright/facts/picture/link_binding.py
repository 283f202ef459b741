"""One camera's way into one recorder input: what they settle on, what the cable loses, what else travels.

Recorded rates, bit rates and disks depend on the other cameras too: see `record_binding`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from coaxwright.facts.chains import Check, Verdict, judge
from coaxwright.facts.makers import maker_of
from coaxwright.facts.picture.coax_path import Answer
from coaxwright.facts.picture.control import serial_control, takes_control, takes_firmware
from coaxwright.facts.picture.frames import nominal
from coaxwright.facts.picture.pair import Pair, Switched
from coaxwright.facts.picture.path_binding import Way
from coaxwright.facts.picture.signal_cache import Desk, ModeFigures, OverCoax, SignalCache
from coaxwright.facts.picture.signals import Emitted, Settled
from coaxwright.facts.picture.sound import line_level, line_sound, sends_sound
from coaxwright.facts.picture.switching import switchable
from coaxwright.facts.sheets import Camera, Link, Sheet
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.recorder_parts import ModeStated
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import Place
from coaxwright.model.site import Site as SiteEntry
from coaxwright.portable import added
from coaxwright.topology.records import CablePath

_SETTLED = (
    "outcome", "settled_mode", "width", "height", "acquired_fps", "frame_family", "setting_needed",
)  # fmt: skip
_BEST = ("best_outcome", "best_pixels", "best_family", "best_mode")
_EMITTED = ("emitted_mode", "emitted_width", "emitted_height", "emitted_fps")
_SHAPED = (
    "mixed_media",
    "impedance_wrong",
    "clad_steel",
    "blocks_sound",
    "blocks_control",
    "blocks_firmware",
)
_WORKS = Verdict(True)
_NO_WAY = {"none": "no way for it is drawn", "network": "no network way is drawn for the camera"}


def lack(sheet: Sheet, names: Iterable[str], supply: tuple[str, ...]) -> None:
    """Record for each of `names` what would have to be supplied."""
    for name in names:
        sheet.lacks(name, *supply)


# The picture


def bind_settled(link: Link, settled: Settled, subject: str) -> None:
    """What camera and input settle on, or what keeps it open."""
    sends, written = settled.emitted, settled.written
    lacking = settled.lacking_of(subject) if settled.lacking else ()
    _bind_emitted(link, sends, written.emitted, lacking)
    link.because = settled.because
    if settled.family_taken is None:
        lack(link, ("family_taken",), lacking or tuple(_places(sends.lacking, subject)))
    else:
        link.family_taken = settled.family_taken
    if settled.outcome is None:
        lack(link, _SETTLED, lacking)
        return
    link.outcome, link.setting_needed = settled.outcome, settled.setting_needed
    link.width, link.height, link.acquired_fps = settled.width, settled.height, settled.fps
    if settled.signal is None:
        lack(link, ("settled_mode", "frame_family"), tuple(_places(sends.lacking, subject)))
        return
    link.settled_mode, link.frame_family = written.settled, written.frame_family


def bind_best(link: Link, settled: Settled, way: Way, control: Verdict) -> None:
    """What switching would attain, where somebody can switch; no more than there is where nobody can.

    `control` is what camera and input say of control over the coax, boxes and picture left aside.
    """
    blocks = way.shape.blocks[1] if way.shape is not None else Answer(None, way.lacking_metres)
    worked = False if blocks.holds or control.works is False else None if blocks.holds is None else control.works
    picture = None if settled.outcome is None else settled.has_picture
    can = switchable(settled.ways, picture, worked).can
    if can is not None:
        link.switchable = can
    elif settled.ways is None:
        lack(link, ("switchable",), (f"parts/{link.camera.part}/switched_by",))
    else:
        unknown = (*settled.lacking, *control.lacking, *blocks.lacking)
        lack(link, ("switchable",), tuple(_places(unknown, link.subject)))
    if can or (can is None and not settled.gains_by_switching):
        _bind_attained(link, settled)
    elif can is None:
        lack(link, _BEST, link.missing("switchable"))
    else:
        link.best_outcome, link.best_pixels = "no-picture", 0
        if settled.signal is not None and settled.has_picture:
            link.best_outcome, link.best_pixels = str(settled.outcome), settled.width * settled.height
            link.best_family, link.best_mode = settled.emitted.family or "", settled.written.emitted


def _bind_attained(link: Link, settled: Settled) -> None:
    best = settled.best
    link.best_outcome, link.best_pixels = best.outcome, best.pixels
    if best.outcome != "no-picture":
        link.best_family, link.best_mode = best.signal.family, settled.written.best


def _places(lacking: Iterable[str], subject: str) -> list[str]:
    return [path.format(camera=subject) for path in lacking]


def _bind_emitted(link: Link, sends: Emitted, written: str, lacking: tuple[str, ...]) -> None:
    link.emits_set_mode = sends.can is not False
    if sends.family is not None:
        link.family = sends.family
    else:
        lack(link, ("family",), lacking)
    if sends.mode is None:
        lack(link, _EMITTED, lacking)
        return
    link.emitted_mode = written
    link.emitted_width, link.emitted_height, link.emitted_fps = sends.mode


def bind_missing_input(link: Link, sends: Emitted) -> None:
    """The recorder has no such input: nothing is settled until another one is named."""
    written = "" if sends.mode is None else str(sends.mode)
    _bind_emitted(link, sends, written, tuple(_places(sends.lacking, link.subject)))
    lack(link, (*_SETTLED, "because", "family_taken", "best_outcome", "switchable"), (f"{link.subject}/video/into",))


# The cable


def figures_of(
    link: Link, settled: Settled | None, memory: SignalCache, stated: Iterable[ModeStated] = ()
) -> tuple[ModeFigures | None, tuple[str, ...]]:
    """Frequency and limit of the signal on the cable, or what would give them.

    `stated` are the figures that the site and the recorder's part state, first come first served; the table otherwise.
    """
    if settled is None:
        return None, (f"{link.subject}/video/into",)
    if settled.signal is None:
        return None, tuple(_places(settled.lacking or settled.emitted.lacking, link.subject))
    family, mode = settled.signal
    figures = memory.mode(family, mode)
    own = next((one for one in stated if (one.family, nominal(one.mode)) == (family, nominal(mode))), None)
    if own is not None:
        figures = _own_figures(own, figures)
    return figures, () if figures else (f"tables/signal-modes/{family}/{mode}",)


def _own_figures(own: ModeStated, usual: ModeFigures | None) -> ModeFigures | None:
    """Stated figures over those of the table; a stated limit is no spread."""
    top = own.top_frequency or (None if usual is None else usual.top_frequency)
    if top is None:
        return None
    if own.loss_limit is not None:
        return ModeFigures(top, own.loss_limit, own.loss_limit, own.loss_limit)
    return ModeFigures(top, None, None, None) if usual is None else usual._replace(top_frequency=top)


def bind_way(link: Link, way: Way, figures: ModeFigures | None, lacking: tuple[str, ...], extra: float) -> None:
    """What the way sums to, against what the input equalises: the usual, and `extra` dB of its own."""
    if way.shape is None:
        lack(link, ("hops",), way.lacking_metres)
    else:
        link.hops = way.hops
    given: Any = link
    given.input_extra = extra
    if figures is not None:
        link.top_frequency = figures.top_frequency
        limits = (figures.loss_limit, figures.low, figures.high)
        lacking = (f"modes/{link.known('family')}/{link.known('settled_mode')}/loss_limit",)
    else:
        limits = (None, None, None)
        lack(link, ("top_frequency",), lacking)
    for name, limit in zip(("usual_limit", "limit_low", "limit_high"), limits, strict=True):
        if limit is None:
            lack(link, (name,), lacking)
        else:
            setattr(given, name, limit)
    if way.lacking_metres:
        lack(link, ("metres",), way.lacking_metres)
    else:
        link.metres = way.metres
    if way.lacking_loss:
        lack(link, ("loss", "runs_loss", "fixed_loss"), way.lacking_loss)
    else:
        link.loss = way.runs_db + way.fixed_db
        _bind_stretch(link, way)
    _bind_shape(link, way)


def _bind_stretch(link: Link, way: Way) -> None:
    """What grows when its cables do, and what stays; a way without cables cannot be stretched."""
    given: Any = link
    if way.runs_db > 0.0:
        given.runs_loss, given.fixed_loss = way.runs_db, way.fixed_db
    else:
        lack(link, ("runs_loss", "fixed_loss"), (f"{link.subject}/video/over",))


def _bind_shape(link: Link, way: Way) -> None:
    shape = way.shape
    if shape is None:
        lack(link, (*_SHAPED, "joints", "isolated"), way.lacking_metres)
        return
    link.joints, link.isolated, link.mixed_media = way.joints, shape.isolated, shape.mixed_media
    answers = (shape.impedance_wrong, shape.clad_steel, *shape.blocks)
    for name, answer in zip(_SHAPED[1:], answers, strict=True):
        if answer.holds is None:
            lack(link, (name,), answer.lacking)
        else:
            setattr(link, name, answer.holds)


def bind_earths(link: Link, camera: Place | None, recorder: Place | None) -> None:
    """Whether both ends stand on one earth: by the names written for it, by their buildings otherwise."""
    ends = [None if place is None else place.earth for place in (camera, recorder)]
    if None not in ends:
        link.other_earth = ends[0] != ends[1]
    elif link.known("other_building") is not None:
        link.other_earth = link.other_building
    else:
        lack(link, ("other_earth",), link.missing("other_building"))


def bind_buildings(link: Link, camera: str | None, recorder: str | None, recorder_subject: str) -> None:
    """Whether both ends stand in one building."""
    if camera is not None and recorder is not None:
        link.other_building = camera != recorder
        return
    ends = ((camera, link.subject), (recorder, recorder_subject))
    missing = [f"{subject}/place/building" for building, subject in ends if building is None]
    lack(link, ("other_building",), tuple(missing))


# What else travels


def bind_capabilities(sheet: Camera, part_id: str, sends: Emitted, memory: SignalCache) -> None:
    """What the camera itself does over the coax in the family that it is switched to."""
    key = ("talents", part_id, sends.family, sends.lacking)
    answers = memory.traits.get(key)
    if answers is None:
        answers = memory.traits[key] = _talents(part_id, memory.part_of(part_id), sends)
    for name, answer in answers:
        if answer.holds is None:
            lack(sheet, (name,), tuple(_places(answer.lacking, sheet.subject)))
        else:
            setattr(sheet, name, answer.holds)


def _talents(part_id: str, part: CameraPart, sends: Emitted) -> list[tuple[str, Check]]:
    asked = (
        ("sends_sound", sends_sound),
        ("takes_control", takes_control),
        ("takes_firmware", takes_firmware),
    )
    camera = Switched(part_id, part, sends.family, sends.lacking)
    return [(name, ask(camera)) for name, ask in asked]


def bind_over_coax(sheet: Camera, link: Link, settled: Settled, way: Way, also: OverCoax) -> None:
    """Sound, control, firmware and sorted motion, as drawn; what travels needs a picture and its boxes."""
    put_verdict(sheet, "firmware", _travels(also.firmware, link, settled, way, 2))
    if sheet.sound_by == "coax":
        put_verdict(sheet, "sound", _travels(also.sound, link, settled, way, 0))
    if sheet.control_by == "coax":
        put_verdict(sheet, "control", _travels(also.control, link, settled, way, 1))
    sorted_motion = also.sorted_motion
    if not settled.has_picture:
        sorted_motion = judge((sorted_motion.as_check(), _picture(settled, link.subject)))
    if sorted_motion.works is None:
        lack(sheet, ("sorted_motion_works",), sorted_motion.lacking)
    else:
        sheet.sorted_motion_works = sorted_motion.works


def _travels(verdict: Verdict, link: Link, settled: Settled, way: Way, which: int) -> Verdict:
    """A verdict of the two devices, with the picture and the boxes between them."""
    blocks = way.shape.blocks[which] if way.shape is not None else Answer(None, way.lacking_metres)
    if settled.has_picture and blocks.holds is False:
        return _WORKS if verdict.works else _placed(judge((verdict.as_check(),)), link.subject)
    name = ("sound", "control", "firmware")[which]
    broken = ""
    if blocks.holds:
        box = next(hop.name for hop in way.hops if hop.known(f"blocks_{name}"))
        broken = f"`{box}` on the way does not pass {name}"
    passes = None if blocks.holds is None else not blocks.holds
    checks = (verdict.as_check(), _picture(settled, link.subject), Check(passes, broken, blocks.lacking, "box"))
    return _placed(judge(checks), link.subject)


def _picture(settled: Settled, subject: str) -> Check:
    known = None if settled.outcome is None else settled.has_picture
    return Check(known, "there is no picture for it to travel with", settled.lacking_of(subject), "no-picture")


def _placed(verdict: Verdict, subject: str) -> Verdict:
    if not verdict.lacking:
        return verdict
    return verdict._replace(lacking=tuple(_places(verdict.lacking, subject)))


def bind_talk_back(sheet: Camera, link: Link, settled: Settled, way: Way, talk_back: Verdict) -> None:
    """Sound from the desk to the camera: what the two devices do, with the picture and the boxes between."""
    put_verdict(sheet, "talk_back", _travels(talk_back, link, settled, way, 0))


def put_verdict(sheet: Camera, what: str, verdict: Verdict) -> None:
    """`works`, `broken_by` and its code `cause` of sound, control, firmware or talk-back."""
    if verdict.works is None:
        lack(sheet, (f"{what}_works", f"{what}_broken_by", f"{what}_cause"), verdict.lacking)
        return
    setattr(sheet, f"{what}_works", verdict.works)
    setattr(sheet, f"{what}_broken_by", verdict.broken_by)
    setattr(sheet, f"{what}_cause", verdict.cause or "none")


def bind_without_input(sheet: Camera, why: str) -> None:
    """Nothing travels over the coax of a camera without an input."""
    nothing = Verdict(False, why, cause="not-joined")
    put_verdict(sheet, "firmware", nothing)
    sheet.sorted_motion_works = False
    if sheet.sound_by == "coax":
        put_verdict(sheet, "sound", nothing)
    if sheet.control_by == "coax":
        put_verdict(sheet, "control", nothing)
    if sheet.wants_talk_back:
        put_verdict(sheet, "talk_back", nothing)


def bind_lines(
    sheet: Camera,
    entry: CameraEntry,
    site: SiteEntry,
    memory: SignalCache,
    sound: CablePath | None,
    control: CablePath | None,
) -> None:
    """Sound and control over cables of their own, and what is not drawn at all; what the network carries is known."""
    if sheet.sound_by == "line" and sound is not None and sound.target is not None and entry.sound is not None:
        joined = sound.target.number, site.recorders[sound.target.device].part
        _bind_line_sound(sheet, (entry.part, entry.sound.pickup), joined, memory, sound)
    elif sheet.sound_by in _NO_WAY and not sheet.has_network:
        put_verdict(sheet, "sound", Verdict(False, _NO_WAY[sheet.sound_by], cause="not-drawn"))
    if sheet.control_by == "serial" and control is not None and control.target is not None and entry.control:
        recorder = site.recorders[control.target.device].part
        pair = Pair(Switched(entry.part, memory.part_of(entry.part)), recorder, memory.part_of(recorder))
        put_verdict(sheet, "control", _placed(serial_control(pair, entry.control), sheet.subject))
    elif sheet.control_by in _NO_WAY and not sheet.has_network:
        put_verdict(sheet, "control", Verdict(False, _NO_WAY[sheet.control_by], cause="not-drawn"))


def _bind_line_sound(
    sheet: Camera, parts: tuple[str, str | None], joined: tuple[int, str], memory: SignalCache, path: CablePath
) -> None:
    """From a camera with its pickup to an input of a recorder: parts of the first two, number and part of the others."""
    part_id, pickup_id = parts
    pickup = None if pickup_id is None else (pickup_id, memory.part_of(pickup_id))
    number, recorder = joined
    lengths = [hop.metres for hop in path.hops or () if hop.box is None]
    known = path.hops is not None and None not in lengths
    metres = added(length for length in lengths if length is not None) if known else None
    camera = memory.part_of(part_id)
    pair = Pair(Switched(part_id, camera), recorder, memory.part_of(recorder))
    put_verdict(sheet, "sound", line_sound(pair, pickup, number, metres, f"{sheet.subject}/sound/over"))
    level = line_level(camera, pickup[1] if pickup else None)
    if level is None:
        source = f"{sheet.subject}/sound/pickup" if pickup_id is None else f"parts/{pickup_id}/output"
        lack(sheet, ("line_level",), (source,))
    else:
        sheet.line_level = level


def same_maker(camera_id: str, camera: CameraPart, desk: Desk) -> bool:
    """Whether camera and recorder are of one maker; nobody's parts are not."""
    maker = maker_of(camera_id, camera)
    return maker != "" and maker == maker_of(desk.part_id, desk.part)
