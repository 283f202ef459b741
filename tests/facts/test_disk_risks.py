"""Failures of disks against years drawn at random: failures at a constant rate that do not depend on one another.

Outside: probability theory, tried by drawing; no formula of the program is used to draw.
"""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from coaxwright.checking import facts_of
from coaxwright.facts.record.upkeep_working import UPKEEP_WORKINGS
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases


def facts(count: int, rate: str, redundancy: str = "none", replaced: str | None = None):
    recorder = {"disks": ["tarnwell/case-disk"] * count, "redundancy": redundancy, "clock": "time-server"}
    if replaced is not None:
        recorder["disk_replaced"] = replaced
    parts = {"tarnwell/case-disk": {"failure_rate": rate}, "tarnwell/case-recorder": {"redundancy": ["raid5"], "bays": 8}}
    case = Case(name="one", base="one-camera", site={"recorders": {"rec1": recorder}}, parts=parts)
    return facts_of(case_site(load_bases(), case))


def drawn(count: int, rate: float, hours: float, years: int, seed: int = 1) -> float:
    """Losses a year of an array that stands one failure: a second one comes while the first is written anew."""
    dice, lost = random.Random(seed), 0
    for _ in range(years):
        times = sorted(dice.uniform(0, 8760) for disk in range(count) if dice.random() < rate)
        lost += any(later - earlier < hours for earlier, later in pairwise(times))
    return lost / years


def test_without_redundancy_every_failure_takes_recordings() -> None:
    (risk,) = facts(4, "1.5 %").by_kind("disk_risk")
    assert (risk.failures, risk.loss, risk.exposed) == (pytest.approx(0.06), pytest.approx(0.06), 0.0)


@pytest.mark.parametrize(("count", "rate", "wait"), [(4, 30, 978), (6, 20, 2000)])
def test_an_array_against_drawn_years(count: int, rate: int, wait: int) -> None:
    (risk,) = facts(count, f"{rate} %", "raid5", f"{wait} h").by_kind("disk_risk")
    told = drawn(count, rate / 100, risk.exposed, 30_000)
    # Every other disk counts, a failed one too, and each pair once from either side: on the careful side, by no more than twice.
    assert told <= risk.loss <= 2.0 * told


def test_every_working_ends_in_its_fact() -> None:
    found = facts(4, "30 %", "raid5", "100 h")
    for kind, field in UPKEEP_WORKINGS:
        sheet = found.by_kind(kind)[0]
        assert f"{getattr(sheet, field):.5g}" in found.working(sheet, field)[0]
