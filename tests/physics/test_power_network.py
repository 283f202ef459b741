"""Supply trees against closed forms of circuit theory: printed digits, low roots that must not appear,
limits.

Every network here was solved by hand in closed form; resistances come from IEC 60228:2004 Tables 1 to 3 where
a cable is named.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.facts.physics import power_network
from coaxwright.facts.physics.power_limit import limit_factor
from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve
from coaxwright.facts.physics.single_run import constant_power_volts


def tree(parents, ohms, volts, watts=None, amps=None, siemens=None, source_ohm=0.0):
    none = [0.0] * len(ohms)
    return PowerTree(parents, ohms, watts or none, amps or none, siemens or none, volts, source_ohm)


def chain(volts, ohms, **loads):
    return tree(list(range(-1, len(ohms) - 1)), ohms, volts, **loads)


def scaled(network, factor):
    watts, amps, siemens = (
        [factor * load for load in loads] for loads in (network.watts, network.amps, network.siemens)
    )
    return PowerTree(
        network.parents, network.ohms, watts, amps, siemens, network.source_volts, network.source_ohm
    )


# 12 V through 20 + 30 + 25 m of 1.0 mm2 class 2, 18.1 ohm/km (IEC 60228:2004 Table 2).
DAISY = [0.724, 1.086, 0.905]


def test_daisy_chain_constant_current():
    expected = (6957 / 625, 6414 / 625, 98099 / 10000)
    result = solve(chain(12, DAISY, amps=[0.4, 0.3, 0.5]))
    assert result.volts == pytest.approx(expected, abs=1e-12)
    assert result.branch_amps == pytest.approx((1.2, 0.8, 0.5), abs=1e-12)


def test_daisy_chain_constant_power():
    network = chain(12, DAISY, watts=[4.8, 3.6, 6.0])
    volts = solve(network).volts
    assert volts == pytest.approx((10.948947058, 9.848468220, 9.262215388), abs=6e-10)
    assert volts != pytest.approx((8.854526840, 4.725032916, 1.973306985), abs=1)
    assert loading_margin(network) == pytest.approx(1.529255213, abs=6e-10)


def test_the_low_root_is_a_solution_that_is_not_returned():
    """The spurious root satisfies Ohm's and Kirchhoff's laws just as well: it must be refused on purpose."""
    low = (8.854526840, 4.725032916, 1.973306985)
    amps = [watts / volts for watts, volts in zip((4.8, 3.6, 6.0), low, strict=True)]
    assert solve(chain(12, DAISY, amps=amps)).volts == pytest.approx(low, abs=1e-7)


def test_daisy_chain_resistive():
    result = solve(chain(12, DAISY, siemens=[1 / 30, 1 / 40, 1 / 24]))
    assert result.volts == pytest.approx((11.23399048, 10.49164666, 10.11040032), abs=6e-9)


def test_uniform_chains():
    """End drop of N equal loads over equal segments: I r N (N + 1) / 2."""
    assert solve(chain(12, [0.8] * 3, amps=[0.5] * 3)).volts == pytest.approx(
        (9.6 + 1.2, 10.0, 9.6), abs=1e-12
    )
    assert 12 - solve(chain(12, [0.1] * 8, amps=[0.2] * 8)).volts[-1] == pytest.approx(0.72, abs=1e-12)
    assert 12 - solve(chain(12, [0.1] * 16, amps=[0.2] * 16)).volts[-1] == pytest.approx(2.72, abs=1e-12)


def test_fibonacci_ladder():
    """All series and shunt resistances 1 ohm: Fibonacci numbers (ladder network theory)."""
    assert solve(chain(13, [1.0] * 3, siemens=[1.0] * 3)).volts == pytest.approx((5, 2, 1), abs=1e-12)


def test_integer_chain():
    network = chain(12.5, [1, 1, 2], watts=[5.5, 5, 4.5])
    result = solve(network)
    assert result.volts == pytest.approx((11, 10, 9), abs=1e-9)
    assert result.branch_amps == pytest.approx((1.5, 1.0, 0.5), abs=1e-9)
    assert result.volts != pytest.approx((9.079476641, 6.264715069, 2.231433717), abs=1)
    assert loading_margin(network) == pytest.approx(1.364491239, abs=6e-10)


# Trunk 40 m of 1.5 mm2 class 2 to A behind 0.05 ohm; a: 15 m of 0.5 mm2 class 5; b: 25 m of 0.75 mm2 class 5;
# B: 30 m of 1.5 mm2 class 2 (IEC 60228:2004 Tables 2 and 3). Order A, a, b, B.
TRUNK = PowerTree(
    [-1, 0, 0, 0], [0.968, 1.17, 1.30, 0.726], [0, 0, 6, 0], [0, 0.35, 0, 0.6], [0, 0, 0, 1 / 60], 12.6, 0.05
)


def test_shared_trunk_with_mixed_loads():
    result = solve(TRUNK)
    assert result.terminal_volts == pytest.approx(12.514156277, abs=6e-10)
    assert result.volts == pytest.approx((10.852221800, 10.442721800, 10.078280233, 10.292087541), abs=6e-10)
    assert result.branch_amps[2:] == pytest.approx((0.595339667, 0.771534792), abs=6e-10)
    assert result.source_amps == pytest.approx(1.716874460, abs=6e-10)
    assert result.run_watts + 0.05 * result.source_amps**2 == pytest.approx(4.036961937, abs=6e-10)
    assert abs(result.volts[2] - 1.370005045) > 8


def test_limit_of_one_load_in_a_mixed_tree():
    """Thevenin at b: 11.448285278 V behind 2.301215794 ohm, so 14.238477344 W at most, the other loads
    unchanged."""
    limit = 11.448285278**2 / (4 * 2.301215794)
    assert limit == pytest.approx(14.238477344, rel=1e-9)
    for watts, collapsed in ((limit * 0.9999, False), (limit * 1.0001, True)):
        network = PowerTree(
            TRUNK.parents, TRUNK.ohms, [0, 0, watts, 0], TRUNK.amps, TRUNK.siemens, 12.6, 0.05
        )
        assert solve(network).collapsed is collapsed


# One run: V0, R, P, high root, low root (V^2 - V0 V + R P = 0).
@pytest.mark.parametrize(
    ("source", "ohm", "watts", "high"),
    [
        (12, 4, 8, 8),
        (12, 1, 11, 11),
        (12, 1, 20, 10),
        (12, 1, 27, 9),
        (12, 1, 32, 8),
        (12, 1, 35, 7),
        (24, 2, 54, 18),
        (24, 2, 70, 14),
        (24, 3, 36, 18),
    ],
)
def test_single_runs(source, ohm, watts, high):
    network = chain(source, [ohm], watts=[watts])
    assert solve(network).volts == pytest.approx((high,), abs=1e-9)
    assert loading_margin(network) * watts == pytest.approx(source * source / (4 * ohm), rel=1e-9)


@pytest.mark.parametrize(("source", "ohm", "watts"), [(12, 4, 9), (12, 1, 36), (24, 2, 72)])
def test_double_root_is_the_last_operating_point(source, ohm, watts):
    """At the very limit the roots meet at half the source's volts; rounding leaves seven digits there."""
    assert solve(chain(source, [ohm], watts=[watts])).volts == pytest.approx((source / 2,), rel=1e-6)


@pytest.mark.parametrize("watts", [9.01, 9.5, 90.0, 1e6])
def test_past_the_limit(watts):
    result = solve(chain(12, [4], watts=[watts]))
    assert result.collapsed
    assert result.volts == ()
    assert result.branch_amps == ()
    assert math.isnan(result.source_amps)


def test_two_cameras_with_four_mathematical_roots():
    """v^4 - 12 v^3 + 41.5 v^2 - 96 v + 160 = 0 for the second: 8 and 3.039374961, two complex."""
    network = chain(12, [1.5, 1.0], watts=[9, 8])
    real = sorted(root.real for root in np.roots([1, -12, 41.5, -96, 160]) if abs(root.imag) < 1e-9)
    assert real == pytest.approx([3.039374961, 8.0], abs=6e-10)
    assert solve(network).volts == pytest.approx((9, 8), abs=1e-9)
    assert loading_margin(network) == pytest.approx(1.180346185, abs=6e-10)


@pytest.mark.parametrize(
    "network", [TRUNK, chain(12, DAISY, watts=[4.8, 3.6, 6.0]), chain(12, [1.5, 1.0], watts=[9, 8])]
)
def test_one_in_ten_thousand_either_side_of_the_limit(network):
    limit = loading_margin(network)
    assert not solve(scaled(network, 0.9999 * limit)).collapsed
    assert solve(scaled(network, 1.0001 * limit)).collapsed
    assert not solve(scaled(network, limit * (1 - 1e-8))).collapsed
    assert solve(scaled(network, limit * (1 + 1e-8))).collapsed


def test_constant_current_collapses_when_no_volts_are_left():
    network = chain(12, [4.0], amps=[2.0])
    assert loading_margin(network) == pytest.approx(1.5, rel=1e-9)
    assert not solve(scaled(network, 1.499)).collapsed
    assert solve(scaled(network, 1.501)).collapsed


def test_constant_current_behind_a_shared_run():
    """12 V = f (0.5 (1.2 + 0.8 + 0.5)): Ohm's law, exact."""
    assert loading_margin(chain(12, [0.5] * 3, amps=[0.4, 0.3, 0.5])) == pytest.approx(
        12 / (0.5 * 2.5), rel=1e-9
    )


def test_resistive_loads_and_loads_at_the_supply_have_no_limit():
    assert loading_margin(chain(12, DAISY, siemens=[1.0] * 3)) == math.inf
    assert loading_margin(chain(12, [0.0, 0.0], watts=[5.0, 5.0])) == math.inf
    assert loading_margin(chain(12, [1.0])) == math.inf


def test_runs_without_resistance_share_their_volts():
    joined = chain(12, [1.0, 0.0, 0.0], watts=[2.0, 3.0, 4.0])
    assert solve(joined).volts == pytest.approx([constant_power_volts(12, 1, 9)] * 3, abs=1e-9)
    assert loading_margin(joined) == pytest.approx(4.0, rel=1e-9)


def test_no_nodes():
    result = solve(tree([], [], 12.0))
    assert (result.collapsed, result.volts, result.terminal_volts, result.source_amps) == (
        False,
        (),
        12.0,
        0.0,
    )
    assert loading_margin(tree([], [], 12.0)) == math.inf


@pytest.mark.parametrize(
    ("network", "word"),
    [
        (tree([0], [1.0], 12), "ring"),
        (tree([1, 0, -1], [1.0] * 3, 12), "ring"),
        (tree([-2], [1.0], 12), "parent"),
        (tree([1], [1.0], 12), "parent"),
        (tree([-1], [-1.0], 12), "ohms"),
        (tree([-1], [math.nan], 12), "ohms"),
        (tree([-1], [1.0], 12, watts=[math.inf]), "watts"),
        (tree([-1], [1.0], 12, amps=[-0.1]), "amps"),
        (tree([-1], [1.0], 12, siemens=[1.0, 2.0]), "siemens"),
        (tree([-1], [1.0], 0), "source_volts"),
        (tree([-1], [1.0], 12, source_ohm=-1), "source_ohm"),
    ],
)
def test_impossible_trees_are_refused(network, word):
    for ask in (solve, loading_margin):
        with pytest.raises(ValueError, match=word):
            ask(network)


@st.composite
def trees(draw, least_watts=0.0):
    """Trees of 1 to 12 nodes with all kinds of loads; many of them collapse."""
    size = draw(st.integers(1, 12))
    figures = lambda low, high: draw(st.lists(st.floats(low, high), min_size=size, max_size=size))  # noqa: E731
    parents = [draw(st.integers(-1, index - 1)) for index in range(size)]
    amps = [amp if amp > 0.1 else 0.0 for amp in figures(0, 0.4)]
    siemens = [figure if figure > 0.01 else 0.0 for figure in figures(0, 0.05)]
    return tree(
        parents,
        figures(0.001, 2.0),
        draw(st.sampled_from([12.0, 13.8, 24.0, 48.0])),
        figures(least_watts, 6),
        amps,
        siemens,
        draw(st.sampled_from([0.0, 0.1])),
    )


@given(trees())
def test_kirchhoff_and_ohm_hold(network):
    result = solve(network)
    if result.collapsed:
        return
    volts = [*result.volts, result.terminal_volts]
    for index, parent in enumerate(network.parents):
        assert volts[parent] - volts[index] == pytest.approx(
            network.ohms[index] * result.branch_amps[index], abs=1e-9
        )
        load = (
            network.watts[index] / volts[index] + network.amps[index] + network.siemens[index] * volts[index]
        )
        onward = sum(
            amp for other, amp in zip(network.parents, result.branch_amps, strict=True) if other == index
        )
        assert result.branch_amps[index] == pytest.approx(load + onward, abs=1e-9)
    assert result.terminal_volts == pytest.approx(
        network.source_volts - network.source_ohm * result.source_amps, abs=1e-9
    )


@given(trees(least_watts=0.1))
@settings(max_examples=60)
def test_the_margin_divides_solved_from_collapsed(network):
    limit = loading_margin(network)
    assert not solve(scaled(network, 0.9999 * limit)).collapsed
    assert solve(scaled(network, 1.0001 * limit)).collapsed
    assert solve(network).collapsed is (limit < 1)


@given(trees(), st.integers(0, 11), st.floats(0.01, 3))
def test_more_load_never_raises_any_volts(network, where, watts):
    heavier = list(network.watts)
    heavier[where % len(heavier)] += watts
    before, after = (
        solve(network),
        solve(
            PowerTree(
                network.parents,
                network.ohms,
                heavier,
                network.amps,
                network.siemens,
                network.source_volts,
                network.source_ohm,
            )
        ),
    )
    if before.collapsed:
        assert after.collapsed
    elif not after.collapsed:
        assert all(now <= then + 1e-9 for now, then in zip(after.volts, before.volts, strict=True))


@given(trees(), st.randoms(use_true_random=False))
def test_the_order_of_nodes_does_not_matter(network, rng):
    size = len(network.parents)
    place = list(range(size))
    rng.shuffle(place)
    back = sorted(range(size), key=place.__getitem__)
    parents = [-1 if network.parents[old] < 0 else place[network.parents[old]] for old in back]
    moved = [
        [values[old] for old in back]
        for values in (network.ohms, network.watts, network.amps, network.siemens)
    ]
    result, other = (
        solve(network),
        solve(PowerTree(parents, *moved, network.source_volts, network.source_ohm)),
    )
    assert result.collapsed is other.collapsed
    if not result.collapsed:
        assert [other.volts[place[index]] for index in range(size)] == pytest.approx(result.volts, abs=1e-9)
        assert [other.branch_amps[place[index]] for index in range(size)] == pytest.approx(
            result.branch_amps, abs=1e-9
        )


@given(trees())
def test_a_run_cut_in_two_changes_nothing(network):
    """A joint without load in the middle of the first run."""
    first = network.ohms[0]
    parents = [len(network.parents), *network.parents[1:], -1]
    ohms = [first * 0.3, *network.ohms[1:], first * 0.7]
    loads = [[*values, 0.0] for values in (network.watts, network.amps, network.siemens)]
    result, cut = (
        solve(network),
        solve(PowerTree(parents, ohms, *loads, network.source_volts, network.source_ohm)),
    )
    assert result.collapsed is cut.collapsed
    if not result.collapsed:
        assert cut.volts[:-1] == pytest.approx(result.volts, abs=1e-8)


@given(st.floats(0.05, 3), st.floats(0.05, 3), st.floats(0.5, 12), st.floats(0.5, 12))
def test_two_loads_against_all_roots_of_the_quartic(first_ohm, second_ohm, first, second):
    """Elimination gives a quartic in the far volts v; the operating point is its greatest lawful real root.

    With i = Q/v and V1 = v + R2 i: V0 = V1 + R1 (P / V1 + i), multiplied out over v^2.
    """
    far = np.poly1d([1, 0, second_ohm * second])  # v V1
    v = np.poly1d([1, 0])
    quartic = far * far + first_ohm * first * v * v + first_ohm * second * far - 12 * v * far
    roots = [root.real for root in quartic.roots if abs(root.imag) < 1e-7 and root.real > 0]
    result = solve(chain(12, [first_ohm, second_ohm], watts=[first, second]))
    if result.collapsed:
        # Every real root left would have to be a double one that rounding made real.
        assert all(abs(quartic.deriv()(root)) < 1e-2 * 12**3 for root in roots)
    else:
        assert result.volts[1] == pytest.approx(max(roots), abs=1e-5)


def test_ten_thousand_nodes_do_not_run_away(guarded):
    """A guard against work that grows faster than the tree: ten times what tests/bench/check_speed.py allows."""
    rng = random.Random(5)
    size = 10_000
    parents = [-1] + [rng.randrange(max(-1, index - 50), index) for index in range(1, size)]
    network = tree(
        parents,
        [rng.uniform(0, 1e-3) for _ in parents],
        48.0,
        watts=[rng.choice([0.0, 5.0]) for _ in parents],
    )
    network = scaled(network, 0.3 * loading_margin(network))
    with guarded(100):
        result = solve(network)
    assert not result.collapsed


# The limit found directly (power_limit) against the bracket between factors that settle and factors that collapse.


def _direct(network):
    loads = network.watts, network.amps, network.siemens
    return limit_factor(network.parents, network.ohms, loads, network.source_volts, network.source_ohm)


def _bracket(network):
    arranged = power_network._arranged(network)
    return power_network._bracketed(arranged, power_network._growth_bound(arranged))


def _random_tree(rng):
    size = rng.randrange(1, 20)
    near = rng.choice((1, 3, size))
    parents = [-1] + [rng.randrange(max(0, index - near), index) for index in range(1, size)]
    ohms = [rng.choice((rng.uniform(0.01, 2), 10 ** rng.uniform(-4, 1))) for _ in parents]
    loads = [
        [rng.choice((0.0, rng.uniform(0.1, most))) for _ in parents] for most in (10.0, rng.choice((0.0, 0.5)), 0.05)
    ]
    loads[0][-1] = 5.0
    return PowerTree(parents, ohms, *loads, 12.0, rng.choice((0.0, 0.05, 0.5)))


def test_the_direct_limit_is_that_of_the_bracket():
    """The bracket proves both its ends by `solve`; common practice for its width, 1e-10."""
    rng = random.Random(11)
    networks = [_random_tree(rng) for _ in range(150)]
    found = [(_direct(network), network) for network in networks]
    settled = [(limit, network) for limit, network in found if limit is not None]
    assert len(settled) > 0.9 * len(networks)
    for limit, network in settled:
        assert limit == pytest.approx(_bracket(network), rel=1.1e-10)
        assert not solve(scaled(network, limit * (1 - 1e-8))).collapsed
        assert solve(scaled(network, limit * (1 + 1e-8))).collapsed


@given(st.floats(1, 400), st.floats(1e-3, 50), st.floats(0.1, 500))
def test_the_direct_limit_of_one_run_is_matched_power(source, ohm, watts):
    """Maximum power transfer theorem: V0^2 / 4 R."""
    assert _direct(chain(source, [ohm], watts=[watts])) * watts == pytest.approx(source**2 / (4 * ohm), rel=1e-11)


def test_where_no_direct_limit_is_sought():
    assert _direct(chain(12, [1.0], amps=[1.0])) is None
    assert _direct(chain(12, [0.0, 1.0], watts=[1.0, 1.0])) is None
    assert _direct(tree([-1, -1], [1.0, 1.0], 12.0, watts=[1.0, 1.0])) is None
    assert _direct(tree([], [], 12.0)) is None
    assert _direct(tree([-1, -1], [1.0, 1.0], 12.0, watts=[1.0, 1.0], source_ohm=0.1)) is not None


def test_a_chain_of_ten_thousand_runs():
    """Deep trees neither recurse nor lose digits: N equal currents, end drop I r N (N + 1) / 2."""
    size = 10_000
    result = solve(chain(48.0, [1e-5] * size, amps=[1e-2] * size))
    assert 48.0 - result.volts[-1] == pytest.approx(1e-7 * size * (size + 1) / 2, rel=1e-10)
