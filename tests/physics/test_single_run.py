"""One run, one load: the closed form against worked figures of circuit theory (two roots printed, one returned);
limits of supplies."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import single_run as s
from coaxwright.facts.physics import supplies

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


def test_constant_power_gives_the_high_root():
    """12 V over 60 m of 0.75 mm2 class 5, 26.0 ohm/km (IEC 60228:2004 Table 3): 3.12 ohm out and back; 6 W."""
    volts = s.constant_power_volts(12, 3.12, 6)
    assert volts == pytest.approx(10.156921938, abs=5e-10)
    assert volts != pytest.approx(1.843078062, abs=1)
    assert 6 / volts == pytest.approx(0.590730148, abs=5e-10)


@given(st.floats(1, 400), st.floats(0.01, 50), st.floats(0.01, 0.9999))
def test_power_balances_at_the_high_root(source, ohm, share):
    watts = share * s.most_watts(source, ohm)
    volts = s.constant_power_volts(source, ohm, watts)
    assert source / 2 <= volts <= source
    assert (source - volts) / ohm * volts == pytest.approx(watts, rel=1e-9)


@pytest.mark.parametrize("given_", [(0, 1, 1), (12, -1, 1), (12, 1, math.nan)])
def test_impossible_input_is_refused(given_):
    with pytest.raises(ValueError, match="must"):
        s.constant_power_volts(*given_)


def test_rectified_peaks():
    """Circuit theory."""
    assert supplies.rectified_peak(24) == pytest.approx(33.94, abs=0.005)
    assert supplies.rectified_peak(28) == pytest.approx(39.60, abs=0.005)


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
