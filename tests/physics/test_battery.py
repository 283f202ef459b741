"""Batteries against published worked examples; the short Peukert form appears here only, to show that it
misleads."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import battery as b


def short_form(capacity, amps, exponent):
    """t = C / I^k, which silently takes C as the capacity at one ampere."""
    return capacity / amps**exponent


def test_rated_hour_form():
    """Peukert's law: 100 Ah at 20 h, 10 A, k 1.2 (encyclopedia example 8.7 h, from memory); 7 Ah, 1.5 A, k
    1.15."""
    assert b.peukert_hours(100, 20, 10, 1.2) == pytest.approx(8.705506, abs=5e-7)
    assert b.peukert_hours(7, 20, 1.5, 1.15) == pytest.approx(3.751486, abs=5e-7)


def test_the_short_form_is_the_rated_form_at_one_ampere():
    """Published short-form examples: 14.5 h; 5.088631644 h (common practice). Equal only when C is the 1 A
    capacity."""
    assert short_form(100, 5, 1.2) == pytest.approx(14.4956, abs=5e-5)
    assert short_form(250, 20, 1.3) == pytest.approx(5.088631644, abs=5e-10)
    assert 20 * short_form(250, 20, 1.3) == pytest.approx(101.7726, abs=5e-5)
    assert b.peukert_hours(250, 250, 20, 1.3) == pytest.approx(short_form(250, 20, 1.3))
    assert b.peukert_hours(100, 20, 5, 1.2) == pytest.approx(20.0)
    assert b.peukert_hours(100, 20, 5, 1.2) > 1.37 * short_form(100, 5, 1.2)


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


def test_usable_capacity():
    """80 % at end of life (IEEE 450, from memory), IEEE 485 in the cold, no credit for warmth."""
    assert b.usable_capacity(100, 1.0, 25) == 100
    assert b.usable_capacity(100) == 80
    assert b.usable_capacity(100, 0.8, 0) == pytest.approx(80 / 1.405)
    assert b.usable_capacity(100, 1.0, 45) == 100
    with pytest.raises(ValueError, match="does not hold"):
        b.usable_capacity(100, 1.0, -80)


# IEEE 485 Table 1, size factors by degF (read in an open data file that transcribes it).
@pytest.mark.parametrize(
    ("fahrenheit", "factor"), [(40, 1.30), (45, 1.25), (50, 1.19), (55, 1.15), (60, 1.11), (65, 1.08), (68, 1.056), (70, 1.04)]
)
def test_size_factors_in_the_cold(fahrenheit, factor):
    assert b.cold_factor((fahrenheit - 32) / 1.8) == pytest.approx(factor, abs=0.0095)


@pytest.mark.parametrize(("degc", "share"), [(5, 0.775), (0, 0.712), (-10, 0.589), (-20, 0.478), (25, 1.0), (30, 1.0)])
def test_what_the_cold_leaves(degc, share):
    """1 / size factor of IEEE 485, by its published polynomial; 1 from 25 degC up (common practice)."""
    assert 1 / b.cold_factor(degc) == pytest.approx(share, abs=6e-4)


def test_no_more_than_the_rated_capacity_is_credited():
    """Sizing by IEEE 485 without a maker's curve: longer than the rated hours t = C / I, no credit (from memory).

    24 Ah aged to 19.2 Ah, 0.2889 A: 66.46 h, where Peukert's law carried on has 79.6 h, 23 Ah out of 19.2; 65 Ah at
    10 h, 3 A: 21.67 h; faster than rated Peukert's law alone: 7 Ah, 1 A, 5.980 h.
    """
    assert b.standby_hours(19.2, 20, 0.2889, 1.15) == pytest.approx(66.46, abs=0.005)
    assert b.peukert_hours(19.2, 20, 0.2889, 1.15) == pytest.approx(79.6, abs=0.05)
    assert b.standby_hours(65, 10, 3, 1.15) == pytest.approx(21.67, abs=0.005)
    assert b.standby_hours(7, 20, 1, 1.15) == pytest.approx(5.980, abs=0.0005)
    assert b.standby_hours(7, 20, 0.0, 1.15) == math.inf


@given(st.floats(1, 300), st.floats(1, 100), st.floats(0.01, 50), st.floats(1, 1.5))
def test_never_more_ampere_hours_than_there_are(capacity, rated, amps, exponent):
    assert b.standby_hours(capacity, rated, amps, exponent) * amps <= capacity * (1 + 1e-12)


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


def test_recharge():
    """Ah over amps left over; 80 % within 72 h or 24 h is asked of grades by EN 50131-6 (from memory)."""
    assert b.recharge_hours(8.5, 1.5, 0.5, 0.85) == pytest.approx(10)
    assert b.recharge_hours(8.5, 0.5, 0.5) == math.inf
    assert b.recharge_hours(0, 0.5, 0.5) == 0


@given(st.floats(1, 300), st.floats(1, 100), st.floats(0.05, 50), st.floats(1, 1.5))
def test_capacity_and_hours_are_inverse(capacity, rated, amps, exponent):
    hours = b.peukert_hours(capacity, rated, amps, exponent)
    assert b.peukert_capacity(hours, rated, amps, exponent) == pytest.approx(capacity, rel=1e-9)


@given(st.floats(1, 300), st.floats(1, 100), st.floats(1, 1.5))
def test_at_the_rated_current_it_lasts_the_rated_hours(capacity, rated, exponent):
    assert b.peukert_hours(capacity, rated, capacity / rated, exponent) == pytest.approx(rated)


def test_no_load_lasts_for_ever():
    assert b.peukert_hours(7, 20, 0.0, 1.2) == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: b.peukert_hours(7, 20, 1, 0.9),
        lambda: b.peukert_capacity(7, 20, 1, 0.9),
        lambda: b.peukert_hours(0, 20, 1),
        lambda: b.profile_ampere_hours([(1, -1)]),
        lambda: b.usable_capacity(100, 0.0),
        lambda: b.recharge_hours(1, 1, 0, 1.2),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()


def test_defaults():
    """Without an exponent capacity is plain ampere-hours; only ageing is asked for unless more is said."""
    assert b.peukert_hours(10, 20, 2) == pytest.approx(5)
    assert b.peukert_capacity(5, 20, 2) == pytest.approx(10)
    assert b.capacity_needed(10) == pytest.approx(12.5)
    assert b.recharge_hours(8.5, 2.5, 0.5) == pytest.approx(5)
    with pytest.raises(ValueError, match="does not hold"):
        b.usable_capacity(100, 1.0, -40.1)
