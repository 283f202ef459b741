"""One slotted fact sheet per kind of subject."""

from __future__ import annotations

from coaxwright.facts.sheets.backup import Battery, Evening
from coaxwright.facts.sheets.base import Sheet, by_subject, fact, sheet
from coaxwright.facts.sheets.copper import Copper
from coaxwright.facts.sheets.ethernet import PoePort, PoeSource
from coaxwright.facts.sheets.network import (
    LINE_SHEETS,
    NETWORK_SHEETS,
    Address,
    Monitor,
    NetworkPath,
    NetworkPort,
    SerialBus,
    Sheath,
    Switch,
)
from coaxwright.facts.sheets.power import DeviceFeed, Feed, Junction, Output, Supply
from coaxwright.facts.sheets.record import Clock, DiskGroup, DiskRisk, Path, Site
from coaxwright.facts.sheets.signal import Box, Camera, Hop, Input, Link, Recorder, Run
from coaxwright.facts.sheets.standby import Standby, Ups
from coaxwright.facts.sheets.surroundings import Area, Cabinet, Ending, Exposure, Housed, Laying
from coaxwright.facts.sheets.view import View

_KINDS: tuple[type[Sheet], ...] = (
    Site, Recorder, Input, Camera, Link, Hop, Run, Feed, Supply, Output, Junction, DiskGroup, Box, Path,
    Battery, PoeSource, PoePort, DeviceFeed, View, Exposure, Laying, Area, Standby, Ups, Copper,
    Cabinet, Housed, Evening, Ending, DiskRisk, Clock, *NETWORK_SHEETS, *LINE_SHEETS,
)  # fmt: skip
SHEETS: dict[str, type[Sheet]] = {cls.kind: cls for cls in _KINDS}


def kind_at(kind: str, step: str) -> str:
    """The kind of sheet that a field of a kind leads to; the field's own name where it leads to none."""
    cls = SHEETS.get(kind)
    entry = cls.__dataclass_fields__.get(step) if cls else None  # type: ignore[attr-defined]
    return (entry.metadata["ref"] or entry.metadata["many"] or step) if entry else step


__all__ = [
    "NETWORK_SHEETS",
    "SHEETS",
    "Address",
    "Area",
    "Battery",
    "Box",
    "Cabinet",
    "Camera",
    "Clock",
    "Copper",
    "DeviceFeed",
    "DiskGroup",
    "DiskRisk",
    "Ending",
    "Evening",
    "Exposure",
    "Feed",
    "Hop",
    "Housed",
    "Input",
    "Junction",
    "Laying",
    "Link",
    "Monitor",
    "NetworkPath",
    "NetworkPort",
    "Output",
    "Path",
    "PoePort",
    "PoeSource",
    "Recorder",
    "Run",
    "SerialBus",
    "Sheath",
    "Sheet",
    "Site",
    "Standby",
    "Supply",
    "Switch",
    "Ups",
    "View",
    "by_subject",
    "fact",
    "kind_at",
    "sheet",
]  # fmt: skip
