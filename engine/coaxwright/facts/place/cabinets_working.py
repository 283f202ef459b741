"""Workings of cabinets: heat device by device, and where the air around a device in one comes from. Computes no fact."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.physics.battery import lead_cells
from coaxwright.facts.sheets import Battery, Cabinet, Exposure, Housed, Recorder, Supply, Ups
from coaxwright.facts.written import number

Lines = tuple[str, ...]


def _watts(context: Context, sheet: Cabinet) -> Lines:
    terms = [f"{number(watts)} W ({subject})" for subject, watts in sheet.steps]
    return (f"{' + '.join(terms) or '0 W'} = {number(sheet.watts)} W",)


def _cells_hours(context: Context, sheet: Cabinet) -> Lines:
    housed = [each for each in _in(context, sheet.name) if each.has_battery and each.battery.chemistry == "lead-acid"]
    terms = [f"{lead_cells(context.part(each.part).volts)} x {number(each.battery.capacity)} Ah" for each in housed]
    return (f"{' + '.join(terms) or '0 Ah'} = {number(sheet.cells_hours)} Ah",)


def _in(context: Context, cabinet: str) -> list[Supply]:
    entries = context.loaded.site.supplies
    return [sheet for name, sheet in context.supplies.items() if (place := entries[name].place) and place.cabinet == cabinet]


def _heat(context: Context, sheet: Housed) -> Lines:
    return (f"{sheet.steps} = {number(sheet.heat)} W",)


def _air(context: Context, sheet: Housed) -> Lines:
    return (f"{number(sheet.air)} degC at {sheet.subject}, in {sheet.cabinet.subject}",)


def _devices(context: Context, sheet: Cabinet) -> Lines:
    names = [subject for subject, _ in sheet.steps if "/" in subject]
    return (f"{', '.join(names) or 'none'}: {sheet.devices}",)


def _of_battery(context: Context, sheet: Battery) -> Lines:
    return tuple(line.replace("the air in", "of its supply, the air in") for line in _surrounding("air")(context, sheet.supply))


def _surrounding(field: str) -> Callable[[Context, Any], Lines]:
    def explain(context: Context, sheet: Supply | Recorder | Ups | Exposure) -> Lines:
        place = getattr(context.loaded.site, str(sheet.pointer[0]))[sheet.name].place
        if place is None or place.cabinet is None or place.ambient_max is not None:
            return ()
        return (f"{number(getattr(sheet, field))} degC: the air in cabinets/{place.cabinet}",)

    return explain


CABINET_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("cabinet", "watts"): _watts,
    ("cabinet", "cells_hours"): _cells_hours,
    ("housed", "heat"): _heat,
    ("housed", "air"): _air,
    ("supply", "air"): _surrounding("air"),
    ("ups", "ambient_max"): _surrounding("ambient_max"),
    ("battery", "temperature_max"): _of_battery,
    ("exposure", "ambient_max"): _surrounding("ambient_max"),
    ("cabinet", "devices"): _devices,
}
"""By kind of sheet and field."""
