"""Enclosure codes (IEC 60529, IEC 62262) and scanning rasters (ITU-R BT.470, BT.601, SMPTE ST 274, ST 296,
CTA-861)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import impact, rasters

# IEC 62262 (IK11: Amendment 2021), J.
JOULES = dict(
    zip(
        (f"IK{number:02}" for number in range(12)),
        (0, 0.14, 0.2, 0.35, 0.5, 0.7, 1, 2, 5, 10, 20, 50),
        strict=True,
    )
)


# Striker kg, fall m, J: IEC 62262.
@pytest.mark.parametrize(
    ("kilograms", "metres", "joules"),
    [(5, 0.4, 20), (5, 0.2, 10), (1.7, 0.30, 5), (0.5, 0.4, 2), (0.5, 0.2, 1)],
)
def test_strikers(kilograms, metres, joules):
    assert impact.impact_joules(kilograms, metres) == pytest.approx(joules, rel=0.025)


def test_striker_arithmetic():
    assert impact.impact_joules(5, 0.4) == pytest.approx(19.62)
    assert impact.impact_joules(1.7, 0.30) == pytest.approx(5.0, abs=0.004)
    with pytest.raises(ValueError, match="mass_kg"):
        impact.impact_joules(-1, 1)


def test_impact_codes():
    assert impact.impact_meets("IK10", "IK08", JOULES)
    assert impact.impact_meets("IK08", "IK08", JOULES)
    assert not impact.impact_meets("IK08", "IK10", JOULES)
    with pytest.raises(ValueError, match="IK12"):
        impact.impact_meets("IK12", "IK08", JOULES)


@pytest.mark.parametrize(
    ("code", "digits"),
    [
        ("IP66", ((6, 6),)),
        ("IPX7", ((None, 7),)),
        ("IP6X", ((6, None),)),
        ("IP66/IP67", ((6, 6), (6, 7))),
        ("IP66 / IP68", ((6, 6), (6, 8))),
        ("IP23CS", ((2, 3),)),
        ("IP69", ((6, 9),)),
    ],
)
def test_ingress_digits(code, digits):
    assert impact.ingress_digits(code) == digits


@pytest.mark.parametrize("code", ["", "66", "IP", "IP6", "IP76", "IP667", "ip66", "IP66/", "IK10", "IP６６"])
def test_unreadable_codes_are_refused(code):
    with pytest.raises(ValueError, match="IP66, IPX7 or IP66/IP67"):
        impact.ingress_digits(code)


# IEC 60529 clause 6: lower digits are implied up to 6; 7 and 8 do not imply the jets of 5 and 6.
@pytest.mark.parametrize(
    ("code", "required", "answer"),
    [
        ("IP66", "IP65", True),
        ("IP66", "IP66", True),
        ("IP65", "IP66", False),
        ("IP67", "IP66", False),
        ("IP67", "IP65", False),
        ("IP68", "IP65", False),
        ("IP68", "IP67", True),
        ("IP67", "IP64", True),
        ("IP67", "IP68", False),
        ("IP66/IP67", "IP66", True),
        ("IP66/IP67", "IP67", True),
        ("IP66/IP67", "IP66/IP67", True),
        ("IP66", "IP66/IP67", False),
        ("IP66", "IP67", False),
        ("IP69", "IP66", False),
        ("IP66/IP69", "IP65", True),
        ("IP54", "IP65", False),
        ("IPX6", "IP65", None),
        ("IPX4", "IP65", False),
        ("IP6X", "IP65", None),
        ("IP6X", "IPX0", None),
        ("IP20", "IPXX", True),
    ],
)
def test_ingress_comparison(code, required, answer):
    assert impact.ingress_meets(code, required) is answer


@given(st.integers(0, 6), st.integers(0, 6), st.integers(0, 6), st.integers(0, 6))
def test_up_to_six_digits_are_ordered(solids, water, other_solids, other_water):
    met = impact.ingress_meets(f"IP{solids}{water}", f"IP{other_solids}{other_water}")
    assert met is (solids >= other_solids and water >= other_water)


def test_implied_digits():
    assert impact.water_implied(7) == {0, 1, 2, 3, 4, 7}
    assert impact.water_implied(8) == {0, 1, 2, 3, 4, 7, 8}
    assert impact.water_implied(9) == {0, 1, 2, 3, 4, 9}
    with pytest.raises(ValueError, match="0 to 9"):
        impact.water_implied(10)


# Total columns, total lines, frames a second, clock MHz. SMPTE ST 296 and ST 274 = CTA-861; the last two
# derived.
CLOCKS = [
    (1650, 750, 60, 74.25),
    (1980, 750, 50, 74.25),
    (3300, 750, 30, 74.25),
    (3960, 750, 25, 74.25),
    (2200, 1125, 30, 74.25),
    (2640, 1125, 25, 74.25),
    (2200, 1125, 60, 148.5),
    (2640, 1125, 50, 148.5),
    (4400, 2250, 30, 297.0),
    (5280, 2250, 25, 297.0),
    (4400, 2250, 15, 148.5),
    (5280, 2250, 12.5, 148.5),
]


@pytest.mark.parametrize(("columns", "lines", "fps", "clock"), CLOCKS)
def test_clocks_multiply_out(columns, lines, fps, clock):
    assert rasters.pixel_clock_mhz(columns, lines, fps) == clock
    assert rasters.raster_agrees(columns, lines, fps, clock)
    assert rasters.frame_rate(clock, columns, lines) == pytest.approx(fps)
    assert not rasters.raster_agrees(columns, lines, fps * rasters.NTSC_RATIO, clock)
    assert rasters.raster_agrees(columns, lines, fps * rasters.NTSC_RATIO, clock, tolerance=0.0011)


def test_reduced_clock():
    """SMPTE ST 274: 74.25 / 1.001."""
    assert rasters.pixel_clock_mhz(2200, 1125, 30 * rasters.NTSC_RATIO) == pytest.approx(74.1758, abs=5e-5)


def test_standard_definition():
    """ITU-R BT.601: 13.5 MHz, 864 x 625 and 858 x 525; BT.470: line rates; the NTSC carrier is 455/2 line
    rates."""
    assert rasters.frame_rate(13.5, 864, 625) == pytest.approx(25.0)
    assert rasters.frame_rate(13.5, 858, 525) == pytest.approx(30000 / 1001)
    assert rasters.line_rate_hz(625, 25) == 15_625
    assert rasters.line_rate_hz(525, 30 * rasters.NTSC_RATIO) == pytest.approx(15_734.266, abs=5e-4)
    assert 227.5 * rasters.line_rate_hz(525, 30 * rasters.NTSC_RATIO) == pytest.approx(315e6 / 88, rel=1e-9)


def test_wide_standard_definition_clock():
    """960 columns at the scale of BT.601: 18 MHz (common practice)."""
    assert rasters.pixel_clock_mhz(1152, 625, 25) == 13.5 * 960 / 720


# Clock MHz, bound MHz (sampling theorem), published figure below it where there is one.
@pytest.mark.parametrize(
    ("clock", "bound", "published"),
    [
        (13.5, 6.75, 5.0),
        (18.0, 9.0, 8.0),
        (37.125, 18.5625, 18.0),
        (74.25, 37.125, 30.0),
        (148.5, 74.25, 60.0),
    ],
)
def test_bandwidth_bounds(clock, bound, published):
    """BT.470 luma 5.0 MHz; the others common practice."""
    assert rasters.bandwidth_bound_mhz(clock) == bound
    assert published < bound


def test_minimum_blanking_720():
    assert rasters.pixel_clock_mhz(1980, 750, 25) == 37.125
    assert rasters.pixel_clock_mhz(1650, 750, 30) == 37.125


def test_active_share():
    """SMPTE ST 274, 1080 at 25: 528 + 44 + 148 columns and 4 + 5 + 36 lines are blanked."""
    assert 1920 + 528 + 44 + 148 == 2640
    assert 1080 + 4 + 5 + 36 == 1125
    assert rasters.active_share(1920, 1080, 2640, 1125) == pytest.approx(0.698, abs=5e-4)
    with pytest.raises(ValueError, match="does not fit"):
        rasters.active_share(1920, 1080, 1900, 1125)


@given(st.integers(1, 6000), st.integers(1, 3000), st.floats(1, 120))
def test_clock_and_rate_are_inverse(columns, lines, fps):
    assert rasters.frame_rate(rasters.pixel_clock_mhz(columns, lines, fps), columns, lines) == pytest.approx(
        fps
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: rasters.pixel_clock_mhz(0, 1, 1),
        lambda: rasters.frame_rate(-1, 1, 1),
        lambda: rasters.bandwidth_bound_mhz(0),
    ],
)
def test_impossible_rasters_are_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()


def test_a_raster_without_blanking():
    assert rasters.active_share(10, 10, 10, 10) == 1
    assert rasters.active_share(1, 1, 2, 2) == 0.25
    assert rasters.raster_agrees(1650, 750, 60, 74.25, tolerance=0.0)
    with pytest.raises(ValueError, match="does not fit"):
        rasters.active_share(10, 11, 10, 10)
