"""Puts what was solved on the sheets: one function per kind of sheet, unknown values named by what supplies
them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.power.loads import Load
from coaxwright.facts.power.power_solving import State, total_amps
from coaxwright.facts.sheets import Camera, DeviceFeed, Feed, Junction, Output, Run, Supply
from coaxwright.model.part_base import PowerInput
from coaxwright.model.site import Camera as CameraModel
from coaxwright.model.site import Hop, Place
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.topology.records import Pointer

_STATED = {
    "power_kind": "kind",
    "volts_nominal": "volts",
    "volts_min": "volts_min",
    "volts_max": "volts_max",
    "plug": "plug",
    "polarity": "polarity",
    "polarity_protected": "polarity_protected",
}
"""Fields of a camera's sheet, and the field of its part's power input that states each."""


def fill_camera(context: Context, camera: Camera, load: Load) -> None:
    """Power fields of a camera: what its part states, and what it draws."""
    stated, absent = _stated(context, camera.part)
    for field, value in stated:
        setattr(camera, field, value)
    for field, missing in absent:
        camera.lacks(field, missing)
    if load.day is None:
        camera.lacks("watts_day", *load.missing_day)
    else:
        camera.watts_day = load.day
    if load.night is None:
        camera.lacks("watts_night", *load.missing_night)
    else:
        camera.watts_night = load.night


def _stated(context: Context, part_id: str) -> tuple[list[tuple[str, Any]], list[tuple[str, str]]]:
    key = ("power_sheets", part_id)
    known: tuple[list[tuple[str, Any]], list[tuple[str, str]]] | None = context.memo.get(key)
    if known is None:
        power = context.part(part_id).power
        if power is None:
            known = [], [(field, f"parts/{part_id}/power") for field in _STATED]
        else:
            pairs = [(field, name, getattr(power, name)) for field, name in _STATED.items()]
            absent = [(field, f"parts/{part_id}/power/{name}") for field, name, value in pairs if value is None]
            known = [(field, value) for field, _, value in pairs if value is not None], absent
        context.memo[key] = known
    return known


def fill_feed(feed: Feed, volts: float, idle: float, state: State) -> None:
    """Volts, amps, collapse and margin of a feed; `feed.source` and `feed.load` are set.

    `volts` are those of the source without load, `idle` the most that it gives.
    """
    feed.volts_idle = idle
    kind = feed.load.known("power_kind")
    if kind is None:
        feed.lacks("kinds_meet", *feed.load.missing("power_kind"))
    else:
        gives = feed.source.gives
        feed.kinds_meet = kind == gives or kind == "dc-or-ac"
    _fill_state(feed, state)
    if state.volts_night is None:
        feed.lacks("drop_night", *state.missing_night)
    else:
        feed.drop_night = volts - state.volts_night
    _fill_limit(feed, state)


def _fill_limit(feed: Feed, state: State) -> None:
    """Collapse and margin of a feed; which of those that collapse together speaks is settled when all are filled."""
    if state.collapsed is None:
        feed.lacks("collapsed", *state.missing_collapsed)
        feed.lacks("speaks_for_collapse", *state.missing_collapsed)
    else:
        feed.collapsed = state.collapsed
        feed.speaks_for_collapse = not state.collapsed
    for field, collapsed, missing in (
        ("collapsed_by_day", state.collapsed_day, state.missing_day),
        ("collapsed_by_night", state.collapsed_night, state.missing_night),
    ):
        if collapsed is None:
            feed.lacks(field, *missing)
        else:
            setattr(feed, field, collapsed)
    if state.margin is None:
        feed.lacks("margin_night", *state.missing_margin)
    else:
        feed.margin_night = state.margin
    if state.margin_least is None or state.collapsed is None or (state.margin is None and not state.collapsed):
        feed.lacks("margin_least", *dict.fromkeys((*state.missing_margin, *state.missing_collapsed)))
    else:
        feed.margin_least = state.margin_least


def bind_wet(feed: Feed, place: Place | None) -> None:
    """Whether people may touch its joints with wet hands."""
    if place is not None and (place.damp or place.washed or place.setting == "outdoor"):
        feed.wet = True
    elif place is None or place.setting is None:
        feed.lacks("wet", f"{feed.subject}/place/setting")
    else:
        feed.wet = False


def bind_over_coax(context: Context, feed: Feed, part_id: str, hops: Sequence[Hop] | None) -> None:
    """Whether the camera takes its power over coax, and whether an injector stands on the way of it."""
    power = context.part(part_id).power
    feed.over_coax = power is not None and power.over_coax is True
    if not feed.over_coax:
        return
    if hops is None:
        feed.lacks("injected", f"{feed.subject}/power/over")
        return
    boxes = {hop.box: context.loaded.site.boxes[hop.box].part for hop in hops if hop.box is not None}
    answers = [context.part(each).injects_power for each in boxes.values()]
    if True in answers or None not in answers:
        feed.injected = True in answers
    else:
        feed.lacks("injected", *(f"parts/{each}/injects_power" for each in boxes.values()))


def name_collapse(feeds: Sequence[tuple[Feed, int]], devices: Sequence[tuple[DeviceFeed, int]]) -> None:
    """Of all that goes dark together, who tells it: the camera farthest in resistance, of equals the first.

    `feeds` are those of cameras in the order in which equals come, each with the number of its group. A camera on the wrong
    kind of current tells nothing while another can. A device tells for itself only where no camera does.
    """
    told: dict[int, Feed] = {}
    for feed, group in feeds:
        if feed.known("collapsed") and feed.known("kinds_meet") is not False:
            first = told.setdefault(group, feed)
            if _rank(feed) > _rank(first):
                told[group] = feed
    for feed in told.values():
        feed.speaks_for_collapse = True
    for device, group in devices:
        if device.known("volts_night") is None:
            device.lacks("speaks_for_collapse", *device.missing("volts_night"))
        else:
            device.speaks_for_collapse = device.volts_night > 0.0 or group not in told


def _rank(feed: Feed) -> tuple[bool, float]:
    """A camera whose kind of current is known to be right comes before one of which nobody knows it."""
    return feed.known("kinds_meet") is True, feed.known("ohms_total") or 0.0


_OF_DEVICE = {"power_kind": "kind", "volts_min": "volts_min", "volts_max": "volts_max"}


def fill_device_feed(feed: DeviceFeed, part_id: str, power: PowerInput | None, idle: float, state: State) -> None:
    """What a device that is no camera takes, and what it gets; `feed.source` is set."""
    for field, name in _OF_DEVICE.items():
        value = None if power is None else getattr(power, name)
        if value is None:
            feed.lacks(field, f"parts/{part_id}/power" + ("" if power is None else f"/{name}"))
        else:
            setattr(feed, field, value)
    if power is None:
        feed.lacks("kinds_meet", f"parts/{part_id}/power")
    else:
        feed.kinds_meet = power.kind in (feed.source.gives, "dc-or-ac")
    feed.volts_idle = idle
    _fill_state(feed, state)


def _fill_state(sheet: Feed | Junction | DeviceFeed, state: State) -> None:
    """Volts and amps of both seasons."""
    volts_day, amps_day, volts_night, amps_night = (
        state.volts_day,
        state.amps_day,
        state.volts_night,
        state.amps_night,
    )
    if volts_day is None:
        sheet.lacks("volts_day", *state.missing_day)
    else:
        sheet.volts_day = volts_day
    if amps_day is None:
        sheet.lacks("amps_day", *state.missing_day)
    else:
        sheet.amps_day = amps_day
    if volts_night is None:
        sheet.lacks("volts_night", *state.missing_night)
    else:
        sheet.volts_night = volts_night
    if amps_night is None:
        sheet.lacks("amps_night", *state.missing_night)
    else:
        sheet.amps_night = amps_night


def fill_run(run: Run, state: State) -> None:
    """Current through one run of both seasons."""
    for field, amps, missing in (
        ("amps_day", state.amps_day, state.missing_day), ("amps_night", state.amps_night, state.missing_night),
    ):  # fmt: skip
        if amps is None:
            run.lacks(field, *missing)
        else:
            setattr(run, field, amps)


def fill_junction(sheet: Junction, state: State) -> None:
    """Volts at a junction and amps through it."""
    _fill_state(sheet, state)


def fill_protective_device(sheet: Junction, amps: float | None) -> None:
    """Rated current of the protective device in a junction, where one is written."""
    if amps is None:
        sheet.lacks("amps_protective", f"{sheet.subject}/protective_device")
    else:
        sheet.amps_protective = amps


def fill_output(
    supply: Supply, part: SupplyPart, number: int, states: Sequence[State], pointer: Pointer
) -> Output:
    """The sheet of one output with the cables joined to it; `pointer` is where the first of them names it."""
    output = Output()
    output.subject, output.pointer = f"{supply.subject}/{number}", pointer
    output.supply, output.number, output.runs, output.feeds = supply, number, len(states), []
    if part.amps_per_output is not None:
        output.amps_max = part.amps_per_output
    elif part.outputs != 1:
        output.lacks("amps_max", f"parts/{supply.part}/amps_per_output")
    elif part.amps is None:
        output.lacks("amps_max", f"parts/{supply.part}/amps")
    else:
        output.amps_max = part.amps  # a supply with one output gives all it has there
    if part.output_protection is None:
        output.lacks("protection", f"parts/{supply.part}/output_protection")
    else:
        output.protection = part.output_protection
    _put_amps(output, states)
    return output


def _put_amps(sheet: Output | Supply, states: Sequence[State]) -> None:
    for night, field in ((False, "amps_day"), (True, "amps_night")):
        amps, missing = total_amps(states, night)
        if amps is None:
            sheet.lacks(field, *missing)
        else:
            setattr(sheet, field, amps)


def fill_supply_loads(supply: Supply, outputs: list[Output], roots: Sequence[State], states: Sequence[State]) -> None:
    """Currents, collapse and margin of a supply; `roots` are the states of the cables joined to it."""
    supply.members = outputs
    _put_amps(supply, roots)
    missing = tuple(dict.fromkeys(each for state in states for each in state.missing_margin))
    unsure = tuple(dict.fromkeys(each for state in states for each in state.missing_collapsed))
    if any(state.collapsed for state in states):
        supply.collapsed = True
    elif unsure:
        supply.lacks("collapsed", *unsure)
    else:
        supply.collapsed = False
    if missing:
        supply.lacks("margin_night", *missing)
    else:
        supply.margin_night = min((state.margin for state in states if state.margin is not None), default=float("inf"))
    if missing or unsure:
        supply.lacks("margin_working", *dict.fromkeys((*missing, *unsure)))
    else:
        working = [state.margin_least for state in states if not state.collapsed and state.margin_least is not None]
        supply.margin_working = min(working, default=float("inf"))


def ports_of(camera: CameraModel) -> tuple[tuple[bool, int, str], ...]:
    """Outlet and input of a camera by number, which do not change with names and the order of the file."""
    power = camera.power.source if camera.power is not None else ""
    video = camera.video.into if camera.video is not None else ""
    ports = [each.partition("/")[2] for each in (power, video)]
    return tuple((not port, len(port), port) for port in ports)
