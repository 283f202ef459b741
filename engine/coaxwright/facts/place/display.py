"""Screens: whether a screen fits the output it is joined to, and how far away it can still be read in full.

Reads the screen, its output and their parts; nothing of cameras.
"""

from __future__ import annotations

from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.sheets import Monitor
from coaxwright.model.common import VideoMode
from coaxwright.model.recorder_parts import MonitorPart
from coaxwright.model.site import Monitor as MonitorEntry
from coaxwright.reading.tables import Row, load_table
from coaxwright.topology.records import Port

_JOINED = ("output", "connector", "connector_fits", "output_mode", "shows_all", "screens")


def bind_monitor(context: Context, name: str) -> Monitor:
    """The sheet of one screen."""
    entry = context.loaded.site.monitors[name]
    part: MonitorPart = context.part(entry.part)
    sheet = Monitor()
    sheet.subject, sheet.pointer, sheet.name, sheet.part = f"monitors/{name}", ("monitors", name), name, entry.part
    path = context.topology.lists.screens.get(name)
    sheet.joined = path is not None
    if path is None or path.target is None:
        lack(sheet, _JOINED, (f"{sheet.subject}/from",))
    else:
        _bind_output(sheet, context, part, path.target)
    _bind_size(sheet, part)
    if entry.distance is not None:
        sheet.distance = entry.distance
    else:
        lack(sheet, ("distance",), (f"{sheet.subject}/distance",))
    _bind_cable(sheet, entry)
    fill("monitor", (sheet,))
    return sheet


def cable_row(mode: str) -> Row | None:
    """The row of table `screen-cables` for what an output gives, as in `1920x1080@60`; None above the last."""
    size, _, frames = mode.partition("@")
    columns, _, lines = size.partition("x")
    rate = int(columns) * int(lines) * float(frames)
    return next((row for row in load_table("screen-cables").rows if rate <= row["pixel_rate"]), None)


def _bind_cable(sheet: Monitor, entry: MonitorEntry) -> None:
    """The cable to a screen, and how long a passive one is planned at most for what the output gives."""
    sheet.put("cable_length", entry.length, f"{sheet.subject}/length")
    connector, mode = sheet.known("connector"), sheet.known("output_mode")
    if connector is None:
        lack(sheet, ("cable_passive", "cable_most"), sheet.missing("connector"))
        return
    sheet.cable_passive = _kind(connector) == "hdmi" and entry.active is not True
    row = cable_row(mode)
    sheet.put("cable_most", None if row is None else float(row["length"]), f"{sheet.subject}/active")


def _bind_output(sheet: Monitor, context: Context, part: MonitorPart, target: Port) -> None:
    site, lists = context.loaded.site, context.topology.lists
    outputs = context.part(site.recorders[target.device].part).outputs or ()
    output = next(each for each in outputs if each.connector == target.connector)
    sheet.output, sheet.connector = f"{target.device}/{target.connector}", target.connector
    screens = [path.owner for path in lists.others[target]]
    sheet.steps, sheet.screens, sheet.output_mode = {"screens": screens}, len(screens), str(output.mode)
    if part.connectors:
        sheet.connector_fits = _kind(target.connector) in map(_kind, part.connectors)
    else:
        lack(sheet, ("connector_fits",), (f"parts/{sheet.part}/connectors",))
    if part.mode is None:
        lack(sheet, ("shows_all",), (f"parts/{sheet.part}/mode",))
    else:
        sheet.shows_all = _covers(part.mode, output.mode)


def _kind(connector: str) -> str:
    """A connector without the number that tells several of one kind apart: `hdmi2` is an `hdmi`."""
    return connector.rstrip("0123456789").rstrip("-_.") or connector


def _covers(screen: VideoMode, output: VideoMode) -> bool:
    return screen.width >= output.width and screen.height >= output.height and screen.fps >= output.fps


def _bind_size(sheet: Any, part: MonitorPart) -> None:
    """What is stated of its size: figures beside its facts, from which `rules/facts/monitor.yaml` goes on."""
    if part.diagonal is not None:
        sheet.diagonal = part.diagonal
    else:
        lack(sheet, ("diagonal",), (f"parts/{sheet.part}/diagonal",))
    if part.mode is not None:
        sheet.mode, sheet.columns, sheet.lines = str(part.mode), part.mode.width, part.mode.height
    else:
        lack(sheet, ("mode", "columns", "lines"), (f"parts/{sheet.part}/mode",))
