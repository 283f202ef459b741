"""Limits of networks where the first try does not do: far ones, steps that fail, and solvers that give up aloud."""

from __future__ import annotations

import math

import pytest

from coaxwright.facts.physics import ac_network, power_limit, power_network
from coaxwright.facts.physics.ac_network import AcTree, ac_loading_margin, solve_ac
from coaxwright.facts.physics.power_limit import limit_factor
from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve

ONE = PowerTree([-1], [2.0], [6.0], [0.0], [0.0], 12.0, 0.0)
# one run: V0^2 / (4 R P); circuit theory
ONE_LIMIT = 12.0**2 / (4.0 * 2.0 * 6.0)


@pytest.mark.parametrize("watts", [1e-4, 1e-6, 1e-8])
def test_a_heater_with_next_to_no_camera_is_far_from_its_limit(watts):
    """Behind R with a heater of G, f times both: V / (1 + f G R) behind R / (1 + f G R) is what the camera sees, so the
    limit is at 4 f P R (1 + f G R) = V^2; circuit theory (Thevenin).
    """
    ohm, siemens, volts = 1.0, 1.0 / 24.0, 24.0
    tree = AcTree([-1], [ohm], [watts], [0.0], [siemens], [1.0], volts, 0.0)
    half = 1.0 / (2.0 * siemens * ohm)
    expected = -half + math.sqrt(half * half + volts * volts / (4.0 * watts * ohm * siemens * ohm))
    assert ac_loading_margin(tree) == pytest.approx(expected, rel=1e-6)


def test_a_first_step_that_does_not_settle_costs_only_time(monkeypatch):
    """24 V, 1 ohm, 40 VA at power factor 0.8: 22.557829906 V and a limit of Vs^2 / (2 R (1 + pf)); circuit theory."""
    tree = AcTree([-1], [1.0], [40.0], [0.0], [0.0], [0.8], 24.0, 0.0)
    settle, calls = ac_network._settle, []

    def stubborn(*given):
        calls.append(given)
        return None if len(calls) == 1 else settle(*given)

    monkeypatch.setattr(ac_network, "_settle", stubborn)
    assert solve_ac(tree).volts == pytest.approx((22.557829906,), abs=6e-10)
    assert len(calls) > 2
    calls.clear()
    assert ac_loading_margin(tree) == pytest.approx(24.0**2 / (2.0 * 1.8) / 40.0, rel=1e-8)


@pytest.mark.parametrize("name", ["_step", "_eliminated"])
def test_where_the_direct_method_fails_the_bracket_finds_the_limit(monkeypatch, name):
    loads = (ONE.watts, ONE.amps, ONE.siemens)
    assert limit_factor(ONE.parents, ONE.ohms, loads, 12.0, 0.0) == pytest.approx(ONE_LIMIT, rel=1e-12)
    monkeypatch.setattr(power_limit, name, lambda *_: None)
    assert limit_factor(ONE.parents, ONE.ohms, loads, 12.0, 0.0) is None
    assert loading_margin(ONE) == pytest.approx(ONE_LIMIT, rel=1e-9)


def test_without_loads_there_is_no_step():
    """Nothing bends: the two equations of the fold are not independent, and that is said instead of divided by zero."""
    tree = power_limit._Tree([(0, 1, 2.0)], 1, [0.0, 0.0], [0.0, 0.0], [0.0, 0.0], [0.0, -12.0], [0.0, 1.0])
    linear = power_limit._eliminated(tree, [12.0, 12.0], 1.0)
    assert linear is not None
    assert power_limit._step(tree, linear, [12.0, 12.0], 1.0) is None


@pytest.mark.parametrize(("of", "words"), [(solve, "neither settled nor collapsed"), (loading_margin, "was not found")])
def test_a_solver_that_runs_out_of_steps_says_so(monkeypatch, of, words):
    """Never a figure that was not reached."""
    monkeypatch.setattr(power_limit, "_step", lambda *_: None)
    monkeypatch.setattr(power_network, "_MOST_SWEEPS", 1 if of is solve else 9)
    if of is loading_margin:
        monkeypatch.setattr(power_network, "_settle", lambda *_: None)
    with pytest.raises(ArithmeticError, match=words):
        of(ONE)
