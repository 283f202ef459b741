"""Second opinion on failures of disks and on clocks: only where somebody states them."""

from __future__ import annotations

from .plain import num


def upkeep(opinion):
    recorders = opinion.site.get("recorders") or {}
    for name, entry in recorders.items():
        rates = [num(opinion.parts[disk].get("failure_rate")) for disk in entry.get("disks") or ()]
        if any(rate is not None for rate in rates):
            risk(opinion, name, entry, None if None in rates else sum(rates))
        if "clock" in entry:
            opinion.put("clock", f"recorders/{name}", {"recorder": opinion.recorders[name], "kept_by": entry["clock"]})


def risk(opinion, name, entry, failures):
    """A disk lost is a record lost, unless others make up for it; then a second (a third) has to fail in the meantime."""
    group, kind = opinion.found["disk_group", f"recorders/{name}/disks"], entry.get("redundancy", "none")
    hours = 0.0
    if kind not in ("none", "raid0"):
        waits = 0.0 if int(entry.get("spare_disks", 0)) else num(entry.get("disk_replaced"))
        hours = None if None in (waits, group["rebuild"]) else waits + group["rebuild"]
    more = {"none": 0, "raid0": 0, "raid6": 2}.get(kind, 1)
    loss = None
    if failures is not None and (not more or hours is not None):
        loss = failures
        for _ in range(more):
            loss *= failures * hours / (365 * 24)
    opinion.put("disk_risk", f"recorders/{name}/disks", {"group": group, "failures": failures, "exposed": hours, "loss": loss})
