"""What else counts of the disks of one recorder: erasing by age, unequal disks, rebuilding, growth, warmth.

Works on a disk group whose capacity and days are bound (`store_binding`). What is missing opens exactly what
depends on it; what nobody asks for is not computed.
"""

from __future__ import annotations

from coaxwright.facts.context import Context
from coaxwright.facts.physics.storage import array_bytes, days_kept, rebuild_hours, unequal_loss
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.record.record_binding import Totals
from coaxwright.facts.record.storing import Store, level_name
from coaxwright.facts.sheets import DiskGroup
from coaxwright.model.site import Recorder as RecorderEntry

REBUILT = ("raid1", "raid5", "raid6", "raid10")
"""Levels that write a failed disk anew: SNIA Disk Data Format."""


def bind_ages(context: Context, group: DiskGroup, entry: RecorderEntry, totals: Totals) -> None:
    """Days after which recordings are gone, and how much of the days hangs on an assumed share."""
    site = context.loaded.site
    if site.retention_max is not None:
        group.days_max = site.retention_max
    else:
        group.lacks("days_max", "retention_max")
    if entry.erase_after is not None:
        group.erase_after = entry.erase_after
    else:
        group.lacks("erase_after", f"{group.recorder.subject}/erase_after")
    ages = [days for days in (group.known("days"), entry.erase_after) if days is not None]
    if group.known("days") is None and (entry.erase_after is None or not ages):
        lack(group, ("days_held",), group.missing("days"))
    else:
        group.days_held = min(ages)
    group.motion_assumed = totals.motion_assumed
    usable = group.known("usable")
    if usable is None or totals.lacking_bitrate or not totals.bitrate:
        lack(group, ("days_continuous",), group.missing("days"))
    else:
        group.days_continuous = days_kept(usable, totals.bitrate)


def bind_care(context: Context, group: DiskGroup, entry: RecorderEntry, store: Store) -> None:
    """Unequal disks, rebuilding, room to grow and warmth of a group whose disks are named."""
    sizes = sorted(context.part(disk).capacity for disk in entry.disks or ())
    members = sizes[: store.members]
    group.spares = entry.spare_disks
    if not members:
        lack(group, ("smallest", "lost", "rebuild", "usable_most"), (f"{group.recorder.subject}/disks",))
    else:
        group.smallest = members[0]
        group.lost = 0.0 if entry.redundancy == "none" else unequal_loss(members)
        _bind_rebuild(context, group, entry, members[0])
        _bind_growth(context, group, entry)
    _bind_warmth(context, group, entry)


def _bind_rebuild(context: Context, group: DiskGroup, entry: RecorderEntry, member: float) -> None:
    """Every member counts as the smallest, so that much is written anew."""
    if entry.redundancy in REBUILT:
        group.rebuild = rebuild_hours(member, float(context.ledger.take("rebuild-rate")))
    else:
        group.lacks("rebuild", f"{group.recorder.subject}/redundancy")


def _bind_growth(context: Context, group: DiskGroup, entry: RecorderEntry) -> None:
    """Usable bytes with the largest disk in every bay; only where the site is to grow."""
    if context.loaded.site.growth is None:
        group.lacks("usable_most", "growth")
        return
    missing = [path for field in ("bays", "largest_allowed") if group.known(field) is None for path in group.missing(field)]
    if missing:
        lack(group, ("usable_most",), tuple(missing))
        return
    bays = group.bays - group.bays % 2 if entry.redundancy == "raid10" else group.bays
    try:
        most = array_bytes(level_name(entry.redundancy), [group.largest_allowed] * bays, entry.spare_disks)
    except ValueError:
        most = 0.0
    group.usable_most = most * float(context.ledger.values["usable-share"].value)


def _bind_warmth(context: Context, group: DiskGroup, entry: RecorderEntry) -> None:
    """Disks above the warmest air that was written for the room; not on assumed air."""
    recorder = group.recorder
    named = dict.fromkeys(entry.disks or ())
    stated = {disk: context.part(disk).temperature_max for disk in named}
    silent = tuple(f"parts/{disk}/temperature_max" for disk, value in stated.items() if value is None)
    if silent or not stated:
        lack(group, ("temperature_max",), silent or (f"{recorder.subject}/disks",))
    else:
        group.temperature_max = min(value for value in stated.values() if value is not None)
    if recorder.known("ambient_max") is None or recorder.ambient_max_assumed:
        group.lacks("temperature", f"{recorder.subject}/place/ambient_max")
    else:
        group.temperature = recorder.ambient_max + float(context.ledger.take("disk-warmth"))
