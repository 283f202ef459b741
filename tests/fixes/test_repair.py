"""Whole-site repair against brute force: every subset of the proposed changes, tried on the plain document."""

from __future__ import annotations

import os
from itertools import combinations
from random import Random

import pytest

from coaxwright.checking import check
from coaxwright.errors import Refusal
from coaxwright.fixes.patching import PatchError, applied
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.repair import Search
from coaxwright.reading.site_reader import with_value

from . import promise, random_sites

ENOUGH = 24 if os.environ.get("COAXWRIGHT_FULL") else 2
POOL = 22
"""Sites with more proposed changes are too many for brute force."""


def errors_of(loaded, value, rulebook, day):
    """Errors of a full check; None where the value is refused."""
    try:
        report = check(with_value(loaded, value), rulebook=rulebook, today=day)
    except Refusal:
        return None
    return [each for each in report.findings if each.kind == "fail" and each.level == "error" and not each.waived]


def keeps_the_promise(loaded, value, rulebook, day):
    """Whether the edited site has no error, and none of the whole set's harms is an error."""
    try:
        reports = [
            check(with_value(loaded, each), rulebook=rulebook, today=day) for each in (loaded.document.value, value)
        ]
    except Refusal:
        return False
    was, now = map(promise.by_key, reports)
    gone = [key for key, each in was.items() if promise.is_fail(each) and each.level == "error" and key in now]
    return not gone and promise.allowed(promise.harms(*reports), "error")


def smallest_by_force(loaded, pool, rulebook, day, most):
    """The least number of changes that clears every error and makes none open or worse, None where none of up to
    `most` does.
    """
    for size in range(1, most + 1):
        for chosen in combinations(pool, size):
            value = loaded.document.value
            try:
                for candidate in chosen:
                    value = applied(value, candidate.patch)
            except PatchError:
                continue
            if keeps_the_promise(loaded, value, rulebook, day):
                return size
    return None


def small_sites(parts, rulebook, day):
    """Sites with errors and few proposed changes: one camera, one supply, few cables to choose from."""
    for seed in range(800):
        draw = Random(seed)
        site = random_sites.random_site(draw)
        site["cameras"] = dict(list(site["cameras"].items())[: draw.choice([1, 1, 2])])
        for camera in site["cameras"].values():
            if draw.random() < 0.8:
                camera.pop("power", None)
            camera.pop("sound", None)
        try:
            loaded = random_sites.load(site, parts)
            state = start(loaded, rulebook=rulebook, today=day)
        except Refusal:
            continue
        search = Search(state)
        pool = search._pool()
        if search.wanted(state) and 0 < len(pool) <= POOL:
            yield seed, loaded, state, pool


def test_smallest_sets_equal_brute_force(parts, rulebook, day):
    compared = cleared = 0
    for seed, loaded, state, pool in small_sites(parts, rulebook, day):
        plan = Search(state, budget=30_000).run()
        found = errors_of(loaded, applied(loaded.document.value, plan.patch), rulebook, day)
        assert found == [] or plan.in_the_way, seed
        held = keeps_the_promise(loaded, applied(loaded.document.value, plan.patch), rulebook, day)
        assert held == (not plan.in_the_way), seed
        least = smallest_by_force(loaded, pool, rulebook, day, most=2)
        if not plan.in_the_way:
            assert plan.best, seed
            assert least is None or len(plan.steps) <= least, seed
            assert least is not None or len(plan.steps) >= 2, seed
            cleared += 1
        else:
            assert least is None or least > 1, (seed, plan.in_the_way)
        compared += 1
        if compared >= ENOUGH and cleared >= max(1, ENOUGH // 3):
            break
    assert compared >= ENOUGH
    assert cleared >= max(1, ENOUGH // 3)


def test_no_step_of_a_plan_is_needless(parts, rulebook, day):
    state = start(random_sites.load(FAULTY, parts), rulebook=rulebook, today=day)
    plan = Search(state).run()
    assert not plan.in_the_way
    assert len(plan.steps) > 1
    loaded = state.basis.loaded
    for left_out in plan.steps:
        value = loaded.document.value
        for step in plan.steps:
            if step is not left_out:
                value = applied(value, step.patch)
        assert errors_of(loaded, value, rulebook, day) != []


FAULTY = {
    "site": "Faulty",
    "recorders": {"r1": {"part": "tarnwell/middle-8", "disks": ["generic/disk-8tb"]}},
    "supplies": {"p1": {"part": "generic/dc12-5a-4way", "trim": "12 V"}},
    "cameras": {
        "c1": {
            "part": "fennick/turret-5",
            "video": {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
            "power": {"from": "p1/1", "over": [{"cable": "dc-0.5mm2", "length": "90 m"}]},
            "wants": {"full_width": True},
        },
        "c2": {
            "part": "fennick/turret-5",
            "set": {"family": "tvi", "mode": "1920x1080@25"},
            "video": {"into": "r1/9", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
            "power": {"from": "p1/2", "over": [{"cable": "dc-1.5mm2", "length": "10 m"}]},
        },
    },
}


def test_what_stands_in_the_way_is_named(parts, rulebook, day):
    site = {**FAULTY, "cameras": {"c1": {**FAULTY["cameras"]["c1"], "wants": {"rate": "60 fps"}}}}
    plan = Search(start(random_sites.load(site, parts), rulebook=rulebook, today=day), budget=800).run()
    ((key, why),) = plan.in_the_way
    assert key == ("picture/rate-below-wanted", "cameras/c1")
    assert "only if the need does" in why


@pytest.mark.parametrize("prefer", ["fewest", "cheapest"])
def test_cheapest_costs_no_more_than_fewest(prefer, parts, rulebook, day):
    state = start(random_sites.load(FAULTY, parts), rulebook=rulebook, today=day)
    plan = Search(state, prefer=prefer, budget=500).run()
    assert plan.trials <= 500 + len(plan.steps)
    assert not plan.in_the_way
