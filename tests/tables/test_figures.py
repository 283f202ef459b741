"""Figures of the tables against standards and handbooks; the source stands beside each check."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest

from coaxwright.facts.physics.conductors import COPPER_ALPHA_20, COPPER_RESISTIVITY_20
from coaxwright.facts.physics.encoding import LumaLevel, MacroblockLevel, h264_level, h265_level
from coaxwright.facts.physics.ingress import water_implied
from coaxwright.facts.physics.supplies import class_2_dc_amps, class_2_dc_volt_amperes
from coaxwright.facts.record.storing import data_disks, least_disks
from coaxwright.reading.tables import load_assumptions, load_table

# IEC 60228:2004 Tables 1 to 3, ohm/km at 20 degC: plain class 1 and 2, coated, plain class 5, tinned.
IEC_60228 = {
    0.5: (36.0, 36.7, 39.0, 40.1),
    0.75: (24.5, 24.8, 26.0, 26.7),
    1.0: (18.1, 18.2, 19.5, 20.0),
    1.5: (12.1, 12.2, 13.3, 13.7),
    2.5: (7.41, 7.56, 7.98, 8.21),
    4.0: (4.61, 4.70, 4.95, 5.09),
}
# NBS Handbook 100, ohm per 1000 ft at 20 degC, solid.
HANDBOOK_100 = {14: 2.525, 16: 4.016, 18: 6.385, 20: 10.15, 22: 16.14, 24: 25.67}
# NEC chapter 9 Table 8, ohm/km at 75 degC, uncoated: solid, stranded of seven.
NEC_TABLE_8 = {14: (10.1, 10.3), 16: (16.0, 16.4), 18: (25.5, 26.1)}


@pytest.mark.parametrize("size", IEC_60228)
def test_conductors_are_those_of_iec_60228(size: float) -> None:
    plain, coated, flexible, tinned = IEC_60228[size]
    table = load_table("conductors-iec60228")
    for stranding, figures in (
        ("solid", (plain, coated)),
        ("stranded", (plain, coated)),
        ("flexible", (flexible, tinned)),
    ):
        row = table.row(size, stranding)
        assert (row["resistance"], row["resistance_tinned"]) == pytest.approx([f / 1000 for f in figures])


def test_conductors_stay_above_resistivity_over_area() -> None:
    """The maxima are 4 to 16 % above 1/58 over nominal area: computed from IEC 60228 and IEC 60028."""
    for row in load_table("conductors-iec60228").rows:
        ideal = COPPER_RESISTIVITY_20 / row["size"]
        assert 1.03 < row["resistance"] / ideal < 1.17, row
        assert row["resistance"] < row["resistance_tinned"] < 1.04 * row["resistance"]


def test_gauges_follow_astm_b258() -> None:
    """Diameter 0.127 mm x 92^((36 - n) / 39), a circle's area, 1/58 ohm mm2/m of copper (IEC 60028)."""
    for row in load_table("wire-awg").rows:
        diameter = 0.127 * 92 ** ((36 - row["gauge"]) / 39)
        area = math.pi * diameter**2 / 4
        assert row["diameter"] == pytest.approx(diameter, abs=5e-6)
        assert row["area"] == pytest.approx(area, abs=5e-6)
        assert row["solid"] == pytest.approx(1 / 58 / area, rel=1e-4)
        assert row["stranded"] == pytest.approx(1.02 / 58 / area, rel=1e-4)


@pytest.mark.parametrize("gauge", HANDBOOK_100)
def test_gauges_are_those_of_nbs_handbook_100(gauge: int) -> None:
    per_thousand_feet = load_table("wire-awg").row(gauge)["solid"] * 304.8
    assert per_thousand_feet == pytest.approx(HANDBOOK_100[gauge], rel=5e-4)


@pytest.mark.parametrize("gauge", NEC_TABLE_8)
def test_gauges_agree_with_nec_table_8(gauge: int) -> None:
    row = load_table("wire-awg").row(gauge)
    warm = 1000 * (1 + COPPER_ALPHA_20 * (75 - 20))
    solid, stranded = NEC_TABLE_8[gauge]
    assert row["solid"] * warm == pytest.approx(solid, rel=3e-3)
    assert row["stranded"] * warm == pytest.approx(stranded, rel=5e-3)


def test_materials() -> None:
    """ASTM B566 classes 10A and 15A; 61 % IACS for aluminium (handbook); clad steel from memory."""
    table = load_table("conductor-materials")
    for row in table.rows:
        assert row["factor"] == pytest.approx(1 / row["conductivity"], rel=1e-4)
    assert table.row("copper-clad-aluminium")["conductivity"] == pytest.approx(0.629)
    assert table.row("copper-clad-aluminium-15a")["conductivity"] == pytest.approx(0.644)
    assert table.row("aluminium")["conductivity"] == pytest.approx(0.61)
    assert table.row("copper")["temperature_coefficient"] == 0.00393  # IEC 60028:1925
    for metal in ("copper-clad-aluminium", "copper-clad-steel"):  # a part without a class: the worst one
        worst = min(r["conductivity"] for r in table.rows if r["material"].startswith(metal))
        assert table.row(metal)["conductivity"] == worst


# Mode, H.264 level, H.265 level: ITU-T H.264 Table A-1 and ITU-T H.265 Annex A.
LEVELS: list[tuple[int, int, float, str, str]] = [
    (352, 288, 25, "1.3", "2"), (720, 576, 25, "3", "3"), (720, 480, 30, "3", "3"),
    (960, 576, 25, "3.1", "3"),
    (960, 480, 30, "3.1", "3"), (1280, 720, 25, "3.1", "3.1"), (1280, 720, 30, "3.1", "3.1"),
    (1280, 720, 50, "3.2", "4"), (1280, 720, 60, "3.2", "4"), (960, 1080, 30, "3.2", "4"),
    (1920, 1080, 12.5, "4", "4"), (1920, 1080, 15, "4", "4"), (1920, 1080, 25, "4", "4"),
    (1920, 1080, 30, "4", "4"), (1920, 1080, 50, "4.2", "4.1"), (1920, 1080, 60, "4.2", "4.1"),
    (1280, 1440, 30, "4", "4"), (2048, 1536, 18, "5", "5"), (2048, 1536, 30, "5", "5"),
    (2560, 1440, 15, "5", "5"), (2560, 1440, 25, "5", "5"), (2560, 1440, 30, "5", "5"),
    (2592, 1944, 12, "5", "5"), (2592, 1944, 12.5, "5", "5"), (2592, 1944, 20, "5", "5"),
    (2560, 1944, 20, "5", "5"), (2592, 1944, 30, "5.1", "5"), (3840, 2160, 8, "5.1", "5"),
    (3840, 2160, 12.5, "5.1", "5"), (3840, 2160, 15, "5.1", "5"), (3840, 2160, 25, "5.1", "5"),
    (3840, 2160, 30, "5.1", "5"),
]  # fmt: skip


@pytest.mark.parametrize(("width", "height", "fps", "h264", "h265"), LEVELS)
def test_codec_levels(width: int, height: int, fps: float, h264: str, h265: str) -> None:
    avc = [
        MacroblockLevel(r["level"], r["macroblocks_per_second"], r["frame_macroblocks"], r["bit_rate_main"])
        for r in load_table("h264-levels").rows
    ]
    hevc = [
        LumaLevel(r["level"], r["picture_samples"], r["samples_per_second"], r["bit_rate_main"])
        for r in load_table("h265-levels").rows
    ]
    assert h264_level(width, height, fps, avc) == h264
    assert h265_level(width, height, fps, hevc) == h265


@pytest.mark.parametrize("name", ["h264-levels", "h265-levels"])
def test_levels_rise(name: str) -> None:
    rows = load_table(name).rows
    for below, above in itertools.pairwise(rows):
        for column in load_table(name).units:
            if below[column] is not None:
                assert below[column] <= above[column], (below["level"], column)


def test_high_profile_rate_is_five_quarters_of_main() -> None:
    """ITU-T H.264 Table A-2: cpbBrVclFactor 1250 against 1000."""
    for row in load_table("h264-levels").rows:
        assert row["bit_rate_high"] == pytest.approx(1.25 * row["bit_rate_main"])
    assert load_table("h264-levels").row("4")["bit_rate_high"] == 25e6


def test_recording_rates() -> None:
    """Amerasinghe, H.264 for the rest of us: 1280x720 at 24 frames/s, motion 2 is 3 096 576 bit/s."""
    table = load_table("recording-rates")
    row = table.row("h264", "medium")
    assert 1280 * 720 * 24 * row["bits_per_pixel"] * row["motion_factor"] == pytest.approx(3_096_576)
    for motion in ("little", "medium", "much"):
        ratio = table.row("h265", motion)["bits_per_pixel"] / table.row("h264", motion)["bits_per_pixel"]
        assert 0.5 <= ratio <= 0.6 + 1e-12  # common practice
    assumed = load_assumptions()
    for codec in ("h264", "h265"):
        assert assumed[f"bits-per-pixel-{codec}"].value == table.row(codec, "little")["bits_per_pixel"]
    assert assumed["motion-factor"].value == table.row("h264", "little")["motion_factor"]


def test_assumptions_stay_within_what_the_trade_says() -> None:
    assumed = load_assumptions()
    assert 0.90 <= assumed["usable-share"].value <= 0.95  # common practice
    assert 0.05 <= assumed["bits-per-pixel-h264"].value <= 0.10  # common practice
    assert assumed["supply-loading"].value == pytest.approx(1 / 1.25)  # common practice: the 125 % rule
    assert assumed["copper-temperature-coefficient"].value == 0.00393  # IEC 60028:1925
    assert assumed["coax-loss-temperature-coefficient"].value == pytest.approx(0.00393 / 2, rel=3e-3)
    assert assumed["conductor-temperature"].value >= 30.0  # IEC 60364-5-52 reference ambient air, from memory


def test_environmental_classes() -> None:
    """IEC 62676-1-1 (EN 50130-5 has the same four), from memory: indoor, indoor general, sheltered, outdoor."""
    rows = {row["class"]: (row["setting"], row["ambient_min"], row["ambient_max"])
            for row in load_table("environmental-classes").rows}  # fmt: skip
    assert rows == {
        "I": ("indoor", 5.0, 40.0), "II": (None, -10.0, 40.0),
        "III": ("sheltered", -25.0, 50.0), "IV": ("outdoor", -25.0, 60.0),
    }  # fmt: skip
    for setting, least, most in rows.values():
        if setting is not None:
            assert load_assumptions()[f"environment-{setting}"].value == (least, most)


def test_redundancy() -> None:
    """SNIA Disk Data Format: level 5 of 4 x 8 TB is 24 TB, 6 of 8 x 10 TB 60 TB, 10 of 4 x 8 TB 16 TB."""
    formulas = {
        "sum": lambda n: n, "all": lambda n: n, "one": lambda n: 1,
        "less-one": lambda n: n - 1, "less-two": lambda n: n - 2, "half": lambda n: n // 2,
    }  # fmt: skip
    table = load_table("redundancy")
    for row in table.rows:
        level = row["level"]
        assert row["least_disks"] == {"none": 1, "raid0": 2, "raid1": 2, "raid5": 3}.get(level, 4) == least_disks(level, 0)
        for disks in (4, 6, 8):
            assert formulas[row["data_share"]](disks) == data_disks(level, disks)
    assert 8 * formulas[table.row("raid5")["data_share"]](4) == 24
    assert 10 * formulas[table.row("raid6")["data_share"]](8) == 60
    assert 8 * formulas[table.row("raid10")["data_share"]](4) == 16


def test_impact_codes() -> None:
    """IEC 62262: energies, and mass times fall of the strikers."""
    table = load_table("ik-codes")
    energies = [row["energy"] for row in table.rows]
    assert energies == [0, 0.14, 0.2, 0.35, 0.5, 0.7, 1, 2, 5, 10, 20, 50]
    for row in table.rows:
        if row["striker"] is not None:
            assert row["striker"] * 9.81 * row["fall"] == pytest.approx(row["energy"], rel=0.02)


def test_ingress_digits() -> None:
    """IEC 60529 clause 6: cumulative up to 6 only."""
    table = load_table("ip-codes")
    assert [row["digit"] for row in table.rows if row["against"] == "solids"] == list(range(7))
    for digit in range(10):
        row = table.row("water", digit)
        assert {int(each) for each in row["implies"]} | {digit} == water_implied(digit)
    for digit in range(7):
        assert [int(each) for each in table.row("solids", digit)["implies"]] == list(range(digit))


def test_view_classes_of_the_first_edition() -> None:
    """IEC 62676-4:2014 densities follow from a person of 1.6 m on 400 lines: exact."""
    rows = load_table("view-classes-2014").rows
    assert [row["class"] for row in rows] == [
        "monitor",
        "detect",
        "observe",
        "recognise",
        "identify",
        "inspect",
    ]
    for row in rows:
        assert row["density"] == pytest.approx(row["person_height"] / 100 * 400 / 1.6)
        assert row["millimetres_per_pixel"] == pytest.approx(1000 / row["density"])


def test_view_classes_of_the_second_edition_say_how_they_are_known() -> None:
    assert all("secondary" in row["source"] for row in load_table("view-classes-2025").rows)


def test_power_classes_follow_from_source_and_channel() -> None:
    """IEEE 802.3 clauses 33 and 145: the published device power is P - (P/V)^2 R within its rounding."""
    for name in ("poe-classes", "poe-types"):
        for row in load_table(name).rows:
            source, volts = row["source_watts"], row["source_volts_min"]
            got = source - (source / volts) ** 2 * row["channel_ohms"]
            assert got == pytest.approx(row["device_watts"], abs=0.07), row


def test_class_2_limits() -> None:
    """NEC chapter 9 Table 11(B), from memory: 5 A up to 20 V, then 100 VA to 60 V, 5 mA above; the same in all editions."""
    rows = load_table("class2-limits").rows
    assert [row["edition"] for row in rows] == ["nec-2020"] * 4 + ["nec-2023"] * 4 + ["nec-2026"] * 4
    for row in rows:
        volts: float = row["volts_up_to"]
        amps = row["amps"] if row["amps"] is not None else row["volt_amperes"] / volts
        if volts == 250:
            assert (row["volts_above"], amps, row["short_amps"]) == (60, 0.005, 0.005)
            continue
        assert amps == pytest.approx(class_2_dc_amps(volts))
        volt_amperes = row["volt_amperes"] if row["volt_amperes"] is not None else 5 * volts
        assert volt_amperes == pytest.approx(class_2_dc_volt_amperes(volts))
        assert "from memory" in row["source"]


def test_class_2_limits_of_alternating_current() -> None:
    """NEC chapter 9 Table 11(A), from memory: as direct current up to 30 V, then 5 mA up to 150 V."""
    rows = load_table("class2-limits-ac").rows
    assert [(row["edition"], row["volts_up_to"]) for row in rows] == [
        (edition, volts) for edition in ("nec-2020", "nec-2023", "nec-2026") for volts in (20, 30, 150)]  # fmt: skip
    for row in rows:
        volts: float = row["volts_up_to"]
        amps = row["amps"] if row["amps"] is not None else row["volt_amperes"] / volts
        assert amps == pytest.approx(class_2_dc_amps(volts) if volts <= 30 else 0.005)
        assert row["short_amps"] == (8 if volts <= 30 else 0.005)
        assert "from memory" in row["source"]


PORTS = [
    "camera-video", "recorder-video-in", "supply-out", "junction-tap", "camera-power", "recorder-audio-in",
    "pickup-out", "serial", "network", "poe-port", "monitor", "monitor-out",
]  # fmt: skip


def test_every_pair_of_ports_is_judged_once_and_both_ways_alike() -> None:
    table = load_table("port-meetings")
    assert len(table.rows) == len(PORTS) * (len(PORTS) + 1) // 2
    for one in PORTS:
        for other in PORTS:
            assert table.either(one, other) is table.either(other, one)


@pytest.mark.parametrize(
    ("one", "other", "meeting"),
    [
        ("camera-video", "recorder-video-in", "may"),
        ("camera-power", "supply-out", "may"),
        ("camera-power", "junction-tap", "may"),
        ("junction-tap", "supply-out", "may"),
        ("pickup-out", "recorder-audio-in", "may"),
        ("serial", "serial", "may"),
        ("monitor", "monitor-out", "may"),
        ("network", "poe-port", "may"),
        ("camera-power", "poe-port", "warns"),
        ("camera-video", "monitor", "warns"),
        ("supply-out", "supply-out", "refused"),
        ("recorder-video-in", "supply-out", "refused"),
        ("pickup-out", "recorder-video-in", "refused"),
        ("camera-power", "camera-video", "refused"),
        ("camera-power", "camera-power", "refused"),
    ],
)
def test_ports_meet_as_the_trade_joins_them(one: str, other: str, meeting: str) -> None:
    """Common practice."""
    row: Any = load_table("port-meetings").either(one, other)
    assert row["meeting"] == meeting
    assert row["reason"]


def test_no_signal_port_takes_power() -> None:
    """Common practice: power meets power only, or a network port made for it."""
    power = {"supply-out", "junction-tap"}
    for row in load_table("port-meetings").rows:
        pair = {row["one"], row["other"]}
        if pair & power and not pair <= power | {"camera-power"}:
            assert row["meeting"] == "refused", row


def test_skin_effect_gives_the_loss_coefficient() -> None:
    """Loss follows the root of resistivity: sqrt(1 + a dt) - 1 for 20 K, half of copper's (IEC 60028)."""
    rise = math.sqrt(1 + COPPER_ALPHA_20 * (40 - 20)) - 1
    assert load_assumptions()["coax-loss-temperature-coefficient"].value * 20 == pytest.approx(rise, rel=0.03)
