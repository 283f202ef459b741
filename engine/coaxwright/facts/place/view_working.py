"""Workings of what cameras see, of the upkeep of disks, and of places; every sum computes again from its line.

Computes no fact.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.physics.storage import TERABYTE
from coaxwright.facts.place.view_binding import EDITIONS, F_NUMBER_COMPARED
from coaxwright.facts.sheets import DiskGroup, Exposure
from coaxwright.facts.sheets.view import View
from coaxwright.facts.written import number
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]
GEOMETRY = "source: geometrical optics, an ideal (rectilinear) lens"
INVERSE_SQUARE = "source: inverse square law"


def _class(context: Context, view: View) -> Lines:
    rows = (load_table(edition).get(view.see) for edition in EDITIONS)
    row = next(row for row in rows if row is not None)
    return f"{view.see}: {number(row['density'])} px/m", f"source: {row['source']}"


def _slant(context: Context, view: View) -> Lines:
    if view.known("look_down") is None:
        row = context.ledger.values["line-of-sight"]
        return f"{number(view.distance)} m, {row.about}", f"source: {row.source}"
    above, words = _above(context, view)
    return f"sqrt(({number(view.distance)} m)^2 + ({number(above)} m)^2) = {number(view.slant)} m", words


def _above(context: Context, view: View) -> tuple[float, str]:
    height = context.loaded.site.cameras[view.camera.name].place.height  # type: ignore[union-attr]
    target = context.ledger.values["target-height"]
    above = (height or 0.0) - float(target.value)
    return above, f"{number(height or 0.0)} m - {target.written} (height of what is to be seen; {target.source})"


def _look_down(context: Context, view: View) -> Lines:
    above, words = _above(context, view)
    return f"atan({number(above)} m / {number(view.distance)} m) = {number(view.look_down)} deg", words


def _width(context: Context, view: View) -> Lines:
    sensor = context.part(view.camera.part).optics.sensor_width
    if sensor is None:
        return (f"from the angle of {number(view.angle)} deg that the part states: {number(view.width)} m", GEOMETRY)
    sums = f"{number(view.slant)} m x {number(sensor)} mm / {number(view.focal)} mm = {number(view.width)} m"
    return sums, GEOMETRY


def _angle(context: Context, view: View) -> Lines:
    sensor = context.part(view.camera.part).optics.sensor_width
    if sensor is None:
        return (f"{number(view.angle)} deg, as its part states for the shortest focal length",)
    return f"2 x atan({number(sensor)} mm / 2 / {number(view.focal)} mm) = {number(view.angle)} deg", GEOMETRY


def _density(field: str, columns: str) -> Callable[[Context, View], Lines]:
    def explain(context: Context, view: View) -> Lines:
        count = view.known(columns)
        sums = f"{count} px / {number(view.width)} m = {number(view.known(field))} px/m"
        return sums, *_width(context, view), *_slant(context, view)

    return explain


def _farthest(context: Context, view: View) -> Lines:
    per_metre = view.columns / view.density_wanted / view.farthest
    sums = f"{view.columns} px / {number(view.density_wanted)} px/m / {number(per_metre)} (sensor / focal length)"
    return f"{sums} = {number(view.farthest)} m", GEOMETRY


def _light_short(context: Context, view: View) -> Lines:
    sums = f"({number(view.slant)} m / {number(view.lamp_range)} m)^2 = {number(view.light_short)}"
    return sums, INVERSE_SQUARE


def _f_number_wanted(context: Context, view: View) -> Lines:
    sums = f"{number(view.f_number)} / sqrt({number(view.light_short)}) = {number(view.f_number_wanted)}"
    return sums, "source: geometrical optics, light goes with 1 / N^2"


def _light_gain(context: Context, view: View) -> Lines:
    sums = f"({number(F_NUMBER_COMPARED)} / {number(view.f_number)})^2 = {number(view.light_gain)}"
    return sums, "source: geometrical optics, light goes with 1 / N^2"


def _near_ratio(context: Context, view: View) -> Lines:
    return f"({number(view.slant)} m / {number(view.near)} m)^2 = {number(view.near_ratio)}", INVERSE_SQUARE


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


# Places


def _sun_margin(context: Context, sheet: Exposure) -> Lines:
    ends = f"{number(sheet.temperature_max)} degC - {number(sheet.ambient_max)} degC"
    return (f"{ends} = {number(sheet.sun_margin)} K",)


VIEW_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("view", "density_wanted"): _class,
    ("view", "slant"): _slant,
    ("view", "look_down"): _look_down,
    ("view", "width"): _width,
    ("view", "angle"): _angle,
    ("view", "density"): _density("density", "columns"),
    ("view", "density_full"): _density("density_full", "columns_full"),
    ("view", "farthest"): _farthest,
    ("view", "light_short"): _light_short,
    ("view", "f_number_wanted"): _f_number_wanted,
    ("view", "light_gain"): _light_gain,
    ("view", "near_ratio"): _near_ratio,
    ("disk_group", "lost"): _lost,
    ("disk_group", "rebuild"): _rebuild,
    ("disk_group", "temperature"): _temperature,
    ("disk_group", "days_held"): _held,
    ("disk_group", "usable_most"): _usable_most,
    ("disk_group", "days_continuous"): _days_continuous,
    ("exposure", "sun_margin"): _sun_margin,
}
