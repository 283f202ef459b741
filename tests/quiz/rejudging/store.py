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


LEAST = {"none": 1, "raid0": 2, "raid1": 2, "raid5": 3, "raid6": 4, "raid10": 4}  # disks: common practice


def builds(plan: Plan) -> bool:
    """Enough disks for what is planned of them."""
    return len(disks(plan)) >= LEAST[redundancy(plan)]


def of_data(plan: Plan) -> float:
    """Disks' worth of data; the rest is redundancy. Definitions of SNIA DDF. Raises Missing where none is built."""
    count, level = len(disks(plan)), redundancy(plan)
    if not builds(plan):
        raise Missing("disks")
    return {"none": count, "raid0": count, "raid1": 1, "raid5": count - 1, "raid6": count - 2, "raid10": count / 2}[
        level
    ]


def together(plan: Plan) -> float:
    """TB after redundancy: in an array every disk counts as its smallest."""
    sizes = capacities(plan)
    return sum(sizes) if redundancy(plan) == "none" else min(sizes, default=0.0) * of_data(plan)


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
    """TB that each disk is written in a year: what is recorded, over the disks' worth of data that it is spread on."""
    return sum(rates(plan)) * 1e6 / 8 * YEAR / TERABYTE / of_data(plan)
