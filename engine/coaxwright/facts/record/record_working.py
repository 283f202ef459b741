"""Workings of what is recorded and kept: rates and bits of cameras and recorders, disks and days.

Every sum computes again from the numbers in its line; words in brackets explain the number before them.
Computes no fact.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.declared.book import book_of
from coaxwright.facts.declared.working import lines
from coaxwright.facts.network.lines_working import (
    network_bitrate,
    network_cameras,
    network_disks,
    network_main,
    network_recorded,
    network_stream,
)
from coaxwright.facts.network.network_cameras import network_codecs
from coaxwright.facts.physics.ingress import ingress_digits, water_implied
from coaxwright.facts.picture.picture_working import PICTURE_WORKINGS, PRACTICE, settled_of
from coaxwright.facts.picture.planned_bits import SOUND, bits_of
from coaxwright.facts.picture.planned_working import planned_lines, range_lines
from coaxwright.facts.picture.recording import STEADY, Frame, Plan, Rate, Stored, demand, plan_of, wanted_stream
from coaxwright.facts.picture.signal_cache import Desk, memory_of
from coaxwright.facts.picture.stream_levels import possible_codecs
from coaxwright.facts.record.level_working import level_lines
from coaxwright.facts.record.record_binding import duty_of, main_rate, set_rate
from coaxwright.facts.sheets import Camera, DiskGroup, Input, Link, Recorder, Sheet
from coaxwright.facts.written import counts, number
from coaxwright.model.quantities import format_quantity
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]
_MEGA = 1.0e6
_TERA = _MEGA * _MEGA


def _entry(context: Context, recorder: Recorder) -> RecorderEntry:
    return context.loaded.site.recorders[recorder.name]


def _desk(context: Context, recorder: Recorder) -> Desk:
    entry = _entry(context, recorder)
    return memory_of(context).desk(entry.part, entry.set)


def _plan(context: Context, link: Link) -> Plan:
    camera = context.loaded.site.cameras[link.camera.name]
    return plan_of(camera.record, _entry(context, link.recorder).record, camera)


def _stream(link: Link) -> Stored:
    return Stored(link.recorded_width, link.recorded_height, link.recorded_fps, link.limited_by)


def _size(stream: Stored) -> str:
    return f"{stream.width} columns x {stream.height} lines x {number(stream.fps)} fps"


# A camera


def _of_link(field: str) -> Callable[[Context, Camera], Lines]:
    """The working of the same field of the camera's link."""
    explain = PICTURE_WORKINGS["link", field]

    def of_camera(context: Context, camera: Camera) -> Lines:
        if camera.has_network:
            return network_recorded(context, camera)
        return explain(context, camera.link)

    return of_camera


def _stream_rate(context: Context, camera: Camera) -> Lines:
    """The main stream alone."""
    if camera.has_network:
        return network_main(context, camera)
    link: Link = camera.link
    plan, values = _plan(context, link), context.ledger.values
    main = _main(context, link, plan)
    if main is None:
        return ("nothing is recorded: 0 bit/s",)
    if main.by == "assumed":
        lines = list(planned_lines(_size(_stream(link)), main, plan, values))
    elif main.by == "maker":
        lines = [f"{number(main.bitrate)} bit/s, by the table of {link.recorder.part} for {_size(_stream(link))}"]
    else:
        lines = [f"{number(main.bitrate)} bit/s, as set"]
    lines += [f"{values[name].about} Source: {values[name].source}" for name in main.assumed if name == "codec"]
    return tuple(lines)


def _bitrate(context: Context, camera: Camera) -> Lines:
    if camera.has_network:
        return network_bitrate(context, camera)
    lines, (main, plan) = _stream_rate(context, camera), _bits(context, camera)
    if main is None or not plan.second_stream:
        return lines
    sum_of = f"{number(main.bitrate)} bit/s + {number(plan.second_stream)} bit/s (second stream)"
    return *lines, f"{sum_of} = {number(camera.bitrate)} bit/s"


def _level_max(context: Context, camera: Camera) -> Lines:
    """What the levels of its codec leave the main stream."""
    main, plan = _bits(context, camera)
    if main is None:
        return ("nothing is recorded: 0 bit/s",)
    if camera.has_network:
        stated: Any = context.part(camera.part).network
        return tuple(level_lines(camera, network_codecs(stated, main, plan)))
    listed = context.part(camera.link.recorder.part).codecs
    return tuple(level_lines(camera, possible_codecs(listed, plan, main)))


def _main(context: Context, link: Link, plan: Plan) -> Rate | None:
    """The main stream of a channel; None where it records nothing. What is set is known whatever rate is recorded."""
    if plan.bitrate is not None and link.known("recorded_fps") is None:
        return set_rate(plan.bitrate, plan)
    stream = _stream(link)
    return main_rate(_desk(context, link.recorder), stream, plan, context.ledger.values) if stream.fps else None


def _bits(context: Context, camera: Camera) -> tuple[Rate | None, Plan]:
    """The main stream of a camera and how it is recorded; None where it records nothing."""
    if camera.has_network:
        streamed = network_stream(context, camera)
        return streamed.rate, streamed.plan
    plan = _plan(context, camera.link)
    return _main(context, camera.link, plan), plan


def _end_of_range(field: str) -> Callable[[Context, Camera], Lines]:
    """The working of a bit rate at the low end, or on the careful side."""

    def explain(context: Context, camera: Camera) -> Lines:
        main, plan = _bits(context, camera)
        if main is None:
            return ("nothing is recorded: 0 bit/s",)
        spread = main.spread or STEADY
        sound = SOUND if plan.sound and field == "bitrate_high" else 0.0
        terms = [f"{number(main.bitrate / spread.peak)} bit/s x {number(spread.low if field == 'bitrate_low' else spread.high)}"]
        terms += [f"{number(plan.second_stream)} bit/s (second stream)"] if plan.second_stream else []
        terms += [f"{number(sound)} bit/s (sound, ITU-T G.711)"] if sound else []
        return f"{' + '.join(terms)} = {number(getattr(camera, field))} bit/s", *range_lines(main, plan)

    return explain


def _mean_end(field: str) -> Callable[[Context, Recorder], Lines]:
    """The working of a recorder's mean at one end: that of each camera times its share of the day."""

    def explain(context: Context, recorder: Recorder) -> Lines:
        terms = _bit_terms(context, recorder, mean=True, field=field.replace("_mean", ""))
        return (f"{' + '.join(terms) or '0 Mb/s'} = {number(getattr(recorder, field) / _MEGA)} Mb/s",)

    return explain


def _days_kept(context: Context, camera: Camera) -> Lines:
    group: DiskGroup = network_disks(context, camera) if camera.has_network else camera.link.recorder.disks
    book = book_of("disk_group")
    days = book and book.get("days")
    return lines(book, days, group, context.ledger.values, partial(_of_record, context)) if book and days else ()


def _of_record(context: Context, sheet: Sheet, field: str) -> Lines:
    explain = RECORD_WORKINGS.get((sheet.kind, field))
    return explain(context, sheet) if explain else ()


def _from_housing(field: str) -> Callable[[Context, Camera], Lines]:
    def explain(context: Context, camera: Camera) -> Lines:
        part = context.part(camera.part)
        if field == "ik":
            row = load_table("ik-codes").row(part.housing.ik)
            return f"{part.housing.ik} withstands {number(row['energy'])} J", f"source: {row['source']}"
        return f"from {part.housing.ip}; the greatest digit of a double marking", "source: IEC 60529"

    return explain


def _covered(context: Context, camera: Camera) -> Lines:
    """Marking by marking, what a code covers against water."""
    return (
        *(
            f"IPX{water} covers the second digits {', '.join(map(str, sorted(water_implied(water))))}"
            for _, water in ingress_digits(context.part(camera.part).housing.ip)
            if water is not None
        ),
        "up to 6 a digit covers all lower ones; 7 and 8 do not cover the jets of 5 and 6",
        "source: IEC 60529, clause 6",
    )


def _in_cabinet(context: Context, device: Camera | Recorder) -> Lines:
    """The air at a recorder in a cabinet, where nobody wrote its own."""
    place = getattr(context.loaded.site, str(device.pointer[0]))[device.name].place
    if place is None or place.cabinet is None or place.ambient_max is not None:
        return ()
    return (f"{number(device.ambient_max)} degC: the air in cabinets/{place.cabinet}",)


def _air(field: str) -> Callable[[Context, Camera | Recorder], Lines]:
    def explain(context: Context, device: Camera | Recorder) -> Lines:
        if not getattr(device, f"{field}_assumed"):
            return _in_cabinet(context, device) if field == "ambient_max" else ()
        row = context.ledger.values[f"environment-{device.setting}"]
        return f"assumed, since the place says no more than {device.setting}: {row.about}", f"source: {row.source}"

    return explain


def _broken(what: str) -> Callable[[Context, Camera], Lines]:
    def explain(context: Context, camera: Camera) -> Lines:
        reason = camera.known(f"{what}_broken_by")
        return (reason,) if reason else (f"camera, recorder and everything between them pass {what}",)

    return explain


# A recorder


def _demand(context: Context, recorder: Recorder) -> Lines:
    wanted = (_wanted(context, link) for link in recorder.links)
    streams = [each for each in wanted if each is not None]
    return (_sum_of(streams, recorder.encode_demand), "what each channel would record alone", PRACTICE)


def _wanted(context: Context, link: Link) -> Stored | None:
    """What a channel would record alone; None without a picture."""
    settled = settled_of(context, link)
    if settled is None or not settled.has_picture:
        return None
    frame = Frame(settled.width, settled.height, settled.fps, settled.outcome == "reduced-width")
    ceiling = _desk(context, link.recorder).ceiling(link.input.number, frame)
    return ceiling and wanted_stream(frame, ceiling, _plan(context, link).rate)


def _used(context: Context, recorder: Recorder) -> Lines:
    streams = [_stream(link) for link in recorder.links if link.recorded_fps]
    return (_sum_of(streams, recorder.encode_used), PRACTICE)


def _sum_of(streams: list[Stored], total: float) -> str:
    """Sum of demands in Mpx/s, equal ones taken together."""
    counts: dict[float, int] = {}
    for each in streams:
        counts[demand(each)] = counts.get(demand(each), 0) + 1
    terms = [f"{count} x {number(rate / _MEGA)} Mpx/s" for rate, count in counts.items()]
    return f"{' + '.join(terms) or '0 Mpx/s'} = {number(total / _MEGA)} Mpx/s"


def _level_rate(context: Context, recorder: Recorder) -> Lines:
    terms = [f"{number(link.level_rate)} 1/s" for link in recorder.links]
    return (f"{' + '.join(terms) or '0 1/s'} = {number(recorder.level_rate)} 1/s",)


def _bit_sum(context: Context, recorder: Recorder) -> Lines:
    terms = _bit_terms(context, recorder, mean=False)
    return (f"{' + '.join(terms) or '0 Mb/s'} = {number(recorder.bitrate / _MEGA)} Mb/s",)


def _bit_mean(context: Context, recorder: Recorder) -> Lines:
    values = context.ledger.values
    terms = _bit_terms(context, recorder, mean=True)
    used = {name: None for link in recorder.links for name in duty_of(_plan(context, link), values)[1]}
    sources = [f"{name} {values[name].written} assumed: {values[name].source}" for name in used]
    return (f"{' + '.join(terms) or '0 Mb/s'} = {number(recorder.bitrate_mean / _MEGA)} Mb/s", *sources)


def _bit_terms(context: Context, recorder: Recorder, *, mean: bool, field: str = "") -> list[str]:
    """Each camera's bits, equal ones taken together, times the share of the day where the mean is meant."""
    counts: dict[tuple[float, float], int] = {}
    values, entry = context.ledger.values, _entry(context, recorder)
    for camera in [*(link.camera for link in recorder.links), *network_cameras(context, recorder.name)]:
        main, plan = _bits(context, camera)
        bits = getattr(camera, field) if field else _mean_of(main, plan) if mean else camera.bitrate
        key = (bits, duty_of(plan, values)[0] if mean and main is not None else 1.0)
        counts[key] = counts.get(key, 0) + 1
    common = plan_of(None, entry.record)
    if entry.network_cameras and common.bitrate is not None:
        key = (common.bitrate + (common.second_stream or 0.0), duty_of(common, values)[0] if mean else 1.0)
        counts[key] = counts.get(key, 0) + entry.network_cameras
    share = " x {} (share of the day)" if mean else ""
    return [
        f"{count} x {number(rate / _MEGA)} Mb/s{share.format(number(duty))}" for (rate, duty), count in counts.items()
    ]


def _mean_of(main: Rate | None, plan: Plan) -> float:
    """Bits of a camera, mean of the hours recorded."""
    return 0.0 if main is None else bits_of(main, plan, 1.0).mean


def _spare(context: Context, recorder: Recorder) -> Lines:
    gone = recorder.channels - recorder.channels_used - recorder.channels_spare
    have = f"{recorder.channels} (inputs) - {recorder.channels_used} (used)"
    return (f"{have} - {gone} (given up, for network cameras) = {recorder.channels_spare}",)


def _network(context: Context, recorder: Recorder) -> Lines:
    named, counted = network_cameras(context, recorder.name), _entry(context, recorder).network_cameras
    return (f"{len(named)} (entries) + {counted} (told by number) = {recorder.network_cameras}",)


def _able(what: str) -> Callable[[Context, Recorder], Lines]:
    """Channels that the recorder's part lists for sound over the coax, or for motion that is sorted."""

    def explain(context: Context, recorder: Recorder) -> Lines:
        part = context.part(recorder.part)
        listed = part.sorted_motion if what == "sorted_motion" else part.sound.coax_channels
        if what == "sound" and part.sound.coax_families == ():
            listed = ()
        names = ", ".join(map(str, listed or ())) or "none"
        return f"channels {names}: {len(listed or ())}, as {recorder.part} states", f"source: {part.source}"

    return explain


def _families(context: Context, recorder: Recorder) -> Lines:
    seen = {link.frame_family: None for link in recorder.links if link.known("frame_family")}
    names = ", ".join(str(each) for each in seen) or "none"
    return f"frame families of the modes on its cables: {names}", PRACTICE


def _serves(context: Context, sheet: Input) -> Lines:
    recorder: Recorder = sheet.recorder
    if not recorder.network_cameras:
        return ("no network cameras are recorded, so no input is given up",)
    beyond = max(0, recorder.network_cameras - recorder.network_cameras_free)
    free = f"{recorder.network_cameras} network cameras, {recorder.network_cameras_free} without this"
    return f"{free}: {beyond} inputs are given up, from the highest number down", PRACTICE


# Disks


def _raw(context: Context, group: DiskGroup) -> Lines:
    disks = _entry(context, group.recorder).disks or ()
    terms = [f"{number(context.part(disk).capacity / _TERA)} TB" for disk in disks]
    return (f"{' + '.join(terms) or '0 TB'} = {number(group.raw / _TERA)} TB",)


def _longest(context: Context, group: DiskGroup) -> Lines:
    site = context.site.known("retention")
    words = "nothing" if site is None else f"{number(site)} d"
    return (f"longest of what the site asks ({words}) and what its cameras ask",)


_EXTREMES = {
    "largest": ("capacity", "B", "largest"),
    "smallest": ("capacity", "B", "smallest of those that take part; the largest are the spares"),
    "temperature_max": ("temperature_max", "degC", "least"),
    "workload": ("workload", "B", "least"),
}


def _extreme(attribute: str, unit: str, which: str) -> Callable[[Context, DiskGroup], Lines]:
    """The working of a figure that one disk of a group decides."""

    def explain(context: Context, group: DiskGroup) -> Lines:
        disks = dict.fromkeys(_entry(context, group.recorder).disks or ())
        stated = (f"{format_quantity(getattr(context.part(disk), attribute), unit)} ({disk})" for disk in disks)
        return (f"{', '.join(stated)}: the {which}", *(f"source: {context.part(disk).source}" for disk in disks))

    return explain


_LINKED = ("recorded_width", "recorded_height", "recorded_fps")
RECORD_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    **{("camera", field): _of_link(field) for field in _LINKED},
    **{("camera", f"{what}_works"): _broken(what) for what in ("sound", "control", "firmware")},
    **{(kind, f"ambient_{end}"): _air(f"ambient_{end}") for kind in ("camera", "recorder") for end in ("min", "max")},
    ("camera", "bitrate"): _bitrate,
    ("camera", "stream_rate"): _stream_rate,
    ("camera", "level_rate_max"): _level_max,
    **{("camera", field): _end_of_range(field) for field in ("bitrate_low", "bitrate_high")},
    **{("recorder", field): _mean_end(field) for field in ("bitrate_mean_low", "bitrate_mean_high")},
    ("camera", "days_kept"): _days_kept,
    ("camera", "ip_solid"): _from_housing("ip"),
    ("camera", "ip_water"): _from_housing("ip"),
    ("camera", "ip_water_covered"): _covered,
    ("camera", "ik_joules"): _from_housing("ik"),
    **counts({"disk_group": "disks motion_assumed", "recorder": "channels"}),
    **{("disk_group", field): _extreme(*how) for field, how in _EXTREMES.items()},
    **{("recorder", f"{what}_channels"): _able(what) for what in ("sound", "sorted_motion")},
    ("recorder", "network_cameras"): _network,
    ("recorder", "encode_demand"): _demand,
    ("recorder", "encode_used"): _used,
    ("recorder", "level_rate"): _level_rate,
    ("recorder", "bitrate"): _bit_sum,
    ("recorder", "bitrate_mean"): _bit_mean,
    ("recorder", "channels_spare"): _spare,
    ("recorder", "frame_families"): _families,
    ("input", "serves"): _serves,
    ("disk_group", "raw"): _raw,
    ("disk_group", "days_wanted"): _longest,
}
