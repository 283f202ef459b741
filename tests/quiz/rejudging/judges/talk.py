"""Questions of sound and control."""

from __future__ import annotations

import re
from typing import Any

from ..faults import channels, signals, talk
from ..judging import Change, Verdict
from ..plan import Plan, stretched, with_length
from .ways import (
    FOOT,
    about,
    column,
    switched,
)


def _over_coax_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^No (?:sound from|control of) (\S+) (?:arrives )?over")
    if text == "take the box out of its coax again":
        return plan.put("Cameras", name, "coax", re.sub(r", then box \S+", "", plan.need("Cameras", name, "coax")))
    if match := re.fullmatch(r"take the model (\S+) for it", text):
        return plan.put("Cameras", name, "model", match[1])
    return switched(plan, name, text)


def _to_tvi(plan: Plan) -> Plan:
    """Taken as if the camera sent the family in which it leaves the box."""
    return plan.each("Cameras", "switched to", lambda text: f"tvi {text.split()[1]}")


ANALOGUE = {**signals.SIGNAL, **channels.CHANNELS}


def _firmware_for_any(plan: Plan) -> Plan:
    return plan.each("Recorder models", "firmware for cameras of maker", lambda _: "any")


def _in_common(plan: Plan, name: str, what: str) -> bool:
    at_camera = plan.needed_of_model(name, what).split(", ")
    return bool(set(at_camera) & set(plan.needed_of_box(what).split(", ")))


def _serial(plan: Plan) -> bool:
    """A line, an address, and one protocol and one speed that both ends have."""
    name = about(plan, r"this: (\S+) can be")
    plan.need("Cameras", name, "control into")
    plan.need("Cameras", name, "control address")
    return _in_common(plan, name, "serial protocols") and _in_common(plan, name, "serial speeds")


def _speeds_alone(plan: Plan) -> Plan:
    """Protocols taken to be in common since the speeds are."""
    return plan.each("Camera models", "serial protocols", lambda _: plan.needed_of_box("serial protocols"))


def _line_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^No sound from (\S+) arrives over")
    if match := re.fullmatch(r"take the line into line input ([0-9]+)", text):
        return plan.put("Cameras", name, "sound into", f"{plan.recorder}/audio{match[1]}")
    if match := re.fullmatch(r"lay the line another way, ([0-9]+) m", text):
        way = with_length(float(match[1]))(plan.need("Cameras", name, "sound line"))
        return plan.put("Cameras", name, "sound line", way)
    if match := re.fullmatch(r"take the microphone (\S+)", text):
        return plan.put("Cameras", name, "microphone", match[1])
    raise ValueError(text)


def _first_input(plan: Plan) -> Plan:
    """Some input sorts motion, so this one is taken to."""
    name = about(plan, r"input of (\S+?)\.")
    return plan.put("Cameras", name, "recorder input", f"{plan.recorder}/1")


OVER_COAX: dict[str, Any] = {
    "control/motion-sorted": Verdict(
        lambda plan: talk.sorts(plan, about(plan, r"input of (\S+?)\.")), {"channels-counted-not-read": _first_input}
    ),
    "control/firmware-travels": Verdict(
        lambda plan: talk.coax_firmware(plan, about(plan, r"firmware of (\S+) can")),
        {"maker-forgotten": _firmware_for_any},
    ),
    "control/serial-works": Verdict(_serial, {"speed-for-protocol": _speeds_alone}),
    "sound/line-reaches": Verdict(
        lambda plan: talk.line_sound(plan, about(plan, r"sound at (\S+) arrives")),
        {"feet-for-metres": column("Cameras", "sound line", stretched(FOOT))},
    ),
    "sound/clears-line": Change("sound/line-sound-broken", {**ANALOGUE, **talk.SOUND}, _line_change, lambda plan: 0.0),
    "sound/sound-arrives": Verdict(
        lambda plan: talk.coax_sound(plan, about(plan, r"sound of (\S+) arrives")), {"sent-for-settled": _to_tvi}
    ),
    "control/control-works": Verdict(
        lambda plan: talk.coax_control(plan, about(plan, r"this: (\S+) can be")), {"sent-for-settled": _to_tvi}
    ),
    "sound/clears-sound": Change(
        "sound/coax-sound-broken", {**ANALOGUE, **talk.SOUND}, _over_coax_change, lambda plan: 0.0
    ),
    "control/clears-control": Change(
        "control/coax-control-broken", {**ANALOGUE, **talk.CONTROL}, _over_coax_change, lambda plan: 0.0
    ),
}
