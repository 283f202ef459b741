"""Workings of what runs without mains beside the cameras, and of UPS: from what the computation kept, or read again."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.sheets import Standby, Ups
from coaxwright.facts.written import number

Lines = tuple[str, ...]


def _loads(context: Context, sheet: Ups) -> Lines:
    names = [subject for subject, _, _ in sheet.steps]
    return (f"{sheet.loads}: {', '.join(names)}" if names else "0: nothing is plugged into it",)


def _watts(context: Context, sheet: Ups) -> Lines:
    terms = [f"{number(watts)} W ({subject})" for subject, watts, _ in sheet.steps]
    return (f"{' + '.join(terms) or '0 W'} = {number(sheet.watts)} W from the mains, a supply's power over its efficiency",)


def _volt_amps(context: Context, sheet: Ups) -> Lines:
    row = context.ledger.values["mains-power-factor"]
    line = f"{number(sheet.watts)} W / {number(row.value)} = {number(sheet.volt_amps)} VA"
    return (line, f"{row.written} assumed: {row.about} ({row.source})")


def _by_table(context: Context, sheet: Ups) -> Lines:
    rows = sorted((row.watts, row.hours) for row in context.part(sheet.part).runtimes)
    table = "; ".join(f"{number(watts)} W {number(hours)} h" for watts, hours in rows)
    if sheet.watts <= rows[0][0]:
        return (f"{number(sheet.hours)} h: no longer than at {number(rows[0][0])} W, the least load of {table}",)
    return (f"{number(sheet.watts)} W in the table {table}, straight in logarithms between two rows: {number(sheet.hours)} h",)


def _wanted(context: Context, sheet: Standby) -> Lines:
    return (f"{number(sheet.wanted)} h: the longest running time without mains that is written for what depends on it",)


def _hours(context: Context, sheet: Standby) -> Lines:
    if sheet.fed_by == "mains":
        return ("0 h: it stops with the mains",)
    source = sheet.known("ups") or sheet.known("battery")
    return (f"{number(sheet.hours)} h" + ("" if source is None else f", as {source.subject} lasts"),)


STANDBY_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("ups", "loads"): _loads,
    ("ups", "watts"): _watts,
    ("ups", "volt_amps"): _volt_amps,
    ("ups", "hours"): _by_table,
    ("standby", "wanted"): _wanted,
    ("standby", "hours"): _hours,
}
"""By kind of sheet and field."""
