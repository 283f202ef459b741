"""Encoding against ITU-T H.264 Table A-1 and the H.265 general level limits; levels against two encoders'
choice."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import encoding as e

# ITU-T H.264 Table A-1: level, MaxMBPS, MaxFS, MaxBR kb/s. All rows as several open programs have them.
H264 = [
    e.MacroblockLevel(name, rate, size, 1000.0 * kilobit)
    for name, rate, size, kilobit in [
        ("1", 1_485, 99, 64), ("1.1", 3_000, 396, 192), ("1.2", 6_000, 396, 384), ("1.3", 11_880, 396, 768),
        ("2", 11_880, 396, 2_000), ("2.1", 19_800, 792, 4_000), ("2.2", 20_250, 1_620, 4_000),
        ("3", 40_500, 1_620, 10_000), ("3.1", 108_000, 3_600, 14_000), ("3.2", 216_000, 5_120, 20_000),
        ("4", 245_760, 8_192, 20_000), ("4.1", 245_760, 8_192, 50_000), ("4.2", 522_240, 8_704, 50_000),
        ("5", 589_824, 22_080, 135_000), ("5.1", 983_040, 36_864, 240_000),
        ("5.2", 2_073_600, 36_864, 240_000),
        ("6", 4_177_920, 139_264, 240_000), ("6.1", 8_355_840, 139_264, 480_000),
        ("6.2", 16_711_680, 139_264, 800_000),
    ]
]  # fmt: skip
# ITU-T H.265 Annex A: level, MaxLumaPs, MaxLumaSr, MaxBR main tier kb/s (levels below 3 from memory).
H265 = [
    e.LumaLevel(name, size, rate, 1000.0 * kilobit)
    for name, size, rate, kilobit in [
        ("1", 36_864, 552_960, 128), ("2", 122_880, 3_686_400, 1_500), ("2.1", 245_760, 7_372_800, 3_000),
        ("3", 552_960, 16_588_800, 6_000), ("3.1", 983_040, 33_177_600, 10_000),
        ("4", 2_228_224, 66_846_720, 12_000),
        ("4.1", 2_228_224, 133_693_440, 20_000), ("5", 8_912_896, 267_386_880, 25_000),
        ("5.1", 8_912_896, 534_773_760, 40_000), ("5.2", 8_912_896, 1_069_547_520, 60_000),
        ("6", 35_651_584, 1_069_547_520, 60_000), ("6.1", 35_651_584, 2_139_095_040, 120_000),
        ("6.2", 35_651_584, 4_278_190_080, 240_000),
    ]
]  # fmt: skip

# width, height, fps, macroblocks, macroblocks/s, H.264 level, luma samples/s, H.265 level. Two
# independent encoders
# wrote these levels into the streams of every mode.
MODES = [
    (352, 288, 25, 396, 9_900, "1.3", 2_534_400, "2"),
    (720, 576, 25, 1620, 40_500, "3", 10_368_000, "3"),
    (720, 480, 30, 1350, 40_500, "3", 10_368_000, "3"),
    (960, 576, 25, 2160, 54_000, "3.1", 13_824_000, "3"),
    (960, 480, 30, 1800, 54_000, "3.1", 13_824_000, "3"),
    (1280, 720, 25, 3600, 90_000, "3.1", 23_040_000, "3.1"),
    (1280, 720, 30, 3600, 108_000, "3.1", 27_648_000, "3.1"),
    (1280, 720, 50, 3600, 180_000, "3.2", 46_080_000, "4"),
    (1280, 720, 60, 3600, 216_000, "3.2", 55_296_000, "4"),
    (960, 1080, 30, 4080, 122_400, "3.2", 31_104_000, "4"),
    (1920, 1080, 12.5, 8160, 102_000, "4", 25_920_000, "4"),
    (1920, 1080, 15, 8160, 122_400, "4", 31_104_000, "4"),
    (1920, 1080, 25, 8160, 204_000, "4", 51_840_000, "4"),
    (1920, 1080, 30, 8160, 244_800, "4", 62_208_000, "4"),
    (1920, 1080, 50, 8160, 408_000, "4.2", 103_680_000, "4.1"),
    (1920, 1080, 60, 8160, 489_600, "4.2", 124_416_000, "4.1"),
    (1280, 1440, 30, 7200, 216_000, "4", 55_296_000, "4"),
    (2048, 1536, 18, 12_288, 221_184, "5", 56_623_104, "5"),
    (2048, 1536, 30, 12_288, 368_640, "5", 94_371_840, "5"),
    (2560, 1440, 15, 14_400, 216_000, "5", 55_296_000, "5"),
    (2560, 1440, 25, 14_400, 360_000, "5", 92_160_000, "5"),
    (2560, 1440, 30, 14_400, 432_000, "5", 110_592_000, "5"),
    (2592, 1944, 12, 19_764, 237_168, "5", 60_466_176, "5"),
    (2592, 1944, 12.5, 19_764, 247_050, "5", 62_985_600, "5"),
    (2592, 1944, 20, 19_764, 395_280, "5", 100_776_960, "5"),
    (2560, 1944, 20, 19_520, 390_400, "5", 99_532_800, "5"),
    (2592, 1944, 30, 19_764, 592_920, "5.1", 151_165_440, "5"),
    (3840, 2160, 8, 32_400, 259_200, "5.1", 66_355_200, "5"),
    (3840, 2160, 12.5, 32_400, 405_000, "5.1", 103_680_000, "5"),
    (3840, 2160, 15, 32_400, 486_000, "5.1", 124_416_000, "5"),
    (3840, 2160, 25, 32_400, 810_000, "5.1", 207_360_000, "5"),
    (3840, 2160, 30, 32_400, 972_000, "5.1", 248_832_000, "5"),
]


@pytest.mark.parametrize(("width", "height", "fps", "blocks", "rate", "h264", "samples", "h265"), MODES)
def test_levels(width, height, fps, blocks, rate, h264, samples, h265):
    assert e.macroblocks(width, height) == blocks
    assert e.macroblock_rate(width, height, fps) == rate
    assert e.h264_level(width, height, fps, H264) == h264
    assert width * height * fps == samples
    assert e.h265_level(width, height, fps, H265) == h265


def test_rounding_traps():
    """1080 lines are 68 rows of macroblocks, 1944 are 122 (ITU-T H.264 clause 7.4.2.1.1)."""
    assert e.macroblocks(1920, 1080) == 120 * 68
    assert e.macroblocks(2592, 1944) == 162 * 122
    assert e.macroblocks(1, 1) == 1


def test_long_narrow_frames_need_a_higher_level():
    """Each side at most sqrt(8 MaxFS) macroblocks (H.264 A.3.1), sqrt(8 MaxLumaPs) samples (H.265 A.4.1)."""
    assert e.h264_level(16 * 113, 16, 1, H264) == "2.2"
    assert e.h264_level(16 * 114, 16, 1, H264) == "3.1"
    # sqrt(8 * 552 960) is 2103.2; 2100 is rounded up to 2104.
    assert e.h265_level(2096, 8, 1, H265) == "3"
    assert e.h265_level(2100, 8, 1, H265) == "3.1"


def test_bit_rate_raises_the_level():
    """High profile VCL: 1.25 times Table A-1 (H.264 Table A-2)."""
    assert e.h264_level(1920, 1080, 25, H264, 20e6) == "4"
    assert e.h264_level(1920, 1080, 25, H264, 20.1e6) == "4.1"
    high = [
        e.MacroblockLevel(
            row.name, row.macroblocks_per_second, row.frame_macroblocks, 1.25 * row.bit_per_second
        )
        for row in H264
    ]
    assert e.h264_level(1920, 1080, 25, high, 25e6) == "4"
    assert e.h265_level(1920, 1080, 25, H265, 12e6) == "4"
    assert e.h265_level(1920, 1080, 25, H265, 12.1e6) == "4.1"


def test_beyond_every_level():
    assert e.h264_level(16384, 16384, 60, H264) is None
    assert e.h265_level(16384, 16384, 60, H265) is None
    assert e.h264_level(1920, 1080, 30, []) is None


@pytest.mark.parametrize(
    ("name", "most"),
    # ITU-T H.264 Table A-1: 1.3 and 2, 4 and 4.1 differ in bits alone; 3 and 5 stand alone.
    [("1.3", 2.0e6), ("3", 10.0e6), ("4", 50.0e6), ("5", 135.0e6)],
)
def test_levels_that_differ_in_bits_alone_count_together(name, most):
    assert e.bit_rate_max(name, H264) == most
    assert e.bit_rate_max(None, H264) == 0.0


def test_published_bit_rate_example():
    """1280x720 at 24, motion 2, 0.07 bit a pixel: 3 096 576 bit/s (published rule of thumb; common
    practice)."""
    assert e.compressed_bit_rate(1280 * 720, 24, 0.07, 2) == pytest.approx(3_096_576)


# The same rule, motion 1, Mb/s (common practice).
@pytest.mark.parametrize(
    ("width", "height", "fps", "megabit"),
    [
        (1920, 1080, 25, 3.629),
        (1920, 1080, 30, 4.355),
        (2560, 1440, 15, 3.871),
        (2592, 1944, 12.5, 4.409),
        (3840, 2160, 15, 8.709),
    ],
)
def test_bit_rate_rule(width, height, fps, megabit):
    assert e.compressed_bit_rate(width * height, fps, 0.07) / 1e6 == pytest.approx(megabit, abs=6e-4)


# 0.05 and 0.10 bit a pixel, Mb/s (common practice).
@pytest.mark.parametrize(
    ("width", "height", "fps", "low", "high"),
    [
        (1920, 1080, 25, 2.59, 5.18),
        (1920, 1080, 15, 1.56, 3.11),
        (2560, 1440, 25, 4.61, 9.22),
        (2560, 1440, 15, 2.76, 5.53),
        (2592, 1944, 20, 5.04, 10.08),
        (2592, 1944, 12.5, 3.15, 6.30),
        (3840, 2160, 15, 6.22, 12.44),
        (3840, 2160, 8, 3.32, 6.64),
    ],
)
def test_bit_rate_bracket(width, height, fps, low, high):
    assert e.compressed_bit_rate(width * height, fps, 0.05) / 1e6 == pytest.approx(low, abs=0.0051)
    assert e.compressed_bit_rate(width * height, fps, 0.10) / 1e6 == pytest.approx(high, abs=0.0051)


def test_one_budget_explains_the_trade_s_frame_rates():
    """245 760 macroblocks a second, H.264 level 4, a channel; totals are exact."""
    assert 245_760 / e.macroblocks(1920, 1080) == pytest.approx(30.1, abs=0.05)
    assert 245_760 / e.macroblocks(2592, 1944) == pytest.approx(12.43, abs=0.01)
    assert 245_760 / e.macroblocks(3840, 2160) == pytest.approx(7.585, abs=0.001)
    assert 16 * e.macroblock_rate(1920, 1080, 15) == 1_958_400
    assert 16 * e.macroblock_rate(1920, 1080, 30) == 3_916_800
    assert 8 * e.macroblock_rate(2592, 1944, 20) == 3_162_240
    assert e.macroblock_rate(3840, 2160, 7.5) == 243_000


# Max-min fairness, worked examples in the manner of Bertsekas and Gallager, Data Networks, section 6.5.
@pytest.mark.parametrize(
    ("total", "demands", "shares"),
    [
        (10, [2, 2.6, 4, 5], [2, 2.6, 2.7, 2.7]),
        (30, [8, 6, 15, 10], [8, 6, 8, 8]),
        (100, [1, 2, 3], [1, 2, 3]),
        (9, [10, 10, 10], [3, 3, 3]),
        (0, [1, 2], [0, 0]),
        (5, [], []),
        (6, [0, 9, 1], [0, 5, 1]),
    ],
)
def test_fair_shares(total, demands, shares):
    assert e.share_budget(total, demands) == pytest.approx(shares)


@given(st.floats(0, 1e7), st.lists(st.floats(0, 1e6), max_size=40))
def test_shares_are_max_min_fair(total, demands):
    shares = e.share_budget(total, demands)
    assert sum(shares) == pytest.approx(min(total, sum(demands)), rel=1e-9, abs=1e-6)
    assert all(0 <= share <= demand for share, demand in zip(shares, demands, strict=True))
    held_back = [share for share, demand in zip(shares, demands, strict=True) if share < demand * (1 - 1e-9)]
    # Nobody who got less than asked stands below anybody else.
    for share in held_back:
        assert share == pytest.approx(max(shares), rel=1e-6, abs=1e-6)


@given(
    st.floats(0, 1e6), st.lists(st.floats(0, 1e6), min_size=1, max_size=20), st.randoms(use_true_random=False)
)
def test_shares_do_not_depend_on_order(total, demands, rng):
    place = list(range(len(demands)))
    rng.shuffle(place)
    shares = e.share_budget(total, demands)
    moved = e.share_budget(total, [demands[index] for index in place])
    assert moved == pytest.approx([shares[index] for index in place], rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: e.macroblock_rate(1920, 1080, 0),
        lambda: e.macroblocks(16.5, 16),
        lambda: e.compressed_bit_rate(1, 1, 0),
        lambda: e.share_budget(-1, [1]),
        lambda: e.share_budget(1, [-1.0]),
        lambda: e.h265_level(0, 8, 1, H265),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()
