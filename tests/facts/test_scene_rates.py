"""Planned bit rates by what moves and how noisy the nights are, and the days that they come to.

Outside figures: the planning rule of Amerasinghe (H.264 for the rest of us: width x height x frames x motion x 0.07);
published streams of a storage maker's guide and a planning page (0.134 and 0.066 bit/px at 1080p); ITU-T G.711 (64 kbit/s).
"""

from __future__ import annotations

import pytest

from coaxwright.checking import facts_of
from coaxwright.model.rules import Case
from coaxwright.reading.tables import load_table
from coaxwright.rulebook.cases import case_site, load_bases

PIXELS = 1920 * 1080 * 25


def bits(camera: dict, **site: object) -> dict:
    change = {"recorders": {"rec1": {"record": {"codec": "h264"}}}, "cameras": {"c1": camera}, **site}
    loaded = case_site(load_bases(), Case(name="one", base="one-camera", site=change))
    facts = facts_of(loaded)
    (camera,), (recorder,) = facts.by_kind("camera"), facts.by_kind("recorder")
    return {"cameras/c1": camera, "recorders/rec1": recorder}


def one(camera: dict, **site: object) -> tuple[float, float, float]:
    found = bits(camera, **site)["cameras/c1"]
    return found.bitrate_low, found.bitrate, found.bitrate_high


@pytest.mark.parametrize(("motion", "factor"), [("little", 1), ("medium", 2), ("much", 4)])
def test_the_published_rule(motion: str, factor: int) -> None:
    # Amerasinghe: a factor of 1, 2 and 4 on 0.07 bit a pixel.
    low, planned, high = one({"scene": {"motion": motion}})
    assert planned == pytest.approx(PIXELS * 0.07 * factor)
    assert low <= planned <= high


def test_nobody_says_what_moves() -> None:
    low, planned, high = one({})
    assert (low, planned, high) == pytest.approx((PIXELS * 0.035, PIXELS * 0.07, PIXELS * 0.28))


def test_published_streams_lie_within_what_is_told() -> None:
    low, _planned, high = one({})
    for published in (0.066, 0.134, 0.28):
        assert low < PIXELS * published <= high * (1 + 1e-9)


def test_a_noisy_night() -> None:
    # By hand: night is three times the day; 42 % of a day is night, 67 % in winter, six times then.
    quiet, noisy = bits({"scene": {"motion": "medium"}}), bits({"scene": {"motion": "medium", "noise": "much"}})
    day = PIXELS * 0.14
    assert quiet["recorders/rec1"].bitrate_mean == pytest.approx(day)
    assert noisy["cameras/c1"].bitrate == pytest.approx(3 * day)
    assert noisy["recorders/rec1"].bitrate_mean == pytest.approx(day * (0.58 + 0.42 * 3))
    assert noisy["recorders/rec1"].bitrate_mean_high == pytest.approx(2 * day * (0.33 + 0.67 * 6))


def test_low_light_can_double_it() -> None:
    # A trade journal of 2012: bandwidth and storage "can double" in low light; the careful side of `some` doubles.
    assert load_table("night-rates").row("some")["high"] == 2


def test_a_rate_that_is_set_does_not_move() -> None:
    found = one({"record": {"bitrate": "6 Mb/s", "second_stream": "0.5 Mb/s"}, "scene": {"motion": "much", "noise": "much"}})
    assert found == pytest.approx((6.5e6, 6.5e6, 6.5e6))


def test_sound_is_counted_on_the_careful_side() -> None:
    assert one({"record": {"bitrate": "6 Mb/s"}, "sound": {"by": "coax"}}) == pytest.approx((6e6, 6e6, 6.064e6))


def test_a_site_that_states_its_bits_has_half_and_twice() -> None:
    found = one({}, assume={"bits_per_pixel": 0.1})
    assert found == pytest.approx((PIXELS * 0.05, PIXELS * 0.1, PIXELS * 0.2))


@pytest.mark.parametrize("codec", ["h264", "h265"])
def test_ends_of_the_table_surround_what_is_planned(codec: str) -> None:
    for motion in ("little", "medium", "much"):
        row = load_table("recording-rates").row(codec, motion)
        assert row["low"] < row["bits_per_pixel"] * row["motion_factor"] < row["high"] <= 0.30
