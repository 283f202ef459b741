"""Conductors against published tables. "HB 100" is NBS Handbook 100; "NEC 8" is NEC chapter 9 Table 8."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import conductors as c

# gauge, diameter mm, area mm2, ohm/km at 20 degC (ASTM B258 size, IEC 60028 copper), ohm/1000 ft of HB 100.
GAUGES = [
    (14, 1.62773, 2.08091, 8.2855, 2.525),
    (16, 1.29085, 1.30870, 13.1745, 4.016),
    (18, 1.02369, 0.82305, 20.9482, 6.385),
    (20, 0.81182, 0.51762, 33.3090, 10.15),
    (22, 0.64380, 0.32553, 52.9634, 16.14),
    (24, 0.51056, 0.20473, 84.2151, 25.67),
]


@pytest.mark.parametrize(("gauge", "diameter", "area", "ohm_km", "ohm_kft"), GAUGES)
def test_gauge_size_and_resistance(gauge, diameter, area, ohm_km, ohm_kft):
    assert c.awg_diameter(gauge) == pytest.approx(diameter, abs=5e-6)
    assert c.awg_area(gauge) == pytest.approx(area, abs=5e-6)
    assert 1000 * c.awg_ohm_per_metre(gauge) == pytest.approx(ohm_km, abs=5e-5)
    # HB 100 prints four figures.
    assert 304.8 * c.awg_ohm_per_metre(gauge) == pytest.approx(
        ohm_kft, abs=0.0051 if ohm_kft > 10 else 0.00051
    )


def test_gauge_definition_points():
    """ASTM B258: 36 is 0.005 in, 4/0 is 0.46 in; six steps nearly double the diameter."""
    assert c.awg_diameter(36) == pytest.approx(0.127)
    assert c.awg_diameter(-3) == pytest.approx(11.684)
    assert c.awg_diameter(18) / c.awg_diameter(24) == pytest.approx(92 ** (6 / 39))


# NEC 8: ohm/km and ohm/1000 ft at 75 degC, solid uncoated; stranded is about 2 % more.
@pytest.mark.parametrize(
    ("gauge", "computed", "per_km", "per_kft", "stranded_per_km"),
    [(14, 10.076, 10.1, 3.07, 10.3), (16, 16.022, 16.0, 4.89, 16.4), (18, 25.476, 25.5, 7.77, 26.1)],
)
def test_nec_table_8_at_75_degc(gauge, computed, per_km, per_kft, stranded_per_km):
    ohm_km = 1000 * c.resistance_at(c.awg_ohm_per_metre(gauge), 75.0)
    assert ohm_km == pytest.approx(computed, abs=6e-4)
    assert ohm_km == pytest.approx(per_km, abs=0.051)
    # The table's own columns differ by 0.15 % at 16 AWG.
    assert 0.3048 * ohm_km == pytest.approx(per_kft, rel=0.0015)
    assert stranded_per_km == pytest.approx(1.02 * ohm_km, rel=0.006)


@pytest.mark.parametrize(("gauge", "computed"), [(20, 40.509), (22, 64.411), (24, 102.418)])
def test_thin_gauges_at_75_degc(gauge, computed):
    """IEC 60028 copper and coefficient; NEC 8 stops at 18."""
    assert 1000 * c.resistance_at(c.awg_ohm_per_metre(gauge), 75.0) == pytest.approx(computed, abs=6e-4)


# R(t)/R(20) with the coefficient of IEC 60028.
@pytest.mark.parametrize(
    ("degc", "factor"),
    [
        (-20, 0.8428),
        (0, 0.9214),
        (20, 1.0),
        (40, 1.0786),
        (50, 1.1179),
        (60, 1.1572),
        (70, 1.1965),
        (75, 1.21615),
        (90, 1.2751),
    ],
)
def test_temperature_factor(degc, factor):
    assert c.temperature_factor(degc) == pytest.approx(factor, abs=1e-9)


# IEC 60228:2004 temperature correction factors, which bring a reading at t to 20 degC.
@pytest.mark.parametrize(
    ("degc", "factor"),
    [
        (5, 1.064),
        (10, 1.042),
        (25, 0.980),
        (30, 0.962),
        (40, 0.926),
        (50, 0.893),
        (60, 0.862),
        (70, 0.833),
        (75, 0.820),
        (90, 0.781),
    ],
)
def test_iec_60228_correction(degc, factor):
    assert 1 / c.temperature_factor(degc, c.IEC_60228_ALPHA_20) == pytest.approx(factor, abs=6e-4)


def test_alpha_referred_to_75_degc():
    """NEC 8 note (from memory): 0.00323; and 20 degC is about 82 % of the 75 degC value (common practice)."""
    assert c.alpha_at(75.0) == pytest.approx(0.0032315, abs=5e-8)
    assert 1 / c.temperature_factor(75.0) == pytest.approx(0.8223, abs=5e-5)


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


@pytest.mark.parametrize(
    ("iacs", "factor"),
    [
        (62.9, 1.5898),  # ASTM B566 class 10A
        (64.4, 1.5528),  # ASTM B566 class 15A
        (61.0, 1.639),  # electrical aluminium, handbook figure
        (40.0, 2.5),  # copper-clad steel, ASTM B869 (class from memory)
        (30.0, 3.333),  # from memory
        (21.0, 4.762),  # from memory
    ],
)
def test_clad_conductors(iacs, factor):
    assert c.conductivity_factor(iacs) == pytest.approx(factor, abs=5e-4)


def test_clad_steel_centres_of_coax():
    """IEC 60028 copper over ASTM B258 sizes; 21 % and 40 % conductivity from memory."""
    assert 1000 * c.awg_ohm_per_metre(18, c.conductivity_factor(21)) == pytest.approx(99.8, abs=0.05)
    assert 1000 * c.awg_ohm_per_metre(20, c.conductivity_factor(21)) == pytest.approx(158.6, abs=0.05)
    centre = c.circle_area(0.58)
    assert 1000 * c.ohm_per_metre(centre) == pytest.approx(65.26, abs=0.005)
    assert 1000 * c.ohm_per_metre(centre, c.conductivity_factor(40)) == pytest.approx(163.1, abs=0.06)


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


@given(st.integers(-3, 55))
def test_thicker_wire_resists_less(gauge):
    assert c.awg_ohm_per_metre(gauge) < c.awg_ohm_per_metre(gauge + 1)


@given(st.floats(1e-6, 1e3), st.floats(-60, 120))
def test_temperature_is_linear_about_20_degc(ohm, degc):
    warm, cool = c.resistance_at(ohm, degc), c.resistance_at(ohm, 40.0 - degc)
    assert warm + cool == pytest.approx(2 * ohm)


@pytest.mark.parametrize(
    "call",
    [
        lambda: c.awg_diameter(57),
        lambda: c.awg_diameter(-4),
        lambda: c.ohm_per_metre(0.0),
        lambda: c.ohm_per_metre(math.nan),
        lambda: c.resistance_at(-1.0, 20),
        lambda: c.resistance_at(1.0, math.inf),
        lambda: c.temperature_factor(-240.0),
        lambda: c.conductivity_factor(0.0),
        lambda: c.conductivity_factor(111.0),
        lambda: c.loop_resistance(0.01, -1),
        lambda: c.loop_resistance(0.01, 1, cores=0),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match=r"must|does not hold"):
        call()


def test_poor_conductors_are_not_refused():
    assert c.conductivity_factor(0.5) == 200
    assert c.conductivity_factor(110) == pytest.approx(100 / 110)
