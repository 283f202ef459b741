"""What is asked only where somebody states it: failures of disks by the year, and what keeps clocks right."""

from __future__ import annotations

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.record.store_care import REBUILT
from coaxwright.facts.sheets import Clock, DiskRisk
from coaxwright.portable import added


def disk_risks(context: Context) -> list[DiskRisk]:
    """Sheets of recorders of which some disk states how many fail in a year; in the order of the file."""
    found = []
    for name, entry in context.loaded.site.recorders.items():
        rates = {disk: context.part(disk).failure_rate for disk in entry.disks or ()}
        if any(rate is not None for rate in rates.values()):
            found.append(_risk(context, name, rates))
    fill("disk_risk", found)
    return found


def _risk(context: Context, name: str, rates: dict[str, float | None]) -> DiskRisk:
    entry, sheet = context.loaded.site.recorders[name], DiskRisk()
    sheet.subject, sheet.pointer = f"recorders/{name}/disks", ("recorders", name, "disks")
    sheet.group = context.recorders[name].disks
    silent = [f"parts/{disk}/failure_rate" for disk, rate in rates.items() if rate is None]
    sheet.steps = [rates[disk] for disk in entry.disks or ()]
    sheet.put("failures", None if silent else added(sheet.steps), *silent)
    if entry.redundancy not in REBUILT:
        sheet.exposed = 0.0
        return sheet
    waits = 0.0 if entry.spare_disks else entry.disk_replaced
    rebuild = sheet.group.known("rebuild")
    if waits is None or rebuild is None:
        lacking = (f"recorders/{name}/disk_replaced",) if waits is None else ()
        sheet.lacks("exposed", *lacking, *(sheet.group.missing("rebuild") if rebuild is None else ()))
    else:
        sheet.exposed = waits + rebuild
    return sheet


def clocks(context: Context) -> list[Clock]:
    """Sheets of the recorders of which somebody wrote what keeps their clocks right."""
    found = []
    for name, entry in context.loaded.site.recorders.items():
        if entry.clock is not None:
            sheet = Clock()
            sheet.subject, sheet.pointer, sheet.recorder = f"recorders/{name}", ("recorders", name), context.recorders[name]
            sheet.kept_by = entry.clock
            found.append(sheet)
    return found
