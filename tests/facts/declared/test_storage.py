"""Declared facts of disks against published worked examples and unit definitions (SI, IEC 80000-13, SNIA DDF)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.facts.declared.disk_groups import TB, group

from coaxwright.facts.record.storing import data_disks
from coaxwright.facts.sheets import DiskGroup

TIB = 2**40


def test_one_megabit_a_day():
    """SI: 86 400 s of 1 Mb/s."""
    assert group(mean=1e6, days_wanted=1.0).needed == 10.8e9
    assert group(mean=1e6, days_wanted=1.0).needed / 2**30 == pytest.approx(10.058, abs=5e-4)


# Mb/s in all, days, TB, TiB. Arithmetic on SI and IEC 80000-13 units.
@pytest.mark.parametrize(
    ("megabit", "days", "terabytes", "tebibytes"),
    [
        (4, 1, 0.0432, None), (4, 30, 1.296, 1.1787), (16 * 4, 30, 20.736, 18.859), (8 * 2, 31, 5.3568, None),
        (32 * 8, 30, 82.944, 75.437), (4.096, 30, 1.327104, None),
    ],
)  # fmt: skip
def test_totals(megabit, days, terabytes, tebibytes):
    needed = group(mean=megabit * 1e6, days_wanted=float(days)).needed
    assert needed / TB == pytest.approx(terabytes, rel=1e-12)
    if tebibytes:
        assert needed / TIB == pytest.approx(tebibytes, abs=6e-4)


def test_kilobit_trap():
    """4096 kb/s is 2.4 % more than 4 Mb/s."""
    assert group(mean=4.096e6, days_wanted=1.0).needed / group(mean=4e6, days_wanted=1.0).needed == pytest.approx(1.024)


def test_published_fleet():
    """250 cameras at 45 GB a day, 30 days: 337.5 TB; 45 GB a day is 4.17 Mb/s (common practice)."""
    rate = 45e9 * 8 / 86400
    assert rate == pytest.approx(4.17e6, rel=1e-3)
    assert group(mean=250 * rate, days_wanted=30.0).needed / TB == pytest.approx(337.5)


def test_a_frame_size_published():
    """UFC 4-021-02NF par. 4-8.2: 25 kB a frame, 6 fps, 30 days is 389 GB (388.8)."""
    assert group(mean=25e3 * 8 * 6, days_wanted=30.0).needed == pytest.approx(388.8e9)


def test_a_wrong_published_figure_is_not_reproduced():
    """2 megapixels of 24 bit at 30 fps fill 15.55 TB a day, not 1.44 GB as one formula page has it."""
    assert group(mean=2e6 * 24 * 30, days_wanted=1.0).needed / TB == pytest.approx(15.552)


# level, disks, usable TB. Definitions of SNIA DDF; unequal disks count as the smallest.
@pytest.mark.parametrize(
    ("level", "disks", "usable"),
    [
        ("raid5", [8] * 4, 24), ("raid6", [10] * 8, 60), ("raid6", [8] * 6, 32), ("raid5", [10] * 8, 70),
        ("raid10", [8] * 4, 16), ("raid0", [8] * 3, 24), ("raid1", [8, 8], 8), ("none", [4, 6], 10),
        ("raid0", [0.1, 0.35], 0.2), ("raid1", [4, 6], 4), ("raid5", [4, 6, 8], 8), ("raid6", [4, 6, 8, 8], 8),
        ("raid10", [4, 6, 8, 8], 8), ("none", [], 0),
    ],
)  # fmt: skip
def test_arrays(level, disks, usable):
    found = group(*disks, level=level) if disks else group(level=level, disks=0, member_bytes=0.0)
    assert found.array / TB == pytest.approx(usable)


def test_arrays_in_binary():
    assert group(*[8] * 4, level="raid5").array / TIB == pytest.approx(21.83, abs=0.005)
    assert group(*[10] * 8, level="raid6").array / TIB == pytest.approx(54.57, abs=0.005)


def test_spares():
    """A spare must be able to stand in for any member, so the largest is set aside."""
    found = group(4, 4, 6, 4, level="raid5", spares=1)
    assert (found.array, found.lost) == (8 * TB, 0.0)
    short = group(4, 4, 4, level="raid5", spares=1, usable_share=0.9)
    assert short.known("usable") is None
    assert short.missing("usable") == ("recorders/r/disks",)
    assert group(4, spares=2).missing("array") == ("recorders/r/disks",)


def test_what_larger_disks_lose():
    """SNIA DDF: 4, 6 and 8 TB count as three of 4 TB, so 6 TB lie idle; disks filled in turn lose nothing."""
    assert group(4, 6, 8, level="raid5").lost == 6 * TB
    assert group(4, 6, 8).lost == 0.0


# Minimum disks: common practice (levels after SNIA DDF).
@pytest.mark.parametrize(("level", "least"), [("raid0", 2), ("raid1", 2), ("raid5", 3), ("raid6", 4), ("raid10", 4)])
def test_least_disks(level, least):
    assert group(*[1] * least, level=level).array > 0
    assert group(*[1] * (least - 1), level=level).known("array") is None


def test_pairs_only():
    assert data_disks("raid10", 5) is None
    assert data_disks("raid10", 6) == 3.0


def test_workload():
    """180 TB a year over 8760 h is 45.66 Mb/s (common practice rating); 16 and 8 cameras of 4 Mb/s on one disk."""
    assert group(8, mean=45.662e6).written_per_year == pytest.approx(180 * TB, rel=1e-4)
    assert group(8, mean=16 * 4e6).written_per_year == pytest.approx(252.288 * TB)
    assert group(8, mean=8 * 4e6).written_per_year == pytest.approx(126.1 * TB, rel=1e-3)
    assert group(*[8] * 4, level="raid5", mean=64e6).written_per_year == pytest.approx(252.288 / 3 * TB)
    assert group(8, 8, level="raid1", mean=64e6).written_per_year == pytest.approx(252.288 * TB)


def test_days_kept():
    assert group(20.736, mean=64e6, usable_share=1.0).days == pytest.approx(30)
    assert group(20.736, mean=64e6 * 0.4, most=64e6, usable_share=1.0).days == pytest.approx(75)
    assert group(20.736, mean=64e6 * 0.4, most=64e6, usable_share=1.0).days_continuous == pytest.approx(30)


def test_nothing_recorded_never_fills():
    found = group(1, mean=0.0, most=0.0, usable_share=1.0)
    for name in ("days", "days_continuous"):
        assert found.known(name) is None
        assert found.missing(name) == ("cameras",)


def test_what_is_missing_is_named_whole():
    assert group(usable_share=1.0).known("days") is None
    assert group(4, level="raid5", usable_share=1.0).missing("days") == ("recorders/r/disks", "cameras/c/record/bitrate")


def test_a_disk_is_written_anew_in_time():
    """Arithmetic: 9 TB at 50 MB/s, which is 400 Mb/s, are 180 000 s or 50 h."""
    assert group(9, 9, level="raid1", rebuild_rate=400e6).rebuild == pytest.approx(50.0)


@given(st.floats(1e3, 1e10), st.floats(0.1, 400), st.sampled_from(["raid0", "raid1", "raid5", "raid6", "raid10"]))
def test_filled_and_kept_are_inverse(rate, wanted, level):
    found = group(*[8] * 6, level=level, mean=rate, most=rate, days_wanted=wanted, usable_share=1.0)
    again: DiskGroup = group(*[8] * 6, level=level, mean=rate, days_wanted=found.days, usable_share=1.0)
    assert again.needed == pytest.approx(found.usable, rel=1e-9)
    assert found.needed / found.usable == pytest.approx(wanted / found.days, rel=1e-9)


@given(
    st.sampled_from(["raid0", "raid1", "raid5", "raid6", "raid10"]), st.lists(st.integers(1, 30), min_size=4, max_size=12)
)
def test_redundancy_never_gains(level, sizes):
    sizes = sizes[: len(sizes) // 2 * 2]
    found = group(*sizes, level=level)
    assert min(sizes) * TB <= found.array <= sum(sizes) * TB * (1 + 1e-12)
    assert found.lost == pytest.approx((sum(sizes) - min(sizes) * len(sizes)) * TB)
