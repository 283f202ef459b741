"""Acquired against recorded, shared encoders, bit rates and disks.

That processors share one budget and that acquired and recorded rates differ is common practice; storage
sums are checked against published examples.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.facts.declared.disk_groups import disks

from coaxwright.facts.picture.recording import (
    Ceiling,
    Frame,
    Plan,
    Stored,
    channel_ceiling,
    codec_of,
    covers,
    demand,
    plan_of,
    share_encoder,
    stated_rate,
    wanted_stream,
)
from coaxwright.facts.record.storing import least_disks, store_of
from coaxwright.model.recorder_parts import Encodes, StreamRate
from coaxwright.model.site import Recording

from .parts_for_pictures import recorder


def rows(*written: dict[str, object]) -> list[Encodes]:
    return [Encodes.model_validate(row) for row in written]


TABLE = rows(
    {"up_to": "3840x2160", "rate": "8 fps"},
    {"up_to": "2592x1944", "rate": "12.5 fps"},
    {"up_to": "1920x1080", "rate": "25 fps"},
    {"up_to": "960x576", "rate": "25 fps"},
)


@pytest.mark.parametrize(
    ("width", "height", "rate"),
    [
        (3840, 2160, 8),
        (2592, 1944, 12.5),
        (1296, 1944, 12.5),
        (2560, 1440, 12.5),
        (1280, 1440, 12.5),
        (1920, 1080, 25),
        (1280, 720, 25),
    ],
)
def test_smallest_row_that_covers_decides(width: int, height: int, rate: float) -> None:
    got = channel_ceiling(TABLE, 1, Frame(width, height, 30.0))
    assert got == Ceiling(width, height, rate, False)


def test_no_row_no_ceiling() -> None:
    assert channel_ceiling(rows({"up_to": "1920x1080", "rate": "25 fps"}), 1, Frame(2560, 1440, 25.0)) is None
    assert channel_ceiling([], 1, Frame(1280, 720, 25.0)) is None


def test_8mp_stored_in_full_or_at_half_width() -> None:
    """Two recorders that acquire 8 MP alike and differ only in what they encode. Common practice."""
    frame = Frame(3840, 2160, 15.0)
    full = channel_ceiling(rows({"up_to": "3840x2160", "rate": "8 fps"}), 1, frame)
    half = channel_ceiling(rows({"up_to": "3840x2160", "rate": "8 fps", "width": "reduced"}), 1, frame)
    assert full == Ceiling(3840, 2160, 8.0, False)
    assert half == Ceiling(1920, 2160, 8.0, True)


def test_a_full_row_comes_before_a_reduced_one_and_nothing_is_halved_twice() -> None:
    both = rows({"up_to": "2592x1944", "rate": "20 fps", "width": "reduced"}, {"up_to": "3840x2160", "rate": "8 fps"})
    assert channel_ceiling(both, 1, Frame(2592, 1944, 20.0)) == Ceiling(2592, 1944, 8.0, False)
    arrived = Frame(1296, 1944, 20.0, reduced=True)
    assert channel_ceiling(both[:1], 1, arrived) == Ceiling(1296, 1944, 20.0, False)


def test_rows_for_some_channels() -> None:
    table = rows({"up_to": "3840x2160", "rate": "8 fps"}, {"up_to": "3840x2160", "rate": "15 fps", "channels": "1-2"})
    assert channel_ceiling(table, 2, Frame(3840, 2160, 15.0)) == Ceiling(3840, 2160, 15.0, False)
    assert channel_ceiling(table, 3, Frame(3840, 2160, 15.0)) == Ceiling(3840, 2160, 8.0, False)


def test_a_row_for_named_channels_comes_before_a_faster_one_for_all() -> None:
    table = rows({"up_to": "3840x2160", "rate": "15 fps"}, {"up_to": "3840x2160", "rate": "6 fps", "channels": "5-8"})
    assert channel_ceiling(table, 5, Frame(3840, 2160, 15.0)) == Ceiling(3840, 2160, 6.0, False)
    assert channel_ceiling(table, 1, Frame(3840, 2160, 15.0)) == Ceiling(3840, 2160, 15.0, False)


@pytest.mark.parametrize("stored", ["2560x1944", "2560x1920"])
def test_5mp_rasters_of_wire_and_store_differ_by_a_little(stored: str) -> None:
    """2592x1944 on the wire, 2560x1944 or 2560x1920 stored: no error. Common practice."""
    got = channel_ceiling(rows({"up_to": stored, "rate": "12 fps"}), 1, Frame(2592, 1944, 20.0))
    assert got is not None
    assert f"{got.width}x{got.height}" == stored
    assert not covers(2688, 1520, (2560, 1440)), "5 % is another frame"


def test_cause_of_the_recorded_rate() -> None:
    ceiling = Ceiling(1920, 1080, 15.0, False)
    frame = Frame(1920, 1080, 25.0)
    assert wanted_stream(frame, ceiling, None) == (1920, 1080, 15.0, "channel-ceiling")
    assert wanted_stream(frame, ceiling, 12.0) == (1920, 1080, 12.0, "set-by-hand")
    assert wanted_stream(frame, ceiling, 20.0) == (1920, 1080, 15.0, "channel-ceiling")
    assert wanted_stream(frame, ceiling._replace(rate=25.0), None) == (1920, 1080, 25.0, "acquired")
    assert wanted_stream(frame, ceiling._replace(rate=25.0), 30.0) == (1920, 1080, 25.0, "acquired")


def stream(width: int, height: int, fps: float) -> Stored:
    return Stored(width, height, fps, "acquired")


def test_budget_is_shared_so_that_the_modest_lose_nothing() -> None:
    """Max-min fair: Bertsekas and Gallager, Data Networks, 6.5. 100 Mpx/s over 4 MP, 4 MP and 720p."""
    wanted = [stream(2560, 1440, 25.0), stream(2560, 1440, 25.0), stream(1280, 720, 25.0)]
    got = share_encoder(wanted, 100e6)
    assert got[2] == wanted[2]
    assert got[0].limited_by == "shared-budget"
    assert got[0].fps == pytest.approx((100e6 - 1280 * 720 * 25.0) / 2 / (2560 * 1440))
    assert got[0] == got[1]


def test_within_the_budget_or_without_one_nothing_changes() -> None:
    wanted = [stream(1920, 1080, 25.0)] * 4
    assert share_encoder(wanted, 4 * 1920 * 1080 * 25.0) == wanted
    assert share_encoder(wanted, None) == wanted


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from([(1280, 720), (1920, 1080), (3840, 2160)]), st.sampled_from([8.0, 12.5, 25.0])),
        min_size=1,
        max_size=16,
    ),
    st.floats(1e6, 5e8),
)
def test_shares_keep_to_the_total_and_use_it(sizes: list[tuple[tuple[int, int], float]], total: float) -> None:
    wanted = [stream(*size, fps) for size, fps in sizes]
    got = share_encoder(wanted, total)
    used, asked = sum(map(demand, got)), sum(map(demand, wanted))
    assert used == pytest.approx(min(total, asked), rel=1e-6)
    slowed = [demand(each) for each in got if each.limited_by == "shared-budget"]
    untouched = [demand(each) for each in got if each.limited_by != "shared-budget"]
    assert not slowed or not untouched or max(untouched) <= min(slowed) * (1 + 1e-6)


# Bit rates


def test_camera_words_come_before_the_recorders() -> None:
    own = Recording.model_validate({"rate": "12 fps"})
    common = Recording.model_validate({"rate": "20 fps", "codec": "h265", "schedule": "motion"})
    assert plan_of(own, common) == Plan(rate=12.0, codec="h265", schedule="motion")
    assert plan_of(None, None) == Plan()


def test_codec_set_only_or_the_one_that_fills_most() -> None:
    part = recorder({"family": "tvi", "mode": "1920x1080@25"}, codecs=["h265", "h264"])
    assert codec_of(part, Plan(codec="h265")) == ("h265", False)
    assert codec_of(part, Plan()) == ("h264", True)
    assert codec_of(recorder({"family": "tvi", "mode": "1920x1080@25"}, codecs=["h265"]), Plan()) == (
        "h265",
        False,
    )
    assert codec_of(recorder({"family": "tvi", "mode": "1920x1080@25"}), Plan()) == (None, False)


def test_makers_table_of_bit_rates() -> None:
    table = [
        StreamRate.model_validate(row)
        for row in (
            {"up_to": "1920x1080", "rate": "25 fps", "codec": "h264", "bitrate": "4 Mb/s"},
            {"up_to": "1920x1080", "rate": "12.5 fps", "codec": "h264", "bitrate": "2.5 Mb/s"},
            {"up_to": "3840x2160", "rate": "15 fps", "codec": "h264", "bitrate": "8 Mb/s"},
        )
    ]
    assert stated_rate(table, "h264", stream(1920, 1080, 25.0)) == 4e6
    assert stated_rate(table, "h264", stream(1920, 1080, 12.5)) == 2.5e6
    assert stated_rate(table, "h264", stream(1920, 1080, 20.0)) == pytest.approx(3.2e6), "20 of 25 frames"
    assert stated_rate(table, "h264", stream(960, 1080, 25.0)) == pytest.approx(2e6), "half the columns"
    assert stated_rate(table, "h265", stream(1920, 1080, 25.0)) is None
    assert stated_rate(table, "h264", stream(4000, 3000, 15.0)) is None


# Disks


def test_the_largest_disk_stands_aside() -> None:
    got = store_of(disks(10, 8, 8, 8, 8), "raid5", 1)
    assert (got.data, got.members, got.least) == (3.0, (8e12,) * 4, 3)


@pytest.mark.parametrize(
    ("level", "count", "least"),
    [("raid5", 2, 3), ("raid6", 3, 4), ("raid10", 5, 6), ("raid1", 1, 2), ("none", 0, 1)],
)
def test_too_few_disks_have_no_capacity_to_tell(level: str, count: int, least: int) -> None:
    """Least numbers of disks: common practice of installers' guides."""
    got = store_of(disks(*[4] * count), level, 0)
    assert got.least == least == least_disks(level, count)
    assert got.data is None


def test_ratings_of_disks() -> None:
    good = {"continuous": True, "workload": "180 TB/year"}
    assert store_of(disks(8, 8, **good), "none", 0).continuous is True
    mixed = [*disks(8, **good), *disks(8, continuous=False, workload="55 TB/year")]
    assert (store_of(mixed, "none", 0).continuous, store_of(mixed, "none", 0).workload) == (False, 55e12)
    silent = [*disks(8, **good), *disks(8)]
    assert (store_of(silent, "none", 0).continuous, store_of(silent, "none", 0).workload) == (None, None)
