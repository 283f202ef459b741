"""Workings of the class of a view and of the upkeep of disks; every sum computes again from its line.

Computes no fact.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.physics.storage import TERABYTE
from coaxwright.facts.place.view_binding import EDITIONS
from coaxwright.facts.sheets import DiskGroup
from coaxwright.facts.sheets.view import View
from coaxwright.facts.written import counts, number
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]


def _class(context: Context, view: View) -> Lines:
    rows = (load_table(edition).get(view.see) for edition in EDITIONS)
    row = next(row for row in rows if row is not None)
    return f"{view.see}: {number(row['density'])} px/m", f"source: {row['source']}"


def _columns(context: Context, view: View) -> Lines:
    return (f"as recorded: {view.columns} columns",)


def _columns_full(context: Context, view: View) -> Lines:
    if not view.halved:
        return _columns(context, view)
    acquired = view.camera.link.width
    if acquired == view.columns_full:
        return (f"as acquired, of which every other one is recorded: {acquired} columns",)
    return (f"2 x {acquired} columns (acquired at reduced width) = {view.columns_full} columns",)


# Disks


def _lost(context: Context, group: DiskGroup) -> Lines:
    members = group.disks - group.spares
    what = f"{members} members count as {number(group.smallest / TERABYTE)} TB each"
    return f"{what}: {number(group.lost / TERABYTE)} TB are not used", "source: SNIA Disk Data Format"


def _rebuild(context: Context, group: DiskGroup) -> Lines:
    rate = context.ledger.values["rebuild-rate"]
    size = f"{number(group.smallest / TERABYTE)} TB x 1000000 x 8 bit/B"
    sums = f"{size} / ({number(rate.value / 1e6)} Mb/s x 3600 s/h) = {number(group.rebuild)} h"
    return sums, f"{rate.written} assumed: {rate.source}"


def _temperature(context: Context, group: DiskGroup) -> Lines:
    rise = context.ledger.values["disk-warmth"]
    sums = f"{number(group.recorder.ambient_max)} degC + {number(rise.value)} K = {number(group.temperature)} degC"
    return sums, f"{rise.written} assumed: {rise.source}"


def _held(context: Context, group: DiskGroup) -> Lines:
    ages = [f"{number(days)} d {what}" for days, what in (
        (group.known("days"), "until it is overwritten"), (group.known("erase_after"), "until it is erased by age")
    ) if days is not None]  # fmt: skip
    return (f"the least of {' and '.join(ages)} = {number(group.days_held)} d",)


def _usable_most(context: Context, group: DiskGroup) -> Lines:
    share = context.ledger.values["usable-share"]
    words = f"{group.bays} bays of {number(group.largest_allowed / TERABYTE)} TB, {group.redundancy}, {group.spares} spare"
    return f"{words}, {share.written} left: {number(group.usable_most / TERABYTE)} TB", f"{share.source}"


def _days_continuous(context: Context, group: DiskGroup) -> Lines:
    rate = f"({number(group.recorder.bitrate / 1e6)} Mb/s x 86400 s/d)"
    size = f"{number(group.usable / TERABYTE)} TB x 1000000 x 8 bit/B"
    return (f"{size} / {rate} = {number(group.days_continuous)} d",)


VIEW_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    **counts({"area": "camera_count feeders shared_parts"}),
    ("view", "density_wanted"): _class,
    ("view", "columns"): _columns,
    ("view", "columns_full"): _columns_full,
    ("disk_group", "lost"): _lost,
    ("disk_group", "rebuild"): _rebuild,
    ("disk_group", "temperature"): _temperature,
    ("disk_group", "days_held"): _held,
    ("disk_group", "usable_most"): _usable_most,
    ("disk_group", "days_continuous"): _days_continuous,
}
