"""Workings of batteries by the tables and curves of their datasheets. Every line computes again; nothing computes a fact."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.power.evening import taken
from coaxwright.facts.sheets import Battery, Evening
from coaxwright.facts.written import number

Lines = tuple[str, ...]


def _tabled(context: Context, sheet: Battery) -> Lines:
    """The current that is as hard on a new battery, and the rows around it."""
    alike, rates = sheet.steps
    table = "; ".join(f"{number(amps)} A {number(hours)} h" for amps, hours in sorted(rates))
    as_new = f"{number(sheet.amps)} A x {number(sheet.capacity)} Ah / {number(sheet.usable)} Ah = {number(alike)} A of a new one"
    return (f"{as_new}, straight in logarithms in the table {table}: {number(sheet.hours_tabled)} h",)


def _needed(context: Context, sheet: Evening) -> Lines:
    least = f"{number(sheet.feed.load.volts_min)} V at {sheet.feed.load.subject}"
    if math.isinf(sheet.volts_needed):
        return (f"no battery of this kind gives {least}: unlimited",)
    return (f"{least} asks for {number(sheet.volts_needed)} V of the battery",)


def _lit(context: Context, sheet: Evening) -> Lines:
    curve = context.part(sheet.battery.supply.part).battery_curve
    told = ", ".join(f"{number(share)} out: {number(volts)} V" for share, volts in curve)
    share = taken(curve, sheet.volts_needed)
    line = f"{number(sheet.battery.hours)} h x {number(share)} = {number(sheet.hours)} h"
    return (f"{line}: {number(share)} of it is out when it falls so far", f"its curve: {told}")


EVENING_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("battery", "hours_tabled"): _tabled,
    ("evening", "volts_needed"): _needed,
    ("evening", "hours"): _lit,
}
"""By kind of sheet and field."""
