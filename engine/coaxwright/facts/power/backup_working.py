"""Workings of batteries, cold starts, protective devices and powered network ports.

Every line computes again from the numbers that stand in it. Nothing here computes a fact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.physics.battery import LEAD_VOLTS_A_CELL, battery_volts, lead_cells
from coaxwright.facts.power.power_runs import PowerRuns
from coaxwright.facts.power.solved_ways import sources, term
from coaxwright.facts.power.supply_sheets import class2_table
from coaxwright.facts.sheets import Battery, Feed, Output, PoePort, Run, Supply
from coaxwright.facts.written import number
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]


def _assumed(context: Context, *names: str) -> Lines:
    """Where assumed figures are from."""
    rows = [context.ledger.values[name] for name in names]
    return tuple(f"{row.written} assumed: {row.about} ({row.source})" for row in rows)


def _amps(context: Context, sheet: Battery) -> Lines:
    volts = battery_volts(context.part(sheet.supply.part).volts)
    return (
        f"{number(sheet.amps)} A into all outputs by night from {number(volts)} V, the voltage of a battery half empty",
    )


def _on_battery(context: Context, sheet: Feed) -> Lines:
    end = sheet.source.battery.volts_end
    if sheet.volts_battery == 0.0:
        return (f"from {number(end)} V no working voltage exists for all that shares these cables",)
    lost = number(end - sheet.volts_battery)
    line = f"{number(end)} V - {lost} V = {number(sheet.volts_battery)} V"
    return (f"{line}: what an empty battery leaves at {sheet.load.subject}",)


def _start(context: Context, sheet: Supply | Output) -> Lines:
    return (
        f"{number(sheet.amps_start)} A: inrush of {sheet.inrush_stated} devices, in no run more than the supply's voltage "
        "over the resistance back to it",
    )


def _class2(context: Context, sheet: Supply) -> Lines:
    table = class2_table(sheet)
    rows = [row for row in table.rows if row["edition"] == sheet.wiring_code]
    row = next(row for row in reversed(rows) if row["volts_above"] < sheet.volts)
    if row["amps"] is None and sheet.volts <= row["volts_up_to"]:
        limit = f"{number(row['volt_amperes'])} VA / {number(sheet.volts)} V = {number(sheet.class2_amps)} A"
    else:
        limit = f"{number(sheet.class2_amps)} A at {number(sheet.volts)} V"
    return (f"{limit}: {row['source']}",)


def _protective(context: Context, sheet: Run) -> Lines:
    if math.isinf(sheet.amps_protective):
        return (f"nothing between the source and {sheet.subject} limits the current",)
    return (f"{number(sheet.amps_protective)} A: the least of all devices between the source and {sheet.subject}",)


def _port_ohms(context: Context, sheet: PoePort) -> Lines:
    """Each run as a product; the powered pairs stand as its divisor."""
    lists, kind = context.topology.lists, sheet.device.partition("/")[0]
    powers = lists.power if kind == "cameras" else {name: path for (_, name), path in lists.device_power.items()}
    pieces = PowerRuns(context.for_component()).read(powers[sheet.name], None, sheet.pairs_needed).pieces
    terms = " + ".join(map(term, pieces)) or "0 ohm"
    return (f"{terms} = {number(sheet.ohms)} ohm over {sheet.pairs_needed} pairs", *dict.fromkeys(sources(context, pieces)))


def _of_class(context: Context, sheet: PoePort) -> Lines:
    row = load_table("poe-classes").row(sheet.device_class)
    return (
        f"class {sheet.device_class}: {number(row['source_watts'])} W set aside, {number(row['device_watts'])} W for the "
        f"device, over {number(row['channel_ohms'])} ohm: {row['source']}",
    )


def _of_port(field: str, unit: str, context: Context, sheet: PoePort) -> Lines:
    """What the highest class of the port comes with, by the tables of classes and types."""
    row = load_table("poe-classes").row(sheet.port_class)
    kind = load_table("poe-types").row(row["type"])
    return (f"class {sheet.port_class}, type {row['type']}: {number(getattr(sheet, field))} {unit}: {kind['source']}",)


def _of_device(field: str, unit: str, context: Context, sheet: PoePort) -> Lines:
    """What the class of the device comes with."""
    row = load_table("poe-classes").row(sheet.device_class)
    kind = load_table("poe-types").row(row["type"])
    return (f"class {sheet.device_class}, type {row['type']}: {number(getattr(sheet, field))} {unit}: {kind['source']}",)


def _volts_end(context: Context, sheet: Battery) -> Lines:
    part = context.part(sheet.supply.part)
    if part.battery_volts_end is not None:
        return ()
    row = context.ledger.values["battery-end"]
    nominal = f"{lead_cells(part.volts)} (cells) x {number(LEAD_VOLTS_A_CELL)} V x {number(row.value)}"
    return (f"{nominal} = {number(sheet.volts_end)} V", *_assumed(context, "battery-end"))


def _charged_most(context: Context, sheet: Supply) -> Lines:
    """Greatest volts while the battery is charged: those of a boost where its part states one that is higher."""
    boost = context.part(sheet.part).boost_volts
    if boost is not None and sheet.known("volts_float") == boost:
        return (f"{number(boost)} V while it charges its battery hard, as its part states",)
    return _kept_charged("volts_float", "battery-float-greatest", context, sheet)


def _kept_charged(field: str, row: str, context: Context, sheet: Supply) -> Lines:
    """Volts of a supply that keeps a lead-acid battery charged."""
    part, assumed = context.part(sheet.part), context.ledger.values[row]
    if sheet.trimmed or part.float_volts is not None or sheet.known("volts_float") is None:
        return ()
    cells, value = f"{lead_cells(part.volts)} (cells) x {number(assumed.value)} V", getattr(sheet, field)
    if value == part.volts:
        return (f"{number(value)} V nominal, above {cells}",)
    return (f"{cells} = {number(value)} V", *_assumed(context, row))


BACKUP_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("battery", "amps"): _amps,
    ("battery", "volts_end"): _volts_end,
    ("supply", "volts"): partial(_kept_charged, "volts", "battery-float-least"),
    ("supply", "volts_float"): _charged_most,
    ("supply", "float_least"): partial(_kept_charged, "float_least", "battery-float-least"),
    ("feed", "volts_battery"): _on_battery,
    ("supply", "amps_start"): _start,
    ("output", "amps_start"): _start,
    ("supply", "class2_amps"): _class2,
    ("run", "amps_protective"): _protective,
    ("poe_port", "ohms"): _port_ohms,
    ("poe_port", "watts_port"): partial(_of_port, "watts_port", "W"),
    ("poe_port", "volts"): partial(_of_port, "volts", "V"),
    ("poe_port", "volts_min"): partial(_of_device, "volts_min", "V"),
    ("poe_port", "pairs_needed"): partial(_of_device, "pairs_needed", "pairs"),
    ("poe_port", "watts_allotted"): _of_class,
    ("poe_port", "watts_class"): _of_class,
    ("poe_port", "ohms_max"): _of_class,
}
"""By kind of sheet and field."""
