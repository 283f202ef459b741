"""Cold start against Ohm's law by hand, and against the power network with constant currents."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.facts.physics.cold_start import start_amps
from coaxwright.facts.physics.power_network import PowerTree, solve


def test_one_device_by_hand():
    """12 V through 4 ohm is 3 A at most (Ohm's law): it binds a device that would take 5 A, not one of 2 A."""
    assert start_amps([-1], [4.0], [5.0], 12.0) == ([3.0], 3.0)
    assert start_amps([-1], [4.0], [2.0], 12.0) == ([2.0], 2.0)


def test_a_trunk_by_hand():
    """Two devices of 2 A behind a trunk of 4 ohm: 12 V / 4 ohm = 3 A instead of 4; a third of its own adds 2 A."""
    amps, total = start_amps([-1, 0, 0, -1], [4.0, 0.0, 0.0, 0.0], [0.0, 2.0, 2.0, 2.0], 12.0)
    assert amps == [3.0, 2.0, 2.0, 2.0]
    assert total == 5.0


def test_the_source_binds_them_all():
    """13.8 V behind 0.5 ohm of its own is 27.6 A short-circuited."""
    assert start_amps([-1] * 40, [0.0] * 40, [2.0] * 40, 13.8, 0.5)[1] == pytest.approx(27.6)
    assert start_amps([], [], [], 12.0) == ([], 0)


@given(
    st.lists(st.tuples(st.integers(0, 5), st.floats(0, 4), st.floats(0, 3)), min_size=1, max_size=12),
    st.floats(0, 0.5),
)
@settings(max_examples=150, deadline=None)
def test_never_below_what_the_circuit_carries(nodes, source_ohm):
    """Kirchhoff: where the stated currents can flow at all, they are the answer; elsewhere it is less than them."""
    parents = [min(back, index) - 1 if back else -1 for index, (back, _, _) in enumerate(nodes)]
    ohms, inrush = [ohm for _, ohm, _ in nodes], [amps for _, _, amps in nodes]
    amps, total = start_amps(parents, ohms, inrush, 12.0, source_ohm)
    assert total <= sum(inrush) + 1e-9
    none = [0.0] * len(nodes)
    flow = solve(PowerTree(parents, ohms, none, inrush, none, 12.0, source_ohm))
    if not flow.collapsed:
        assert flow.branch_amps == pytest.approx(amps, rel=1e-9, abs=1e-12)
        assert flow.source_amps == pytest.approx(total, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    ("ohm", "amps", "volts"), [(-1.0, 1.0, 12.0), (1.0, math.nan, 12.0), (1.0, -1.0, 12.0), (1.0, 1.0, 0.0)]
)
def test_impossible_input_is_refused(ohm, amps, volts):
    with pytest.raises(ValueError, match="must be"):
        start_amps([-1], [ohm], [amps], volts)
