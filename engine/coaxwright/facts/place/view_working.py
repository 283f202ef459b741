"""Workings of the class of a view, of its columns, and of what is counted of areas.

Computes no fact.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.place.view_binding import EDITIONS, EYES
from coaxwright.facts.sheets.view import View
from coaxwright.facts.written import counts, number
from coaxwright.reading.tables import load_table

Lines = tuple[str, ...]


def _class(context: Context, view: View) -> Lines:
    rows = (load_table(edition).get(view.see) for edition in EDITIONS)
    row = next(row for row in rows if row is not None)
    return f"{view.see}: {number(row['density'])} px/m", f"source: {row['source']}"


def _present(context: Context, view: View) -> Lines:
    row = load_table("view-classes-2025").row(view.present)
    said = f"{view.present} of the edition of 2025 answers to {view.see}: {number(row['density'])} px/m"
    return said, f"source: {row['source']}"


def _columns(context: Context, view: View) -> Lines:
    return (f"as recorded: {view.columns} columns",)


def _columns_full(context: Context, view: View) -> Lines:
    if not view.halved:
        return _columns(context, view)
    acquired = view.camera.link.width
    if acquired == view.columns_full:
        return (f"as acquired, of which every other one is recorded: {acquired} columns",)
    return (f"2 x {acquired} columns (acquired at reduced width) = {view.columns_full} columns",)


def _plate_seen(context: Context, view: View) -> Lines:
    seen = f"{number(view.plate_character)} m x cos {number(view.plate_angle)} deg = {number(view.plate_seen)} m"
    return seen, "source: geometrical optics"


def _plate_travel(context: Context, view: View) -> Lines:
    entry: Any = context.loaded.site.cameras[view.camera.name]  # all of it is stated where the travel is known
    plate, shutter = entry.wants.plate, entry.lens.shutter
    moves = f"{number(plate.speed)} km/h / 3.6 x {number(shutter)} s x sin {number(plate.crossing)} deg"
    return f"{moves} = {number(view.plate_travel)} m", "source: geometry"


def _face_seen(context: Context, view: View) -> Lines:
    entry: Any = context.loaded.site.cameras[view.camera.name]  # its angle is stated where this is known
    seen = f"{number(EYES)} m x cos {number(entry.wants.face.angle)} deg = {number(view.face_seen)} m"
    return seen, "source: Dodgson, Proc. SPIE 5291 (2004), mean of adults; geometrical optics"


VIEW_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    **counts({"area": "camera_count feeders shared_parts"}),
    ("view", "density_wanted"): _class,
    ("view", "density_present"): _present,
    ("view", "plate_seen"): _plate_seen,
    ("view", "plate_travel"): _plate_travel,
    ("view", "face_seen"): _face_seen,
    ("view", "columns"): _columns,
    ("view", "columns_full"): _columns_full,
}
