"""The disks of one recorder as a sheet: what is stated of them.

What follows from it is declared in `rules/facts/storage.yaml`.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.facts.record.record_binding import Totals
from coaxwright.facts.record.store_care import bind_ages, bind_care, bind_reads
from coaxwright.facts.record.storing import Store, put_members, store_of
from coaxwright.facts.sheets import Camera, DiskGroup, Recorder
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.portable import added

_OF_DISKS = (
    "disks", "largest", "raw", "continuous", "workload", "spares", "smallest", "members", "member_bytes", "members_least",
    "data_disks", "data_disks_most", "rebuild_rate", "room", "temperature_max",
)  # fmt: skip


def bind_disks(
    context: Context,
    memory: SignalCache,
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
    group.motion_assumed = len(totals.on_assumed_motion)
    group.steps = {"motion_assumed": totals.on_assumed_motion, "disks": entry.disks}
    for name, assumed in (("usable_share", "usable-share"), ("warmth", "disk-warmth")):
        group.put(name, float(context.ledger.values[assumed].value))
    _bind_frame(group, entry, part)
    recorded = list(cameras)
    _bind_wanted(group, context.loaded.site.retention, recorded)
    bind_ages(context, group, entry)
    bind_reads(group, entry, recorded)
    if entry.disks is None:
        lack(group, _OF_DISKS, (f"{sheet.subject}/disks",))
    else:
        key = ("store", entry.disks, entry.redundancy, entry.spare_disks)
        store = memory.traits.get(key)
        if store is None:
            disks = [context.part(disk) for disk in entry.disks]
            store = memory.traits[key] = store_of(disks, entry.redundancy, entry.spare_disks)
        _bind_store(context, group, entry, store)
        bind_care(context, group, entry, store)
    fill("disk_group", (group,))
    _tell_cameras(group, recorded)
    return group


def _tell_cameras(group: DiskGroup, cameras: list[Camera]) -> None:
    days = group.known("days")
    missing = group.missing("days") if days is None else ()
    for camera in cameras:
        if days is not None:
            camera.days_kept = days
        else:
            lack(camera, ("days_kept",), missing)


def _bind_frame(group: DiskGroup, entry: RecorderEntry, part: RecorderPart) -> None:
    """What the recorder's part says of bays and redundancy."""
    group.redundancy = entry.redundancy
    group.redundancy_known = entry.redundancy == "none" or entry.redundancy in part.redundancy
    for name, field in (("bays", "bays"), ("largest_allowed", "disk_max")):
        group.put(name, getattr(part, field), f"parts/{entry.part}/{field}")


def _bind_wanted(group: DiskGroup, retention: float | None, cameras: list[Camera]) -> None:
    """Days wanted: the longest of the site's and of its cameras'."""
    wanted = [] if retention is None else [(retention, "the site")]
    wanted += [(days, camera.name) for camera in cameras if (days := camera.known("wants_retention")) is not None]
    if wanted:
        group.days_wanted, group.wanted_by = max(wanted, key=lambda each: each[0])
    else:
        lack(group, ("days_wanted", "wanted_by"), ("retention",))


def _bind_store(context: Context, group: DiskGroup, entry: RecorderEntry, store: Store) -> None:
    path = f"{group.recorder.subject}/disks"
    put_members(group, store, path)
    group.raw, group.spares = float(added(store.sizes)), entry.spare_disks
    group.put("members_least", store.least)
    group.put("largest", store.sizes[-1] if store.sizes else None, path)
    if store.data is not None or not store.sizes:
        context.ledger.take("usable-share")
    _bind_ratings(group, entry, store, path)


def _bind_ratings(group: DiskGroup, entry: RecorderEntry, store: Store, disks_path: str) -> None:
    """Whether the disks run all the time, and the least yearly workload among them."""
    named = dict.fromkeys(entry.disks or ())
    for name, value in (("continuous", store.continuous), ("workload", store.workload)):
        group.put(name, value, *(f"parts/{disk}/{name}" for disk in named), *(() if named else (disks_path,)))
