"""Workings of ways over copper and of the distance from mains circuits, and of the crest that a rectifier sees."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.sheets import Copper, Feed
from coaxwright.facts.sheets.surroundings import Laying
from coaxwright.facts.written import number
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]


def _arresters(context: Context, sheet: Copper) -> Lines:
    return (f"{sheet.arresters} on the {sheet.use} way of {sheet.owner}",)


def _arrester_volts(context: Context, sheet: Copper) -> Lines:
    return (f"{number(sheet.arrester_volts)} V: the least of the arresters on it, as their parts state it",)


def _tested(context: Context, sheet: Copper) -> Lines:
    """What the arresters state, and what each category is."""
    named = sheet.steps["categories"]
    rows = (row for row in load_table("arrester-categories").rows if row["category"] in named)
    impulses = (f"{row['category']} is tested with {row['impulse']} us: {row['source']}" for row in rows)
    return (f"the arresters on it, in order: {sheet.categories}", *impulses)


def _volts_line(context: Context, sheet: Copper) -> Lines:
    return (f"{number(sheet.volts_line)} V: the most that stands at {sheet.owner} without load",)


def _separation(context: Context, sheet: Laying) -> Lines:
    row = next(row for row in reversed(load_table("mains-separation").rows) if row["circuits_from"] <= sheet.mains_circuits)
    base = 0.05 if sheet.screened else 0.1  # EN 50174-2: S of class c and of class b
    line = f"{number(base)} m x {number(row['factor'])} = {number(sheet.separation)} m"
    return (f"{line} for {sheet.mains_circuits} circuits: {row['source']}",)


def _crest(context: Context, sheet: Feed) -> Lines:
    if not sheet.volts_crest_night:
        return ("no working voltage exists",)
    source = sheet.volts_night + sheet.drop_night
    lost = number(source - sheet.volts_crest_night)
    line = f"{number(source)} V - {lost} V = {number(sheet.volts_crest_night)} V"
    return (f"{line}: ohm times the amps of all loads beyond, piece by piece, taken off in full",)


COPPER_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("copper", "arresters"): _arresters,
    ("copper", "arrester_volts"): _arrester_volts,
    ("copper", "volts_line"): _volts_line,
    ("copper", "tested_for_stroke"): _tested,
    ("copper", "tested_for_induced"): _tested,
    ("laying", "separation"): _separation,
    ("feed", "volts_crest_night"): _crest,
}
"""By kind of sheet and field."""
