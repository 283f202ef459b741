"""What camera and input settle on. How receivers of this trade behave is common practice, no standard."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.facts.picture.frames import frame_family, halved, nominal_rate, suits
from coaxwright.facts.picture.settling import acquire, emitted
from coaxwright.facts.picture.signals import RANK, Emitter, Intake, Signal
from coaxwright.model.common import parse_mode

from .parts_for_pictures import camera, recorder, settled

TVI_4MP = {"family": "tvi", "mode": "2560x1440@25"}
FULL_4MP = {"family": "tvi", "mode": ["2560x1440@25", "2560x1440@30"]}
HALF_4MP = {**FULL_4MP, "width": "reduced"}
FULL_2MP = {"family": "tvi", "mode": ["1920x1080@25", "1920x1080@30"]}
FIVE = {
    "family": "tvi",
    "mode": [
        "2592x1944@20",
        "2592x1944@12.5",
        "2560x1440@30",
        "2560x1440@25",
        "1920x1080@30",
        "1920x1080@25",
    ],
}
ASK_5MP = {"maker": "own", "family": "tvi", "seen": "2592x1944@20", "wanted": "2592x1944@12.5"}


# Each outcome


def test_full_when_the_input_takes_the_mode() -> None:
    got = settled(camera([TVI_4MP]), recorder(FULL_4MP))
    assert (got.outcome, got.width, got.height, got.fps) == ("full", 2560, 1440, 25.0)
    assert got.because == "the camera sends TVI 2560x1440 at 25 frames a second, and this input takes that as it is"


def test_4mp_at_reduced_width_arrives_as_1280x1440() -> None:
    """Every other column dropped, height kept. Common practice."""
    got = settled(camera([TVI_4MP]), recorder(HALF_4MP))
    assert (got.outcome, got.width, got.height, got.fps) == ("reduced-width", 1280, 1440, 25.0)
    assert "1280x1440 arrives" in got.because
    assert "half the detail" in got.because


def test_4mp_without_that_ability_gives_no_picture() -> None:
    got = settled(camera([TVI_4MP]), recorder(FULL_2MP))
    assert (got.outcome, got.width, got.height, got.fps) == ("no-picture", 0, 0, 0.0)
    assert "TVI in common but no mode in it" in got.because


@pytest.mark.parametrize(
    ("heeds", "states", "said"), [(True, False, True), (True, True, False), (False, False, False), (True, None, True)]
)
def test_a_mode_asked_for_that_the_part_does_not_state_is_named(heeds: bool, states: bool | None, said: bool) -> None:
    """With another figure than the usual: 2304x1296 at 15; `states` None: the input takes nothing of it as it comes."""
    sent = {"family": "tvi", "mode": "2304x1296@30"}
    more = [{"family": "tvi", "mode": "2304x1296@15", "only": "when-asked"}] if states else []
    rows = [{"family": "tvi", "mode": "2304x1296@15"}, *([] if states is None else [{**sent, "width": "reduced"}])]
    ask = {"maker": "any", "family": "tvi", "wanted": "2304x1296@15"}
    got = settled(camera([sent, *more], heeds_asks=heeds), recorder(*rows, asks=[ask]))
    assert ("asks it for 2304x1296 at 15 frames a second, which its part does not state" in got.because) is said
    assert got.outcome == ("asked-down" if states else "no-picture" if states is None else "reduced-width")


def test_own_makers_5mp_is_asked_down_to_12_5() -> None:
    """Common practice: the recorder recognises its maker's camera and asks over the coax."""
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"}, heeds_asks=True)
    rec = recorder({"family": "tvi", "mode": "2592x1944@12.5"}, {**FIVE, "width": "reduced"}, asks=[ASK_5MP])
    own = settled(cam, rec, cam_id="tarnwell/turret-5")
    assert (own.outcome, own.width, own.height, own.fps) == ("asked-down", 2592, 1944, 12.5)
    assert "recognises its own maker's camera" in own.because
    other = settled(cam, rec, cam_id="fennick/turret-5")
    assert (other.outcome, other.width, other.height, other.fps) == ("reduced-width", 1296, 1944, 20.0)


@pytest.mark.parametrize(
    ("mode", "outcome", "width", "fps"),
    [
        ("2592x1944@20", "reduced-width", 1296, 20.0),
        ("2560x1440@30", "reduced-width", 1280, 30.0),
        ("2560x1440@25", "reduced-width", 1280, 25.0),
        ("1920x1080@30", "full", 1920, 30.0),
    ],
)
def test_another_makers_5mp_by_how_it_is_switched(mode: str, outcome: str, width: int, fps: float) -> None:
    """5 MP at 20 or 4 MP at 25 and 30 reduced, and by hand 2 MP at 30 in full. Common practice."""
    cam = camera([FIVE], heeds_asks=True)
    wide = {"family": "tvi", "mode": ["2592x1944@20", "2560x1440@25", "2560x1440@30"], "width": "reduced"}
    rec = recorder(FULL_2MP, {"family": "tvi", "mode": "2592x1944@12.5", "maker": "own"}, wide, asks=[ASK_5MP])
    got = settled(cam, rec, family="tvi", mode=mode, rate=30)
    assert (got.outcome, got.width, got.fps) == (outcome, width, fps)
    assert (got.best.outcome, str(got.best.signal.mode)) == ("full", "1920x1080@30")


def test_needs_setting_names_the_mode_to_switch_to() -> None:
    cam = camera(
        [FIVE, {"family": "ahd", "mode": "1920x1080@25"}],
        starts_as={"family": "tvi", "mode": "2592x1944@20"},
        switched_by=["menu-button"],
    )
    got = settled(cam, recorder(FULL_2MP))
    assert (got.outcome, got.width, got.fps, got.setting_needed) == ("needs-setting", 0, 0.0, "")
    assert "switches the camera to TVI 1920x1080 at 25 frames a second (with its menu button)" in got.because
    assert (got.best.outcome, got.best.signal.family, str(got.best.signal.mode)) == (
        "full",
        "tvi",
        "1920x1080@25",
    )


def test_needs_setting_of_the_recorder_made_and_not_made() -> None:
    cam = camera([TVI_4MP])
    rec = recorder(FULL_2MP, {**FULL_4MP, "after": "wide-inputs"})
    waiting = settled(cam, rec)
    assert (waiting.outcome, waiting.setting_needed) == ("needs-setting", "wide-inputs")
    assert "makes the recorder setting `wide-inputs`, which gives 2560x1440 at full width" in waiting.because
    assert settled(cam, rec, made=("wide-inputs",)).outcome == "full"
    assert settled(cam, rec, made=("something-else",)).outcome == "needs-setting"


def test_the_better_of_setting_and_switching_is_said_first() -> None:
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"})
    reduced_after = {"family": "tvi", "mode": "2592x1944@20", "width": "reduced", "after": "wide-inputs"}
    got = settled(cam, recorder(FULL_2MP, reduced_after))
    assert got.outcome == "needs-setting"
    assert got.because.index("switches the camera") < got.because.index("makes the recorder setting")
    full_after = {"family": "tvi", "mode": "2592x1944@20", "after": "wide-inputs"}
    got = settled(cam, recorder(FULL_2MP, full_after))
    assert got.because.index("makes the recorder setting") < got.because.index("switches the camera")


def test_setting_and_switching_together() -> None:
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"})
    got = settled(cam, recorder({"family": "tvi", "mode": "2560x1440@25", "after": "wide-inputs"}))
    assert (got.outcome, got.setting_needed) == ("needs-setting", "wide-inputs")
    assert "and switches the camera to TVI 2560x1440 at 25 frames a second" in got.because


# Why there is none


def test_no_family_in_common() -> None:
    got = settled(
        camera([{"family": ["tvi", "cvi"], "mode": "1920x1080@25"}]),
        recorder({"family": "ahd", "mode": "1920x1080@25"}),
        family="tvi",
    )
    assert (got.outcome, got.family_taken) == ("no-picture", False)
    assert got.because == "they have no signal family in common: the camera sends TVI and CVI, this input takes AHD"


def test_families_do_not_mix_though_pixels_and_rate_agree() -> None:
    """Common practice: families are not mutually compatible."""
    cam = camera([{"family": "tvi", "mode": "1920x1080@25"}])
    assert settled(cam, recorder({"family": "cvi", "mode": "1920x1080@25"})).outcome == "no-picture"
    assert settled(cam, recorder({"family": "tvi", "mode": "1920x1080@25"})).outcome == "full"


def test_maker_restriction() -> None:
    cam = camera([TVI_4MP])
    only_own = recorder({**TVI_4MP, "maker": "own"})
    got = settled(cam, only_own)
    assert got.outcome == "no-picture"
    assert got.because.endswith("only from cameras of its own maker")
    assert settled(cam, only_own, cam_id="tarnwell/c").outcome == "full"
    assert settled(cam, recorder({**TVI_4MP, "maker": "fennick"})).outcome == "full"
    assert settled(cam, recorder({**TVI_4MP, "maker": "brackwater"})).because.endswith("of brackwater")


def test_nobodys_camera_is_not_own() -> None:
    cam = camera([TVI_4MP])
    assert (
        settled(cam, recorder({**TVI_4MP, "maker": "own"}), cam_id="generic/c", rec_id="generic/r").outcome
        == "no-picture"
    )
    assert maker_of("generic/dome", cam) == maker_of("dome", cam) == ""
    assert maker_of("house/dome", camera([TVI_4MP], maker="fennick")) == "fennick"
    assert lets_in("any", "", "tarnwell")
    assert not lets_in("own", "", "")


# Order of the outcomes


def test_full_comes_before_asking() -> None:
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"}, heeds_asks=True)
    assert settled(cam, recorder(FIVE, asks=[ASK_5MP]), cam_id="tarnwell/c").outcome == "full"


def test_asking_comes_before_reduced_width_and_needs_a_camera_that_heeds() -> None:
    rec = recorder({**FIVE, "width": "reduced"}, asks=[{**ASK_5MP, "wanted": "1920x1080@25"}, ASK_5MP])
    start = {"family": "tvi", "mode": "2592x1944@20"}
    rec_full = recorder(
        FULL_2MP,
        {"family": "tvi", "mode": "2592x1944@20", "width": "reduced"},
        asks=[{**ASK_5MP, "wanted": "1920x1080@25"}],
    )
    heeding = settled(camera([FIVE], starts_as=start, heeds_asks=True), rec_full, cam_id="tarnwell/c")
    assert (heeding.outcome, heeding.width, heeding.fps) == ("asked-down", 1920, 25.0)
    deaf = settled(camera([FIVE], starts_as=start, heeds_asks=False), rec_full, cam_id="tarnwell/c")
    assert (deaf.outcome, deaf.width) == ("reduced-width", 1296)
    silent = settled(camera([FIVE], starts_as=start), rec_full, cam_id="tarnwell/c")
    assert (silent.outcome, silent.lacking) == (None, ("parts/tarnwell/c/heeds_asks",))
    stranger = settled(camera([FIVE], starts_as=start), rec_full)
    assert stranger.outcome == "reduced-width", "an ask that is not for this maker leaves nothing open"
    asked_to_reduced = settled(camera([FIVE], starts_as=start, heeds_asks=True), rec, cam_id="tarnwell/c")
    assert (asked_to_reduced.outcome, asked_to_reduced.width, asked_to_reduced.height) == (
        "reduced-width",
        960,
        1080,
    )


def test_an_ask_for_a_mode_that_the_camera_lacks_is_no_ask() -> None:
    cam = camera([{"family": "tvi", "mode": "2592x1944@20"}], heeds_asks=True)
    got = settled(cam, recorder(FULL_2MP, asks=[ASK_5MP]), cam_id="tarnwell/c")
    assert got.outcome == "no-picture"


def test_full_row_beats_reduced_row_of_the_same_mode() -> None:
    rec = recorder(HALF_4MP, {**FULL_4MP, "maker": "own"})
    assert settled(camera([TVI_4MP]), rec, cam_id="tarnwell/c").outcome == "full"
    assert settled(camera([TVI_4MP]), rec, cam_id="fennick/c").outcome == "reduced-width"
    after = recorder(HALF_4MP, {**FULL_4MP, "after": "wide-inputs"})
    assert settled(camera([TVI_4MP]), after).outcome == "reduced-width"
    assert settled(camera([TVI_4MP]), after, made=("wide-inputs",)).outcome == "full"


def test_groups_of_one_recorder_differ() -> None:
    groups = [{"channels": "1-4", "accepts": [FULL_4MP]}, {"channels": "5-8", "accepts": [HALF_4MP]}]
    rec = recorder(inputs=groups)
    assert settled(camera([TVI_4MP]), rec, group=0).outcome == "full"
    assert settled(camera([TVI_4MP]), rec, group=1).outcome == "reduced-width"


def test_rasters_that_differ_by_a_little_are_different_modes_of_data() -> None:
    """2592 on the wire and 2560 captured: only what the part lists counts, and no error is made of it."""
    cam = camera([{"family": "tvi", "mode": "2592x1944@20"}])
    assert settled(cam, recorder({"family": "tvi", "mode": "2592x1944@20"})).outcome == "full"
    assert settled(cam, recorder({"family": "tvi", "mode": "2560x1944@20"})).outcome == "no-picture"


# How the camera is switched

SEVERAL = {"family": ["tvi", "ahd"], "mode": ["1920x1080@25", "1920x1080@30"]}


def test_factory_setting_follows_the_country() -> None:
    starts = [{"family": "tvi", "mode": "1920x1080@25"}, {"family": "tvi", "mode": "1920x1080@30"}]
    cam = Emitter.of("fennick/c", camera([SEVERAL], starts_as=starts))
    assert str(emitted(cam, None, None, 25).mode) == "1920x1080@25"
    assert str(emitted(cam, None, None, 30).mode) == "1920x1080@30"
    only_30 = Emitter.of("fennick/c", camera([SEVERAL], starts_as=starts[1]))
    assert str(emitted(only_30, None, None, 25).mode) == "1920x1080@30", "it leaves the box as it does"


def test_switched_by_hand_comes_before_the_factory_setting() -> None:
    cam = Emitter.of("fennick/c", camera([SEVERAL], starts_as={"family": "tvi", "mode": "1920x1080@25"}))
    got = emitted(cam, "ahd", parse_mode("1920x1080@30"), 25)
    assert (got.family, str(got.mode), got.can) == ("ahd", "1920x1080@30", True)
    family_only = emitted(cam, "ahd", None, 30)
    assert (family_only.family, family_only.mode) == ("ahd", None), "the country does not switch a camera"
    assert family_only.lacking == ("{camera}/set/mode",)
    mode_only = emitted(cam, None, parse_mode("1920x1080@25"), 25)
    assert (mode_only.family, str(mode_only.mode)) == ("tvi", "1920x1080@25")


def test_unknown_switching_stays_open_and_says_what_to_write() -> None:
    two = camera([SEVERAL])
    got = settled(two, recorder(FULL_2MP))
    assert got.outcome is None
    assert got.lacking_of("cameras/c1") == ("cameras/c1/set/family", "cameras/c1/set/mode")
    many = camera([{"family": "tvi", "mode": ["1920x1080@25", "2560x1440@25"]}])
    assert settled(many, recorder(FULL_2MP)).lacking_of("cameras/c1") == ("cameras/c1/set/mode",)
    assert settled(many, recorder(FULL_2MP)).emitted.family == "tvi"
    single = camera([{"family": "tvi", "mode": ["1920x1080@25", "1920x1080@30"]}])
    assert settled(single, recorder(FULL_2MP)).outcome is None, "the country does not switch a camera"


def test_the_one_mode_of_the_countrys_frame_family_is_no_factory_setting() -> None:
    """Same hardware out of the same box: the country decides nothing that the part leaves open (docs, step 1)."""
    cam = camera([{"family": "tvi", "mode": ["2560x1440@30", "1920x1080@25"]}])
    rec = recorder({"family": "tvi", "mode": "1920x1080@25"}, {"family": "tvi", "mode": "2560x1440@30", "width": "reduced"})
    for rate in (25, 30):
        got = settled(cam, rec, rate=rate)
        assert (got.outcome, got.emitted.family, got.emitted.mode) == (None, "tvi", None)
        assert got.lacking_of("cameras/c1") == ("cameras/c1/set/mode",)


def test_two_factory_settings_that_the_country_does_not_tell_apart_are_open() -> None:
    starts = [{"family": "tvi", "mode": "2592x1944@20"}, {"family": "tvi", "mode": "1920x1080@25"}]
    cam = Emitter.of("fennick/c", camera([FIVE], starts_as=starts))
    assert str(emitted(cam, None, None, 25).mode) == "1920x1080@25", "the one of the country's frame family"
    assert str(emitted(cam, None, None, 30).mode) == "2592x1944@20", "else the one that runs everywhere"
    two = [{"family": "tvi", "mode": "2560x1440@25"}, {"family": "tvi", "mode": "1920x1080@25"}]
    assert emitted(Emitter.of("fennick/c", camera([FIVE], starts_as=two)), None, None, 25).mode is None


def test_a_factory_setting_that_the_camera_does_not_have_is_told_and_never_ignored() -> None:
    cam = camera([{"family": "tvi", "mode": "2592x1944@20"}], starts_as={"family": "tvi", "mode": "1920x1080@25"})
    rec = recorder({"family": "tvi", "mode": ["2592x1944@20", "1920x1080@25"]})
    got = settled(cam, rec)
    assert (got.outcome, got.lacking) == (None, ("parts/fennick/c/starts_as",))
    assert "TVI 1920x1080 at 25 frames a second, is not among the modes" in got.because
    assert settled(cam, rec, family="tvi", mode="2592x1944@20").outcome == "full", "what is written under `set` stands"


# What is asked for is judged by the rows


def test_an_ask_lets_in_nothing_that_the_rows_do_not() -> None:
    cam = camera([{"family": "tvi", "mode": "1280x720@25"}], heeds_asks=False)
    ask = {"maker": "any", "family": "tvi", "wanted": "1280x720@25"}
    assert settled(cam, recorder(FULL_2MP, asks=[ask])).outcome == "no-picture"
    half = {"family": "tvi", "mode": "1280x720@25", "width": "reduced"}
    got = settled(cam, recorder(half, asks=[ask]))
    assert (got.outcome, got.width) == ("reduced-width", 640)


@pytest.mark.parametrize("heeds", [True, False, None])
def test_a_mode_asked_for_that_waits_for_a_setting(heeds: bool | None) -> None:
    """Before the setting is made nothing is asked for; once it is made, a camera that heeds is asked down."""
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"}, heeds_asks=heeds, switched_by=["dip-switch"])
    rec = recorder({"family": "tvi", "mode": "2592x1944@12.5", "after": "wide"}, asks=[{**ASK_5MP, "maker": "any"}])
    before, after = settled(cam, rec), settled(cam, rec, made=("wide",))
    assert (before.outcome, before.setting_needed) == ("needs-setting", "wide")
    assert after.outcome == {True: "asked-down", False: "needs-setting", None: None}[heeds]


def test_a_recorder_that_asks_for_what_it_does_not_take_is_open_where_that_decides() -> None:
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"}, heeds_asks=True)
    rec = recorder({**FIVE, "mode": "2592x1944@20", "width": "reduced"}, asks=[{**ASK_5MP, "maker": "any"}])
    got = settled(cam, rec)
    assert (got.outcome, got.lacking) == (None, ("parts/tarnwell/r/inputs",))
    assert "which none of the rows of this input takes" in got.because


def test_a_mode_sent_only_when_asked_is_in_no_menu() -> None:
    emits = [{"family": "tvi", "mode": "2592x1944@20"}, {"family": "tvi", "mode": "2592x1944@12.5", "only": "when-asked"}]
    cam = camera(emits, heeds_asks=True, switched_by=["dip-switch"])
    takes = {"family": "tvi", "mode": "2592x1944@12.5"}
    asked = settled(cam, recorder(takes, asks=[{**ASK_5MP, "maker": "any"}]))
    assert (asked.outcome, asked.fps, str(asked.emitted.mode)) == ("asked-down", 12.5, "2592x1944@20")
    unasked = settled(cam, recorder(takes))
    assert (unasked.outcome, unasked.best.outcome) == ("no-picture", "no-picture")
    assert settled(cam, recorder(takes), family="tvi", mode="2592x1944@12.5").emitted.can is False
    half = settled(cam, recorder(takes, {**takes, "mode": "2592x1944@20", "width": "reduced"}))
    assert (half.outcome, half.best.outcome) == ("reduced-width", "reduced-width"), "never offered as a switch"


# Who can switch it, and where


def test_a_menu_over_the_coax_needs_a_picture_to_be_seen_in() -> None:
    """Common practice: such a menu is drawn into the picture."""
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"}, switched_by=["menu-over-coax"])
    dark = settled(cam, recorder(FULL_2MP))
    assert dark.outcome == "needs-setting"
    assert "beforehand, on an input that takes TVI 2592x1944 at 20" in dark.because


def test_nobody_says_how_it_is_switched() -> None:
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"})
    got = settled(cam, recorder(FULL_2MP))
    assert got.outcome == "needs-setting"
    assert "its part does not say how it is switched, or whether" in got.because
    never = settled(camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"}, switched_by=[]), recorder(FULL_2MP))
    assert never.outcome == "no-picture"
    assert "nobody can switch the camera: its part states no way to" in never.because


def test_unknown_switching_is_not_open_where_nothing_could_give_a_picture() -> None:
    got = settled(camera([SEVERAL]), recorder({"family": "cvi", "mode": "1920x1080@25"}))
    assert got.outcome == "no-picture"
    later = settled(camera([SEVERAL]), recorder({"family": "tvi", "mode": "1920x1080@25", "after": "s"}))
    assert later.outcome is None, "a setting might give one"


def test_a_mode_that_the_camera_does_not_have() -> None:
    got = settled(camera([SEVERAL]), recorder(FULL_2MP), family="tvi", mode="2560x1440@25")
    assert (got.outcome, got.emitted.can) == (None, False)
    assert got.lacking_of("cameras/c1") == ("cameras/c1/set",)


def test_rates_of_525_line_systems_meet_their_nominal_ones() -> None:
    """30000/1001 is written 29.97 or 30: ITU-R BT.470."""
    cam = camera([{"family": "cvbs", "mode": "960x480@29.97"}])
    got = settled(cam, recorder({"family": "cvbs", "mode": "960x480@30"}), rate=30)
    assert (got.outcome, got.fps) == ("full", 29.97)


@pytest.mark.parametrize(
    ("fps", "nominal"),
    [
        (29.97, 30),
        (59.94, 60),
        (14.985, 15),
        (7.493, 7.5),
        (30, 30),
        (25, 25),
        (12.5, 12.5),
        (20, 20),
        (18, 18),
    ],
)
def test_nominal_rates(fps: float, nominal: float) -> None:
    assert nominal_rate(fps) == nominal


@pytest.mark.parametrize(
    ("fps", "family"),
    [(12.5, 25), (25, 25), (50, 25), (7.5, 30), (15, 30), (29.97, 30), (30, 30), (60, 30), (20, 0), (18, 0)],
)
def test_frame_families(fps: float, family: int) -> None:
    """25 and 12.5 in 50 Hz regions, 30 and 15 in 60 Hz regions: common practice."""
    assert frame_family(fps) == family
    assert suits(fps, 25) == (family in (0, 25))


# Best attainable


def test_best_is_by_outcome_then_pixels_then_rate() -> None:
    cam = camera([FIVE], starts_as={"family": "tvi", "mode": "2592x1944@20"})
    rec = recorder(FULL_2MP, {**FIVE, "width": "reduced"}, {"family": "tvi", "mode": "2560x1440@25"})
    got = settled(cam, rec)
    assert (got.best.outcome, str(got.best.signal.mode), got.best.pixels) == ("full", "2560x1440@25", 3686400)


def test_best_stays_in_the_countrys_frame_family_where_it_can() -> None:
    cam = camera([{"family": "tvi", "mode": ["2560x1440@30", "1920x1080@25"]}])
    rec = recorder(FULL_2MP, FULL_4MP)
    assert str(settled(cam, rec, mode="1920x1080@25").best.signal.mode) == "1920x1080@25"
    assert str(settled(cam, rec, mode="1920x1080@25", rate=30).best.signal.mode) == "2560x1440@30"
    other_only = camera([{"family": "tvi", "mode": "2560x1440@30"}])
    assert str(settled(other_only, rec).best.signal.mode) == "2560x1440@30"
    assert settled(other_only, rec).best.outcome == "full"


MODES = ["2592x1944@20", "2592x1944@12.5", "2560x1440@25", "1920x1080@25", "1280x720@25"]
rows = st.lists(
    st.builds(
        lambda family, mode, width, maker, after: {
            "family": family,
            "mode": mode,
            "width": width,
            "maker": maker,
            **({"after": after} if after else {}),
        },
        st.sampled_from(["tvi", "ahd"]),
        st.sampled_from(MODES),
        st.sampled_from(["full", "reduced"]),
        st.sampled_from(["any", "own", "fennick"]),
        st.sampled_from([None, "wide"]),
    ),
    min_size=1,
    max_size=6,
)


@settings(max_examples=150, deadline=None)
@given(
    rows,
    st.lists(st.sampled_from(MODES), min_size=1, max_size=4, unique=True),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["tarnwell/c", "fennick/c"]),
)
@example(
    accepts=[
        {**FIVE, "width": "reduced"},
        {"family": "tvi", "mode": "2592x1944@12.5", "width": "reduced", "after": "wide"},
    ],
    modes=["2592x1944@20", "2592x1944@12.5"],
    made=False,
    heeds=True,
    cam_id="tarnwell/c",
)
def test_properties(accepts: list[dict[str, str]], modes: list[str], made: bool, heeds: bool, cam_id: str) -> None:
    """One of five; never better than the best; a picture has pixels; making a setting never hurts."""
    cam = camera([{"family": ["tvi", "ahd"], "mode": modes}], heeds_asks=heeds)
    rec = recorder(*accepts, asks=[ASK_5MP])
    settings_made = ("wide",) if made else ()
    emitter, intake = Emitter.of(cam_id, cam), Intake.of("tarnwell/r", rec, rec.inputs[0], settings_made)
    for signal in emitter.signals:
        got = settled(cam, rec, cam_id=cam_id, family=signal.family, mode=str(signal.mode), made=settings_made)
        if got.outcome is None:
            wanted = [row for row in accepts if "2592x1944@12.5" in row["mode"] and row["family"] == "tvi"]
            assert not any(lets_in(row.get("maker", "any"), "tarnwell", "tarnwell") for row in wanted), "a stray ask"
            assert got.lacking == ("parts/tarnwell/r/inputs",)
            continue
        assert got.outcome in RANK
        assert RANK[got.outcome] <= max(RANK[got.best.outcome], 1)
        assert got.has_picture == (got.width > 0) == (got.fps > 0)
        assert got.because
        direct = acquire(emitter, intake, Signal(signal.family, signal.mode))
        assert direct is not None
        if got.outcome == "reduced-width":
            assert got.signal is not None
            assert (got.width, got.height) == (halved(got.signal.mode.width), got.signal.mode.height)
        if not made:
            after = settled(cam, rec, cam_id=cam_id, family=signal.family, mode=str(signal.mode), made=("wide",))
            assert RANK[str(after.outcome)] >= RANK[got.outcome]


@pytest.mark.parametrize("family", ["tvi", "ahd"])
def test_of_two_equal_ways_the_one_that_keeps_the_family(family: str) -> None:
    """Common practice: a camera that can be helped in its own family is not switched to another."""
    cam = camera([{"family": ["tvi", "ahd"], "mode": ["3840x2160@12.5", "2560x1440@25"]}])
    rec = recorder({"family": ["tvi", "ahd"], "mode": "2560x1440@25", "width": "reduced"})
    got = settled(cam, rec, family=family, mode="3840x2160@12.5")
    assert (got.outcome, got.best.signal.family) == ("needs-setting", family)
