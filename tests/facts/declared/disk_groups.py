"""A disk group as the declared facts see it: stated figures in, everything that follows set."""

from __future__ import annotations

from typing import Any

from coaxwright.facts.declared.filling import fill
from coaxwright.facts.record.storing import put_members, store_of
from coaxwright.facts.sheets import DiskGroup, Recorder
from coaxwright.model.recorder_parts import DiskPart

TB = 1e12


def disks(*terabytes: float, **more: object) -> list[DiskPart]:
    """Disks of these sizes."""
    return [
        DiskPart.model_validate({"kind": "disk", "source": "invented", "capacity": f"{size} TB", **more})
        for size in terabytes
    ]


def group(
    *terabytes: float, level: str = "none", spares: int = 0, mean: float | None = None, most: float | None = None, **stated: Any
) -> Any:
    """A group of such disks on a recorder of these bit rates (mean, and while recording), with other figures stated."""
    sheet: Any = DiskGroup()
    sheet.subject, sheet.redundancy, sheet.spares, sheet.recorder = "recorders/r/disks", level, spares, Recorder()
    sheet.recorder.subject = "recorders/r"
    for name, rate in (("bitrate_mean", mean), ("bitrate", most)):
        sheet.recorder.put(name, rate, "cameras/c/record/bitrate")
    if terabytes:
        put_members(sheet, store_of(disks(*terabytes), level, spares), "recorders/r/disks")
    for name, value in stated.items():
        setattr(sheet, name, value)
    fill("disk_group", [sheet])
    return sheet
