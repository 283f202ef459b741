"""What travels besides the picture: sound, control, firmware, sorted motion. All of it is common practice."""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.facts.chains import Check, judge
from coaxwright.facts.picture.control import coax_control, coax_firmware, serial_control, sorted_motion
from coaxwright.facts.picture.pair import Pair, Switched
from coaxwright.facts.picture.sound import coax_sound, line_level, line_sound
from coaxwright.model.camera_parts import CameraPart, PickupPart
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import ControlPath

from .parts_for_pictures import camera, recorder

MODE = {"family": ["tvi", "ahd", "cvi"], "mode": "1920x1080@25"}
OWN, OTHER, REC = "tarnwell/c", "fennick/c", "tarnwell/r"


def cam(**more: Any) -> CameraPart:
    return camera([MODE], **more)


def rec(**more: Any) -> RecorderPart:
    return recorder(MODE, **more)


def pair(
    camera_id: str, one: CameraPart, family: str | None, recorder_id: str, other: RecorderPart, unsettled: tuple[str, ...] = ()
) -> Pair:
    return Pair(Switched(camera_id, one, family, unsettled), recorder_id, other)


HEARS = rec(sound={"coax_channels": "1-4", "coax_families": ["tvi", "cvi"]})
SPEAKS = cam(sound={"microphone": True, "over_coax": ["tvi", "ahd"]})


@pytest.mark.parametrize(
    ("camera_part", "family", "recorder_part", "channel", "broken"),
    [
        (SPEAKS, "tvi", HEARS, 4, ""),
        (cam(sound={"microphone": False, "over_coax": ["tvi"]}), "tvi", HEARS, 1, "the camera has no microphone"),
        (SPEAKS, "cvi", HEARS, 1, "the camera sends no sound over the coax in CVI"),
        (SPEAKS, "ahd", HEARS, 1, "the recorder takes no sound from the coax in AHD"),
        (SPEAKS, "tvi", HEARS, 5, "input 5 takes no sound from the coax"),
        (SPEAKS, "tvi", rec(sound={"coax_channels": "1-4", "coax_families": []}), 1,
         "the recorder takes no sound from the coax"),
        (
            SPEAKS, "tvi", rec(sound={"coax_channels": "1-4", "coax_families": ["tvi"], "coax_maker": "own"}), 1,
            "the recorder takes sound from the coax only from cameras of its own maker",
        ),
    ],
)  # fmt: skip
def test_sound_over_the_coax(
    camera_part: CameraPart, family: str, recorder_part: RecorderPart, channel: int, broken: str
) -> None:
    got = coax_sound(pair(OTHER, camera_part, family, REC, recorder_part), channel)
    assert (got.works, got.broken_by) == (not broken, broken)


def test_own_maker_may_pass_where_others_may_not() -> None:
    picky = rec(sound={"coax_channels": "1-4", "coax_families": ["tvi"], "coax_maker": "own"})
    assert coax_sound(pair(OWN, SPEAKS, "tvi", REC, picky), 1).works is True


def test_silence_of_a_datasheet_is_not_no() -> None:
    got = coax_sound(pair(OTHER, cam(), "tvi", REC, rec()), 1)
    assert got.works is None
    assert set(got.lacking) == {
        "parts/fennick/c/sound/microphone", "parts/fennick/c/sound/over_coax",
        "parts/tarnwell/r/sound/coax_families", "parts/tarnwell/r/sound/coax_channels",
    }  # fmt: skip
    no_microphone = coax_sound(pair(OTHER, cam(sound={"microphone": False}), "tvi", REC, rec()), 1)
    assert no_microphone.works is False, "one condition that fails decides, whatever else is unknown"
    unswitched = coax_sound(pair(OTHER, SPEAKS, None, REC, HEARS, ("{camera}/set/family",)), 1)
    assert (unswitched.works, unswitched.lacking) == (None, ("{camera}/set/family",))


PICKUP = PickupPart.model_validate({"kind": "pickup", "source": "invented", "reach": "50 m"})
LINES = rec(sound={"line_inputs": 2})


def test_sound_over_a_line() -> None:
    pickup = ("hollin/p", PICKUP)
    assert line_sound(pair(OTHER, cam(), None, REC, LINES), pickup, 2, 40.0).works is True
    beyond = line_sound(pair(OTHER, cam(), None, REC, LINES), pickup, 3, 40.0)
    assert (beyond.works, beyond.broken_by) == (False, "the recorder has no line input 3, only 2")
    far = line_sound(pair(OTHER, cam(), None, REC, LINES), pickup, 1, 60.0)
    assert far.broken_by == "the line of 60 m is longer than the 50 m stated for the pickup"
    unknown = line_sound(pair(OTHER, cam(), None, REC, LINES), pickup, 1, None, "cameras/a/sound/over")
    assert (unknown.works, unknown.lacking) == (None, ("cameras/a/sound/over",)), "no length: not known, never passed"
    boundless = ("hollin/p", PICKUP.model_copy(update={"reach": None}))
    unsaid = line_sound(pair(OTHER, cam(), None, REC, LINES), boundless, 1, 5.0)
    assert (unsaid.works, unsaid.lacking) == (None, ("parts/hollin/p/reach",)), "no reach stated: not known, never passed"
    assert line_sound(pair(OTHER, cam(), None, REC, rec()), pickup, 1, 1.0).lacking == ("parts/tarnwell/r/sound/line_inputs",)
    none = line_sound(pair(OTHER, cam(), None, REC, rec(sound={"line_inputs": 0})), pickup, 1, 1.0)
    assert none.broken_by == "the recorder has no line input 1"


def test_a_line_needs_something_that_speaks() -> None:
    assert line_sound(pair(OTHER, cam(sound={"line_output": True}), None, REC, LINES), None, 1, 5.0).works is True
    silent = pair(OTHER, cam(sound={"line_output": False}), None, REC, LINES)
    assert "no line output" in line_sound(silent, None, 1, 5.0).broken_by
    assert line_sound(pair(OTHER, cam(), None, REC, LINES), None, 1, 5.0).works is None
    assert line_level(cam(sound={"line_output": True}), None) is True
    assert line_level(cam(), None) is None
    assert (
        line_level(cam(), PickupPart.model_validate({"kind": "pickup", "source": "invented", "output": "microphone"}))
        is False
    )


def test_a_pickup_for_one_makers_recorders() -> None:
    choosy = PickupPart.model_validate({"kind": "pickup", "source": "invented", "reach": "50 m", "works_with": "tarnwell"})
    assert line_sound(pair(OTHER, cam(), None, REC, LINES), ("hollin/p", choosy), 1, 5.0).works is True
    other = line_sound(pair(OTHER, cam(), None, "brackwater/r", LINES), ("hollin/p", choosy), 1, 5.0)
    assert other.broken_by == "the pickup works only with recorders of tarnwell"


GIVES = rec(
    control={"coax_families": ["tvi", "ahd"], "coax_maker": "any"},
    firmware_over_coax={"families": ["tvi"]},
    sorted_motion="1-4",
)
OBEYS = cam(control={"over_coax": ["tvi"]}, firmware_over_coax=["tvi"])


def test_control_over_the_coax_is_particular_to_the_family() -> None:
    assert coax_control(pair(OTHER, OBEYS, "tvi", REC, GIVES)).works is True
    assert coax_control(pair(OTHER, OBEYS, "ahd", REC, GIVES)).broken_by == "the camera takes no control over the coax in AHD"
    mute = rec(control={"coax_families": []})
    assert coax_control(pair(OTHER, OBEYS, "tvi", REC, mute)).broken_by == "the recorder gives no control over the coax"
    own = rec(control={"coax_families": ["tvi"], "coax_maker": "own"})
    assert coax_control(pair(OTHER, OBEYS, "tvi", REC, own)).works is False
    assert coax_control(pair(OWN, OBEYS, "tvi", REC, own)).works is True
    assert coax_control(pair(OTHER, cam(), "tvi", REC, GIVES)).works is None


def test_firmware_needs_the_own_maker_and_the_one_family() -> None:
    assert coax_firmware(pair(OWN, OBEYS, "tvi", REC, GIVES)).works is True
    other = coax_firmware(pair(OTHER, OBEYS, "tvi", REC, GIVES))
    assert other.broken_by == "the recorder updates only cameras of its own maker over the coax"
    assert coax_firmware(pair(OWN, cam(firmware_over_coax=["tvi", "ahd"]), "ahd", REC, GIVES)).works is False
    assert coax_firmware(pair(OWN, OBEYS, "tvi", REC, rec())).lacking == ("parts/tarnwell/r/firmware_over_coax",)
    assert coax_firmware(pair(OWN, cam(firmware_over_coax=[]), "tvi", REC, GIVES)).works is False


def test_sorted_motion_runs_in_the_recorder_on_some_channels() -> None:
    assert sorted_motion(REC, GIVES, 4).works is True
    assert sorted_motion(REC, GIVES, 5).broken_by == "the recorder does not sort motion on input 5"
    assert sorted_motion(REC, rec(), 1).works is None


def serial(protocols: list[str] | None = None, speeds: list[str] | None = None) -> dict[str, Any]:
    port = {"protocols": protocols, "speeds": speeds}
    return {"serial": {name: value for name, value in port.items() if value is not None}}


def test_serial_line_needs_protocol_speed_and_address() -> None:
    one = cam(control=serial(["pelican-a", "heron"], ["2400 baud", "9600 baud"]))
    other = rec(control=serial(["heron"], ["9600 baud"]))
    drawn = ControlPath.model_validate({"into": "rec1/rs485", "address": 3})
    assert serial_control(pair(OTHER, one, None, REC, other), drawn).works is True
    no_address = ControlPath.model_validate({"into": "rec1/rs485"})
    assert serial_control(pair(OTHER, one, None, REC, other), no_address).lacking == ("{camera}/control/address",)
    wrong = ControlPath.model_validate({"into": "rec1/rs485", "address": 3, "protocol": "pelican-a"})
    assert "`pelican-a` is not among the protocols" in serial_control(pair(OTHER, one, None, REC, other), wrong).broken_by
    stranger = rec(control=serial(["egret"], ["9600 baud"]))
    assert (
        serial_control(pair(OTHER, one, None, REC, stranger), drawn).broken_by
        == "camera and recorder have no serial protocols in common"
    )
    silent = serial_control(pair(OTHER, one, None, REC, rec(control=serial())), drawn)
    assert set(silent.lacking) == {
        "parts/tarnwell/r/control/serial/protocols",
        "parts/tarnwell/r/control/serial/speeds",
    }
    assert serial_control(pair(OTHER, cam(), None, REC, other), drawn).works is None


@pytest.mark.parametrize(
    ("values", "works"),
    [([True, True], True), ([True, None], None), ([None, False], False), ([False, None], False), ([], True)],
)
def test_a_chain_is_as_sure_as_its_links(values: list[bool | None], works: bool | None) -> None:
    got = judge([Check(value, "broken", ("x",)) for value in values])
    assert got.works is works
    assert (got.lacking == ("x",)) == (works is None)
    assert (got.broken_by == "broken") == (works is False)
