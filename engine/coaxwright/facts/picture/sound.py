"""Sound from a camera to its recorder: over the coax in the picture's gaps, or over a line of its own.

Pure: works on parts. What a family allows and what devices do with it are common practice; what a device
does is its part's own data. Boxes on the way, and whether there is a picture at all, are added by the
binding.
"""

from __future__ import annotations

from coaxwright.facts.chains import Check, Verdict, in_family, judge, stated
from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.model.camera_parts import CameraPart, PickupPart
from coaxwright.model.recorder_parts import RecorderPart


def sends_sound(camera_id: str, camera: CameraPart, family: str | None, unsettled: tuple[str, ...] = ()) -> Check:
    """Whether the camera sends sound over the coax in that family."""
    families = camera.sound.over_coax if camera.sound else None
    what = "the camera sends no sound over the coax"
    return in_family(families, family, what, f"parts/{camera_id}/sound/over_coax", unsettled, "camera")


def coax_sound(
    camera_id: str,
    camera: CameraPart,
    family: str | None,
    recorder_id: str,
    recorder: RecorderPart,
    channel: int,
    unsettled: tuple[str, ...] = (),
) -> Verdict:
    """Whether sound gets from this camera into this input over the coax, as far as the two devices go."""
    microphone = camera.sound.microphone if camera.sound else None
    path = f"parts/{camera_id}/sound"
    return judge(
        (
            stated(microphone, "the camera has no microphone", f"{path}/microphone", "camera"),
            sends_sound(camera_id, camera, family, unsettled),
            *_takes_sound(camera_id, camera, family, recorder_id, recorder, channel, unsettled),
        )
    )


def _takes_sound(
    camera_id: str,
    camera: CameraPart,
    family: str | None,
    recorder_id: str,
    recorder: RecorderPart,
    channel: int,
    unsettled: tuple[str, ...],
) -> tuple[Check, ...]:
    """The recorder's three conditions: family, channel, maker."""
    sound = recorder.sound
    maker = sound.coax_maker if sound else "any"
    path = f"parts/{recorder_id}/sound"
    what = "the recorder takes no sound from the coax"
    admitted = lets_in(maker, maker_of(camera_id, camera), maker_of(recorder_id, recorder))
    channels = sound.coax_channels if sound else None
    return (
        in_family(sound.coax_families if sound else None, family, what, f"{path}/coax_families", unsettled, "recorder"),
        Check(
            None if channels is None else channel in channels,
            f"input {channel} takes no sound from the coax",
            (f"{path}/coax_channels",),
            "input",
        ),
        Check(admitted, f"the recorder takes sound from the coax only from cameras of {whose(maker)}", (), "maker"),
    )


def coax_talk_back(
    camera_id: str,
    camera: CameraPart,
    family: str | None,
    recorder_id: str,
    recorder: RecorderPart,
    unsettled: tuple[str, ...] = (),
) -> Verdict:
    """Whether sound gets from this recorder to a loudspeaker in this camera, as far as the two devices go."""
    own, other = camera.sound, recorder.sound
    paths = (
        f"parts/{camera_id}/sound/loudspeaker",
        f"parts/{camera_id}/sound/talk_back_coax",
        f"parts/{recorder_id}/sound/talk_back_families",
    )
    plays, sends = "the camera plays no sound from the coax", "the recorder sends no sound down the coax"
    return judge(
        (
            stated(own.loudspeaker if own else None, "the camera has no loudspeaker", paths[0], "camera"),
            in_family(own.talk_back_coax if own else None, family, plays, paths[1], unsettled, "camera"),
            in_family(other.talk_back_families if other else None, family, sends, paths[2], unsettled, "recorder"),
        )
    )


def whose(maker: str) -> str:
    """A maker's restriction in words."""
    return "its own maker" if maker == "own" else maker


def line_sound(
    camera_id: str,
    camera: CameraPart,
    pickup: tuple[str, PickupPart] | None,
    recorder_id: str,
    recorder: RecorderPart,
    number: int,
    metres: float | None,
    way: str = "sound/over",
) -> Verdict:
    """Whether sound gets over its own line into line input `number`: source, input, and reach not exceeded.

    `pickup` is the microphone on the line, the camera's own line output otherwise; `metres` None where not
    known, `way` the document path that would state them.
    """
    inputs = recorder.sound.line_inputs if recorder.sound else None
    path = f"parts/{recorder_id}/sound/line_inputs"
    none = f"the recorder has no line input {number}" + (f", only {inputs}" if inputs else "")
    has_input = Check(None if inputs is None else number <= inputs, none, (path,), "line-input")
    if pickup is not None:
        return judge((has_input, *_pickup_checks(*pickup, maker_of(recorder_id, recorder), metres, way)))
    own = camera.sound.line_output if camera.sound else None
    silent = "no pickup is named and the camera has no line output"
    source = stated(own, silent, f"parts/{camera_id}/sound/line_output", "line-output")
    return judge((has_input, source))


def _pickup_checks(
    pickup_id: str, pickup: PickupPart, recorder_maker: str, metres: float | None, way: str
) -> tuple[Check, ...]:
    wanted = pickup.works_with or "any"
    meets = lets_in("any" if wanted == "any" else wanted, recorder_maker, maker_of(pickup_id, pickup))
    checks = [Check(meets, f"the pickup works only with recorders of {whose(wanted)}", (), "maker")]
    if pickup.reach is not None and metres is None:
        checks.append(Check(None, lacking=(way,)))
    elif pickup.reach is not None and metres is not None:
        too_long = f"the line of {metres:g} m is longer than the {pickup.reach:g} m stated for the pickup"
        checks.append(Check(metres <= pickup.reach, too_long, (), "length"))
    return tuple(checks)


def line_level(camera: CameraPart, pickup: PickupPart | None) -> bool | None:
    """Whether the line carries line level rather than microphone level; None where nobody says."""
    if pickup is not None:
        return pickup.output == "line" if "output" in pickup.model_fields_set else None
    return True if camera.sound and camera.sound.line_output else None
