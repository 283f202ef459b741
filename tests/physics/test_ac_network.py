"""AC supply trees against the closed form of one run and against the DC solver where they must agree."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.facts.physics.ac_network import AcTree, ac_loading_margin, solve_ac
from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve


def ac_volts(source, ohm, volt_amperes, factor):
    """RMS volts at one constant-VA load, the high root of V^4 + (2 R S pf - Vs^2) V^2 + R^2 S^2 = 0; circuit theory."""
    middle = source**2 - 2 * ohm * volt_amperes * factor
    return math.sqrt((middle + math.sqrt(middle**2 - 4 * (ohm * volt_amperes) ** 2)) / 2)


def one_run(volts, ohm, volt_amperes, factor, source_ohm=0.0):
    return AcTree([-1], [ohm], [volt_amperes], [0.0], [0.0], [factor], volts, source_ohm)


# V^4 + (2 R S pf - Vs^2) V^2 + R^2 S^2 = 0 for 24 V, 1 ohm, 40 VA. Circuit theory.
@pytest.mark.parametrize(("factor", "volts"), [(1.0, 22.198039027), (0.8, 22.557829906), (0.6, 22.911833250)])
def test_one_run(factor, volts):
    result = solve_ac(one_run(24, 1.0, 40, factor))
    assert result.volts == pytest.approx((volts,), abs=6e-10)
    assert result.branch_amps == pytest.approx((40 / volts,), abs=1e-9)
    assert result.source_volt_amperes == pytest.approx(24 * 40 / volts, abs=1e-7)


@given(st.floats(0.2, 1.0), st.floats(0.01, 0.999), st.floats(0.05, 5))
def test_one_run_against_the_closed_form(factor, share, ohm):
    load = share * 24**2 / (2 * ohm * (1 + factor))
    assert solve_ac(one_run(24, ohm, load, factor)).volts == pytest.approx(
        (ac_volts(24, ohm, load, factor),), rel=1e-8
    )


@pytest.mark.parametrize("factor", [1.0, 0.9, 0.6, 0.3])
def test_limit_of_one_run(factor):
    """Both roots meet at S = Vs^2 / (2 R (1 + pf)); circuit theory."""
    limit = 24**2 / (2 * 0.8 * (1 + factor))
    assert ac_loading_margin(one_run(24, 0.5, limit / 2, factor, 0.3)) == pytest.approx(2.0, rel=1e-8)
    assert not solve_ac(one_run(24, 0.5, 0.9999 * limit, factor, 0.3)).collapsed
    assert solve_ac(one_run(24, 0.5, 1.0001 * limit, factor, 0.3)).collapsed


def test_inductive_run_and_lagging_load():
    """Limit for an impedance |Z| at angle t: Vs^2 / (2 |Z| (1 + cos(t - phi))); circuit theory."""
    impedance = complex(0.6, 0.4)
    between = cmath.phase(impedance) - math.acos(0.7)
    limit = 24**2 / (2 * abs(impedance) * (1 + math.cos(between)))
    assert ac_loading_margin(one_run(24, impedance, limit / 3, 0.7)) == pytest.approx(3.0, rel=1e-8)


def test_heater_beside_a_camera():
    """A resistance alone divides the volts; 24 ohm behind 1 ohm."""
    heater = AcTree([-1], [1.0], [0.0], [0.0], [1 / 24], [1.0], 25.0)
    assert solve_ac(heater).volts == pytest.approx((24.0,), abs=1e-9)
    assert ac_loading_margin(heater) == math.inf
    assert ac_loading_margin(AcTree([-1], [0.0], [5.0], [0.0], [0.0], [1.0], 25.0)) == math.inf


@st.composite
def dc_trees(draw):
    size = draw(st.integers(1, 8))
    figures = lambda low, high: draw(st.lists(st.floats(low, high), min_size=size, max_size=size))  # noqa: E731
    parents = [draw(st.integers(-1, index - 1)) for index in range(size)]
    return PowerTree(
        parents,
        figures(0.001, 1.0),
        figures(0.1, 8),
        figures(0, 0.3),
        figures(0, 0.03),
        24.0,
        draw(st.sampled_from([0.0, 0.1])),
    )


def as_ac(network, factor=1.0):
    ones = [1.0] * len(network.parents)
    loads = [[factor * load for load in column] for column in (network.watts, network.amps, network.siemens)]
    return AcTree(network.parents, network.ohms, *loads, ones, network.source_volts, network.source_ohm)


@given(dc_trees())
@settings(max_examples=60)
def test_unity_power_factor_is_direct_current(network):
    """Without reactance and phase the two solvers answer the same question by different methods."""
    direct, alternating = solve(network), solve_ac(as_ac(network))
    assert alternating.collapsed is direct.collapsed
    if not direct.collapsed:
        assert alternating.volts == pytest.approx(direct.volts, abs=1e-8)
        assert alternating.branch_amps == pytest.approx(direct.branch_amps, abs=1e-8)
        assert alternating.run_watts == pytest.approx(direct.run_watts, abs=1e-7)


@given(dc_trees())
@settings(max_examples=25, deadline=None)
def test_the_two_limits_agree(network):
    limit = loading_margin(network)
    assert ac_loading_margin(as_ac(network)) == pytest.approx(limit, rel=1e-6)
    assert not solve_ac(as_ac(network, 0.9999 * limit)).collapsed
    assert solve_ac(as_ac(network, 1.0001 * limit)).collapsed


def test_order_of_nodes_does_not_matter():
    forward = AcTree(
        [-1, 0, 1], [0.5, 0.4, 0.3], [10, 5, 8], [0, 0.1, 0], [0, 0, 0.01], [0.8, 0.9, 1.0], 24.0
    )
    backward = AcTree(
        [1, 2, -1], [0.3, 0.4, 0.5], [8, 5, 10], [0, 0.1, 0], [0.01, 0, 0], [1.0, 0.9, 0.8], 24.0
    )
    assert solve_ac(backward).volts[::-1] == pytest.approx(solve_ac(forward).volts, abs=1e-10)
    assert solve_ac(backward).branch_amps[::-1] == pytest.approx(solve_ac(forward).branch_amps, abs=1e-10)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"parents": [0]}, "ring"),
        ({"ohms": [-1.0]}, "impedance"),
        ({"ohms": [complex(1, -1)]}, "impedance"),
        ({"volt_amperes": [math.nan]}, "load"),
        ({"power_factors": [0.0]}, "power_factors"),
        ({"power_factors": [1.0, 1.0]}, "power_factors"),
        ({"source_volts": 0.0}, "source_volts"),
    ],
)
def test_impossible_trees_are_refused(change, word):
    figures = {
        "parents": [-1],
        "ohms": [1.0],
        "volt_amperes": [1.0],
        "amps": [0.0],
        "siemens": [0.0],
        "power_factors": [1.0],
        "source_volts": 24.0,
    }
    with pytest.raises(ValueError, match=word):
        solve_ac(AcTree(**(figures | change)))
