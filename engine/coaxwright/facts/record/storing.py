"""The disks of one recorder as one store: capacity after redundancy and formatting, days, writing a year.

Pure: works on disk parts, the level and mean bit rates. Redundancy levels are those of SNIA DDF.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.facts.physics.storage import (
    LEAST_DISKS,
    array_bytes,
    bytes_per_day,
    days_kept,
    disk_bytes_per_year,
)
from coaxwright.immutable import immutable
from coaxwright.model.recorder_parts import DiskPart


@immutable
class Store:
    """What is known of a group of disks; None for what is not.

    `raw` and `array` are bytes before and after redundancy and spares; `members` the disks that take part.
    """

    disks: int
    raw: float
    largest: float | None
    array: float | None
    members: int
    least: int
    continuous: bool | None
    workload: float | None


def level_name(redundancy: str) -> str:
    """`raid5` as the physics names it: `5`."""
    return redundancy.removeprefix("raid")


def least_disks(redundancy: str, members: int) -> int:
    """Members that the level needs at least; pairs only for raid10."""
    least = LEAST_DISKS[level_name(redundancy)]
    return members + 1 if redundancy == "raid10" and members > least and members % 2 else least


def store_of(parts: Sequence[DiskPart], redundancy: str, spares: int) -> Store:
    """The store that the disks make; its `array` is None where they are too few, or odd, for the level."""
    sizes = [part.capacity for part in parts]
    members = max(0, len(sizes) - spares)
    least = least_disks(redundancy, members)
    builds = members >= least
    array = array_bytes(level_name(redundancy), sizes, spares) if builds else None
    if not sizes:
        array = 0.0
    runs = [part.continuous for part in parts]
    loads = [part.workload for part in parts if part.workload is not None]
    return Store(
        len(sizes),
        sum(sizes),
        max(sizes, default=None),
        array,
        members,
        least + spares,
        False if False in runs else None if None in runs else True,
        min(loads) if loads and len(loads) == len(sizes) else None,
    )


def needed_bytes(mean_bitrate: float, days: float) -> float:
    """Bytes that `days` of recording at a mean bit/s take, to compare with usable capacity."""
    return bytes_per_day(mean_bitrate) * days


def days_of(usable: float, mean_bitrate: float) -> float | None:
    """Days until the oldest is overwritten; None where nothing is recorded, which never fills."""
    return days_kept(usable, mean_bitrate) if mean_bitrate > 0.0 else None


def written_a_year(mean_bitrate: float, redundancy: str, members: int) -> float:
    """Bytes that each disk writes in 8760 h at a mean bit/s."""
    return disk_bytes_per_year(mean_bitrate, 1.0, level_name(redundancy), members)
