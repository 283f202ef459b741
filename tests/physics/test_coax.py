"""Loss and skin depth against published tables, against theory, and against scikit-rf.

Table A is the ANSI/SCTE 74 maximum for foam 75 ohm drop cable (from memory, in part confirmed), dB/100 ft.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import coax

FEET_100 = 100 / 30.48
MHZ = [5, 55, 211, 250, 300, 350, 400, 450, 550, 750, 1000]
PER_100_FT = {
    "series 59": [0.86, 2.05, 3.81, 4.10, 4.45, 4.80, 5.10, 5.40, 5.95, 6.97, 8.12],
    "series 6": [0.58, 1.60, 3.05, 3.30, 3.55, 3.85, 4.15, 4.40, 4.90, 5.65, 6.55],
    "series 11": [0.38, 0.96, 1.90, 2.05, 2.25, 2.42, 2.60, 2.75, 3.04, 3.65, 4.35],
}
TABLE = {
    name: [(float(mhz), loss * FEET_100) for mhz, loss in zip(MHZ, losses, strict=True)]
    for name, losses in PER_100_FT.items()
}
PRINTED = {
    "series 59": [2.82, 6.73, 12.50, 13.45, 14.60, 15.75, 16.73, 17.72, 19.52, 22.87, 26.64],
    "series 6": [1.90, 5.25, 10.01, 10.83, 11.65, 12.63, 13.62, 14.44, 16.08, 18.54, 21.49],
    "series 11": [1.25, 3.15, 6.23, 6.73, 7.38, 7.94, 8.53, 9.02, 9.97, 11.98, 14.27],
}
# a sqrt(f) + b f + c within 1.9 % of Table A (least squares, a and b not negative).
FIT = {
    "series 59": (0.74657, 0.00178, 1.14006),
    "series 6": (0.63957, 0.00082, 0.46832),
    "series 11": (0.35364, 0.00254, 0.43986),
}


@pytest.mark.parametrize("cable", TABLE)
def test_table_points_come_back(cable):
    """ANSI/SCTE 74 (from memory), in dB/100 m."""
    got = [coax.attenuation(TABLE[cable], mhz) for mhz in MHZ]
    assert got == pytest.approx(PRINTED[cable], abs=0.0055)


@pytest.mark.parametrize(
    ("cable", "values"),
    [
        ("series 59", {10: 3.63, 50: 6.50, 100: 8.86, 200: 12.20, 742.5: 22.75}),
        ("series 6", {10: 2.55, 50: 5.04, 100: 6.99, 200: 9.75, 742.5: 18.45}),
        ("series 11", {10: 1.63, 50: 3.04, 100: 4.27, 200: 6.07, 742.5: 11.90}),
    ],
)
def test_interpolated_points(cable, values):
    """Straight lines on log-log paper between the points of ANSI/SCTE 74 (from memory)."""
    for mhz, loss in values.items():
        assert coax.attenuation(TABLE[cable], mhz) == pytest.approx(loss, abs=0.0075)


@pytest.mark.parametrize("cable", TABLE)
def test_the_fit_agrees_within_its_error(cable):
    """At the points the fit errs by up to 1.9 %; between the widest pair, 5 and 55 MHz, curvature adds to
    it."""
    root, linear, constant = FIT[cable]
    for mhz in MHZ:
        fitted = root * math.sqrt(mhz) + linear * mhz + constant
        assert fitted == pytest.approx(coax.attenuation(TABLE[cable], mhz), rel=0.02)
    for mhz in np.geomspace(5.1, 990, 60):
        fitted = root * math.sqrt(mhz) + linear * mhz + constant
        assert fitted == pytest.approx(coax.attenuation(TABLE[cable], mhz), rel=0.025 if mhz > 55 else 0.07)


def test_published_points_between():
    """865 MHz, dB/100 ft: series 6 6.10, series 11 3.98 (ANSI/SCTE 74, common reprints). 30 and 150 MHz: ARRL
    Handbook RG-59, solid PE, 1.79 and 4.11 from a table of 1, 10, 100, 1000 MHz (0.6, 1.1, 3.4, 12.0; from
    memory)."""
    assert coax.attenuation(TABLE["series 6"], 865) / FEET_100 == pytest.approx(6.10, rel=0.005)
    assert coax.attenuation(TABLE["series 11"], 865) / FEET_100 == pytest.approx(3.98, rel=0.005)
    handbook = [(1.0, 0.6), (10.0, 1.1), (100.0, 3.4), (1000.0, 12.0)]
    assert coax.attenuation(handbook, 30) == pytest.approx(1.79, rel=0.06)
    assert coax.attenuation(handbook, 150) == pytest.approx(4.11, rel=0.04)


@pytest.mark.parametrize("mhz", [4.999, 1000.1, 0.001, 1e5])
def test_nothing_is_extrapolated(mhz):
    with pytest.raises(ValueError, match=r"outside the cable's table of 5\.0 to 1000\.0 MHz"):
        coax.attenuation(TABLE["series 6"], mhz)


@pytest.mark.parametrize(
    ("points", "word"),
    [
        ([], "at least one"),
        ([(10.0, 1.0), (5.0, 2.0)], "rise"),
        ([(10.0, 1.0), (10.0, 2.0)], "rise"),
        ([(0.0, 1.0), (10.0, 2.0)], "MHz"),
        ([(1.0, 0.0), (10.0, 2.0)], "dB"),
        ([(1.0, math.nan), (10.0, 2.0)], "dB"),
    ],
)
def test_broken_tables_are_refused(points, word):
    with pytest.raises(ValueError, match=word):
        coax.check_points(points)
    with pytest.raises(ValueError, match="loss table"):
        coax.attenuation(points, 7.0)


@given(st.floats(5, 1000), st.floats(5, 1000))
def test_loss_rises_with_frequency(mhz, other):
    low, high = sorted((mhz, other))
    for points in TABLE.values():
        assert coax.attenuation(points, low) <= coax.attenuation(points, high) * (1 + 1e-12)


@given(st.floats(1, 9), st.floats(0.2, 1.5), st.floats(1.0, 100.0))
def test_a_power_law_is_reproduced_exactly(scale, power, mhz):
    points = [(f, scale * f**power) for f in (1.0, 7.0, 100.0)]
    assert coax.attenuation(points, mhz) == pytest.approx(scale * mhz**power, rel=1e-9)


def test_loss_and_temperature():
    """Half of copper's coefficient (IEC 60028): 0.196 %/K; Cat 5e 0.4 %/K (TIA-568-C.2)."""
    assert pytest.approx(0.00196, abs=6e-6) == coax.LOSS_ALPHA_20
    assert coax.temperature_factor(20) == 1
    assert coax.temperature_factor(60) == pytest.approx(1 + 40 * 0.001965)
    assert 22.0 * coax.temperature_factor(40, 0.004) == pytest.approx(23.76)
    assert coax.temperature_factor(60) == pytest.approx(math.sqrt(1 + 40 * 0.00393), rel=0.004)
    with pytest.raises(ValueError, match="does not hold"):
        coax.temperature_factor(-700)


# 20 dB lengths at half clock: ST 259-C 135 MHz, ST 292-1 742.5 MHz, on Table A cable.
@pytest.mark.parametrize(
    ("cable", "standard", "high"),
    [("series 59", 197, 87.9), ("series 6", 248, 108.4), ("series 11", 402, 168)],
)
def test_serial_digital_lengths(cable, standard, high):
    assert 2000 / coax.attenuation(TABLE[cable], 135) == pytest.approx(standard, abs=0.7)
    assert 2000 / coax.attenuation(TABLE[cable], 742.5) == pytest.approx(high, abs=0.15)
    with pytest.raises(ValueError, match="outside"):
        coax.attenuation(TABLE[cable], 1485)


# Skin depth of copper, MHz and micrometres. Field theory, IEC 60028 copper.
@pytest.mark.parametrize(
    ("mhz", "micrometres"),
    [(0.1, 209.0), (1, 66.09), (5, 29.55), (10, 20.90), (50, 9.35), (100, 6.61), (1000, 2.09), (1.8, 49.26)],
)
def test_skin_depth(mhz, micrometres):
    assert 1000 * coax.skin_depth(mhz) == pytest.approx(micrometres, abs=0.06 if mhz == 0.1 else 0.0051)


def test_skin_depth_of_other_metals():
    """Depth goes with 1 / sqrt(mu sigma): steel of 6 MS/m and mu_r 100 against copper of 58 MS/m."""
    ratio = coax.skin_depth(1) / coax.skin_depth(1, 6e6, 100)
    assert ratio == pytest.approx(math.sqrt(600 / 58))


def test_table_path_against_scikit_rf():
    """5.65 dB/100 ft over 100 ft of 75 ohm line: -5.65 dB transmission."""
    skrf = pytest.importorskip("skrf")
    band = skrf.Frequency.from_f(np.array([750.0]), unit="MHz")
    line = skrf.media.Coaxial.from_attenuation_VF(band, z0=75, att=5.65, unit="dB/100ft", VF=0.83)
    through = 20 * math.log10(abs(line.line(30.48, "m").s[0, 1, 0]))
    assert through == pytest.approx(-coax.attenuation(TABLE["series 6"], 750) * 0.3048, abs=1e-3)


def test_tables_may_start_below_one_megahertz():
    points = [(0.5, 0.4), (2.0, 0.8)]
    coax.check_points(points)
    assert coax.attenuation(points, 1.0) == pytest.approx(0.4 * math.sqrt(2))


def test_loss_of_pairs_in_warm_air() -> None:
    """TIA-568-C.2 clause 6.4.7: 0.4 %/K to 40 degC, 0.6 %/K from 40 to 60 degC, screened 0.2 %/K. 100 m of Cat 5e at
    37.1 MHz has 12.9 dB at 20 degC; at 60 degC 20 % more, a reach of 160 m comes to 133 m."""
    assert coax.pair_temperature_factor(40.0) == pytest.approx(1.08)
    assert coax.pair_temperature_factor(50.0) == pytest.approx(1.14)
    assert coax.pair_temperature_factor(60.0) == pytest.approx(1.20)
    assert coax.pair_temperature_factor(60.0, screened=True) == pytest.approx(1.08)
    assert 160 / coax.pair_temperature_factor(60.0) == pytest.approx(133, abs=0.5)


@pytest.mark.parametrize(("ends", "published"), [(0, 6.02), (1, 0.0), (2, -3.52), (3, -6.02)])
def test_level_by_the_number_of_endings(ends: int, published: float) -> None:
    # Circuit theory, as trade texts print it; a monitor's handbook has sync of 40 IRE at 80 where nothing ends the line.
    assert coax.ended_level(ends) == pytest.approx(published, abs=0.005)
    assert 40 * 10 ** (coax.ended_level(0) / 20) == pytest.approx(80)


def test_fewer_than_no_ending_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        coax.ended_level(-1)
