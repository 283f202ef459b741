"""Closed cabinets: the heat of what stands in them, and the air that it makes around each of these devices.

Bound when all else is: a supply's heat follows from its load. The air then stands in for that which nobody wrote for a
device in the cabinet, and what follows from it (current left, disks, batteries) is worked out with it. Planning
arithmetic: siting and ventilation need review by a competent person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.physics.battery import lead_cells
from coaxwright.facts.power.loads import load_of
from coaxwright.facts.power.warm_air import warm_output, warm_supply
from coaxwright.facts.sheets import Cabinet, Housed, Recorder, Supply, Ups
from coaxwright.model.site import Cabinet as CabinetEntry
from coaxwright.portable import added
from coaxwright.reading.tables import load_table
from coaxwright.topology.records import GROUP_OF_KIND

_KINDS = ("recorder", "supply", "switch", "box", "ups")
_SIZES = ("width", "height", "depth")
_FACES = ("front", "top", "sides")


class Heat(NamedTuple):
    """W that a device turns into heat, or what would tell."""

    watts: float | None
    missing: tuple[str, ...] = ()
    working: str = ""


def bind_cabinets(context: Context, units: dict[str, Ups]) -> tuple[list[Cabinet], list[Housed]]:
    """Sheets of all cabinets, and of all that stands in one, in the order of the file."""
    cabinets = {name: _cabinet(context, name, entry) for name, entry in context.loaded.site.cabinets.items()}
    housed = [
        _housed(context, cabinets[entry.place.cabinet], kind, name, entry.part, units)
        for kind, name, entry in _devices(context)
    ]
    for cabinet in cabinets.values():
        _sum(context, cabinet, [each for each in housed if each.cabinet is cabinet])
    fill("cabinet", list(cabinets.values()))
    for each in housed:
        _surround(context, each, units)
    return list(cabinets.values()), housed


def _devices(context: Context) -> Iterator[tuple[str, str, Any]]:
    """Kind, id and entry of each device that stands in a cabinet."""
    for kind in _KINDS:
        for name, entry in getattr(context.loaded.site, GROUP_OF_KIND.get(kind, kind)).items():
            if entry.place is not None and entry.place.cabinet is not None:
                yield kind, name, entry


def _cabinet(context: Context, name: str, entry: CabinetEntry) -> Cabinet:
    """The sheet of a cabinet as far as its entry states it."""
    sheet = Cabinet()
    sheet.subject, sheet.pointer, sheet.name = f"cabinets/{name}", ("cabinets", name), name
    for field in _SIZES:
        sheet.put(field, getattr(entry, field), f"{sheet.subject}/{field}")
    for table, key, fields in (("surfaces", "stands", _FACES), ("walls", "material", ("passes",))):
        stated = getattr(entry, key)
        row = None if stated is None else load_table(f"cabinet-{table}").row(stated)
        for field in fields:
            sheet.put(field, None if row is None else float(row[field]), f"{sheet.subject}/{key}")
    sheet.flow = entry.fan or 0.0  # type: ignore[attr-defined]
    sheet.put("vents", entry.vents, f"{sheet.subject}/vents")
    place = entry.place
    outside = None if place is None else place.ambient_max
    if outside is None and place is not None and place.setting is not None:
        outside = context.ledger.take(f"environment-{place.setting}")[1]
    sheet.put("outside", outside, f"{sheet.subject}/place/ambient_max")
    return sheet


def _sum(context: Context, sheet: Cabinet, housed: list[Housed]) -> None:
    """Heat of all in a cabinet, and cells of its lead-acid batteries times ampere-hours."""
    sheet.devices = len(housed)
    other = context.loaded.site.cabinets[sheet.name].other_heat or 0.0
    sheet.steps = [(each.subject, each.known("heat")) for each in housed] + ([("other_heat", other)] if other else [])
    missing = [path for each in housed if each.known("heat") is None for path in each.missing("heat")]
    sheet.put("watts", None if missing else other + added(each.heat for each in housed), *dict.fromkeys(missing))
    supplies = [context.supplies[each.name] for each in housed if each.device == "supply"]
    batteries = [supply.battery for supply in supplies if supply.has_battery and supply.battery.chemistry == "lead-acid"]
    missing = [path for each in batteries if each.known("capacity") is None for path in each.missing("capacity")]
    total = added(lead_cells(context.part(each.supply.part).volts) * each.capacity for each in batteries if not missing)
    sheet.put("cells_hours", None if missing else float(total), *dict.fromkeys(missing))


def _housed(context: Context, cabinet: Cabinet, kind: str, name: str, part_id: str, units: dict[str, Ups]) -> Housed:
    sheet, part = Housed(), context.part(part_id)
    group = GROUP_OF_KIND.get(kind, kind)
    sheet.subject, sheet.pointer = f"{group}/{name}", (group, name, "place")
    sheet.device, sheet.name, sheet.part, sheet.cabinet = kind, name, part_id, cabinet
    heat = _heat(context, kind, name, part_id, units)
    sheet.put("heat", heat.watts, *heat.missing)
    sheet.steps = heat.working
    at = "housing/temperature_max" if kind == "box" else "temperature_max"
    stated = getattr(part.housing, "temperature_max", None) if kind == "box" else part.temperature_max
    sheet.put("temperature_max", stated, f"parts/{part_id}/{at}")
    return sheet


def _heat(context: Context, kind: str, name: str, part_id: str, units: dict[str, Ups]) -> Heat:
    """A supply and a UPS lose what does not come out of them; all else turns what it draws into heat."""
    part = context.part(part_id)
    if kind in ("supply", "ups"):
        through = context.supplies[name] if kind == "supply" else units[name]
        field = "watts_night" if kind == "supply" else "watts"
        return _lost(context, part_id, kind, through.known(field), through.missing(field))
    if kind == "box" and part.power is None:
        return Heat(0.0, (), "0 W: it takes no power")
    load = load_of(part_id, part, context.ledger)
    return Heat(load.night, load.missing_night, " + ".join(f"{watts:g} W ({word})" for word, watts in load.night_sum))


def _lost(context: Context, part_id: str, kind: str, watts: float | None, missing: tuple[str, ...]) -> Heat:
    efficiency = context.part(part_id).efficiency
    if watts is None:
        return Heat(None, missing)
    if efficiency is None and kind == "ups":
        return Heat(None, (f"parts/{part_id}/efficiency",))
    share = float(context.ledger.take("supply-efficiency") if efficiency is None else efficiency)
    if share <= 0.0:
        return Heat(None, (f"parts/{part_id}/efficiency",))
    lost = watts * (1.0 / share - 1.0)
    return Heat(lost, (), f"{watts:.5g} W x (1 / {share:g} - 1)")


def _surround(context: Context, housed: Housed, units: dict[str, Ups]) -> None:
    """The air around a device in a cabinet: what is written for its own place, else that of the cabinet."""
    entry = getattr(context.loaded.site, str(housed.pointer[0]))[housed.name]
    own, cabinet = entry.place.ambient_max, housed.cabinet
    housed.put("air", cabinet.known("air") if own is None else own, *(cabinet.missing("air") if own is None else ()))
    if own is not None or housed.device not in _WARMED:
        return
    lacking = () if housed.known("air") is not None else housed.missing("air")
    device = units[housed.name] if housed.device == "ups" else getattr(context, f"{GROUP_OF_KIND[housed.device]}")[housed.name]
    _WARMED[housed.device](context, device, housed.known("air"), lacking)


def _warm_supply(context: Context, supply: Supply, air: float | None, lacking: tuple[str, ...]) -> None:
    """What the air leaves of a supply and of the devices in its outputs, and its battery's air."""
    outputs = supply.known("members") or []
    if air is None:
        for field in ("air", "share_warm"):
            supply.lacks(field, *lacking)
    else:
        warm_supply(context, supply, context.part(supply.part), air)
    for output in outputs:
        warm_output(context, output)
    fill("output", outputs)
    fill("supply", [supply])
    if supply.has_battery and supply.known("battery") is not None:
        supply.battery.put("temperature_max", air, *lacking)


def _warm_recorder(context: Context, recorder: Recorder, air: float | None, lacking: tuple[str, ...]) -> None:
    """The air at a recorder, and the warmth of its disks."""
    recorder.put("ambient_max", air, *lacking)
    disks = recorder.known("disks")
    if disks is not None and context.loaded.site.recorders[recorder.name].disks is not None:
        disks.put("room", air, *lacking)
        if air is not None:
            context.ledger.take("disk-warmth")
        fill("disk_group", (disks,))


def _warm_ups(context: Context, ups: Ups, air: float | None, lacking: tuple[str, ...]) -> None:
    ups.put("ambient_max", air, *lacking)


_WARMED: dict[str, Callable[[Context, Any, float | None, tuple[str, ...]], None]] = {
    "supply": _warm_supply, "recorder": _warm_recorder, "ups": _warm_ups,
}  # fmt: skip
"""Devices of which more follows from the air around them than that it is too warm."""
