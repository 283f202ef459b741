"""What else is stated of the disks of one recorder: erasing by age, rebuilding, growth, warmth.

What follows from it is declared in `rules/facts/storage.yaml`; what nobody asks for is not computed.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.facts.context import Context
from coaxwright.facts.record.storing import Store, data_disks
from coaxwright.facts.sheets import Camera, DiskGroup
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.portable import added

_DAY = 24.0
"""Hours of a day (SI Brochure, table 8)."""
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


def bind_reads(group: DiskGroup, entry: RecorderEntry, cameras: Sequence[Camera]) -> None:
    """Bit rate read back, as a mean of the day: only where somebody says for how many hours that happens."""
    subject = group.recorder.subject
    group.played_back = entry.playback_hours is not None or entry.remote_hours is not None
    if not group.played_back:
        group.lacks("reads", f"{subject}/playback_hours")
        return
    here = _played_back(entry, cameras) if entry.playback or entry.playback_hours is not None else (0.0, ())
    away = _watched(group, entry) if entry.viewers or entry.remote_hours is not None else (0.0, ())
    missing = tuple(path if "/" in path else f"{subject}/{path}" for path in (*here[1], *away[1]))
    group.put("reads", None if missing else (here[0] + away[0]) / _DAY, *missing)


def _played_back(entry: RecorderEntry, cameras: Sequence[Camera]) -> tuple[float, tuple[str, ...]]:
    """bit/s x hours of its largest streams, as many as are played back at once."""
    lacking = [name for name in ("playback", "playback_hours") if not _said(entry, name)]
    streams = [(camera.known("stream_rate"), camera) for camera in cameras]
    lacking += [path for rate, camera in streams if rate is None for path in camera.missing("stream_rate")]
    largest = sorted((rate for rate, _ in streams if rate is not None), reverse=True)[: entry.playback]
    return added(largest) * (entry.playback_hours or 0.0), tuple(lacking)


def _watched(group: DiskGroup, entry: RecorderEntry) -> tuple[float, tuple[str, ...]]:
    """bit/s x hours of all that its viewers watch."""
    lacking = [name for name in ("viewers", "remote_hours") if not _said(entry, name)]
    outgoing = group.recorder.known("outgoing")
    lacking += group.recorder.missing("outgoing") if outgoing is None and entry.viewers else ()
    return (outgoing or 0.0) * (entry.remote_hours or 0.0), tuple(lacking)


def _said(entry: RecorderEntry, name: str) -> bool:
    return name in entry.model_fields_set and getattr(entry, name) is not None


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
