"""Workings of links and of the pieces of their ways: every sum computes again from the numbers in its line.

Words in brackets explain the number before them; brackets around a sum or product group it. Computes no fact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.physics.encoding import LumaLevel, h265_level, macroblocks
from coaxwright.facts.picture.coax_path import Known
from coaxwright.facts.picture.frames import FRAMES_25, FRAMES_30, nominal
from coaxwright.facts.picture.recording import Frame, codec_of, encoding_row, plan_of
from coaxwright.facts.picture.signal_cache import memory_of
from coaxwright.facts.picture.signals import OVER_COAX, Settled
from coaxwright.facts.sheets import Hop, Input, Link
from coaxwright.facts.written import counts, number
from coaxwright.model.common import parse_mode
from coaxwright.model.site import Hop as HopEntry
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]
PRACTICE = "source: common practice"


def settled_of(context: Context, link: Link) -> Settled | None:
    """What the link's camera and input settle on, from memory."""
    site, memory = context.loaded.site, memory_of(context)
    camera, recorder = site.cameras[link.camera.name], site.recorders[link.recorder.name]
    desk = memory.desk(recorder.part, recorder.set)
    return memory.settled(desk, link.input.number, camera.part, camera.set, site.video_rate)


def _because(context: Context, link: Link) -> Lines:
    return link.because, PRACTICE


def _emitted(context: Context, link: Link) -> Lines:
    """Whence the signal comes that the camera is switched to: what is written, its factory setting, its only mode."""
    written, part = context.loaded.site.cameras[link.camera.name].set, context.part(link.camera.part)
    family, mode = link.known("family"), link.known("emitted_mode")
    signal = f"{family or 'family not known'} {mode or 'mode not known'}"
    fully = written is not None and written.family is not None and written.mode is not None
    said = "" if written is None else "as written under `set`" if fully else "as written under `set`, and for the rest "
    if fully:
        return (f"{signal}: {said}",)
    if family is None or mode is None:
        return (f"{signal}: {said}more than one signal of {link.camera.part} is left",)
    rest = "its only mode, of `emits`" if part.starts_as is None else "as it leaves the box, of `starts_as`"
    return f"{signal}: {said}{rest} in {link.camera.part}", f"source: {part.source}"


def _switchable(context: Context, link: Link) -> Lines:
    ways = context.part(link.camera.part).switched_by
    if ways == (OVER_COAX,):
        seen = "both are there" if link.switchable else "one of them is not there"
        return f"only in its menu over the coax, which takes its picture and control over the coax: {seen}", PRACTICE
    return (f"by {', '.join(ways) or 'nothing'}, as {link.camera.part} states",)


def _best(context: Context, link: Link) -> Lines:
    """Every mode of the camera with what it would come to is too long; the best and why it is."""
    order = "best by outcome (full, asked-down, reduced-width), then picture elements, then frame rate"
    if link.known("switchable") is False:
        return (f"nobody can switch the camera where it hangs: {link.because}",)
    if link.best_outcome == "no-picture":
        return (f"no mode of {link.camera.part} gives a picture on this input as the recorder is set",)
    return f"{link.best_family} {link.best_mode}: {link.best_outcome}, {link.best_pixels} px", order, PRACTICE


def _width(context: Context, link: Link) -> Lines:
    if link.outcome == "reduced-width":
        sent = settled_of(context, link)
        columns = sent.signal.mode.width if sent and sent.signal else 2 * link.width
        return (f"{columns} columns / 2 = {link.width} columns", link.because)
    return (link.because,)


def _frame_family(context: Context, link: Link) -> Lines:
    lists = [", ".join(f"{rate:g}" for rate in rates) for rates in (FRAMES_25, FRAMES_30)]
    return f"{link.settled_mode}: 25 family {lists[0]} fps; 30 family {lists[1]} fps; 0 for neither", PRACTICE


def _ceiling(context: Context, link: Link) -> Lines:
    part = context.part(link.recorder.part)
    frame = Frame(link.width, link.height, link.acquired_fps, link.outcome == "reduced-width")
    row = encoding_row(part.encodes or (), link.input.number, frame)
    if row is None or not link.width:
        return (link.because,)
    width = " at half the columns" if row.width == "reduced" else ""
    row_says = f"row up to {row.up_to} of {link.recorder.part} encodes {row.rate:g} fps{width}"
    text = f"{link.width}x{link.height} acquired: {row_says}"
    return text, f"source: {part.source}"


def _recorded_width(context: Context, link: Link) -> Lines:
    if link.recorded_reduced:
        return (
            f"{2 * link.recorded_width} columns / 2 = {link.recorded_width} columns",
            *_ceiling(context, link),
        )
    return _ceiling(context, link)


def _recorded_fps(context: Context, link: Link) -> Lines:
    if link.limited_by == "no-picture":
        return (link.because,)
    least = f"acquired {link.acquired_fps:g} fps, channel ceiling {link.channel_ceiling:g} fps"
    site = context.loaded.site
    plan = plan_of(site.cameras[link.camera.name].record, site.recorders[link.recorder.name].record)
    if plan.rate is not None:
        least += f", set {plan.rate:g} fps"
    if link.limited_by != "shared-budget":
        return (f"least of {least}: {link.recorded_fps:g} fps", f"cause: {link.limited_by}")
    share = link.recorded_fps * link.recorded_width * link.recorded_height / 1e6
    size = f"({link.recorded_width} columns x {link.recorded_height} lines)"
    row = context.ledger.values["encoder-sharing"]
    return (
        f"less than the least of {least}: its share of the common limit",
        f"of {number(link.recorder.encode_total / 1e6)} Mpx/s it gets {number(share)} Mpx/s",
        f"{number(share)} Mpx/s x 1000000 / {size} = {number(link.recorded_fps)} fps",
        f"{row.about} Source: {row.source}",
    )


def _level_rate(context: Context, link: Link) -> Lines:
    """Macroblocks of 16 by 16: ITU-T H.264 clause 3."""
    across, down = -(-link.recorded_width // 16), -(-link.recorded_height // 16)
    blocks = f"{link.recorded_width}x{link.recorded_height} is {across} by {down} macroblocks of 16 by 16"
    if not link.recorded_width:
        return (link.because,)
    return (
        blocks,
        f"{across} x {down} x {number(link.recorded_fps)} fps = {number(link.level_rate)} 1/s",
        "source: ITU-T H.264 clause 7.4.2.1.1",
    )


def _level(context: Context, link: Link) -> Lines:
    row = load_table("h264-levels").row(link.level)
    size = macroblocks(link.recorded_width, link.recorded_height)
    most = f"level {link.level} holds {row['macroblocks_per_second']:.0f} and {row['frame_macroblocks']}"
    return (
        f"{number(link.level_rate)} macroblocks a second, {size} a frame: {most}, every lower level less",
        f"source: {row['source']}",
        *_level_h265(context, link),
    )


def _level_h265(context: Context, link: Link) -> Lines:
    """The H.265 level too, where the channel is recorded in H.265."""
    site = context.loaded.site
    plan = plan_of(site.cameras[link.camera.name].record, site.recorders[link.recorder.name].record)
    codec, _ = codec_of(context.part(link.recorder.part), plan)
    if codec != "h265":
        return ()
    rows = load_table("h265-levels").rows
    levels = [LumaLevel(row["level"], row["picture_samples"], row["samples_per_second"]) for row in rows]
    level = h265_level(link.recorded_width, link.recorded_height, link.recorded_fps, levels)
    return (f"recorded in H.265: level {level or 'none'} by its own table", f"source: {rows[-1]['source']}")


# The way


def _hop_entries(context: Context, link: Link) -> Iterator[tuple[Hop, HopEntry]]:
    path = context.topology.lists.video[link.camera.name]
    yield from zip(link.hops, path.hops or (), strict=True)


def _metres(context: Context, link: Link) -> Lines:
    terms = [f"{number(hop.metres)} m" for hop in link.hops if hop.is_run] or ["0 m"]
    return (f"{' + '.join(terms)} = {number(link.metres)} m",)


def _joints(context: Context, link: Link) -> Lines:
    within, between, boxes = _joint_counts(context, link)
    parts = f"{within} (within runs) + {between} (run to run) + {boxes} (boxes)"
    return (f"{parts} = {link.joints}",)


def _joint_counts(context: Context, link: Link) -> tuple[int, int, int]:
    """Joints within runs, where one run meets the next, and at boxes."""
    within = sum(entry.joints for _, entry in _hop_entries(context, link))
    boxes = sum(hop.is_box for hop in link.hops)
    return within, link.joints - within - boxes, boxes


def _top_frequency(context: Context, link: Link) -> Lines:
    row = _mode_row(link)
    if row is None or row["top_frequency"] != link.top_frequency:
        return (f"{number(link.top_frequency)} MHz, stated under `modes` for {link.family} {link.settled_mode}",)
    clock = f"{number(row['clock'])} MHz (clock of {link.family} {link.settled_mode}) / 2"
    return f"{clock} = {number(link.top_frequency)} MHz", f"source: {row['source']}"


def _mode_row(link: Link) -> Mapping[str, Any] | None:
    """The row of the settled mode, where the table has it."""
    return load_table("signal-modes").get(link.family, nominal(parse_mode(link.settled_mode)))


def _limit(words: str, column: str, context: Context, link: Link) -> Lines:
    row = _mode_row(link)
    if row is None or link.known(column) not in (row["loss_limit"], row["limit_low"], row["limit_high"]):
        return (f"{words} of {link.family} {link.settled_mode}, stated under `modes`",)
    return f"{words} of {link.family} {link.settled_mode}", f"source: {row['source']}"


def _loss(context: Context, link: Link) -> Lines:
    terms = [*_run_terms(link), *_fixed_terms(context, link)]
    return (f"{_added(terms)} = {number(link.loss)} dB at {number(link.top_frequency)} MHz", *_loss_sources(context, link))


def _runs_loss(context: Context, link: Link) -> Lines:
    total = f"{number(link.known('runs_loss'))} dB at {number(link.top_frequency)} MHz"
    return (f"runs loss = {_added(_run_terms(link))} = {total}", *_less_certain(context, link))


def _fixed_loss(context: Context, link: Link) -> Lines:
    terms = _fixed_terms(context, link)
    return (f"fixed loss = {_added(terms)} = {number(link.known('fixed_loss'))} dB" if terms else "no joint and no box: 0 dB",)


def _added(terms: list[str]) -> str:
    return " + ".join(terms) or "0 dB"


def _run_terms(link: Link) -> list[str]:
    """What each run loses without its joints, as the product that gave it."""
    return [_run_term(hop) for hop in link.hops if hop.is_run]


def _run_term(hop: Hop) -> str:
    step: Known = hop.steps
    if step.measured is not None:
        was = f"{number(step.measured.loss or 0.0)} dB (measured at {number(step.measured.loss_at or 0.0)} MHz)"
        return f"{was} x {number(step.at_20)} ({hop.name}) x {number(step.factor)} ({number(step.degc)} degC)"
    warm = f"{number(step.at_20)} dB/100 m ({hop.name}) x {number(step.factor)} ({number(step.degc)} degC)"
    return f"{warm} x {number(hop.metres)} m / 100"


def _fixed_terms(context: Context, link: Link) -> list[str]:
    """What joints and boxes lose."""
    within, between, _ = _joint_counts(context, link)
    within -= sum(entry.joints for _, entry in _hop_entries(context, link) if entry.with_loss)
    joints = (_joint_term(context, within, "within runs"), _joint_term(context, between, "run to run"))
    return [*filter(None, joints), *(f"{number(hop.loss)} dB ({hop.name})" for hop in link.hops if hop.is_box)]


def _joint_term(context: Context, count: int, where: str) -> str:
    return f"{count} x {number(context.ledger.values['joint-loss'].value)} dB ({where})" if count else ""


def _loss_sources(context: Context, link: Link) -> Iterator[str]:
    seen = dict.fromkeys(hop.part for hop in link.hops)
    for part_id in seen:
        yield f"{part_id}: {context.part(part_id).source}"
    yield from _less_certain(context, link)
    values = context.ledger.values
    if any(entry.box is None and entry.temperature is None for _, entry in _hop_entries(context, link)):
        row = values["conductor-temperature"]
        yield f"{number(row.value)} degC assumed: {row.source}"
    if link.joints:
        yield f"{number(values['joint-loss'].value)} dB a joint: {values['joint-loss'].source}"


def _less_certain(context: Context, link: Link) -> Iterator[str]:
    """What the curve of a cable promises: a reel may lose more than a nominal one says, not more than a greatest one."""
    for part_id in dict.fromkeys(hop.part for hop in link.hops if hop.is_run):
        kind = context.part(part_id).attenuation_kind
        if kind == "nominal":
            yield f"{part_id}: nominal figures, less certain than greatest ones: a reel may lose more"
        elif kind is None:
            yield f"{part_id}: nobody says whether its figures are greatest or nominal ones: a reel may lose more"


def _link_of(context: Context, hop: Hop) -> Link:
    link: Link = context.cameras[str(hop.pointer[1])].link
    return link


def _of_way(explain: Callable[[Context, Link], Lines]) -> Callable[[Context, Hop], Lines]:
    """The working of what a piece has from the way that it is part of."""
    return lambda context, hop: explain(context, _link_of(context, hop))


def _frequency_max(context: Context, hop: Hop) -> Lines:
    if hop.is_box:
        return f"as {hop.part} states", f"source: {context.part(hop.part).source}"
    row = load_table("pair-categories").row(hop.category)
    return f"{hop.category}: {number(row['frequency_max'])} MHz", f"source: {row['source']}"


def _named(context: Context, sheet: Input) -> Lines:
    return (f"{', '.join(camera.name for camera in sheet.cameras)}: {sheet.camera_count}",)


def _hop_loss(context: Context, hop: Hop) -> Lines:
    link = _link_of(context, hop)
    entries = (entry for each, entry in _hop_entries(context, link) if each is hop)
    joints = next(0 if entry.with_loss else entry.joints for entry in entries)
    terms = [f"{number(hop.loss)} dB ({hop.name})"] if hop.is_box else [_run_term(hop), _joint_term(context, joints, "joints")]
    return f"{_added([*filter(None, terms)])} = {number(hop.loss)} dB", f"source: {context.part(hop.part).source}"


def _shape(context: Context, link: Link) -> Lines:
    """What the pieces of the way are, in order, for fields that they decide together."""
    pieces = [f"{hop.name} ({hop.does if hop.is_box else hop.medium})" for hop in link.hops]
    return (f"from camera to input: {', '.join(pieces) or 'joined directly'}",)


_LINK: Mapping[str, Callable[[Context, Link], Lines]] = {
    **dict.fromkeys(("family", "emitted_mode", "emitted_width", "emitted_height", "emitted_fps"), _emitted),
    "switchable": _switchable,
    **dict.fromkeys(("outcome", "settled_mode", "acquired_fps", "height", "setting_needed"), _because),
    **dict.fromkeys(("best_outcome", "best_family", "best_mode", "best_pixels"), _best),
    **dict.fromkeys(("channel_ceiling", "recorded_height", "recorded_reduced"), _ceiling),
    **dict.fromkeys(("recorded_fps", "limited_by"), _recorded_fps),
    **dict.fromkeys(
        (
            "mixed_media", "impedance_wrong", "clad_steel", "isolated",
            "blocks_sound", "blocks_control", "blocks_firmware",
        ),
        _shape,
    ),
    "width": _width,
    "frame_family": _frame_family,
    "recorded_width": _recorded_width,
    "level_rate": _level_rate,
    "level": _level,
    "metres": _metres,
    "joints": _joints,
    "top_frequency": _top_frequency,
    "usual_limit": partial(_limit, "usual limit", "usual_limit"),
    "limit_low": partial(_limit, "least published limit", "limit_low"),
    "limit_high": partial(_limit, "greatest published limit", "limit_high"),
    "loss": _loss,
    "runs_loss": _runs_loss,
    "fixed_loss": _fixed_loss,
}  # fmt: skip
PICTURE_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    **{("link", field): explain for field, explain in _LINK.items()},
    ("hop", "loss"): _hop_loss,
    ("hop", "top_frequency"): _of_way(_top_frequency),
    ("hop", "path_metres"): _of_way(_metres),
    ("hop", "frequency_max"): _frequency_max,
    ("input", "camera_count"): _named,
    **counts({"recorder": "channels_used sorted_motion_wanted line_inputs_used line_inputs_shared"}),
}
