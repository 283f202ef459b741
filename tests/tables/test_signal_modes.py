"""Top frequencies and loss limits of the modes: derived here once more from rasters and from distances."""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.facts.physics.coax import attenuation
from coaxwright.model.common import FAMILIES, parse_mode
from coaxwright.reading.tables import load_generic_parts, load_table

MODES = load_table("signal-modes")
ANALOG = [row for row in MODES.rows if row["family"] != "sdi"]
PUBLISHED = [row for row in ANALOG if row["distance_rg59"] is not None]
SERIAL = [row for row in MODES.rows if row["family"] == "sdi"]
CABLES = {"rg59": "rg59-copper", "rg6": "rg6-copper", "rg11": "rg11-copper"}


def _name(row: Any) -> str:
    return f"{row['family']}-{row['mode']}"


def _loss(part: str, mhz: float) -> float:
    points = load_generic_parts()[part].attenuation
    assert points is not None
    return attenuation(points, mhz)


def test_every_family_has_modes() -> None:
    assert {row["family"] for row in MODES.rows} == set(FAMILIES)
    assert {row["family"] for row in load_table("signal-families").rows} == set(FAMILIES)


@pytest.mark.parametrize("row", MODES.rows, ids=_name)
def test_top_frequency_is_half_the_clock(row: Any) -> None:
    """Sampling theorem."""
    assert row["top_frequency"] == row["clock"] / 2


# Total columns, total lines: SMPTE ST 296, SMPTE ST 274, CTA-861; 720 lines at 25 and 30 at least blanking.
RASTERS = {
    "1280x720@25": (1980, 750), "1280x720@30": (1650, 750), "1280x720@50": (1980, 750),
    "1280x720@60": (1650, 750),
    "1920x1080@25": (2640, 1125), "1920x1080@30": (2200, 1125), "3840x2160@12.5": (5280, 2250),
    "3840x2160@15": (4400, 2250),
}  # fmt: skip


@pytest.mark.parametrize("row", ANALOG, ids=_name)
def test_clocks_multiply_out(row: Any) -> None:
    raster = RASTERS.get(str(row["mode"]))
    if raster is not None:
        assert row["clock"] == pytest.approx(raster[0] * raster[1] * row["mode"].fps / 1e6)
    # Whatever the raster, the picture fits with some blanking left, and would not fit into half the clock.
    share = row["mode"].width * row["mode"].height * row["mode"].fps / (row["clock"] * 1e6)
    assert (0.425 if row["known_by"] else 0.5) < share < 0.95


CLOCKS = (37.125, 74.25, 148.5, 297)
LAW = [row for row in ANALOG if row["known_by"]]


@pytest.mark.parametrize("row", LAW, ids=_name)
def test_the_clock_law(row: Any) -> None:
    """The least clock of which the picture fills 85 % or less; it gives the clocks of all published rasters too."""
    share = row["mode"].width * row["mode"].height * row["mode"].fps / 1e6
    assert row["clock"] == next(clock for clock in CLOCKS if share <= 0.85 * clock)


@pytest.mark.parametrize("row", [row for row in ANALOG if not row["known_by"] and row["family"] != "cvbs"], ids=_name)
def test_the_clock_law_gives_the_clocks_that_are_known(row: Any) -> None:
    """SMPTE ST 296, SMPTE ST 274, CTA-861 and the clock classes of the trade (common practice)."""
    share = row["mode"].width * row["mode"].height * row["mode"].fps / 1e6
    assert row["clock"] == next(clock for clock in CLOCKS if share <= 0.85 * clock)


@pytest.mark.parametrize(
    "mode",
    ["2880x1620@25", "2960x1665@15", "3200x1800@20", "2592x1944@25", "1920x1080@50", "1280x960@25", "3840x2160@25"],
)
def test_modes_of_todays_cameras_are_there(mode: str) -> None:
    """Common practice: rasters that cameras and receivers of the three families list."""
    for family in ("ahd", "tvi", "cvi"):
        row = MODES.row(family, parse_mode(mode))
        assert (row["loss_limit"] is None) == (row["clock"] == 297)


def test_the_spread_holds_the_limit() -> None:
    for row in ANALOG:
        if row["loss_limit"] is not None:
            assert row["limit_low"] <= row["loss_limit"] <= row["limit_high"], _name(row)


@pytest.mark.parametrize(("family", "mode", "metres", "limit"), [
    ("cvbs", "720x576@25", 263, 8.6), ("ahd", "3840x2160@15", 157, 15.1), ("ahd", "3840x2160@7.5", 153, 10.5)])  # fmt: skip
def test_a_limit_follows_its_own_derivation(family: str, mode: str, metres: float, limit: float) -> None:
    """The least distance that lands in the spreads of every cable: 263, 157 and 153 m, worked by hand from the ARRL and
    SCTE tables; not the greatest, 305 and 200 m."""
    row = MODES.row(family, parse_mode(mode))
    assert (row["distance_rg59"], row["loss_limit"]) == (metres, limit)


@pytest.mark.parametrize(
    ("mode", "clock"),
    # Clock classes, common practice: the small class holds 1080 lines at 25/30, the large one 4 MP at 25/30.
    [("2048x1536@18", 74.25), ("2560x1440@15", 74.25), ("2592x1944@12.5", 74.25), ("3840x2160@7.5", 74.25),
     ("2048x1536@30", 148.5), ("2560x1440@25", 148.5), ("2592x1944@20", 148.5), ("3840x2160@15", 148.5)],
)  # fmt: skip
def test_clock_classes(mode: str, clock: float) -> None:
    assert MODES.row("ahd", parse_mode(mode))["clock"] == clock


def test_sampling_clocks() -> None:
    """ITU-R BT.601 part A: 864 x 625 x 25 = 13.5 MHz; 960 columns at 960/720 of it (common practice)."""
    assert MODES.row("cvbs", parse_mode("720x576@25"))["clock"] == 864 * 625 * 25 / 1e6 == 13.5
    assert MODES.row("cvbs", parse_mode("960x576@25"))["clock"] == 13.5 * 960 / 720


@pytest.mark.parametrize("row", MODES.rows, ids=_name)
def test_frame_family(row: Any) -> None:
    """50 Hz countries: 25, 12.5 and 50; 60 Hz countries: 30, 15, 7.5 and 60; others belong to neither."""
    wanted = 25 if row["mode"].fps in (12.5, 25, 50) else 30 if row["mode"].fps in (7.5, 15, 30, 60) else 0
    assert row["frame_family"] == wanted


@pytest.mark.parametrize("row", PUBLISHED, ids=_name)
def test_loss_limit_is_derived_from_the_distance(row: Any) -> None:
    """Loss of RG-59 (ARRL Handbook, from memory) at the top frequency over the distance; common practice."""
    derived = _loss("rg59-copper", row["top_frequency"]) * row["distance_rg59"] / 100
    assert row["loss_limit"] == pytest.approx(derived, abs=0.06)


@pytest.mark.parametrize("row", PUBLISHED, ids=_name)
def test_limits_reproduce_the_distances_of_the_trade(row: Any) -> None:
    """The published spread (common practice) on each kind of coax; 0.1 dB of rounding is a metre or two."""
    checked = 0
    for cable, part in CABLES.items():
        spread = load_table("signal-distances").get(row["distance_class"], cable)
        if spread is None:
            continue
        metres = 100 * row["loss_limit"] / _loss(part, row["top_frequency"])
        assert 0.99 * spread["least"] <= metres <= 1.01 * spread["most"], (cable, metres)
        checked += 1
    assert checked >= 2


def test_pair_reach_of_1080_lines_is_that_of_the_trade() -> None:
    """Common practice: 150 m over Cat 5e with a passive balun at each end."""
    row = MODES.row("tvi", parse_mode("1920x1080@25"))
    parts = load_generic_parts()
    baluns = 2 * parts["generic/balun-passive"].loss
    metres = 100 * (row["loss_limit"] - baluns) / _loss("cat5e", row["top_frequency"])
    assert metres == pytest.approx(load_table("signal-distances").row("hd-1080", "pair")["most"], rel=0.05)


@pytest.mark.parametrize(
    ("mode", "clock", "limit"),
    # SMPTE ST 259 (270 Mb/s), ST 292-1 (1.485 Gb/s), ST 424:2006 (2.97 Gb/s); the limits from memory.
    [
        ("720x576@25", 270, 30),
        ("1280x720@25", 1485, 20),
        ("1920x1080@30", 1485, 20),
        ("1920x1080@60", 2970, 20),
    ],
)
def test_serial_digital(mode: str, clock: float, limit: float) -> None:
    row = MODES.row("sdi", parse_mode(mode))
    assert (row["clock"], row["loss_limit"]) == (clock, limit)


def test_serial_digital_reaches_what_the_trade_says() -> None:
    """20 dB at 742.5 MHz on drop cable: computed from ANSI/SCTE 74; 100 m is usual on RG-6."""
    row = MODES.row("sdi", parse_mode("1920x1080@25"))
    metres = [
        100 * row["loss_limit"] / _loss(part, row["top_frequency"])
        for part in ("rg59-ccs", "rg6-ccs", "rg11-ccs")
    ]
    assert metres == pytest.approx([87.9, 108.4, 168.0], rel=5e-3)


@pytest.mark.parametrize("row", SERIAL, ids=_name)
def test_serial_digital_has_no_distance_of_its_own(row: Any) -> None:
    assert row["distance_rg59"] is None
    assert row["distance_class"] == "serial"


def test_limits_say_that_they_are_common_practice() -> None:
    assert all("common practice" in row["source"] for row in ANALOG)


def test_what_families_carry() -> None:
    """Common practice; ITU-R BT.470 composite has no sound channel of its own on the wire."""
    table = load_table("signal-families")
    assert table.row("cvbs")["sound"] == "no"
    assert {table.row(family)["sound"] for family in ("tvi", "cvi")} == {"yes"}
    assert table.row("ahd")["sound"] == "some"
    assert {table.row(family)["control"] for family in ("tvi", "cvi", "ahd")} == {"yes"}
