"""The bound on how many changes are needed, and what a judgement is said to have read, against what edits really do.

The smallest choice is solved a second time by an integer programme (scipy's `milp`). That a finding stays as it is under changes
that are said not to touch it is tried by full checks of random sites: the oracle knows nothing of components.
"""

from __future__ import annotations

from random import Random

import numpy
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from coaxwright.errors import Refusal
from coaxwright.fixes.advice import failing
from coaxwright.fixes.bounding import cuts_of, least_changes
from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.patching import PatchError, applied
from coaxwright.fixes.reads import Written, cone_of, written_names
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.repair import Search

from . import random_sites
from .test_repair import errors_of, small_sites


def by_programme(cuts, size):
    rows = numpy.array([[cut >> number & 1 for number in range(size)] for cut in cuts])
    found = milp(numpy.ones(size), integrality=numpy.ones(size), bounds=Bounds(0, 1), constraints=LinearConstraint(rows, lb=1))
    return round(found.fun)


def test_the_smallest_choice_is_that_of_an_integer_programme():
    for seed in range(60):
        draw = Random(seed)
        size = draw.randint(4, 24)
        cuts = [sum(1 << n for n in draw.sample(range(size), draw.randint(1, 4))) for _ in range(draw.randint(1, 18))]
        assert least_changes(cuts, nodes=100_000) == by_programme(cuts, size), seed
        assert least_changes(cuts, nodes=2) <= by_programme(cuts, size), seed


def test_the_bound_is_true_and_no_single_error_is_cleared_by_what_does_not_touch_it(parts, rulebook, day):
    seen = 0
    for seed, loaded, state, pool in small_sites(parts, rulebook, day):
        cuts = cuts_of(state, Search(state).wanted(state).values(), pool)
        least = least_changes(cuts)
        for candidate in pool if least > 1 else ():
            try:
                found = errors_of(loaded, applied(loaded.document.value, candidate.patch), rulebook, day)
            except PatchError:
                continue
            assert found != [], (seed, candidate.title)
        seen += 1
        if seen >= 12:
            break
    assert seen == 12


def test_a_finding_stays_as_it_is_under_edits_that_touch_nothing_it_has_read(parts, rulebook, day):
    """Edits one after the other, so that what joins by the second through the first counts too."""
    held = 0
    for seed in range(60):
        draw = Random(seed)
        try:
            state = start(random_sites.load(random_sites.random_site(draw), parts), rulebook=rulebook, today=day)
        except Refusal:
            continue
        before, written = failing(state), written_names(state.value)
        for _ in range(4):
            edit = Candidate("an edit", tuple(random_sites.random_edit(draw, state.value)), 0)
            try:
                after = failing(state.after(edit.patch).after)
            except (Refusal, PatchError):
                continue
            for key, judgement in before.items():
                if not cone_of(state, judgement).reached_by(Written(edit), written):
                    assert key in after, (seed, key, edit.patch)
                    held += 1
    assert held > 100


@pytest.mark.parametrize(("heat", "rule"), [(16, "place/supply-too-hot"), (22, "power/supply-derated")])
def test_a_load_on_another_supply_of_one_cabinet_is_among_what_was_read(heat, rule, parts, rulebook, day):
    """By hand: what p1 loses as heat warms the air around p3, so that cameras that leave p1 clear what p3 is told of."""

    def camera(number):
        port = f"p1/{number}" if number < 5 else f"p3/{number - 4}"
        return {
            "part": "fennick/turret-5",
            "video": {"into": f"r1/{number}", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
            "power": {"from": port, "over": [{"cable": "dc-1.5mm2", "length": "1 m"}]},
        }

    size = {"width": "0.5 m", "height": "0.5 m", "depth": "0.3 m", "stands": "wall", "material": "painted-steel"}
    site = {
        "site": "Cube",
        "cabinets": {"cube": {**size, "other_heat": f"{heat} W", "place": {"ambient_max": "35 °C"}}},
        "recorders": {"r1": {"part": "tarnwell/middle-8", "disks": ["generic/disk-8tb"]}},
        "supplies": {
            "p1": {"part": "generic/dc12-5a-4way", "place": {"cabinet": "cube"}},
            "p2": {"part": "generic/dc12-5a-4way"},
            "p3": {"part": "hollin/dc12-5a-4way", "place": {"cabinet": "cube"}},
        },
        "cameras": {f"c{number}": camera(number) for number in range(1, 9)},
    }
    state = start(random_sites.load(site, parts), rulebook=rulebook, today=day)
    warm = failing(state)[rule, "supplies/p3"]
    patch = [{"op": "replace", "path": f"/cameras/c{number}/power/from", "value": f"p2/{number}"} for number in range(1, 5)]
    assert (rule, "supplies/p3") not in failing(state.after(tuple(patch)).after)
    assert cuts_of(state, [warm], [Candidate("feed c1 to c4 from p2", tuple(patch), 1)]) == [0b1]


def test_a_load_that_only_joins_is_among_what_was_read(parts, rulebook, day):
    """By hand: the finding "nothing hangs on p2" is cleared only by a camera of the other supply that comes to join it."""
    site = {
        "site": "Joining",
        "recorders": {"r1": {"part": "tarnwell/middle-8", "disks": ["generic/disk-8tb"]}},
        "supplies": {"p1": {"part": "generic/dc12-5a-4way"}, "p2": {"part": "generic/dc12-5a-4way"}},
        "cameras": {
            "c1": {
                "part": "fennick/turret-5",
                "video": {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
                "power": {"from": "p1/1", "over": [{"cable": "dc-1.5mm2", "length": "10 m"}]},
            }
        },
    }
    state = start(random_sites.load(site, parts), rulebook=rulebook, today=day)
    unused = failing(state)["power/supply-unused", "supplies/p2"]
    joins = Candidate("feed c1 from p2/1", ({"op": "replace", "path": "/cameras/c1/power/from", "value": "p2/1"},), 1)
    stays = Candidate("feed c1 from p1/2", ({"op": "replace", "path": "/cameras/c1/power/from", "value": "p1/2"},), 1)
    assert ("power/supply-unused", "supplies/p2") not in failing(state.after(joins.patch).after)
    assert cuts_of(state, [unused], [joins, stays]) == [0b01]
