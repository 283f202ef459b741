"""Channels, control, sound and screens: what is joined to what, and what arrives."""

from __future__ import annotations

from ..threes import at_least, at_most, every, is_, judged, known, no, over, some, times
from .cables import pictured


def sent_into(camera):
    """The camera goes into an input that exists, and can send what is written for it."""
    if not camera["has_video"]:
        return False
    return every(camera["link"]["input"]["exists"], camera["link"]["emits_set_mode"])


# Channels


def camera_not_connected(camera):
    return judged(camera["has_video"] or camera["has_network"])


def input_given_up(place):
    return judged(place["serves"], place["exists"])


def input_shared(place):
    return judged(place["camera_count"] < 2, place["exists"])


def no_such_input(place):
    return judged(place["exists"])


def none_spare(recorder):
    return judged(at_least(recorder["channels_spare"], 1), recorder["channels_used"] > 0)


def recorder_without_cameras(recorder):
    return judged(len(recorder["links"]) + recorder["network_cameras"] > 0)


# Control


def over_coax(camera, what, wanted):
    """Meant to travel on the coax, and what stops it is not the picture."""
    if not wanted or not camera["has_video"]:
        return judged(None, False)
    when = every(sent_into(camera), no(is_(camera.get(f"{what}_cause"), "no-picture")))
    return judged(camera[f"{what}_works"], when)


def coax_control_broken(camera):
    return over_coax(camera, "control", camera["control_by"] == "coax")


def firmware_not_over_coax(camera):
    return over_coax(camera, "firmware", camera["wants_firmware"])


def network_control_broken(camera):
    return judged(camera["control_works"], camera["control_by"] == "network")


def serial_control_broken(camera):
    return judged(camera["control_works"], camera["control_by"] == "serial")


def sorted_motion_missing(camera):
    if not (camera["wants_sorted_motion"] and camera["has_video"]):
        return judged(None, False)
    return judged(camera["sorted_motion_works"], every(sent_into(camera), pictured(camera["link"])))


def control_wanted_without_path(camera):
    return judged(camera["control_by"] != "none", camera["wants_control"])


def bus_address_shared(bus):
    return judged(at_most(bus["addresses_shared"], 0))


def line_too_long(bus):
    return judged(at_most(bus["metres"], 1200))


def line_unterminated(bus):
    ends = every(bus["terminated_least"] <= 2, at_least(bus["terminated"], 1))
    return judged(ends, over(bus["metres"], 100))


def protocols_differ(bus):
    return judged(at_most(bus["protocols"], 1))


def speeds_differ(bus):
    return judged(at_most(bus["speeds"], 1))


def star_wiring(bus):
    return judged(bus["stars"] == 0, bus["devices"] > 1)


def unit_loads_exceeded(bus):
    return judged(at_most(bus["unit_loads"], 32))


# Sound


def coax_sound_broken(camera):
    return over_coax(camera, "sound", camera["sound_by"] == "coax")


def lacks_line_input(recorder):
    """A camera whose picture goes here names a line input that does not exist; what stops sound has to be known."""
    on_lines = [link["camera"] for link in recorder["links"] if link["camera"]["sound_by"] == "line"]
    return any(camera["sound_cause"] == "line-input" for camera in on_lines)


def line_input_shared(recorder):
    enough = at_most(recorder["line_inputs_used"], recorder["line_inputs"])
    when = every(recorder["line_inputs_used"] > 0, some(enough, lacks_line_input(recorder)))
    return judged(recorder["line_inputs_shared"] == 0, when)


def line_inputs_exceeded(recorder):
    when = recorder["line_inputs_used"] > 0 and not lacks_line_input(recorder)
    return judged(at_most(recorder["line_inputs_used"], recorder["line_inputs"]), when)


def line_sound_broken(camera):
    return judged(camera["sound_works"], camera["sound_by"] == "line")


def microphone_level_on_line(camera):
    return judged(camera["line_level"], every(camera["sound_by"] == "line", camera["sound_works"]))


def network_sound_broken(camera):
    return judged(camera["sound_works"], camera["sound_by"] == "network")


def talk_back_broken(camera):
    if camera["has_network"]:
        return judged(camera["talk_back_works"], camera["wants_talk_back"])
    return over_coax(camera, "talk_back", camera["wants_talk_back"])


def voices_recorded(site):
    return judged(site["sound_wanted"] == 0)


def sound_wanted_without_path(camera):
    return judged(camera["sound_by"] != "none", camera["wants_sound"])


# Screens


def connector_missing(monitor):
    return judged(monitor["connector_fits"], monitor["joined"])


def decoding_exceeded(recorder):
    return judged(at_most(recorder["decode_needed"], recorder["decode_total"]), recorder["playback"] > 0)


def output_above_screen(monitor):
    return judged(monitor["shows_all"], monitor["joined"])


def screen_output_shared(monitor):
    return judged(at_most(monitor["screens"], 1), monitor["joined"])


def screen_not_joined(monitor):
    return judged(monitor["joined"])


def viewer_too_far(monitor):
    return judged(at_most(monitor["distance"], times(monitor["distance_sharp"], 2)), known(monitor["distance"]))


def cable_too_long(monitor):
    fits = some(no(monitor["cable_passive"]), at_most(monitor["cable_length"], monitor["cable_most"]))
    return judged(fits, every(monitor["joined"], known(monitor["cable_length"])))


def terminated_twice(ending):
    return judged(ending["terminations"] <= 1)


def unterminated(ending):
    return judged(ending["terminations"] >= 1)


RULES = {
    "display/cable-too-long": ("monitor", cable_too_long),
    "signal/terminated-twice": ("ending", terminated_twice),
    "signal/unterminated": ("ending", unterminated),
    "channels/camera-not-connected": ("camera", camera_not_connected),
    "channels/input-given-up": ("input", input_given_up),
    "channels/input-shared": ("input", input_shared),
    "channels/no-such-input": ("input", no_such_input),
    "channels/none-spare": ("recorder", none_spare),
    "channels/recorder-without-cameras": ("recorder", recorder_without_cameras),
    "control/address-shared": ("serial_bus", bus_address_shared),
    "control/coax-control-broken": ("camera", coax_control_broken),
    "control/firmware-not-over-coax": ("camera", firmware_not_over_coax),
    "control/line-too-long": ("serial_bus", line_too_long),
    "control/line-unterminated": ("serial_bus", line_unterminated),
    "control/network-control-broken": ("camera", network_control_broken),
    "control/protocols-differ": ("serial_bus", protocols_differ),
    "control/serial-control-broken": ("camera", serial_control_broken),
    "control/sorted-motion-missing": ("camera", sorted_motion_missing),
    "control/speeds-differ": ("serial_bus", speeds_differ),
    "control/star-wiring": ("serial_bus", star_wiring),
    "control/unit-loads-exceeded": ("serial_bus", unit_loads_exceeded),
    "control/wanted-without-path": ("camera", control_wanted_without_path),
    "display/connector-missing": ("monitor", connector_missing),
    "display/decoding-exceeded": ("recorder", decoding_exceeded),
    "display/output-above-screen": ("monitor", output_above_screen),
    "display/output-shared": ("monitor", screen_output_shared),
    "display/screen-not-joined": ("monitor", screen_not_joined),
    "display/viewer-too-far": ("monitor", viewer_too_far),
    "sound/coax-sound-broken": ("camera", coax_sound_broken),
    "sound/line-input-shared": ("recorder", line_input_shared),
    "sound/line-inputs-exceeded": ("recorder", line_inputs_exceeded),
    "sound/line-sound-broken": ("camera", line_sound_broken),
    "sound/microphone-level-on-line": ("camera", microphone_level_on_line),
    "sound/network-sound-broken": ("camera", network_sound_broken),
    "sound/talk-back-broken": ("camera", talk_back_broken),
    "sound/voices-recorded": ("site", voices_recorded),
    "sound/wanted-without-path": ("camera", sound_wanted_without_path),
}
