"""What runs without mains beside the cameras, and UPS."""

from __future__ import annotations

from ..threes import at_least, at_most, every, judged, known, over


def lasting(device):
    """The device runs as long as is wanted."""

    def predicate(standby):
        return judged(at_least(standby["hours"], standby["wanted"]), standby["device"] == device)

    return predicate


def recorder_without_backup(standby):
    return judged(over(standby["hours"], 0), standby["device"] == "recorder")


def recorder_autonomy_short(standby):
    """Where it stops at once, that is said already."""
    at_once = known(standby["hours"]) and standby["hours"] == 0
    return judged(at_least(standby["hours"], standby["wanted"]), standby["device"] == "recorder" and not at_once)


def ups_overloaded(ups):
    return judged(at_most(ups["watts"], ups["watts_max"]), ups["loads"] > 0)


def ups_volt_amps_overloaded(ups):
    return judged(at_most(ups["volt_amps"], ups["volt_amps_max"]), ups["loads"] > 0)


def ups_headroom(ups):
    too_much = [over(ups["watts"], ups["watts_max"]), over(ups["volt_amps"], ups["volt_amps_max"])]
    return judged(at_least(ups["watts_headroom"], 1 - 0.8), every(ups["loads"] > 0, True not in too_much))


def ups_autonomy_short(ups):
    return judged(at_least(ups["hours"], ups["wanted"]), known(ups["wanted"]))


def ups_too_hot(ups):
    return judged(at_most(ups["ambient_max"], ups["temperature_max"]), known(ups["ambient_max"]))


RULES = {
    "power/recorder-without-backup": ("standby", recorder_without_backup),
    "power/recorder-autonomy-short": ("standby", recorder_autonomy_short),
    "power/switch-autonomy-short": ("standby", lasting("switch")),
    "power/box-autonomy-short": ("standby", lasting("box")),
    "power/monitor-autonomy-short": ("standby", lasting("monitor")),
    "power/supply-autonomy-short": ("standby", lasting("supply")),
    "power/ups-overloaded": ("ups", ups_overloaded),
    "power/ups-volt-amps-overloaded": ("ups", ups_volt_amps_overloaded),
    "power/ups-headroom": ("ups", ups_headroom),
    "power/ups-autonomy-short": ("ups", ups_autonomy_short),
    "place/ups-too-hot": ("ups", ups_too_hot),
}
