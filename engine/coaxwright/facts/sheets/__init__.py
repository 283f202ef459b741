"""One slotted fact sheet per kind of subject."""

from __future__ import annotations

from coaxwright.facts.sheets.backup import Battery
from coaxwright.facts.sheets.base import Sheet, fact, sheet
from coaxwright.facts.sheets.ethernet import PoePort, PoeSource
from coaxwright.facts.sheets.power import Feed, Junction, Output, Supply
from coaxwright.facts.sheets.record import DiskGroup, Path, Site
from coaxwright.facts.sheets.signal import Box, Camera, Hop, Input, Link, Recorder, Run

SHEETS: dict[str, type[Sheet]] = {
    cls.kind: cls
    for cls in (
        Site, Recorder, Input, Camera, Link, Hop, Run, Feed, Supply, Output, Junction, DiskGroup, Box, Path,
        Battery, PoeSource, PoePort,
    )
}  # fmt: skip

__all__ = [
    "SHEETS", "Battery", "Box", "Camera", "DiskGroup", "Feed", "Hop", "Input", "Junction", "Link", "Output", "Path",
    "PoePort", "PoeSource", "Recorder", "Run", "Sheet", "Site", "Supply", "fact", "sheet",
]  # fmt: skip
