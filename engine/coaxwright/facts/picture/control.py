"""Control of a camera from its recorder, firmware over the coax, and motion sorted by the recorder.

Pure: works on parts. Control and firmware ride in the gaps of the picture and are particular to family and
maker (common practice); a serial line needs a port at both ends and one protocol and speed in common. Boxes
on the way, and whether there is a picture at all, are added by the binding.
"""

from __future__ import annotations

from coaxwright.facts.chains import Check, Verdict, judge
from coaxwright.facts.picture.pair import Pair, Switched
from coaxwright.model.camera_parts import SerialPort
from coaxwright.model.recorder_parts import RecorderControl, RecorderPart
from coaxwright.model.site import ControlPath


def takes_control(camera: Switched) -> Check:
    """Whether the camera takes control over the coax in its family."""
    families = camera.part.control.over_coax if camera.part.control else None
    return camera.does(families, "control/over_coax", "takes no control over the coax")


def takes_firmware(camera: Switched) -> Check:
    """Whether the camera takes firmware over the coax in its family."""
    return camera.does(camera.part.firmware_over_coax, "firmware_over_coax", "takes no firmware over the coax")


def coax_control(pair: Pair) -> Verdict:
    """Whether this recorder controls this camera over the coax, as far as the two devices go."""
    own = pair.recorder.control or RecorderControl()
    return judge(
        (
            takes_control(pair.camera),
            pair.recorder_does(own.coax_families, "control/coax_families", "gives no control over the coax"),
            pair.lets_in(own.coax_maker, "controls only cameras of {} over the coax"),
        )
    )


def coax_firmware(pair: Pair) -> Verdict:
    """Whether this recorder updates this camera over the coax, as far as the two devices go."""
    own = pair.recorder.firmware_over_coax
    checks = [
        takes_firmware(pair.camera),
        pair.recorder_does(own.families if own else None, "firmware_over_coax", "gives no firmware over the coax"),
    ]
    if own is not None:
        checks.append(pair.lets_in(own.maker, "updates only cameras of {} over the coax"))
    return judge(checks)


def sorted_motion(recorder_id: str, recorder: RecorderPart, channel: int) -> Verdict:
    """Whether the recorder sorts motion on that channel: it does so itself, whoever made the camera."""
    channels = recorder.sorted_motion
    return judge(
        (
            Check(
                None if channels is None else channel in channels,
                f"the recorder does not sort motion on input {channel}",
                (f"parts/{recorder_id}/sorted_motion",),
                "input",
            ),
        )
    )


def serial_control(pair: Pair, written: ControlPath) -> Verdict:
    """Whether the two meet on a serial line: ports at both ends, a protocol and a speed in common."""
    controls = pair.camera.part.control, pair.recorder.control
    one, other = (control.serial if control else None for control in controls)
    paths = (f"parts/{pair.camera.part_id}/control/serial", f"parts/{pair.recorder_id}/control/serial")
    return judge(
        (
            _has_serial(one, paths[0]),
            _has_serial(other, paths[1]),
            _in_common(one, other, "protocols", written.protocol, paths),
            _in_common(one, other, "speeds", written.speed, paths),
            Check(None if written.address is None else True, "", ("{camera}/control/address",)),
        )
    )


def _has_serial(port: SerialPort | None, path: str) -> Check:
    """A port that is stated; a part that says nothing of one is open."""
    return Check(True if port else None, "", (path,))


def _in_common(
    one: SerialPort | None, other: SerialPort | None, what: str, written: object, paths: tuple[str, str]
) -> Check:
    """A protocol or speed that both ends have; the one written where one is."""
    here = getattr(one, what) if one else None
    there = getattr(other, what) if other else None
    lacking = tuple(f"{path}/{what}" for path, known in zip(paths, (here, there), strict=True) if known is None)
    known = [set(each) for each in (here, there) if each is not None]
    if written is not None and any(written not in each for each in known):
        return Check(False, f"`{written}` is not among the {what} of both camera and recorder", (), "serial")
    if lacking:
        return Check(None, "", lacking)
    return Check(bool(set.intersection(*known)), f"camera and recorder have no serial {what} in common", (), "serial")
