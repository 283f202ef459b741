"""The disks of one recorder as one store: which of them take part, what they come to, and what they are rated for.

Pure: works on disk parts and the level. Capacities, days and writing follow from it in `rules/facts/storage.yaml`.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.facts.sheets import DiskGroup
from coaxwright.immutable import immutable
from coaxwright.model.recorder_parts import DiskPart
from coaxwright.portable import added
from coaxwright.reading.tables import load_table


@immutable
class Store:
    """A group of disks; None for what is not known.

    `members` are the sizes in bytes of the disks that take part, smallest first: the largest stand aside as spares, so that
    each can stand in for any. `data` is how many disks' worth of data they hold; None where the level cannot be made of them.
    """

    sizes: tuple[float, ...]
    members: tuple[float, ...]
    data: float | None
    least: int
    continuous: bool | None
    workload: float | None


def least_disks(redundancy: str, members: int) -> int:
    """Members that the level needs at least; pairs only for raid10."""
    row = load_table("redundancy").row(redundancy)
    least = int(row["least_disks"])
    return members + 1 if row["even"] and members > least and members % 2 else least


def data_disks(redundancy: str, members: int) -> float | None:
    """Disks' worth of data in an array of so many members; the rest is redundancy. None where it cannot be made of them.

    Definitions of SNIA DDF: raid0 n; raid1 1; raid5 n - 1; raid6 n - 2; raid10 n / 2. "none" is disks filled in turn.
    """
    if members < least_disks(redundancy, members):
        return None
    shares = {"sum": members, "all": members, "one": 1, "less-one": members - 1, "less-two": members - 2, "half": members / 2}
    return float(shares[load_table("redundancy").row(redundancy)["data_share"]])


def store_of(parts: Sequence[DiskPart], redundancy: str, spares: int) -> Store:
    """The store that the disks make."""
    sizes = sorted(part.capacity for part in parts)
    members = tuple(sizes[: max(0, len(sizes) - spares)])
    runs = [part.continuous for part in parts]
    loads = [part.workload for part in parts if part.workload is not None]
    return Store(
        tuple(sizes),
        members,
        data_disks(redundancy, len(members)),
        least_disks(redundancy, len(members)),
        False if False in runs else None if None in runs else True,
        min(loads) if loads and len(loads) == len(sizes) else None,
    )


def put_members(group: DiskGroup, store: Store, path: str) -> None:
    """Write what takes part on the sheet; `path` is what supplies the rest."""
    members = store.members
    group.disks = len(store.sizes)
    group.put("members", float(len(members)) if members else None, path)
    group.put("member_bytes", float(added(members)) if members or not store.sizes else None, path)
    group.put("smallest", members[0] if members else None, path)
    group.put("data_disks", store.data, path)
