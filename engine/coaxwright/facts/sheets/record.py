"""Sheets of the whole site, of the disks and of the paths judged by pattern."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, fact, sheet


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


@sheet
class DiskGroup(Sheet):
    """The disks of one recorder as one store."""

    kind: ClassVar[str] = "disk_group"
    recorder: Any = fact("The recorder.", ref="recorder")
    disks: int = fact("Disks fitted.")
    bays: int = fact("Bays of the recorder.")
    bays_free: int = fact("Bays left; negative where there are more disks than bays.")
    largest: float = fact("Largest disk fitted.", "B")
    largest_allowed: float = fact("Largest disk that a bay takes.", "B")
    raw: float = fact("Capacity of all disks, decimal.", "B")
    usable: float = fact("Capacity left after redundancy, formatting and index.", "B")
    needed: float = fact("Capacity that the wanted retention needs.", "B")
    days: float = fact("Days that it holds before the oldest is overwritten.", "d")
    days_wanted: float = fact("Days to be kept: the longest wanted by the site or a camera on it.", "d")
    redundancy: str = fact(
        "Redundancy level.", choices=("none", "raid0", "raid1", "raid5", "raid6", "raid10")
    )
    redundancy_known: bool = fact("The recorder has that redundancy.")
    disks_least: int = fact("Disks that the redundancy needs at least.")
    continuous: bool = fact("Every disk is rated to run all the time.")
    written_per_year: float = fact("Written to each disk in a year.", "B")
    workload: float = fact("Smallest yearly workload for which a disk is rated.", "B")


@sheet
class Path(Sheet):
    """One path from one thing to another, for rules that judge paths."""

    kind: ClassVar[str] = "path"
    start: Any = fact("The camera at its start.", ref="camera")
    hops: list[Any] = fact("Runs and boxes, in order from the start.", many="hop")
    metres: float = fact("Length of all its runs.", "m")
