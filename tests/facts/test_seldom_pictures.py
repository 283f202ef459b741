"""Seldom ways through the facts of pictures, records, places and lines; each figure is worked out beside its check."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.topology.wiring import build_topology

from .parts_for_pictures import camera, recorder, settled
from .sites_for_pictures import cam, facts, rec

ASK = {"family": "tvi", "seen": "2592x1944@20", "wanted": "2592x1944@12.5"}


def based(base: str, site: dict[str, Any], parts: dict[str, Any] | None = None) -> Facts:
    """A base of the rule cases with changes."""
    loaded = case_site(load_bases(), Case(name="seldom", base=base, site=site, parts=parts or {}))
    return compute_facts(loaded, build_topology(loaded))


def sheet(found: Facts, subject: str, kind: str = "") -> Any:
    made = found.sheet(subject, kind)
    assert made is not None
    return made


# Settling


def test_what_it_asks_for_is_sent_already() -> None:
    """The camera stands at the mode that the recorder would ask for: the rows say what comes of it."""
    cam5 = camera([{"family": "tvi", "mode": ["2592x1944@12.5"]}], heeds_asks=False)
    rec5 = recorder({"family": "tvi", "mode": "1920x1080@25"}, asks=[{**ASK, "seen": "2592x1944@12.5"}])
    got = settled(cam5, rec5, cam_id="tarnwell/c")
    assert (got.outcome, got.width, got.height, got.fps) == ("no-picture", 0, 0, 0.0)
    takes = {"family": "tvi", "mode": "2592x1944@12.5"}
    got = settled(cam5, recorder(takes, asks=[{**ASK, "seen": "2592x1944@12.5"}]), cam_id="tarnwell/c")
    assert (got.outcome, got.width, got.height, got.fps) == ("full", 2592, 1944, 12.5)


# Makers, cables, devices


def test_parts_of_no_maker_leave_the_maker_open(tmp_path: Path) -> None:
    parts = {"generic/r8": {**rec_part(), "source": "s"}, "generic/c2": camera_part()}
    found = facts(tmp_path, {"recorders": {"r": rec(part="generic/r8")}, "cameras": {"c": cam("generic/c2", "r/1")}}, parts)
    assert sheet(found, "cameras/c", "camera").missing("maker") == ("parts/generic/c2/maker",)
    assert sheet(found, "recorders/r", "recorder").missing("maker") == ("parts/generic/r8/maker",)


def rec_part() -> dict[str, Any]:
    return {"kind": "recorder", "inputs": [{"channels": "1-8", "accepts": [{"family": "tvi", "mode": "1920x1080@25"}]}]}


def camera_part(**more: Any) -> dict[str, Any]:
    return {"kind": "camera", "source": "s", "emits": [{"family": "tvi", "mode": "1920x1080@25"}], **more}


def test_a_cable_that_states_all_lacks_nothing_but_its_setting(tmp_path: Path) -> None:
    whole = {
        "kind": "cable", "source": "s", "carries": ["coax"], "rated": "outdoor", "impedance": "75 ohm",
        "centre": "copper", "attenuation": [[5, 2.82], [211, 12.5]],
        "conductor": {"size": "0.64 mm2", "material": "copper", "stranding": "solid", "amps": "3 A"},
    }  # fmt: skip
    site = {
        "recorders": {"r": rec()},
        "cameras": {"c": {"part": "fennick/c2", "video": {"into": "r/1", "over": [{"cable": "hollin/all", "length": "9 m"}]}}},
    }
    (run,) = facts(tmp_path, site, {"hollin/all": whole}).by_kind("run")
    assert run.absent == {"setting": ("cameras/c/video/over/0/setting", "cameras/c/place/setting")}
    assert (run.conductor_size, run.amps_max, run.centre, run.impedance) == (0.64, 3.0, "copper", 75.0)


def test_ways_without_loss_have_no_reach(tmp_path: Path) -> None:
    """No run on the way: nothing stretches, so nothing says how far it could (the product of reach needs metres)."""
    site = {"recorders": {"r": rec()}, "cameras": {"c": {"part": "fennick/c2", "video": {"into": "r/1", "over": []}}}}
    link = sheet(facts(tmp_path, site), "cameras/c", "link")
    assert link.loss == 0.0
    assert link.missing("reach") == ("cameras/c/video/over",)


def test_talk_back_without_an_input() -> None:
    found = based("hybrid", {"cameras": {"c1": {"video": None, "wants": {"talk_back": True}}}})
    one = sheet(found, "cameras/c1", "camera")
    assert one.talk_back_works is False
    assert one.talk_back_broken_by


def test_memory_lets_go_of_one_recorder_part_with_all_its_settings() -> None:
    part, other = recorder({"family": "tvi", "mode": "1920x1080@25"}), recorder({"family": "ahd", "mode": "1280x720@25"})
    memory = SignalCache({"tarnwell/a": part, "tarnwell/b": other}.__getitem__)
    desks = [memory.desk("tarnwell/a", ()), memory.desk("tarnwell/a", ("wide",)), memory.desk("tarnwell/b", ())]
    memory.forget("tarnwell/a")
    assert memory.desk("tarnwell/a", ()) is not desks[0]
    assert memory.desk("tarnwell/a", ("wide",)) is not desks[1]
    assert memory.desk("tarnwell/b", ()) is desks[2]


# Words of pictures


def test_words_where_there_is_no_picture(tmp_path: Path) -> None:
    site = {"recorders": {"r": rec()}, "cameras": {"c": cam("hollin/odd", "r/1")}}
    odd = {"kind": "camera", "source": "s", "emits": [{"family": "cvi", "mode": "2560x1440@25"}]}
    found = facts(tmp_path, site, {"hollin/odd": odd})
    link = sheet(found, "cameras/c", "link")
    assert (link.outcome, link.best_outcome) == ("no-picture", "no-picture")
    said = "no mode of hollin/odd gives a picture on this input as the recorder is set"
    assert found.working(link, "best_outcome") == (said,)
    assert found.working(link, "recorded_width") == found.working(link, "channel_ceiling") == (link.because,)


def test_words_of_a_record_at_half_the_columns(tmp_path: Path) -> None:
    rows = [{"up_to": "2592x1944", "rate": "25 fps", "width": "reduced"}]
    site = {"recorders": {"r": rec()}, "cameras": {"c": cam("fennick/c2", "r/1")}}
    found = facts(tmp_path, site, {"tarnwell/r8": {"encodes": rows}})
    link = sheet(found, "cameras/c", "link")
    assert (link.recorded_reduced, link.recorded_width) == (True, 960)
    first, second, *_ = found.working(link, "recorded_width")
    assert first == "1920 columns / 2 = 960 columns"
    assert second == "1920x1080 acquired: row up to 2592x1944 of tarnwell/r8 encodes 25 fps at half the columns"


def test_temperatures_that_are_written_are_not_told_as_assumed(tmp_path: Path) -> None:
    """hollin/coax: 12.5 dB at 211 MHz; the temperature of 20 °C is that of its table (common practice)."""
    warm = cam("fennick/c2", "r/1")
    warm["video"]["over"][0]["temperature"] = "20 °C"
    site = {"recorders": {"r": rec()}, "cameras": {"a": warm, "b": cam("fennick/c2", "r/2")}}
    found = facts(tmp_path, site)
    written, assumed = (found.working(sheet(found, f"cameras/{name}", "link"), "loss") for name in "ab")
    assert "x 1 (20 degC)" in written[0]
    assert not any("assumed" in line for line in written)
    assert any("degC assumed" in line for line in assumed)


def test_a_signal_without_a_row_in_the_table_of_modes(tmp_path: Path) -> None:
    rows = [{"family": "tvi", "mode": "1000x700@25"}]
    parts = {
        "hollin/odd": {"kind": "camera", "source": "s", "emits": rows},
        "tarnwell/r8": {"inputs": [{"channels": "1-8", "accepts": rows}]},
    }
    found = facts(tmp_path, {"recorders": {"r": rec()}, "cameras": {"c": cam("hollin/odd", "r/1")}}, parts)
    link = sheet(found, "cameras/c", "link")
    assert link.outcome == "full"
    assert link.missing("top_frequency") == ("tables/signal-modes/tvi/1000x700@25",)
    assert found.working(link, "loss_limit") == ("not known; supply tables/signal-modes/tvi/1000x700@25",)


# Records


def test_bits_by_the_table_of_the_maker(tmp_path: Path) -> None:
    table = [{"up_to": "1920x1080", "rate": "25 fps", "codec": "h264", "bitrate": "4 Mb/s"}]
    site = {"recorders": {"r": rec()}, "cameras": {"c": cam("fennick/c2", "r/1")}}
    found = facts(tmp_path, site, {"tarnwell/r8": {"bitrates": table}})
    one = sheet(found, "cameras/c", "camera")
    assert one.bitrate == pytest.approx(4e6)
    (line,) = found.working(one, "bitrate")
    assert line.startswith("4000000 bit/s, by the table of tarnwell/r8 for 1920")


@pytest.mark.parametrize(("place", "low", "high"), [({"setting": "indoor"}, 5.0, 40.0), ({"ambient_min": "3 °C"}, 3.0, None)])
def test_air_is_told_where_it_was_assumed(tmp_path: Path, place: dict[str, Any], low: float, high: float | None) -> None:
    """Indoor: 5 °C to 40 °C, the environmental class I of IEC 62676-1-1 (from memory)."""
    found = facts(tmp_path, {"recorders": {"r": rec(place=place)}})
    device = sheet(found, "recorders/r", "recorder")
    assert (device.ambient_min, device.known("ambient_max")) == (low, high)
    told = found.working(device, "ambient_min")
    assert bool(told) == ("setting" in place)
    assert not told or told[0].startswith("assumed, since the place says no more than indoor")


def test_channels_without_a_picture_are_left_out_of_the_demand(tmp_path: Path) -> None:
    """One of two cameras gives no picture: the demand is the other's 1920 x 1080 x 25 = 51.84 Mpx/s."""
    odd = {"kind": "camera", "source": "s", "emits": [{"family": "cvi", "mode": "2560x1440@25"}]}
    site = {"recorders": {"r": rec()}, "cameras": {"a": cam("fennick/c2", "r/1"), "b": cam("hollin/odd", "r/2")}}
    found = facts(tmp_path, site, {"hollin/odd": odd})
    device = sheet(found, "recorders/r", "recorder")
    assert device.encode_demand == pytest.approx(51.84e6)
    assert found.working(device, "encode_demand")[0] == "1 x 51.84 Mpx/s = 51.84 Mpx/s"


def test_network_cameras_without_entries_add_bits_and_take_inputs(tmp_path: Path) -> None:
    """By hand: 3 x (4 + 1) Mb/s = 15 Mb/s, with motion half of it; two are free, the third costs input 8."""
    record = {"bitrate": "4 Mb/s", "second_stream": "1 Mb/s", "schedule": "motion", "codec": "h264"}
    site = {"recorders": {"r": rec(network_cameras=3, record=record)}, "cameras": {"c": cam("fennick/c2", "r/8")}}
    found = facts(tmp_path, site)
    device = sheet(found, "recorders/r", "recorder")
    share = device.bitrate_mean / device.bitrate
    assert device.bitrate == pytest.approx(4 * 5e6)
    assert 0.0 < share < 1.0
    assert found.working(device, "bitrate")[0] == "4 x 5 Mb/s = 20 Mb/s"
    assert [used.count for used in found.assumed if used.assumption.name == "motion-share"] == [4]
    last = next(each for each in found.by_kind("input") if each.number == 8)
    assert last.serves is False
    text = "3 network cameras, 2 without this: 1 inputs are given up, from the highest number down"
    assert found.working(last, "serves")[0] == text


def test_a_codec_against_a_recorder_that_states_none(tmp_path: Path) -> None:
    found = facts(tmp_path, {"recorders": {"r": rec()}}, {"tarnwell/r8": {"codecs": None}})
    assert sheet(found, "recorders/r", "recorder").missing("codec_known") == ("parts/tarnwell/r8/codecs",)


def test_an_array_that_its_bays_cannot_hold_has_no_room_to_grow(tmp_path: Path) -> None:
    """RAID 6 needs four members (SNIA DDF); a recorder of two bays never holds them."""
    site = {"growth": "25 %", "recorders": {"r": rec(redundancy="raid6", disks=["tarnwell/d4"] * 4)}}
    group = sheet(facts(tmp_path, site), "recorders/r/disks", "disk_group")
    assert (group.bays, group.usable_most) == (2, 0.0)


# Network cameras


def test_words_of_assumed_and_set_bits_of_a_network_camera() -> None:
    """1920 x 1080 x 25 px/s at the planned bits a pixel; its maker states 4 Mb/s for H.265 only."""
    found = based("hybrid", {"cameras": {"n1": {"record": {"codec": "h264"}}}})
    one = sheet(found, "cameras/n1", "camera")
    values = found.context.ledger.values
    bits = values["bits-per-pixel-h264"].value * values["motion-factor"].value
    assert one.bitrate == pytest.approx(1920 * 1080 * 25 * bits + 0.5e6)
    first = found.working(one, "bitrate")[0]
    assert first.startswith("1920 x 1080 x 25 x ")
    assert first.endswith(f" (motion) = {one.bitrate - 0.5e6:.0f} bit/s")
    assert found.working(sheet(found, "cameras/n2", "camera"), "bitrate") == (
        "6000000 bit/s, as set", "6000000 bit/s + 500000 bit/s (second stream) = 6500000 bit/s",
    )  # fmt: skip


def test_no_second_stream_is_no_line() -> None:
    recorders = {"rec1": {"record": {"second_stream": None}, "viewed_stream": "main"}}
    found = based("hybrid", {"recorders": recorders})
    assert found.working(sheet(found, "cameras/n2", "camera"), "bitrate") == ("6000000 bit/s, as set",)


def test_main_streams_that_are_not_known_leave_the_viewing_open() -> None:
    """Neither recorder nor site states a codec, so what the coax channels record is not known."""
    site = {"recorders": {"rec1": {"viewed_stream": "main", "record": {"codec": None}}}}
    device = sheet(based("hybrid", site, {"tarnwell/case-hybrid": {"codecs": None}}), "recorders/rec1", "recorder")
    assert device.known("view_rate") is None
    assert device.missing("view_rate") == ("recorders/rec1/record/codec",)


def _nothing(got: Any) -> bool:
    return (got.width, got.height, got.fps, got.setting_needed, got.has_picture) == (0, 0, 0.0, "", False)


def test_without_a_picture_there_is_no_size_and_no_rate() -> None:
    """Every way of having none: nothing in common, an open question, a camera that may be any of several."""
    two, other = {"family": "tvi", "mode": "1920x1080@25"}, {"family": "tvi", "mode": "1280x720@25"}
    apart = settled(camera([two]), recorder({"family": "ahd", "mode": "1920x1080@25"}), family="tvi", mode="1920x1080@25")
    assert apart.outcome == "no-picture"
    assert _nothing(apart)
    assert (apart.best.width, apart.best.height, apart.best.fps) == (0, 0, 0.0)
    five = {"family": "tvi", "mode": "2592x1944@20"}
    slow = {"family": "tvi", "mode": "2592x1944@12.5"}
    recorder5 = recorder(two, slow, asks=[ASK])
    silent = settled(camera([five, slow]), recorder5, cam_id="tarnwell/c", family="tvi", mode="2592x1944@20")
    assert silent.outcome is None
    assert _nothing(silent)
    either = settled(camera([two, other]), recorder(two))
    assert either.outcome is None
    assert either.emitted.can is None
    assert _nothing(either)
    neither = settled(camera([two, other]), recorder({"family": "ahd", "mode": "1920x1080@25"}))
    assert neither.outcome == "no-picture"
    assert _nothing(neither)
    named = settled(camera([two, other]), recorder(two), family="tvi")
    assert named.emitted.can is True
    assert settled(camera([two, other]), recorder(two), mode="1280x720@25").emitted.can is True
    wrong = settled(camera([two]), recorder(two), family="ahd", mode="1920x1080@25")
    assert (wrong.outcome, wrong.emitted.can) == (None, False)
    assert _nothing(wrong)
