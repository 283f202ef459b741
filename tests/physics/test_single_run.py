"""One run, one load: closed forms against worked figures of circuit theory (two roots printed, one
returned)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import single_run as s
from coaxwright.facts.physics import supplies
from coaxwright.facts.physics.conductors import awg_ohm_per_metre, loop_resistance

# 12 V over 60 m of 0.75 mm2 class 5, 26.0 ohm/km (IEC 60228:2004 Table 3): 3.12 ohm out and back.
OHM = loop_resistance(0.026, 60)


def test_constant_current():
    assert s.constant_current_volts(12, OHM, 0.5) == pytest.approx(10.44, abs=1e-12)
    assert s.drop_percent(12, 10.44) == pytest.approx(13.0)
    assert s.constant_current_volts(12, 4, 3) is None


def test_constant_power_gives_the_high_root():
    volts = s.constant_power_volts(12, OHM, 6)
    assert volts == pytest.approx(10.156921938, abs=5e-10)
    assert volts != pytest.approx(1.843078062, abs=1)
    assert 6 / volts == pytest.approx(0.590730148, abs=5e-10)
    assert s.drop_percent(12, volts) == pytest.approx(15.36, abs=0.005)


def test_resistive_load():
    volts = s.resistive_load_volts(12, OHM, 24)
    assert volts == pytest.approx(10.619469027, abs=5e-10)
    assert volts / 24 == pytest.approx(0.442477876, abs=5e-10)
    assert s.drop_percent(12, volts) == pytest.approx(11.50, abs=0.005)


def test_longest_runs_for_ten_percent():
    assert s.longest_run(12, 10.8, 0.5, 0.052) == pytest.approx(46.153846, abs=5e-7)
    assert s.longest_run(12, 10.8, 6 / 10.8, 0.052) == pytest.approx(41.538462, abs=5e-7)
    assert s.collapse_length(12, 6, 0.052) == pytest.approx(115.384615, abs=5e-7)
    assert s.longest_run(12, 10.8, 0.0, 0.052) == math.inf
    assert s.collapse_length(12, 0.0, 0.052) == math.inf


# 12 V, 0.5 A, 30 m one way of solid copper at 20 degC; and the longest run for 10 % of 12 V. ASTM B258,
# IEC 60028.
@pytest.mark.parametrize(
    ("gauge", "volts", "metres"),
    [
        (14, 11.7514, 144.83),
        (16, 11.6048, 91.09),
        (18, 11.3716, 57.28),
        (20, 11.0007, 36.03),
        (22, 10.4111, 22.66),
        (24, 9.4735, 14.25),
    ],
)
def test_gauges_over_thirty_metres(gauge, volts, metres):
    ohm = awg_ohm_per_metre(gauge)
    assert s.constant_current_volts(12, loop_resistance(ohm, 30), 0.5) == pytest.approx(volts, abs=6e-5)
    assert s.longest_run(12, 10.8, 0.5, 2 * ohm) == pytest.approx(metres, abs=0.006)
    assert s.longest_run(24, 21.6, 1.0, 2 * ohm) == pytest.approx(metres, abs=0.006)


# V^2 - V0 V + R P = 0: V0, R, P, the root that is returned, the one that is not. Solvable iff P <= V0^2 / 4R.
ROOTS = [
    (12, 4, 8, 8, 4),
    (12, 4, 9, 6, 6),
    (12, 1, 11, 11, 1),
    (12, 1, 20, 10, 2),
    (12, 1, 27, 9, 3),
    (12, 1, 32, 8, 4),
    (12, 1, 35, 7, 5),
    (12, 1, 36, 6, 6),
    (24, 2, 54, 18, 6),
    (24, 2, 70, 14, 10),
    (24, 2, 72, 12, 12),
    (24, 3, 36, 18, 6),
]


@pytest.mark.parametrize(("source", "ohm", "watts", "high", "low"), ROOTS)
def test_integer_roots(source, ohm, watts, high, low):
    assert s.constant_power_volts(source, ohm, watts) == pytest.approx(high, abs=1e-12)
    assert high + low == source
    assert high * low == ohm * watts


@pytest.mark.parametrize("watts", [9.01, 9.5, 1e9])
def test_past_the_limit_there_is_no_answer(watts):
    assert s.constant_power_volts(12, 4, watts) is None
    assert s.most_watts(12, 4) == 9.0


def test_no_resistance_has_no_limit():
    assert s.most_watts(12, 0) == math.inf
    assert s.constant_power_volts(12, 0, 500) == 12


# 24 V AC, 1 ohm, 40 VA: V^4 + (2 R S pf - Vs^2) V^2 + R^2 S^2 = 0. Circuit theory.
@pytest.mark.parametrize(("factor", "volts"), [(1.0, 22.198039027), (0.8, 22.557829906), (0.6, 22.911833250)])
def test_ac_with_power_factor(factor, volts):
    got = s.ac_volts(24, 1, 40, factor)
    assert got == pytest.approx(volts, abs=5e-10)
    assert got**4 + (2 * 40 * factor - 24**2) * got**2 + 40**2 == pytest.approx(0, abs=1e-8)


@given(st.floats(1, 400), st.floats(0.01, 50), st.floats(0.01, 0.9999))
def test_power_balances_at_the_high_root(source, ohm, share):
    watts = share * s.most_watts(source, ohm)
    volts = s.constant_power_volts(source, ohm, watts)
    assert source / 2 <= volts <= source
    assert (source - volts) / ohm * volts == pytest.approx(watts, rel=1e-9)
    assert s.ac_volts(source, ohm, watts, 1.0) == pytest.approx(volts, rel=1e-7)


@given(st.floats(1, 400), st.floats(0.01, 50), st.floats(0.05, 1.0))
def test_ac_limit(source, ohm, factor):
    """The discriminant is zero at S = Vs^2 / (2 R (1 + pf)); circuit theory."""
    limit = source * source / (2 * ohm * (1 + factor))
    assert s.ac_volts(source, ohm, 0.9999 * limit, factor) is not None
    assert s.ac_volts(source, ohm, 1.0001 * limit, factor) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: s.constant_power_volts(0, 1, 1),
        lambda: s.constant_power_volts(12, -1, 1),
        lambda: s.constant_power_volts(12, 1, math.nan),
        lambda: s.ac_volts(24, 1, 40, 0.0),
        lambda: s.ac_volts(24, 1, 40, 1.01),
        lambda: s.resistive_load_volts(12, 1, 0),
        lambda: s.longest_run(12, 12.5, 1, 0.05),
        lambda: s.longest_run(12, 10, 1, 0.0),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"must|below"):
        call()


# NEC chapter 9 Table 11(B), from memory: 5 A up to 20 V, then 100 VA.
@pytest.mark.parametrize(
    ("volts", "amps"), [(12, 5.0), (20, 5.0), (24, 4.167), (28, 3.571), (30, 3.333), (48, 2.083)]
)
def test_class_2_current(volts, amps):
    assert supplies.class_2_dc_amps(volts) == pytest.approx(amps, abs=5e-4)


def test_class_2_power():
    """NEC chapter 9 Table 11(B), from memory: 12 V ends at 60 VA, not at 100."""
    assert supplies.class_2_dc_volt_amperes(12) == 60
    assert supplies.class_2_dc_volt_amperes(24) == pytest.approx(100)
    with pytest.raises(ValueError, match="60 V"):
        supplies.class_2_dc_amps(61)


def test_rectified_peaks_and_loading():
    """Peaks: circuit theory. 80 % loading: common practice."""
    assert supplies.rectified_peak(24) == pytest.approx(33.94, abs=0.005)
    assert supplies.rectified_peak(28) == pytest.approx(39.60, abs=0.005)
    assert supplies.usable_amps(8) == pytest.approx(6.4)
    assert supplies.rated_amps_needed(4.1) == pytest.approx(5.125)


# IEC 60364-5-52:2009 Annex G: 0.005 %/m beyond 100 m, at most 0.5 %.
@pytest.mark.parametrize(
    ("base", "metres", "limit"), [(3, 100, 3.0), (5, 160, 5.3), (5, 200, 5.5), (8, 500, 8.5)]
)
def test_mains_drop_limit(base, metres, limit):
    assert supplies.mains_drop_limit_percent(base, metres) == pytest.approx(limit)


def test_mains_drop():
    """IEC 60364-5-52:2009 Annex G: 60 m, 0.75 mm2, 0.5 A, cos 1 gives 1.800 V; less with a worse power
    factor."""
    assert supplies.mains_voltage_drop(0.5, 60, 0.75, 1.0) == pytest.approx(1.8)
    by_hand = 2 * (0.0225 * 30 / 2.5 * 0.8 + 0.00008 * 30 * 0.6) * 10
    assert supplies.mains_voltage_drop(10, 30, 2.5) == pytest.approx(by_hand)
    assert 1.25 / 58 < supplies.IEC_COPPER_DROP_RESISTIVITY < 1.3 / 55


def test_a_run_with_little_to_lose():
    assert s.longest_run(12, 11.5, 1.0, 0.05) == pytest.approx(10)
    assert s.longest_run(12, 12, 1.0, 0.05) == 0
