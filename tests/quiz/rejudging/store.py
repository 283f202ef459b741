"""What disks hold: decimal bytes, eight bits each, less what formatting takes."""

from __future__ import annotations

from .plan import Missing, Plan, number

TERABYTE = 1e12  # SI; IEC 80000-13 keeps 2^40 bytes apart as tebibytes
BINARY = 2**40 / 1e12
YEAR = 365 * 86_400.0


def disks(plan: Plan) -> list[str]:
    """Models of the disks fitted. Raises Missing where nothing is said of disks."""
    text = plan.need("Recorders", plan.recorder, "disks")
    return [] if text == "none" else text.split(", ")


def capacities(plan: Plan) -> list[float]:
    """TB of each disk."""
    return [number(plan.need("Disk models", each, "capacity")) for each in disks(plan)]


def redundancy(plan: Plan) -> str:
    return plan.cell("Recorders", plan.recorder, "redundancy") or "none"


def together(plan: Plan) -> float:
    """TB after redundancy: a mirror of two keeps the smaller once. Definitions of SNIA DDF."""
    sizes = capacities(plan)
    if redundancy(plan) == "raid1":
        return min(sizes) if len(sizes) >= 2 else 0.0
    if redundancy(plan) != "none":
        raise ValueError(redundancy(plan))
    return sum(sizes)


def rates(plan: Plan) -> list[float]:
    """Mb/s of each camera that is recorded."""
    return [
        number(plan.need("Cameras", name, "recorded at"))
        for name in plan.cameras
        if plan.camera(name, "recorder input")
    ]


def left(plan: Plan) -> float:
    return number(plan.site("share of a disk left after formatting")) / 100


def days(plan: Plan) -> float:
    """Days until the oldest is overwritten."""
    return together(plan) * TERABYTE * left(plan) * 8 / (sum(rates(plan)) * 1e6) / 86_400


def days_wanted(plan: Plan) -> float:
    if plan.cell("Site", "", "recordings kept for") is None:
        raise Missing("recordings kept for")
    return number(plan.site("recordings kept for"))


def written_a_year(plan: Plan) -> float:
    """TB that each disk is written in a year: shared by plain disks, all of it on each half of a mirror."""
    total = sum(rates(plan)) * 1e6 / 8 * YEAR / TERABYTE
    return total if redundancy(plan) == "raid1" else total / len(disks(plan))
