"""Storage against published worked examples and unit definitions (SI, IEC 80000-13)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import storage as s

TB = 1e12


def test_one_megabit_a_day():
    """SI: 86 400 s of 1 Mb/s."""
    assert s.bytes_per_day(1e6) == 10.8e9
    assert s.bytes_per_day(1e6) / 2**30 == pytest.approx(10.058, abs=5e-4)


# Mb/s in all, days, TB, TiB. Arithmetic on SI and IEC 80000-13 units.
@pytest.mark.parametrize(
    ("megabit", "days", "terabytes", "tebibytes"),
    [
        (4, 1, 0.0432, None),
        (4, 30, 1.296, 1.1787),
        (16 * 4, 30, 20.736, 18.859),
        (8 * 2, 31, 5.3568, None),
        (32 * 8, 30, 82.944, 75.437),
        (4.096, 30, 1.327104, None),
    ],
)
def test_totals(megabit, days, terabytes, tebibytes):
    needed = s.bytes_needed(megabit * 1e6, days)
    assert s.in_terabytes(needed) == pytest.approx(terabytes, rel=1e-12)
    if tebibytes:
        assert s.in_tebibytes(needed) == pytest.approx(tebibytes, abs=6e-4)


def test_kilobit_trap():
    """4096 kb/s is 2.4 % more than 4 Mb/s."""
    assert s.bytes_per_day(4.096e6) / s.bytes_per_day(4e6) == pytest.approx(1.024)


def test_published_image_example():
    """UFC 4-021-02NF par. 4-8.2: 25 kB a frame, 6 a second: 540 MB an hour, 389 GB in 30 days (exactly
    388.8)."""
    assert s.image_bytes(25e3, 6, 3600) == 540e6
    assert s.image_bytes(25e3, 6, 30 * 86400) == 388.8e9


def test_published_image_count():
    """2 images a second, 31 days, 16 cameras: 85 708 800 images, 159 tapes of 540 000 (common practice)."""
    images = 16 * s.image_bytes(1, 2, 31 * 86400)
    assert images == 85_708_800
    assert math.ceil(images / 540_000) == 159


def test_published_fleet():
    """250 cameras at 45 GB a day, 30 days: 337.5 TB; 45 GB a day is 4.17 Mb/s (common practice)."""
    rate = 45e9 * 8 / 86400
    assert rate == pytest.approx(4.17e6, rel=1e-3)
    assert s.in_terabytes(s.bytes_needed(250 * rate, 30)) == pytest.approx(337.5)


def test_a_wrong_published_figure_is_not_reproduced():
    """2 megapixels of 24 bit at 30 fps fill 15.55 TB a day, not 1.44 GB as one formula page has it."""
    assert s.in_terabytes(s.bytes_per_day(2e6 * 24 * 30)) == pytest.approx(15.552)


@pytest.mark.parametrize(
    ("terabytes", "tebibytes"),
    [
        (1, 0.909495),
        (2, 1.819),
        (4, 3.638),
        (6, 5.457),
        (8, 7.275957614183426),
        (10, 9.095),
        (12, 10.914),
        (16, 14.552),
        (18, 16.371),
        (20, 18.190),
    ],
)
def test_decimal_and_binary(terabytes, tebibytes):
    """IEC 80000-13."""
    assert s.in_tebibytes(terabytes * TB) == pytest.approx(tebibytes, abs=6e-4 if terabytes > 1 else 5e-7)
    assert 2**40 == 1_099_511_627_776
    assert pytest.approx(931.3226, abs=5e-5) == TB / 2**30


# level, disks, usable TB. Definitions of SNIA DDF; unequal disks count as the smallest.
@pytest.mark.parametrize(
    ("level", "disks", "usable"),
    [
        ("5", [8] * 4, 24),
        ("6", [8 + 2] * 8, 60),
        ("6", [8] * 6, 32),
        ("5", [10] * 8, 70),
        ("10", [8] * 4, 16),
        ("0", [8] * 3, 24),
        ("1", [8, 8], 8),
        ("none", [4, 6], 10),
        ("0", [0.1, 0.35], 0.2),
        ("1", [4, 6], 4),
        ("5", [4, 6, 8], 8),
        ("6", [4, 6, 8, 8], 8),
        ("10", [4, 6, 8, 8], 8),
    ],
)
def test_arrays(level, disks, usable):
    assert s.in_terabytes(s.array_bytes(level, [disk * TB for disk in disks])) == pytest.approx(usable)


def test_arrays_in_binary():
    assert s.in_tebibytes(s.array_bytes("5", [8 * TB] * 4)) == pytest.approx(21.83, abs=0.005)
    assert s.in_tebibytes(s.array_bytes("6", [10 * TB] * 8)) == pytest.approx(54.57, abs=0.005)


def test_spares():
    """A spare must be able to stand in for any member, so the largest is set aside."""
    assert s.array_bytes("5", [4 * TB, 4 * TB, 6 * TB, 4 * TB], spares=1) == 8 * TB
    with pytest.raises(ValueError, match="needs 3"):
        s.array_bytes("5", [4 * TB] * 3, spares=1)
    with pytest.raises(ValueError, match="spares"):
        s.array_bytes("none", [TB], spares=2)


# Minimum disks: common practice (levels after SNIA DDF).
@pytest.mark.parametrize(("level", "least"), [("0", 2), ("1", 2), ("5", 3), ("6", 4), ("10", 4)])
def test_least_disks(level, least):
    assert s.array_bytes(level, [TB] * least) > 0
    with pytest.raises(ValueError, match=f"level {level} needs {least}"):
        s.array_bytes(level, [TB] * (least - 1))


def test_odd_and_unknown_levels():
    with pytest.raises(ValueError, match="even"):
        s.array_bytes("10", [TB] * 5)
    with pytest.raises(ValueError, match="one of none, 0, 1, 5, 6, 10"):
        s.array_bytes("3", [TB] * 5)
    with pytest.raises(ValueError, match="disk bytes"):
        s.array_bytes("0", [TB, 0.0])


@pytest.mark.parametrize(
    ("level", "disks", "failures"),
    [("none", 3, 0), ("0", 3, 0), ("1", 2, 1), ("1", 3, 2), ("5", 8, 1), ("6", 8, 2), ("10", 8, 1)],
)
def test_failures_survived(level, disks, failures):
    """Definitions of SNIA DDF; level 10 may lose its second disk's mirror, so only one is certain."""
    assert s.failures_survived(level, disks) == failures


def test_workload():
    """180 TB a year over 8760 h is 45.66 Mb/s (common practice rating); 16 and 8 cameras of 4 Mb/s on one
    disk."""
    assert pytest.approx(45.66e6, rel=1e-4) == 180e12 * 8 / s.SECONDS_PER_YEAR
    assert s.disk_bytes_per_year(16 * 4e6) == pytest.approx(252.3 * TB, rel=1e-4)
    assert s.disk_bytes_per_year(8 * 4e6) == pytest.approx(126.1 * TB, rel=1e-3)
    assert s.disk_bytes_per_year(64e6, level="5", disks=4) == pytest.approx(252.288 / 3 * TB)
    assert s.disk_bytes_per_year(64e6, level="1", disks=2) == pytest.approx(252.288 * TB)
    assert s.disk_bytes_per_year(64e6, duty=0.5) == pytest.approx(126.144 * TB)


def test_days_kept():
    assert s.days_kept(20.736 * TB, 64e6) == pytest.approx(30)
    assert s.days_kept(20.736 * TB, 64e6, duty=0.4) == pytest.approx(75)
    assert s.days_kept(TB, 0) == math.inf
    assert s.days_kept(0, 1e6) == 0


@given(st.floats(1e3, 1e10), st.floats(0.1, 400), st.floats(0.01, 1), st.floats(0.5, 1))
def test_needed_and_kept_are_inverse(rate, days, duty, formatted):
    usable = s.bytes_needed(rate, days, duty, formatted) * formatted
    assert s.days_kept(usable, rate, duty) == pytest.approx(days, rel=1e-9)


@given(st.sampled_from(["0", "1", "5", "6", "10"]), st.lists(st.floats(1e9, 3e13), min_size=4, max_size=12))
def test_redundancy_never_gains(level, disks):
    disks = disks[: len(disks) // 2 * 2]
    usable = s.array_bytes(level, disks)
    assert min(disks) <= usable <= sum(disks) * (1 + 1e-12)
    assert usable == pytest.approx(min(disks) * s.data_disks(level, len(disks)))


@pytest.mark.parametrize(
    "call",
    [
        lambda: s.bytes_per_day(-1),
        lambda: s.bytes_per_day(1, 1.5),
        lambda: s.bytes_needed(1, 1, 1, 0),
        lambda: s.days_kept(-1, 1),
        lambda: s.image_bytes(1, math.nan, 1),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()


def test_recording_all_the_time_is_the_default():
    assert s.bytes_recorded(8, 10) == 10
    assert s.bytes_recorded(8, 10, 0.5) == 5
    assert s.bytes_recorded(8, 10, 0.0) == 0
