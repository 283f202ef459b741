"""Disks: how many, how large, how long, how hard they work."""

from __future__ import annotations

from ..threes import at_least, at_most, every, is_, judged, known, no, times, under


def fitted(group):
    return at_least(group["disks"], 1)


def unbuildable(group):
    """Too few disks for the redundancy and the spares planned."""
    return under(group["disks"], group["disks_least"])


def disk_too_large(group):
    return judged(at_most(group["largest"], group["largest_allowed"]), fitted(group))


def erased_too_early(group):
    return judged(at_least(group["erase_after"], group["days_wanted"]), known(group["erase_after"]))


def kept_too_long(group):
    return judged(at_most(group["days_held"], group["days_max"]), every(known(group["days_max"]), fitted(group)))


def motion_share_assumed(group):
    when = every(fitted(group), known(group["days"]), known(group["days_continuous"]))
    return judged(group["motion_assumed"] == 0, when)


def no_disk(group):
    return judged(fitted(group))


def rebuildable(group, *levels):
    return every(group["redundancy"] in levels, at_least(group["disks"], group["disks_least"]))


def no_rebuild_spare(group):
    return judged(at_least(group["spares"], 1), rebuildable(group, "raid5", "raid6", "raid10"))


def no_room_to_grow(group):
    growth = group["growth"]
    needed = None if growth is None else times(group["needed"], 1 + growth)
    return judged(at_least(group["usable_most"], needed), every(known(growth), fitted(group)))


def not_for_continuous_use(group):
    return judged(group["continuous"], fitted(group))


def rebuild_exposed(group):
    return judged(at_most(group["rebuild"], 24), rebuildable(group, "raid1", "raid5", "raid10"))


def redundancy_not_offered(group):
    return judged(group["redundancy_known"], group["redundancy"] != "none")


def redundancy_too_few_disks(group):
    planned = group["redundancy"] != "none" or at_least(group["spares"], 1)
    when = every(planned, group["redundancy_known"], fitted(group))
    return judged(at_least(group["disks"], group["disks_least"]), when)


def retention_short(group):
    return judged(at_least(group["days"], group["days_wanted"]), every(fitted(group), no(unbuildable(group))))


def retention_uncertain(group):
    when = every(fitted(group), no(unbuildable(group)), no(under(group["days"], group["days_wanted"])))
    return judged(at_least(group["days_least"], group["days_wanted"]), when)


def too_many_disks(group):
    return judged(at_most(group["disks"], group["bays"]))


def unequal_disks(group):
    when = every(group["redundancy"] != "none", at_least(group["disks"], group["disks_least"]))
    return judged(at_most(group["lost"], 0), when)


def wanted_beyond_allowed(group):
    when = known(group["days_max"]) and known(group["days_wanted"])
    return judged(at_most(group["days_wanted"], group["days_max"]), when)


def workload(group):
    return judged(at_most(group["written_per_year"], group["workload"]), every(fitted(group), no(unbuildable(group))))


def workload_with_reads(group):
    beyond = under(group["workload"], group["written_per_year"])
    when = every(group["played_back"], fitted(group), no(unbuildable(group)), no(beyond))
    return judged(at_most(group["moved_per_year"], group["workload"]), when)


def write_rate(recorder):
    return judged(at_most(recorder["bitrate"], recorder["bitrate_max"]))


def loss_likely(risk):
    return judged(at_most(risk["loss"], 0.05))


def clock_drifts(clock):
    return judged(is_(clock["kept_by"], "time-server"))


RULES = {
    "storage/loss-likely": ("disk_risk", loss_likely),
    "network/clock-drifts": ("clock", clock_drifts),
    "storage/disk-too-large": ("disk_group", disk_too_large),
    "storage/erased-too-early": ("disk_group", erased_too_early),
    "storage/kept-too-long": ("disk_group", kept_too_long),
    "storage/motion-share-assumed": ("disk_group", motion_share_assumed),
    "storage/no-disk": ("disk_group", no_disk),
    "storage/no-rebuild-spare": ("disk_group", no_rebuild_spare),
    "storage/no-room-to-grow": ("disk_group", no_room_to_grow),
    "storage/not-for-continuous-use": ("disk_group", not_for_continuous_use),
    "storage/rebuild-exposed": ("disk_group", rebuild_exposed),
    "storage/redundancy-not-offered": ("disk_group", redundancy_not_offered),
    "storage/redundancy-too-few-disks": ("disk_group", redundancy_too_few_disks),
    "storage/retention-short": ("disk_group", retention_short),
    "storage/retention-uncertain": ("disk_group", retention_uncertain),
    "storage/too-many-disks": ("disk_group", too_many_disks),
    "storage/unequal-disks": ("disk_group", unequal_disks),
    "storage/wanted-beyond-allowed": ("disk_group", wanted_beyond_allowed),
    "storage/workload-with-reads": ("disk_group", workload_with_reads),
    "storage/workload": ("disk_group", workload),
    "storage/write-rate": ("recorder", write_rate),
}
