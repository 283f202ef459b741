"""What else is stated of the disks of one recorder: erasing by age, rebuilding, growth, warmth.

What follows from it is declared in `rules/facts/storage.yaml`; what nobody asks for is not computed.
"""

from __future__ import annotations

from coaxwright.facts.context import Context
from coaxwright.facts.record.storing import Store, data_disks
from coaxwright.facts.sheets import DiskGroup
from coaxwright.model.site import Recorder as RecorderEntry

REBUILT = ("raid1", "raid5", "raid6", "raid10")
"""Levels that write a failed disk anew: SNIA Disk Data Format."""


def bind_ages(context: Context, group: DiskGroup, entry: RecorderEntry) -> None:
    """Days after which recordings have to be, and are set to be, erased."""
    group.put("days_max", context.loaded.site.retention_max, "retention_max")
    group.put("erase_after", entry.erase_after, f"{group.recorder.subject}/erase_after")


def bind_care(context: Context, group: DiskGroup, entry: RecorderEntry, store: Store) -> None:
    """Rebuilding, room to grow and warmth of a group whose disks are named."""
    rebuilt = entry.redundancy in REBUILT
    rate = float(context.ledger.values["rebuild-rate"].value)
    group.put("rebuild_rate", rate if rebuilt else None, f"{group.recorder.subject}/redundancy")
    if rebuilt and store.members:
        context.ledger.take("rebuild-rate")
    _bind_growth(context, group, entry, store)
    _bind_warmth(context, group, entry)


def _bind_growth(context: Context, group: DiskGroup, entry: RecorderEntry, store: Store) -> None:
    """Disks of data with a disk in every bay; only where the site is to grow."""
    bays = group.known("bays")
    if not store.members:
        group.lacks("data_disks_most", f"{group.recorder.subject}/disks")
    elif context.loaded.site.growth is None:
        group.lacks("data_disks_most", "growth")
    elif bays is None:
        group.lacks("data_disks_most", *group.missing("bays"))
    else:
        members = max(0, bays - entry.spare_disks)
        members -= members % 2 if entry.redundancy == "raid10" else 0
        group.put("data_disks_most", data_disks(entry.redundancy, members) or 0.0)


def _bind_warmth(context: Context, group: DiskGroup, entry: RecorderEntry) -> None:
    """What the disks stand, and the warmest air that was written for the room; not assumed air."""
    recorder = group.recorder
    stated = {disk: context.part(disk).temperature_max for disk in dict.fromkeys(entry.disks or ())}
    known = [value for value in stated.values() if value is not None]
    silent = [f"parts/{disk}/temperature_max" for disk, value in stated.items() if value is None]
    least = min(known) if known and not silent else None
    group.put("temperature_max", least, *(silent or [f"{recorder.subject}/disks"]))
    written = recorder.known("ambient_max") is not None and not recorder.ambient_max_assumed
    group.put("room", recorder.ambient_max if written else None, f"{recorder.subject}/place/ambient_max")
    if written:
        context.ledger.take("disk-warmth")
