"""Sound from a camera to its recorder: over the coax in the picture's gaps, or over a line of its own.

Pure: works on parts. What a family allows and what devices do with it are common practice; what a device
does is its part's own data. Boxes on the way, and whether there is a picture at all, are added by the
binding.
"""

from __future__ import annotations

from coaxwright.facts.chains import Check, Verdict, judge, stated
from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.facts.picture.pair import Pair, Switched, whose
from coaxwright.model.camera_parts import CameraPart, PickupPart


def sends_sound(camera: Switched) -> Check:
    """Whether the camera sends sound over the coax in its family."""
    families = camera.part.sound.over_coax if camera.part.sound else None
    return camera.does(families, "sound/over_coax", "sends no sound over the coax")


def coax_sound(pair: Pair, channel: int) -> Verdict:
    """Whether sound gets from this camera into this input over the coax, as far as the two devices go."""
    own, sound = pair.camera.part.sound, pair.recorder.sound
    path = f"parts/{pair.camera.part_id}/sound/microphone"
    families, channels = (sound.coax_families, sound.coax_channels) if sound else (None, None)
    listens = Check(
        None if channels is None else channel in channels,
        f"input {channel} takes no sound from the coax",
        (f"parts/{pair.recorder_id}/sound/coax_channels",),
        "input",
    )
    return judge(
        (
            stated(own.microphone if own else None, "the camera has no microphone", path, "camera"),
            sends_sound(pair.camera),
            pair.recorder_does(families, "sound/coax_families", "takes no sound from the coax"),
            listens,
            pair.lets_in(sound.coax_maker if sound else "any", "takes sound from the coax only from cameras of {}"),
        )
    )


def coax_talk_back(pair: Pair) -> Verdict:
    """Whether sound gets from this recorder to a loudspeaker in this camera, as far as the two devices go."""
    own, other = pair.camera.part.sound, pair.recorder.sound
    path = f"parts/{pair.camera.part_id}/sound/loudspeaker"
    plays, sends = (own.talk_back_coax if own else None), (other.talk_back_families if other else None)
    return judge(
        (
            stated(own.loudspeaker if own else None, "the camera has no loudspeaker", path, "camera"),
            pair.camera.does(plays, "sound/talk_back_coax", "plays no sound from the coax"),
            pair.recorder_does(sends, "sound/talk_back_families", "sends no sound down the coax"),
        )
    )


def line_sound(
    pair: Pair, pickup: tuple[str, PickupPart] | None, number: int, metres: float | None, way: str = "sound/over"
) -> Verdict:
    """Whether sound gets over its own line into line input `number`: source, input, and reach not exceeded.

    `pickup` is the microphone on the line, the camera's own line output otherwise; `metres` None where not
    known, `way` the document path that would state them.
    """
    own, other = pair.camera.part.sound, pair.recorder.sound
    inputs = other.line_inputs if other else None
    path = f"parts/{pair.recorder_id}/sound/line_inputs"
    none = f"the recorder has no line input {number}" + (f", only {inputs}" if inputs else "")
    has_input = Check(None if inputs is None else number <= inputs, none, (path,), "line-input")
    if pickup is not None:
        return judge((has_input, *_pickup_checks(*pickup, maker_of(pair.recorder_id, pair.recorder), metres, way)))
    silent = "no pickup is named and the camera has no line output"
    path = f"parts/{pair.camera.part_id}/sound/line_output"
    source = stated(own.line_output if own else None, silent, path, "line-output")
    return judge((has_input, source))


def _pickup_checks(
    pickup_id: str, pickup: PickupPart, recorder_maker: str, metres: float | None, way: str
) -> tuple[Check, ...]:
    wanted = pickup.works_with or "any"
    meets = lets_in("any" if wanted == "any" else wanted, recorder_maker, maker_of(pickup_id, pickup))
    too_long = f"the line of {metres or 0.0:g} m is longer than the {pickup.reach or 0.0:g} m stated for the pickup"
    lacking = (*((f"parts/{pickup_id}/reach",) if pickup.reach is None else ()), *((way,) if metres is None else ()))
    reaches = None if pickup.reach is None or metres is None else metres <= pickup.reach
    return (
        Check(meets, f"the pickup works only with recorders of {whose(wanted)}", (), "maker"),
        Check(reaches, too_long, lacking, "length"),
    )


def line_level(camera: CameraPart, pickup: PickupPart | None) -> bool | None:
    """Whether the line carries line level rather than microphone level; None where nobody says."""
    if pickup is not None:
        return pickup.output == "line" if "output" in pickup.model_fields_set else None
    return True if camera.sound and camera.sound.line_output else None
