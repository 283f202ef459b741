"""The bound on how many changes are needed, and what a judgement is said to have read, against what edits really do.

The cheapest choice is solved a second time by an integer programme (scipy's `milp`). That a finding stays as it is under changes
that are said not to touch it is tried by full checks of random sites: the oracle knows nothing of components.
"""

from __future__ import annotations

from random import Random

import numpy
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from tests.conftest import FULL

from coaxwright.errors import Refusal
from coaxwright.fixes.advice import failing
from coaxwright.fixes.branching import Branching, Cut, contradiction
from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.cutting import Changes
from coaxwright.fixes.patching import PatchError, applied
from coaxwright.fixes.reads import Written, cone_of, written_names
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.repair import Search

from . import random_sites
from .test_repair import errors_of, small_sites


def cuts_of(state, findings, pool):
    """For each finding the changes that may touch what it has read, as bits."""
    keys = [(each.rule.id, each.subject.subject) for each in findings]
    return [learned.cut.options for learned in Changes(state, pool).learn(0, state, keys)]


def least(cuts, weights, bars=None, work=10_000_000):
    """The least that a choice costs which the cuts allow, and whether the search ran to its end."""
    none = [0] * len(weights)
    search = Branching(weights, bars or none, none, work)
    search.learn(cuts)
    node = search.chosen()
    return (search.bound if node is None else node.cost), node is not None


def by_programme(cuts, weights, bars):
    """The same by an integer programme: of changes that bar each other one at most; infinite where no choice is allowed."""
    size = len(weights)
    rows = [([*(-(cut.taken >> n & 1) + (cut.options >> n & 1) for n in range(size))], 1 - cut.taken.bit_count()) for cut in cuts]
    rows += [([-int(k in (n, m)) for k in range(size)], -1) for n in range(size) for m in range(n) if bars[n] >> m & 1]
    matrix, least = zip(*rows, strict=True)
    limits = LinearConstraint(numpy.array(matrix), lb=numpy.array(least))
    found = milp(numpy.array(weights), integrality=numpy.ones(size), bounds=Bounds(0, 1), constraints=limits)
    return round(found.fun, 6) if found.success else float("inf")


def drawn_problem(draw):
    """Cuts over some changes, a few of them with what was taken, weights, and changes that bar each other."""
    size = draw.randint(4, 16)
    cuts = []
    for _ in range(draw.randint(2, 24)):
        options = draw.sample(range(size), draw.randint(1, 4))
        taken = [] if draw.random() < 0.4 else draw.sample([n for n in range(size) if n not in options] or [0], 1)
        cuts.append(Cut(sum(1 << n for n in taken if n not in options), sum(1 << n for n in options)))
    bars = [0] * size
    for _ in range(draw.randint(0, size)):
        one, other = draw.sample(range(size), 2)
        bars[one] |= 1 << other
        bars[other] |= 1 << one
    return cuts, [draw.choice([0.0, 1.0, 1.0, 2.0, 5.0]) for _ in range(size)], bars


def test_the_least_choice_is_that_of_an_integer_programme():
    none = 0
    for seed in range(120):
        cuts, weights, bars = drawn_problem(Random(seed))
        true = by_programme(cuts, weights, bars)
        found, ended = least(cuts, weights, bars)
        assert found == true, seed
        none += not ended
        assert least(cuts, weights, bars, work=40)[0] <= true, seed
    assert 5 < none < 100


def test_a_contradiction_leaves_out_no_group_that_it_needs():
    groups = [[Cut(0, 0b001)], [Cut(0b001, 0b010)], [Cut(0, 0b100)], [Cut(0b010, 0)]]
    assert contradiction(groups, [0, 0, 0], [0, 0, 0], 1000) == [0, 1, 3]
    assert contradiction(groups[:3], [0, 0, 0], [0, 0, 0], 1000) == []


def test_the_bound_is_true_and_no_single_error_is_cleared_by_what_does_not_touch_it(parts, rulebook, day):
    seen = 0
    for seed, loaded, state, pool in small_sites(parts, rulebook, day):
        cuts = cuts_of(state, Search(state).wanted(state).values(), pool)
        fewest = least([Cut(0, cut) for cut in cuts if cut], [1.0] * len(pool))[0]
        for candidate in pool if fewest > 1 else ():
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
    for seed in range(60 if FULL else 20):
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
    assert held > (100 if FULL else 30)


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
