"""Workings of failures of disks. Computes no fact."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.sheets import DiskRisk
from coaxwright.facts.written import number

Lines = tuple[str, ...]


def _failures(context: Context, sheet: DiskRisk) -> Lines:
    return (f"{' + '.join(map(number, sheet.steps))} = {number(sheet.failures)} a year, as its disks state",)


def _exposed(context: Context, sheet: DiskRisk) -> Lines:
    if not sheet.exposed:
        return ("0 h: nothing makes up for a disk",)
    rebuild = sheet.group.rebuild
    waits = number(sheet.exposed - rebuild)
    return (f"{waits} h until it is replaced + {number(rebuild)} h to write it anew = {number(sheet.exposed)} h",)


UPKEEP_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("disk_risk", "failures"): _failures,
    ("disk_risk", "exposed"): _exposed,
}
"""By kind of sheet and field."""
