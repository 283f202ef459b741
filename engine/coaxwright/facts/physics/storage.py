"""What video fills, what disks hold, and how long that lasts.

1 TB = 1e12 bytes (SI). Not for bitrates: see encoding.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from coaxwright.facts.physics.checks import count, not_negative, positive

SECONDS_PER_DAY = 86_400.0
SECONDS_PER_YEAR = 31_536_000.0
"""8760 hours, the year of a disk's workload rating (common practice)."""
TERABYTE = 1.0e12

LEAST_DISKS = {"none": 1, "0": 2, "1": 2, "5": 3, "6": 4, "10": 4}
"""Fewest disks of each level; "none" is disks filled one after the other. SNIA DDF defines the levels; minima
are common practice."""


def bytes_recorded(bit_per_second: float, seconds: float, duty: float = 1.0) -> float:
    """Bytes written in `seconds`: rate * seconds * duty / 8. `duty` is the share of time recorded, 0 to 1."""
    if not 0.0 <= duty <= 1.0:
        raise ValueError(f"duty must be from 0 to 1, not {duty!r}")
    return not_negative("bit_per_second", bit_per_second) * not_negative("seconds", seconds) * duty / 8.0


def bytes_per_day(bit_per_second: float, duty: float = 1.0) -> float:
    """Bytes a day: 1 Mb/s continuous is 10.8e9. Arithmetic."""
    return bytes_recorded(bit_per_second, SECONDS_PER_DAY, duty)


def array_bytes(level: str, disks: Sequence[float], spares: int = 0) -> float:
    """Usable bytes of an array of `disks` (bytes each) at `level` ("none", "0", "1", "5", "6", "10").

    Every member of a striped or mirrored array counts as its smallest; `spares` disks (the largest ones, so
    that each can stand in for any) are left out first. Definitions of SNIA DDF: 0 n c; 1 c; 5 (n-1) c; 6
    (n-2) c; 10 n/2 c. ValueError for too few disks, an odd number at level 10, or an unknown level.
    """
    members = _members(level, disks, spares)
    if level == "none":
        return float(sum(members))
    return members[0] * data_disks(level, len(members))


def _members(level: str, disks: Sequence[float], spares: int) -> list[float]:
    """Sizes of the disks that take part, smallest first, after checks."""
    sizes = sorted(positive("disk bytes", size) for size in disks)
    members = sizes[: len(sizes) - count("spares", spares)] if spares else sizes
    if spares > len(sizes):
        raise ValueError(f"{spares} spares of {len(sizes)} disks")
    data_disks(level, len(members))
    return members


def data_disks(level: str, disks: int) -> float:
    """Disks' worth of data in an array of `disks` members; the rest is redundancy. Definitions of SNIA DDF.
    """
    if level not in LEAST_DISKS:
        raise ValueError(f"level must be one of {', '.join(LEAST_DISKS)}, not {level!r}")
    if disks < LEAST_DISKS[level]:
        raise ValueError(f"level {level} needs {LEAST_DISKS[level]} disks or more, not {disks!r}")
    if level == "10" and disks % 2:
        raise ValueError(f"level 10 needs an even number of disks, not {disks!r}")
    by_level = {"none": disks, "0": disks, "1": 1, "5": disks - 1, "6": disks - 2, "10": disks // 2}
    return float(by_level[level])


def unequal_loss(disks: Sequence[float]) -> float:
    """Bytes of `disks` (bytes each) that an array leaves unused since every member counts as its smallest: SNIA DDF."""
    sizes = [positive("disk bytes", size) for size in disks]
    return float(sum(sizes) - min(sizes, default=0.0) * len(sizes))


def rebuild_hours(member_bytes: float, bit_per_second: float) -> float:
    """Hours to write one member anew at a rate that recording leaves: bytes * 8 / (bit/s) / 3600."""
    return positive("member_bytes", member_bytes) * 8.0 / positive("bit_per_second", bit_per_second) / 3600.0


def days_kept(usable_bytes: float, bit_per_second: float, duty: float = 1.0) -> float:
    """Days until the oldest is overwritten, first in first out: bytes / bytes a day; inf when nothing is
    recorded."""
    daily = bytes_per_day(bit_per_second, duty)
    return math.inf if daily == 0.0 else not_negative("usable_bytes", usable_bytes) / daily


def disk_bytes_per_year(
    bit_per_second: float, duty: float = 1.0, level: str = "none", disks: int = 1
) -> float:
    """Bytes that each member writes in 8760 h: total / data disks, for whole-stripe writes as video makes
    them.

    With separate disks ("none") it is the mean over the disks, which are filled in turn.
    """
    yearly = bytes_recorded(bit_per_second, SECONDS_PER_YEAR, duty)
    return yearly / data_disks(level, disks)
