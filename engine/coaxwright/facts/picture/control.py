"""Control of a camera from its recorder, firmware over the coax, and motion sorted by the recorder.

Pure: works on parts. Control and firmware ride in the gaps of the picture and are particular to family and
maker (common practice); a serial line needs a port at both ends and one protocol and speed in common. Boxes
on the way, and whether there is a picture at all, are added by the binding.
"""

from __future__ import annotations

from coaxwright.facts.chains import Check, Verdict, in_family, judge
from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.facts.picture.sound import whose
from coaxwright.model.camera_parts import CameraControl, CameraPart, SerialPort
from coaxwright.model.recorder_parts import CoaxFirmware, RecorderControl, RecorderPart
from coaxwright.model.site import ControlPath


def takes_control(camera_id: str, camera: CameraPart, family: str | None, unsettled: tuple[str, ...] = ()) -> Check:
    """Whether the camera takes control over the coax in that family."""
    families = camera.control.over_coax if camera.control else None
    what = "the camera takes no control over the coax"
    return in_family(families, family, what, f"parts/{camera_id}/control/over_coax", unsettled, "camera")


def takes_firmware(camera_id: str, camera: CameraPart, family: str | None, unsettled: tuple[str, ...] = ()) -> Check:
    """Whether the camera takes firmware over the coax in that family."""
    what = "the camera takes no firmware over the coax"
    path = f"parts/{camera_id}/firmware_over_coax"
    return in_family(camera.firmware_over_coax, family, what, path, unsettled, "camera")


def coax_control(
    camera_id: str,
    camera: CameraPart,
    family: str | None,
    recorder_id: str,
    recorder: RecorderPart,
    unsettled: tuple[str, ...] = (),
) -> Verdict:
    """Whether this recorder controls this camera over the coax, as far as the two devices go."""
    own = recorder.control or RecorderControl()
    what = "the recorder gives no control over the coax"
    path = f"parts/{recorder_id}/control/coax_families"
    admitted = lets_in(own.coax_maker, maker_of(camera_id, camera), maker_of(recorder_id, recorder))
    return judge(
        (
            takes_control(camera_id, camera, family, unsettled),
            in_family(own.coax_families, family, what, path, unsettled, "recorder"),
            Check(admitted, f"the recorder controls only cameras of {whose(own.coax_maker)} over the coax", (), "maker"),
        )
    )


def coax_firmware(
    camera_id: str,
    camera: CameraPart,
    family: str | None,
    recorder_id: str,
    recorder: RecorderPart,
    unsettled: tuple[str, ...] = (),
) -> Verdict:
    """Whether this recorder updates this camera over the coax, as far as the two devices go."""
    own = recorder.firmware_over_coax
    path = f"parts/{recorder_id}/firmware_over_coax"
    what = "the recorder gives no firmware over the coax"
    maker = (own or CoaxFirmware(families=())).maker
    admitted = own is None or lets_in(maker, maker_of(camera_id, camera), maker_of(recorder_id, recorder))
    return judge(
        (
            takes_firmware(camera_id, camera, family, unsettled),
            in_family(own.families if own else None, family, what, path, unsettled, "recorder"),
            Check(admitted, f"the recorder updates only cameras of {whose(maker)} over the coax", (), "maker"),
        )
    )


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


def serial_control(
    camera_id: str, camera: CameraPart, recorder_id: str, recorder: RecorderPart, written: ControlPath
) -> Verdict:
    """Whether the two meet on a serial line: ports at both ends, a protocol and a speed in common."""
    one = camera.control.serial if camera.control else None
    other = recorder.control.serial if recorder.control else None
    paths = (f"parts/{camera_id}/control/serial", f"parts/{recorder_id}/control/serial")
    return judge(
        (
            _has_serial(camera.control, paths[0]),
            _has_serial(recorder.control, paths[1]),
            _in_common(one, other, "protocols", written.protocol, paths),
            _in_common(one, other, "speeds", written.speed, paths),
            Check(None if written.address is None else True, "", ("{camera}/control/address",)),
        )
    )


def _has_serial(control: CameraControl | RecorderControl | None, path: str) -> Check:
    """A port that is stated; a part that says nothing of one is open."""
    return Check(True if control and control.serial else None, "", (path,))


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
