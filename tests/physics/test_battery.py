"""The size and the volts of batteries against published worked examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import battery as b


# DIN VDE 0833-2: ageing 1.25 up to 24 h, discharge 1.1 up to 12 h; Ah printed truncated.
@pytest.mark.parametrize(
    ("hours", "ageing", "discharge", "exact", "printed"),
    [(12, 1.25, 1.1, 17.25625, 17.2), (24, 1.25, 1.0, 29.1875, 29.1), (72, 1.0, 1.0, 66.55, 66.5)],
)
def test_alarm_sizing(hours, ageing, discharge, exact, printed):
    demand = b.profile_ampere_hours([(0.9, hours), (3.5, 0.5)])
    needed = b.capacity_needed(demand, ageing, discharge)
    assert needed == pytest.approx(exact)
    assert printed <= needed < printed + 0.1


def test_stationary_sizing():
    """IEEE 485 (from memory): ageing 1.25, margin 1.10 to 1.15, temperature factor."""
    assert b.capacity_needed(10, 1.25, 1.0, 1.11, 1.15) == pytest.approx(10 * 1.25 * 1.11 * 1.15)
    with pytest.raises(ValueError, match="ageing"):
        b.capacity_needed(10, 0.9)


# Float of lead-acid batteries: 2.25 to 2.30 V a cell (makers' tables, common practice); 13.5 and 13.8 V for 12 V.
@pytest.mark.parametrize(
    ("nominal", "least", "most", "battery"),
    [
        (12, 13.5, 13.8, 12), (24, 27.0, 27.6, 24), (48, 54.0, 55.2, 48), (13.8, 13.8, 13.8, 12), (6, 6.75, 6.9, 6),
        (27.6, 27.6, 27.6, 24),
    ],
)
def test_float(nominal, least, most, battery):
    assert b.float_volts(nominal, 2.25) == pytest.approx(least)
    assert b.float_volts(nominal, 2.30) == pytest.approx(most)
    assert b.battery_volts(nominal) == battery


@given(st.floats(1, 300), st.floats(1, 100), st.floats(0.05, 50), st.floats(1, 1.5))
def test_capacity_and_hours_are_inverse(capacity, rated, amps, exponent):
    hours = rated * (capacity / (amps * rated)) ** exponent  # Peukert's law in its rated-hour form
    assert b.peukert_capacity(hours, rated, amps, exponent) == pytest.approx(capacity, rel=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: b.peukert_capacity(7, 20, 1, 0.9),
        lambda: b.profile_ampere_hours([(1, -1)]),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()


def test_defaults():
    """Without an exponent capacity is plain ampere-hours; only ageing is asked for unless more is said."""
    assert b.peukert_capacity(5, 20, 2) == pytest.approx(10)
    assert b.capacity_needed(10) == pytest.approx(12.5)
