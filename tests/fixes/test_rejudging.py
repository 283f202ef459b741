"""Judging an edited site again gives what a full check gives, byte for byte.

The full check is the outside reference here: it shares no code with the excerpting, keeping and joining that
is tested. COAXWRIGHT_FULL=1 runs the 2,000 edits of the requirement; by default 50 run.
"""

from __future__ import annotations

import datetime
import os
from random import Random

import pytest

from coaxwright.checking import check
from coaxwright.errors import Refusal
from coaxwright.findings import Report
from coaxwright.fixes.patching import PatchError, applied
from coaxwright.fixes.rejudging import start
from coaxwright.reading.site_reader import with_value
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import render
from coaxwright.rulebook.loading import load_rulebook

from . import random_sites

DAY = datetime.date(2026, 5, 4)
EDITS_A_SITE = 5
SITES = 400 if os.environ.get("COAXWRIGHT_FULL") else 10


def as_text(report) -> str:
    return render(Report("0", "sha256:0", (), (report,)), Setting())


def told(refusal: Refusal) -> list[str]:
    return [str(problem) for problem in refusal.problems]


@pytest.fixture(scope="module")
def parts():
    return random_sites.catalogue()


@pytest.fixture(scope="module")
def rulebook():
    return load_rulebook()


def refused_too(loaded, value, rulebook, refusal):
    """A full check refuses the same value in the same words."""
    with pytest.raises(Refusal) as caught:
        check(with_value(loaded, value), rulebook=rulebook, today=DAY)
    assert told(caught.value) == told(refusal)


def first_state(draw, parts, rulebook):
    """A random site that can be checked."""
    for _ in range(50):
        value = random_sites.random_site(draw)
        try:
            loaded = random_sites.load(value, parts)
            return loaded, start(loaded, rulebook=rulebook, today=DAY)
        except Refusal:
            continue
    raise AssertionError("no readable site in 50")


@pytest.mark.parametrize("block", range(10))
def test_random_edits_equal_a_full_check(block, parts, rulebook):
    by_component = 0
    for seed in range(block * SITES // 10, (block + 1) * SITES // 10):
        draw = Random(seed)
        loaded, state = first_state(draw, parts, rulebook)
        assert as_text(state.report()) == as_text(check(loaded, rulebook=rulebook, today=DAY)), seed
        for step in range(EDITS_A_SITE):
            patch = random_sites.random_edit(draw, state.value)
            try:
                trial = state.after(patch)
            except PatchError:
                continue
            except Refusal as refusal:
                refused_too(loaded, applied(state.value, patch), rulebook, refusal)
                continue
            full = check(with_value(loaded, trial.after.value), rulebook=rulebook, today=DAY)
            assert as_text(trial.after.report()) == as_text(full), (seed, step, patch)
            by_component += not trial.full
            state = trial.after
    assert by_component > SITES // 10, "most edits must not have been checked in full"


def test_a_camera_that_comes_to_want_hours_without_mains_has_its_recorder_judged(parts, rulebook):
    """No entry says so in the edit itself: the supply that it is moved to does."""
    way = {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "30 m"}]}
    power = {"from": "p1/1", "over": [{"cable": "dc-1.5mm2", "length": "10 m"}]}
    value = {
        "site": "Hours",
        "recorders": {"r1": {"part": "tarnwell/middle-8"}},
        "supplies": {"p1": {"part": "generic/dc12-5a-4way"}, "p2": {"part": "generic/dc12-5a-4way", "autonomy": "6 h"}},
        "cameras": {"c1": {"part": "tarnwell/turret-5", "video": way, "power": power}},
    }
    loaded = random_sites.load(value, parts)
    trial = start(loaded, rulebook=rulebook, today=DAY).after(
        [{"op": "replace", "path": "/cameras/c1/power/from", "value": "p2/1"}]
    )
    full = check(with_value(loaded, trial.after.value), rulebook=rulebook, today=DAY)
    assert "power/recorder-autonomy-short" in {finding.rule for finding in full.findings}
    assert as_text(trial.after.report()) == as_text(full)


CABINET = {
    "site": "A cabinet",
    "recorders": {"r1": {"part": "tarnwell/middle-8", "place": {"cabinet": "rack"}}},
    "supplies": {"p1": {"part": "generic/dc12-5a-4way", "place": {"cabinet": "rack"}}},
    "cabinets": {"rack": {"width": "0.6 m", "height": "0.8 m", "depth": "0.3 m", "stands": "wall", "material": "painted-steel",
                          "place": {"ambient_max": "32 °C"}}},
    "cameras": {"c1": {"part": "tarnwell/turret-5",
                       "video": {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "60 m"}]},
                       "power": {"from": "p1/1", "over": [{"cable": "dc-1.5mm2", "length": "40 m"}]}}},
}  # fmt: skip


def test_what_shares_the_air_of_a_cabinet_is_judged_with_the_whole_site(parts, rulebook):
    """A lamp on one camera warms its supply, and with it the recorder beside it: no part of the site can be judged alone."""
    state = start(random_sites.load(CABINET, parts), rulebook=rulebook, today=DAY)
    assert state.site_wide
    length = "/cameras/c1/power/over/0/length"
    assert state.after([{"op": "replace", "path": length, "value": "41 m"}]).full
    alone = {key: value for key, value in CABINET.items() if key != "cabinets"}
    for group in ("recorders", "supplies"):
        entries = CABINET[group].items()
        alone[group] = {name: {key: each for key, each in entry.items() if key != "place"} for name, entry in entries}
    bare = start(random_sites.load(alone, parts), rulebook=rulebook, today=DAY)
    assert not bare.site_wide
    assert not bare.after([{"op": "replace", "path": length, "value": "41 m"}]).full
