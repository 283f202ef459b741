"""The disks of one recorder as a sheet: capacity, days, writing a year.

What is missing opens exactly what depends on it.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.facts.context import Context
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.picture.picture_memory import PictureMemory
from coaxwright.facts.record.record_binding import Totals
from coaxwright.facts.record.store_care import bind_ages, bind_care
from coaxwright.facts.record.storing import Store, days_of, needed_bytes, store_of, written_a_year
from coaxwright.facts.sheets import Camera, DiskGroup, Recorder
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import Recorder as RecorderEntry

_OF_DISKS = (
    "disks", "bays_free", "largest", "raw", "usable", "days", "continuous", "written_per_year", "workload",
    "disks_least", "spares", "smallest", "lost", "rebuild", "usable_most", "temperature", "temperature_max",
)  # fmt: skip


def bind_disks(
    context: Context,
    memory: PictureMemory,
    sheet: Recorder,
    entry: RecorderEntry,
    totals: Totals,
    cameras: Iterable[Camera],
) -> DiskGroup:
    """The disk group of a recorder whose rates are summed; tells its cameras how long they are kept."""
    part: RecorderPart = context.part(entry.part)
    group = DiskGroup()
    group.subject = f"{sheet.subject}/disks"
    group.pointer = (*sheet.pointer, "disks") if entry.disks is not None else sheet.pointer
    group.recorder, sheet.disks = sheet, group
    _bind_frame(group, entry, part)
    recorded = list(cameras)
    _bind_wanted(group, context.loaded.site.retention, totals, recorded)
    if entry.disks is None:
        lack(group, _OF_DISKS, (f"{sheet.subject}/disks",))
    else:
        key = ("store", entry.disks, entry.redundancy, entry.spare_disks)
        store = memory.traits.get(key)
        if store is None:
            disks = [context.part(disk) for disk in entry.disks]
            store = memory.traits[key] = store_of(disks, entry.redundancy, entry.spare_disks)
        _bind_store(context, group, entry, store, totals)
        bind_care(context, group, entry, store)
    bind_ages(context, group, entry, totals)
    for camera in recorded:
        if group.known("days") is not None:
            camera.days_kept = group.days
        else:
            lack(camera, ("days_kept",), group.missing("days"))
    return group


def _bind_frame(group: DiskGroup, entry: RecorderEntry, part: RecorderPart) -> None:
    """What the recorder's part says of bays and redundancy."""
    group.redundancy = entry.redundancy
    group.redundancy_known = entry.redundancy == "none" or entry.redundancy in part.redundancy
    if part.bays is not None:
        group.bays = part.bays
    else:
        lack(group, ("bays", "bays_free"), (f"parts/{entry.part}/bays",))
    if part.disk_max is not None:
        group.largest_allowed = part.disk_max
    else:
        lack(group, ("largest_allowed",), (f"parts/{entry.part}/disk_max",))


def _bind_wanted(group: DiskGroup, retention: float | None, totals: Totals, cameras: list[Camera]) -> None:
    """Days wanted: the longest of the site's and of its cameras'; and the bytes that they take."""
    wanted = [] if retention is None else [(retention, "the site")]
    wanted += [(days, camera.name) for camera in cameras if (days := camera.known("wants_retention")) is not None]
    if not wanted:
        lack(group, ("days_wanted", "wanted_by", "needed"), ("retention",))
        return
    group.days_wanted, group.wanted_by = max(wanted, key=lambda each: each[0])
    if totals.lacking_bitrate:
        lack(group, ("needed",), totals.lacking_bitrate)
    else:
        group.needed = needed_bytes(totals.mean, group.days_wanted)


def _bind_store(context: Context, group: DiskGroup, entry: RecorderEntry, store: Store, totals: Totals) -> None:
    disks_path = f"{group.recorder.subject}/disks"
    group.disks, group.raw, group.disks_least = store.disks, store.raw, store.least
    if group.known("bays") is not None:
        group.bays_free = group.bays - store.disks
    if store.largest is not None:
        group.largest = store.largest
    else:
        lack(group, ("largest",), (disks_path,))
    _bind_ratings(group, entry, store, disks_path)
    if store.array is None:
        lack(group, ("usable", "days", "written_per_year"), (disks_path,))
        return
    group.usable = store.array * float(context.ledger.take("usable-share"))
    if totals.lacking_bitrate:
        lack(group, ("days", "written_per_year"), totals.lacking_bitrate)
        return
    days = days_of(group.usable, totals.mean)
    if days is not None:
        group.days = days
    else:
        lack(group, ("days",), ("cameras",))
    if store.members:
        group.written_per_year = written_a_year(totals.mean, entry.redundancy, store.members)
    else:
        lack(group, ("written_per_year",), (disks_path,))


def _bind_ratings(group: DiskGroup, entry: RecorderEntry, store: Store, disks_path: str) -> None:
    """Whether the disks run all the time, and the least yearly workload among them."""
    named = dict.fromkeys(entry.disks or ())
    for name, value in (("continuous", store.continuous), ("workload", store.workload)):
        if value is not None:
            setattr(group, name, value)
        else:
            lack(group, (name,), tuple(f"parts/{disk}/{name}" for disk in named) or (disks_path,))
