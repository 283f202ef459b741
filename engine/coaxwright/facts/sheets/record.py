"""Sheets of the whole site, of the disks and of the paths judged by pattern."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet


@sheet
class Site(Sheet):
    """The whole site."""

    kind: ClassVar[str] = "site"
    name: str = fact("Its name.")
    video_rate: int = fact("Frame family of the country: 25 or 30.")
    retention: float = fact("Days that recordings are to be kept.", "d")
    cameras: list[Any] = fact("Its cameras.", many="camera")
    recorders: list[Any] = fact("Its recorders.", many="recorder")
    supplies: list[Any] = fact("Its supplies.", many="supply")
    camera_count: int = fact("How many cameras it has.")
    cameras_recorded: int = fact("How many cameras a recorder input is named for.")
    sound_wanted: int = fact("How many cameras sound is wanted from.")
    cameras_labelled: int = fact("How many cameras have a label.")
    labels_shared: int = fact("Labels that more than one camera has.")
    label_shared: str = fact("The first of those.")
    growth: float = fact("Share by which what is recorded is to grow.")


@sheet
class DiskGroup(Sheet):
    """The disks of one recorder as one store."""

    kind: ClassVar[str] = "disk_group"
    recorder: Any = fact("The recorder.", ref="recorder")
    disks: int = fact("Disks fitted.")
    bays: int = fact("Bays of the recorder.")
    bays_free: int = declared("disk_group", "bays_free")
    largest: float = fact("Largest disk fitted.", "B")
    largest_allowed: float = fact("Largest disk that a bay takes.", "B")
    raw: float = fact("Capacity of all disks, decimal.", "B")
    usable: float = declared("disk_group", "usable")
    needed: float = declared("disk_group", "needed")
    days: float = declared("disk_group", "days")
    days_wanted: float = fact("Days to be kept: the longest wanted by the site or a camera on it.", "d")
    wanted_by: str = fact("Who wants those days: the site, or a camera by name.")
    erase_after: float = fact("Age at which its recorder is set to erase.", "d")
    days_held: float = declared("disk_group", "days_held")
    days_max: float = fact("Days that recordings may be kept at most, by the site.", "d")
    days_continuous: float = declared("disk_group", "days_continuous")
    motion_assumed: int = fact("Cameras recorded on motion whose share of the day nobody gave.")
    redundancy: str = fact(
        "Redundancy level.", choices=("none", "raid0", "raid1", "raid5", "raid6", "raid10")
    )
    redundancy_known: bool = fact("The recorder has that redundancy.")
    disks_least: int = declared("disk_group", "disks_least")
    spares: int = fact("Disks kept as hot spares.")
    smallest: float = fact("Smallest disk fitted.", "B")
    lost: float = declared("disk_group", "lost")
    rebuild: float = declared("disk_group", "rebuild")
    usable_most: float = declared("disk_group", "usable_most")
    temperature_max: float = fact("Warmest that the disks may get, by their datasheets.", "degC")
    temperature: float = declared("disk_group", "temperature")
    continuous: bool = fact("Every disk is rated to run all the time.")
    written_per_year: float = declared("disk_group", "written_per_year")
    played_back: bool = fact("Somebody says for how many hours of a day recordings are played back.")
    reads: float = fact("Bit rate read back from its disks, mean of the day.", "bit/s")
    read_per_year: float = declared("disk_group", "read_per_year")
    moved_per_year: float = declared("disk_group", "moved_per_year")
    workload: float = fact("Smallest yearly workload for which a disk is rated.", "B")


@sheet
class Path(Sheet):
    """One path from one thing to another, for rules that judge paths."""

    kind: ClassVar[str] = "path"
    start: Any = fact("The camera at its start.", ref="camera")
    hops: list[Any] = fact("Runs and boxes, in order from the start.", many="hop")
    metres: float = fact("Length of all its runs.", "m")


@sheet
class DiskRisk(Sheet):
    """Failures that are expected of the disks of one recorder, where a part states how many fail in a year."""

    kind: ClassVar[str] = "disk_risk"
    group: Any = fact("The disks.", ref="disk_group")
    failures: float = fact("Failures of its disks that are expected in a year.")
    exposed: float = fact("Hours from the failure of a disk until it is written anew; none where nothing makes up for one.", "h")
    loss: float = declared("disk_risk", "loss")


@sheet
class Clock(Sheet):
    """The clock of a recorder, where somebody wrote what keeps it right."""

    kind: ClassVar[str] = "clock"
    recorder: Any = fact("The recorder.", ref="recorder")
    kept_by: str = fact("What keeps it right.", choices=("time-server", "own"))
