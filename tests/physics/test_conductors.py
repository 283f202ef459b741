"""Conductors against published tables. "HB 100" is NBS Handbook 100; "NEC 8" is NEC chapter 9 Table 8."""

from __future__ import annotations

import pytest

from coaxwright.facts.physics import conductors as c


# IEC 60228:2004 Tables 1 to 3, maximum ohm/km, against ideal copper of the nominal area (IEC 60028).
@pytest.mark.parametrize(
    ("area", "class_1_2", "class_5", "tinned", "ideal"),
    [
        (0.5, 36.0, 39.0, 40.1, 34.483),
        (0.75, 24.5, 26.0, 26.7, 22.989),
        (1.0, 18.1, 19.5, 20.0, 17.241),
        (1.5, 12.1, 13.3, 13.7, 11.494),
        (2.5, 7.41, 7.98, 8.21, 6.897),
        (4.0, 4.61, 4.95, 5.09, 4.310),
    ],
)
def test_area_formula_is_optimistic_against_iec_60228(area, class_1_2, class_5, tinned, ideal):
    ohm_km = 1000 * c.ohm_per_metre(area)
    assert ohm_km == pytest.approx(ideal, abs=6e-4)
    assert 1.04 < class_1_2 / ohm_km < 1.075
    assert 1.13 < class_5 / ohm_km < 1.16
    assert class_5 < tinned


def test_loop_resistance():
    """Ohm's law; the 3.12 ohm loop is 60 m of 26.0 ohm/km (IEC 60228 class 5, 0.75 mm2)."""
    assert c.loop_resistance(0.026, 60) == pytest.approx(3.12)
    assert c.loop_resistance(0.026, 60, cores=2) == pytest.approx(1.56)
    assert c.loop_resistance(0.065, 100, return_ohm_per_m=0.009) == pytest.approx(7.4)
    assert c.loop_resistance(0.026, 0) == 0.0


def test_published_worked_drops():
    """NEC 8 resistances. 16 AWG stranded, 100 ft, 4 A: printed 4.0 V; 2 AWG, 200 ft, 100 A: 6.36 V (common
    practice)."""
    ohm = c.loop_resistance(4.99 / 304.8, 30.48)
    assert 4 * ohm == pytest.approx(3.992)
    assert 100 * 4 * ohm / 24 == pytest.approx(16.63, abs=0.005)
    assert 100 * c.loop_resistance(0.159 / 304.8, 200 * 0.3048) == pytest.approx(6.36)
    assert c.loop_resistance(6.505 / 304.8, 400 * 0.3048) / 2 == pytest.approx(2.602)
