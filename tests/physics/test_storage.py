"""Storage against published worked examples and unit definitions (SI, IEC 80000-13)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import storage as s

TB = 1e12
TIB = 2**40


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
    needed = s.bytes_per_day(megabit * 1e6) * days
    assert needed / TB == pytest.approx(terabytes, rel=1e-12)
    if tebibytes:
        assert needed / TIB == pytest.approx(tebibytes, abs=6e-4)


def test_kilobit_trap():
    """4096 kb/s is 2.4 % more than 4 Mb/s."""
    assert s.bytes_per_day(4.096e6) / s.bytes_per_day(4e6) == pytest.approx(1.024)


def test_published_fleet():
    """250 cameras at 45 GB a day, 30 days: 337.5 TB; 45 GB a day is 4.17 Mb/s (common practice)."""
    rate = 45e9 * 8 / 86400
    assert rate == pytest.approx(4.17e6, rel=1e-3)
    assert s.bytes_per_day(250 * rate) * 30 / TB == pytest.approx(337.5)


def test_a_wrong_published_figure_is_not_reproduced():
    """2 megapixels of 24 bit at 30 fps fill 15.55 TB a day, not 1.44 GB as one formula page has it."""
    assert s.bytes_per_day(2e6 * 24 * 30) / TB == pytest.approx(15.552)


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
    assert s.array_bytes(level, [disk * TB for disk in disks]) / TB == pytest.approx(usable)


def test_arrays_in_binary():
    assert s.array_bytes("5", [8 * TB] * 4) / TIB == pytest.approx(21.83, abs=0.005)
    assert s.array_bytes("6", [10 * TB] * 8) / TIB == pytest.approx(54.57, abs=0.005)


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


@given(st.floats(1e3, 1e10), st.floats(0.1, 400), st.floats(0.01, 1))
def test_filled_and_kept_are_inverse(rate, days, duty):
    usable = s.bytes_per_day(rate, duty) * days
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
        lambda: s.days_kept(-1, 1),
        lambda: s.days_kept(1, math.nan),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()


def test_recording_all_the_time_is_the_default():
    assert s.bytes_recorded(8, 10) == 10
    assert s.bytes_recorded(8, 10, 0.5) == 5
    assert s.bytes_recorded(8, 10, 0.0) == 0
