"""Recorders with their cameras as bound from site files: what is filled, what opens, what is assumed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets import Camera, DiskGroup, Input, Link, Recorder

from .sites_for_pictures import cam, facts, rec


def two(**more: Any) -> dict[str, Any]:
    cameras = {"own": cam("tarnwell/c5", "rec1/1"), "other": cam("fennick/c2", "rec1/2", "200 m")}
    return {"retention": "10 days", "recorders": {"rec1": rec()}, "cameras": cameras, **more}


def one(found: Facts, kind: str, subject: str) -> Any:
    sheet = found.sheet(subject, kind)
    assert sheet is not None, f"no {kind} {subject}"
    return sheet


def link(found: Facts, name: str) -> Link:
    return one(found, "link", f"cameras/{name}")  # type: ignore[no-any-return]


def test_links_of_one_recorder(tmp_path: Path) -> None:
    found = facts(tmp_path, two())
    own, other = link(found, "own"), link(found, "other")
    assert (own.outcome, own.settled_mode, own.acquired_fps, own.same_maker) == (
        "asked-down",
        "2592x1944@12.5",
        12.5,
        True,
    )
    assert (own.emitted_mode, own.emitted_width, own.frame_family) == ("2592x1944@20", 2592, 25)
    assert (other.outcome, other.settled_mode, other.recorded_fps, other.limited_by) == (
        "full",
        "1920x1080@25",
        25.0,
        "acquired",
    )
    assert (own.level, own.level_rate) == ("5", 247050.0)
    assert (other.level, other.level_rate) == ("4", 204000.0)
    assert other.level_rate == 120 * 68 * 25, "1080 lines are 68 rows of macroblocks: ITU-T H.264"
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert recorder.encode_demand == 2592 * 1944 * 12.5 + 1920 * 1080 * 25
    assert (recorder.channels, recorder.channels_used, recorder.channels_spare, recorder.frame_families) == (8, 2, 6, 1)
    assert [each.subject for each in recorder.links] == ["cameras/own", "cameras/other"]
    assert found.sheet("cameras/own", "camera").link is own  # type: ignore[union-attr]


def test_loss_and_reach_of_a_link(tmp_path: Path) -> None:
    """37.125 MHz on the table's cable, 40 degC assumed; limit of the mode from the table signal-modes."""
    found = facts(tmp_path, two())
    other = link(found, "other")
    at_20 = 2.82 * (6.73 / 2.82) ** (_log_share(5, 55, 37.125))
    assert other.loss == pytest.approx(2.0 * at_20 * (1 + 20 * 0.00196))
    assert (other.top_frequency, other.loss_limit) == (37.125, 20.6)
    assert other.reach == pytest.approx(200.0 * 20.6 / other.loss)
    assert [(hop.metres, hop.medium) for hop in other.hops] == [(200.0, "coax")]
    assert other.hops[0].loss == pytest.approx(other.loss)
    assert {each.assumption.name: each.count for each in found.assumed}["conductor-temperature"] == 2


def _log_share(low: float, high: float, mhz: float) -> float:
    import math

    return math.log(mhz / low) / math.log(high / low)


def test_joints_boxes_and_temperature_on_the_way(tmp_path: Path) -> None:
    site = two(boxes={"iso1": {"part": "hollin/iso"}})
    site["cameras"]["own"]["video"]["over"] = [
        {"cable": "hollin/coax", "length": "50 m", "temperature": "20 °C", "joints": 2},
        {"box": "iso1"},
        {"cable": "hollin/coax", "length": "50 m", "temperature": "20 °C"},
        {"cable": "hollin/coax", "length": "10 m", "temperature": "20 °C"},
    ]
    own = link(facts(tmp_path, site), "own")
    at_20 = 2.82 * (6.73 / 2.82) ** _log_share(5, 55, 37.125)
    assert own.loss == pytest.approx(1.1 * at_20 + 0.5 + 3 * 0.1)
    assert (own.metres, own.joints, own.isolated) == (110.0, 4, True)
    assert own.reach == pytest.approx(110.0 * (17.2 - 0.8) / (1.1 * at_20))
    assert (own.blocks_sound, own.blocks_control, own.blocks_firmware) == (True, False, False)


def test_a_missing_length_opens_that_link_only(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["own"] = cam("tarnwell/c5", "rec1/1", None)
    found = facts(tmp_path, site)
    own = link(found, "own")
    for name in ("loss", "reach", "metres"):
        assert own.known(name) is None
        assert own.missing(name) == ("cameras/own/video/over/0/length",)
    assert own.outcome == "asked-down"
    assert link(found, "other").loss > 0
    run = next(each for each in found.by_kind("run") if each.subject == "cameras/own/video/over/0")
    assert run.missing("metres") == ("cameras/own/video/over/0/length",)


def test_no_way_written_opens_what_the_way_decides(tmp_path: Path) -> None:
    site = two()
    del site["cameras"]["own"]["video"]["over"]
    own = link(facts(tmp_path, site), "own")
    for name in ("loss", "joints", "mixed_media", "blocks_sound", "isolated", "clad_steel"):
        assert own.missing(name) == ("cameras/own/video/over",), name


def test_a_mode_outside_the_table_opens_its_reach(tmp_path: Path) -> None:
    odd = {"emits": [{"family": "tvi", "mode": "1000x500@25"}], "starts_as": None}
    taken = {"inputs": [{"channels": "1-8", "accepts": [{"family": "tvi", "mode": ["1000x500@25", "1920x1080@25"]}]}]}
    own = link(facts(tmp_path, two(), {"tarnwell/c5": odd, "tarnwell/r8": taken}), "own")
    assert own.outcome == "full"
    assert own.missing("loss") == own.missing("loss_limit") == ("tables/signal-modes/tvi/1000x500@25",)
    assert own.metres == 100.0


def test_unknown_switching_opens_the_picture_and_the_shared_sums(tmp_path: Path) -> None:
    found = facts(tmp_path, two(), {"fennick/c2": {"starts_as": None}})
    other = link(found, "other")
    for name in ("outcome", "width", "settled_mode", "recorded_fps", "loss", "emitted_mode"):
        assert other.missing(name) == ("cameras/other/set/family", "cameras/other/set/mode"), name
    assert link(found, "own").recorded_fps == 12.5, "the encoder is large enough whatever the other asks"
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    for name in ("encode_demand", "bitrate", "bitrate_mean", "encode_used", "frame_families"):
        assert recorder.known(name) is None, name
    group: DiskGroup = one(found, "disk_group", "recorders/rec1/disks")
    assert group.usable > 0
    assert group.missing("days") == ("cameras/other/set/family", "cameras/other/set/mode")
    camera: Camera = one(found, "camera", "cameras/own")
    assert camera.missing("days_kept") == group.missing("days")
    assert camera.bitrate > 0


def test_open_demand_opens_only_those_who_might_lose_by_it(tmp_path: Path) -> None:
    tight = {"tarnwell/r8": {"encodes_total": "100 Mpx/s"}, "fennick/c2": {"starts_as": None}}
    found = facts(tmp_path, two(), tight)
    assert link(found, "own").known("recorded_fps") is None, "63 Mpx/s is over half of 100"
    assert link(found, "own").channel_ceiling == 12.5


def test_encoder_shared_between_channels(tmp_path: Path) -> None:
    found = facts(tmp_path, two(), {"tarnwell/r8": {"encodes_total": "80 Mpx/s"}})
    own, other = link(found, "own"), link(found, "other")
    assert (own.limited_by, other.limited_by) == ("shared-budget", "shared-budget")
    assert own.recorded_fps == pytest.approx(40e6 / (2592 * 1944))
    assert other.recorded_fps == pytest.approx(40e6 / (1920 * 1080))
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert recorder.encode_used == pytest.approx(80e6)
    assert recorder.encode_demand > recorder.encode_total
    assert "encoder-sharing" in {each.assumption.name for each in found.assumed}


def test_no_encoding_table_opens_rates_and_days(tmp_path: Path) -> None:
    found = facts(tmp_path, two(), {"tarnwell/r8": {"encodes": None}})
    assert link(found, "own").acquired_fps == 12.5
    for name in ("recorded_fps", "recorded_width", "channel_ceiling", "level"):
        assert link(found, "own").missing(name) == ("parts/tarnwell/r8/encodes",), name
    assert one(found, "disk_group", "recorders/rec1/disks").missing("days") == ("parts/tarnwell/r8/encodes",)


def test_no_total_is_said_to_be_assumed(tmp_path: Path) -> None:
    found = facts(tmp_path, two(), {"tarnwell/r8": {"encodes_total": None}})
    assert link(found, "own").recorded_fps == 12.5
    assert one(found, "recorder", "recorders/rec1").missing("encode_total") == ("parts/tarnwell/r8/encodes_total",)
    assert "encoder-total" in {each.assumption.name for each in found.assumed}


def test_bits_and_days(tmp_path: Path) -> None:
    """0.07 bit a pixel of H.264: Amerasinghe, H.264 for the rest of us; 1080p25 is 3.629 Mb/s."""
    found = facts(tmp_path, two())
    other: Camera = one(found, "camera", "cameras/other")
    assert other.bitrate == pytest.approx(3.6288e6)
    own: Camera = one(found, "camera", "cameras/own")
    assert own.bitrate == pytest.approx(2592 * 1944 * 12.5 * 0.07)
    group: DiskGroup = one(found, "disk_group", "recorders/rec1/disks")
    total = own.bitrate + other.bitrate
    assert group.usable == pytest.approx(8e12 * 0.93)
    assert group.days == pytest.approx(8e12 * 0.93 * 8 / (total * 86400))
    assert own.days_kept == other.days_kept == group.days
    assert group.needed == pytest.approx(total * 86400 * 10 / 8)
    assert group.written_per_year == pytest.approx(total * 31_536_000 / 8 / 2)
    assert (group.bays, group.bays_free, group.days_wanted, group.workload) == (2, 0, 10.0, 180e12)
    assert {each.assumption.name: each.count for each in found.assumed}["bits-per-pixel-h264"] == 2


def test_set_bit_rate_second_stream_and_motion(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["own"]["record"] = {
        "bitrate": "4 Mb/s",
        "second_stream": "512 kb/s",
        "schedule": "motion",
        "motion_share": "25 %",
    }
    site["cameras"]["other"]["record"] = {"bitrate": "2 Mb/s", "schedule": "motion"}
    found = facts(tmp_path, site)
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert recorder.bitrate == pytest.approx(4.512e6 + 2e6)
    assert recorder.bitrate_mean == pytest.approx(4.512e6 * 0.25 + 2e6 * 0.5)
    assert {each.assumption.name: each.count for each in found.assumed}["motion-share"] == 1


def test_what_the_site_assumes_replaces_the_table(tmp_path: Path) -> None:
    found = facts(
        tmp_path, two(assume={"bits_per_pixel": 0.1, "usable_share": "90 %", "conductor_temperature": "20 °C"})
    )
    other: Camera = one(found, "camera", "cameras/other")
    assert other.bitrate == pytest.approx(1920 * 1080 * 25 * 0.1)
    assert one(found, "disk_group", "recorders/rec1/disks").usable == pytest.approx(7.2e12)
    assert link(found, "other").loss == pytest.approx(2.0 * 2.82 * (6.73 / 2.82) ** _log_share(5, 55, 37.125))


def test_codec_unknown_opens_bits(tmp_path: Path) -> None:
    site = two()
    site["recorders"]["rec1"]["record"] = {"schedule": "continuous"}
    found = facts(tmp_path, site, {"tarnwell/r8": {"codecs": None}})
    assert one(found, "camera", "cameras/own").missing("bitrate") == ("recorders/rec1/record/codec",)
    assert link(found, "own").recorded_fps == 12.5
    chosen = facts(tmp_path, site)
    assert "codec" in {each.assumption.name for each in chosen.assumed}


def test_network_cameras_take_inputs_and_unknown_bits(tmp_path: Path) -> None:
    """A hybrid recorder pays for network cameras beyond its allowance with coax inputs. Common practice."""
    site = two()
    site["cameras"]["last"] = cam("fennick/c2", "rec1/8")
    site["recorders"]["rec1"]["network_cameras"] = 3
    found = facts(tmp_path, site)
    assert one(found, "input", "recorders/rec1/8").serves is False
    assert one(found, "input", "recorders/rec1/1").serves is True
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert recorder.channels_spare == 5
    assert recorder.missing("bitrate") == ("recorders/rec1/record/bitrate",)
    site["recorders"]["rec1"]["record"]["bitrate"] = "2 Mb/s"
    assert one(facts(tmp_path, site), "recorder", "recorders/rec1").bitrate == pytest.approx(6 * 2e6)
    site["recorders"]["rec1"]["record"].update({"schedule": "motion", "motion_share": "25 %"})
    assert one(facts(tmp_path, site), "recorder", "recorders/rec1").bitrate_mean == pytest.approx(6 * 2e6 / 4)
    site["cameras"]["last"]["video"]["into"] = "rec1/7"
    assert one(facts(tmp_path, site), "recorder", "recorders/rec1").channels_spare == 4, "8 - 3 - 1 given up"
    unstated = facts(tmp_path, site, {"tarnwell/r8": {"network": None}})
    assert one(unstated, "input", "recorders/rec1/1").missing("serves") == ("parts/tarnwell/r8/network/cameras",)


def test_inputs_shared_and_missing(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["other"]["video"]["into"] = "rec1/1"
    site["cameras"]["lost"] = cam("fennick/c2", "rec1/9")
    found = facts(tmp_path, site)
    shared: Input = one(found, "input", "recorders/rec1/1")
    assert (shared.camera_count, [each.name for each in shared.cameras]) == (2, ["own", "other"])
    missing: Input = one(found, "input", "recorders/rec1/9")
    assert missing.exists is False
    assert link(found, "lost").missing("outcome") == ("cameras/lost/video/into",)
    assert link(found, "lost").emitted_mode == "1920x1080@25"


def test_disks_missing_empty_and_mirrored(tmp_path: Path) -> None:
    site = two()
    del site["recorders"]["rec1"]["disks"]
    group: DiskGroup = one(facts(tmp_path, site), "disk_group", "recorders/rec1/disks")
    assert group.missing("days") == group.missing("disks") == ("recorders/rec1/disks",)
    assert group.needed > 0
    site["recorders"]["rec1"]["disks"] = []
    group = one(facts(tmp_path, site), "disk_group", "recorders/rec1/disks")
    assert (group.disks, group.usable, group.days, group.bays_free) == (0, 0.0, 0.0, 2)
    site["recorders"]["rec1"] = rec(redundancy="raid1")
    group = one(facts(tmp_path, site), "disk_group", "recorders/rec1/disks")
    assert (group.usable, group.redundancy_known, group.disks_least) == (pytest.approx(4e12 * 0.93), True, 2)
    site["recorders"]["rec1"] = rec(redundancy="raid5")
    group = one(facts(tmp_path, site), "disk_group", "recorders/rec1/disks")
    assert (group.redundancy_known, group.disks_least, group.missing("days")) == (False, 3, ("recorders/rec1/disks",))


def test_retention_is_the_longest_wanted(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["own"]["wants"] = {"retention": "30 days"}
    assert one(facts(tmp_path, site), "disk_group", "recorders/rec1/disks").days_wanted == 30.0
    del site["retention"]
    found = facts(tmp_path, site)
    assert one(found, "disk_group", "recorders/rec1/disks").days_wanted == 30.0
    assert one(found, "camera", "cameras/other").missing("wants_retention") == ("retention",)


def test_no_picture_records_nothing(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["other"]["set"] = {"family": "cvi", "mode": "1920x1080@25"}
    found = facts(tmp_path, site)
    other = link(found, "other")
    assert (other.outcome, other.family_taken, other.limited_by, other.recorded_fps) == (
        "needs-setting",
        False,
        "no-picture",
        0.0,
    )
    camera: Camera = one(found, "camera", "cameras/other")
    assert (camera.bitrate, camera.firmware_works, camera.sorted_motion_works) == (0.0, False, False)
    assert other.loss > 0, "the signal is on the cable all the same"


def test_frame_families_that_meet_on_a_recorder(tmp_path: Path) -> None:
    """Mixing 25 and 30 in one recorder forces one video standard. Common practice."""
    site = two()
    both = {"fennick/c2": {"emits": [{"family": ["tvi", "cvi"], "mode": ["1920x1080@25", "1920x1080@30"]}]}}
    site["cameras"]["other"]["set"] = {"family": "tvi", "mode": "1920x1080@30"}
    assert one(facts(tmp_path, site, both), "recorder", "recorders/rec1").frame_families == 2
    site["cameras"]["other"]["set"] = {"family": "cvi", "mode": "1920x1080@30"}
    found = facts(tmp_path, site, both)
    assert link(found, "other").outcome == "needs-setting"
    assert one(found, "recorder", "recorders/rec1").frame_families == 1, "without a picture it forces nothing"


def test_makers_bit_rates_come_before_planned_ones(tmp_path: Path) -> None:
    stated = [{"up_to": "1920x1080", "rate": "25 fps", "codec": "h264", "bitrate": "5 Mb/s"}]
    found = facts(tmp_path, two(), {"tarnwell/r8": {"bitrates": stated}})
    assert one(found, "camera", "cameras/other").bitrate == 5e6
    assert {each.assumption.name: each.count for each in found.assumed}["bits-per-pixel-h264"] == 1


def test_alike_cameras_on_unlike_channels_and_switched_unlike(tmp_path: Path) -> None:
    table = [{"up_to": "1920x1080", "rate": "25 fps"}, {"up_to": "1920x1080", "rate": "6 fps", "channels": "5-8"}]
    site = two()
    site["cameras"] = {
        "fast": cam("fennick/c2", "rec1/1"),
        "slow": cam("fennick/c2", "rec1/5"),
        "wide": cam("fennick/c2", "rec1/2", set={"family": "tvi", "mode": "2560x1440@25"}),
        "dark": cam("fennick/c2", "rec1/3", set={"family": "cvi", "mode": "1920x1080@25"}),
    }
    found = facts(tmp_path, site, {"tarnwell/r8": {"encodes": [*table, {"up_to": "2560x1440", "rate": "12 fps"}]}})
    seen = {name: (link(found, name).outcome, link(found, name).recorded_fps) for name in site["cameras"]}
    assert seen == {
        "fast": ("full", 25.0), "slow": ("full", 6.0), "wide": ("reduced-width", 12.0), "dark": ("needs-setting", 0.0),
    }  # fmt: skip


def test_an_input_may_equalise_more_than_the_usual(tmp_path: Path) -> None:
    accepts = [{"family": "tvi", "mode": "1920x1080@25"}]
    groups = [
        {"channels": "1", "accepts": [{"family": "tvi", "mode": "2592x1944@20"}]},
        {"channels": "2-8", "accepts": accepts, "loss_limit_extra": 3.0},
    ]
    found = facts(tmp_path, two(), {"tarnwell/r8": {"inputs": groups}})
    assert link(found, "other").loss_limit == pytest.approx(23.6)
    assert link(found, "own").loss_limit == pytest.approx(24.1)
    assert found.working(link(found, "other"), "loss_limit")[0].endswith("= 20.6 dB + 3 dB = 23.6 dB")


# Besides the picture


def test_sound_control_and_firmware_over_the_coax(tmp_path: Path) -> None:
    site = two()
    drawn = {"sound": {"by": "coax"}, "control": {"by": "coax"}}
    site["cameras"]["own"].update(drawn)
    site["cameras"]["other"].update(drawn)
    found = facts(tmp_path, site)
    own: Camera = one(found, "camera", "cameras/own")
    assert (own.sound_works, own.control_works, own.firmware_works, own.sorted_motion_works) == (True, True, True, True)
    assert (own.sends_sound, own.takes_control, own.takes_firmware) == (True, True, True)
    other: Camera = one(found, "camera", "cameras/other")
    assert other.known("sound_works") is None
    assert "parts/fennick/c2/sound/microphone" in other.missing("sound_works")
    assert (other.firmware_works, other.firmware_broken_by) == (
        False,
        "the recorder updates only cameras of its own maker over the coax",
    )


def test_a_box_on_the_way_is_named(tmp_path: Path) -> None:
    site = two(boxes={"iso1": {"part": "hollin/iso"}})
    site["cameras"]["own"].update({"sound": {"by": "coax"}, "control": {"by": "coax"}})
    site["cameras"]["own"]["video"]["over"].append({"box": "iso1"})
    own: Camera = one(facts(tmp_path, site), "camera", "cameras/own")
    assert (own.sound_works, own.sound_broken_by) == (False, "`iso1` on the way does not pass sound")
    assert own.control_works is True


def test_sound_without_picture_and_without_input(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["loose"] = {"part": "tarnwell/c5", "sound": {"by": "coax"}, "wants": {"control": True}}
    site["cameras"]["other"].update({"set": {"family": "cvi", "mode": "1920x1080@25"}, "control": {"by": "coax"}})
    parts = {
        "fennick/c2": {"control": {"over_coax": ["tvi", "cvi"]}},
        "tarnwell/r8": {"control": {"coax_families": ["tvi", "cvi"]}},
    }
    found = facts(tmp_path, site, parts)
    loose: Camera = one(found, "camera", "cameras/loose")
    assert (loose.has_video, loose.sound_works) == (False, False)
    assert loose.sound_broken_by == "no recorder input is named for the camera"
    assert (loose.control_by, loose.control_broken_by) == ("none", "no way for it is drawn")
    assert loose.missing("recorded_fps") == ("cameras/loose/video",)
    other: Camera = one(found, "camera", "cameras/other")
    assert other.control_broken_by == "there is no picture for it to travel with"


def test_lines_for_sound(tmp_path: Path) -> None:
    line = {"into": "rec1/audio1", "over": [{"cable": "hollin/line", "length": "20 m"}], "pickup": "hollin/p"}
    site = two()
    site["cameras"]["own"]["sound"] = line
    site["cameras"]["other"]["sound"] = {**line, "into": "rec1/audio2"}
    found = facts(tmp_path, site)
    own, other = one(found, "camera", "cameras/own"), one(found, "camera", "cameras/other")
    assert (own.sound_by, own.sound_works, own.line_level) == ("line", True, True)
    assert (other.sound_works, other.sound_broken_by) == (False, "the recorder has no line input 2, only 1")
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert (recorder.line_inputs, recorder.line_inputs_used, recorder.line_inputs_shared) == (1, 2, 0)
    runs = [each for each in found.by_kind("run") if each.use == "sound"]
    assert [(each.cable, each.metres, each.fits_use) for each in runs] == [("hollin/line", 20.0, True)] * 2
    site["cameras"]["other"]["sound"] = line
    shared: Recorder = one(facts(tmp_path, site), "recorder", "recorders/rec1")
    assert (shared.line_inputs_used, shared.line_inputs_shared) == (2, 1)


def test_sorted_motion_on_some_channels(tmp_path: Path) -> None:
    site = two()
    site["cameras"]["far"] = cam("fennick/c2", "rec1/3", wants={"sorted_motion": True})
    site["cameras"]["own"]["record"] = {"schedule": "sorted-motion"}
    found = facts(tmp_path, site)
    assert one(found, "camera", "cameras/far").sorted_motion_works is False
    assert one(found, "camera", "cameras/other").sorted_motion_works is True, "whoever made the camera"
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert (recorder.sorted_motion_channels, recorder.sorted_motion_wanted) == (2, 2)


def test_settings_made_and_codecs_that_the_recorder_lacks(tmp_path: Path) -> None:
    site = two()
    site["recorders"]["rec1"].update({"set": ["mirror-view"], "record": {"codec": "h265"}})
    recorder: Recorder = one(facts(tmp_path, site), "recorder", "recorders/rec1")
    assert (recorder.settings_known, recorder.settings_unknown, recorder.codec_known) == (True, "", True)
    only = facts(tmp_path, site, {"tarnwell/r8": {"codecs": ["h264"]}})
    assert one(only, "recorder", "recorders/rec1").codec_known is False


# Place


def test_place_and_housing(tmp_path: Path) -> None:
    """IP digits of IEC 60529, the greater of a double marking; IK10 is 20 J by IEC 62262."""
    site = two()
    site["cameras"]["own"]["place"] = {
        "setting": "outdoor",
        "building": "quay",
        "reach": "hand",
        "ambient_min": "-20 °C",
    }
    site["recorders"]["rec1"]["place"] = {"setting": "indoor", "building": "office"}
    found = facts(tmp_path, site)
    own: Camera = one(found, "camera", "cameras/own")
    assert (own.ip_solid, own.ip_water, own.ik_joules) == (6, 7, 20.0)
    assert list(own.ip_water_covered) == [0, 1, 2, 3, 4, 5, 6, 7]
    assert (own.setting, own.reach, own.ambient_min, own.temperature_min) == ("outdoor", "hand", -20.0, -30.0)
    assert (own.ambient_min_assumed, own.ambient_max_assumed, own.ambient_max) == (False, True, 60.0)
    recorder: Recorder = one(found, "recorder", "recorders/rec1")
    assert (recorder.ambient_min, recorder.ambient_max, recorder.ambient_min_assumed) == (5.0, 40.0, True)
    assumed = {each.assumption.name: each.count for each in found.assumed if "environment" in each.assumption.name}
    assert assumed == {"environment-indoor": 1, "environment-outdoor": 1}
    assert link(found, "own").other_building is True
    other: Camera = one(found, "camera", "cameras/other")
    assert (other.ambient_min_assumed, other.missing("ambient_min")) == (False, ("cameras/other/place/setting",))
    assert other.missing("ip_water") == ("parts/fennick/c2/housing/ip",)
    assert other.missing("ip_water_covered") == ("parts/fennick/c2/housing/ip",)
    assert other.missing("setting") == ("cameras/other/place/setting",)
    assert link(found, "other").missing("other_building") == ("cameras/other/place/building",)


def test_recorders_are_components(tmp_path: Path) -> None:
    """What one recorder's cameras come to does not depend on another recorder."""
    alone = facts(tmp_path, two())
    site = two()
    site["recorders"]["rec2"] = rec(disks=[])
    site["cameras"]["third"] = cam("fennick/c2", "rec2/1")
    both = facts(tmp_path, site)
    for name in ("own", "other"):
        for field in ("outcome", "loss", "recorded_fps", "level", "reach"):
            assert getattr(link(alone, name), field) == getattr(link(both, name), field)
    assert one(alone, "disk_group", "recorders/rec1/disks").days == one(both, "disk_group", "recorders/rec1/disks").days
    assert len(both.by_kind("disk_group")) == 2
