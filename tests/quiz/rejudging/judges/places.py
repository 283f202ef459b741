"""Questions of what stands where."""

from __future__ import annotations

import re
from typing import Any

from ..faults import places
from ..judging import Change, Verdict
from ..plan import Plan
from .ways import (
    about,
)


def _weatherproof(plan: Plan) -> bool:
    name = about(plan, r"IP code of (\S+) is")
    return places.keeps_out(plan.needed_of_model(name, "IP code"), about(plan, r"usual (IP[0-9]{2}) for"))


def _first_digit(plan: Plan) -> Plan:
    """The first digit read for the second as well."""
    return plan.each("Camera models", "IP code", lambda text: f"IP{text[2]}{text[2]}")


def _place_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) stands")
    if match := re.fullmatch(r"take the model (\S+)", text):
        return plan.put("Cameras", name, "model", match[1])
    if text == "move it under the eaves (sheltered)":
        return plan.put("Cameras", name, "stands", "sheltered")
    if text == "put it out of the reach of people":
        return plan.put("Cameras", name, "people reach it", "out-of-reach")
    if text == "keep the air around it above 10 °C":
        return plan.put("Cameras", name, "coldest air there", "10 °C")
    raise ValueError(text)


def _shelter(plan: Plan) -> float:
    """0 in the open, 1 under a roof, 2 in a room."""
    return float(
        ("outdoor", "sheltered", "indoor").index(plan.need("Cameras", about(plan, r"^(\S+) stands"), "stands"))
    )


PLACES: dict[str, Any] = {
    "place/fit-for-weather": Verdict(_weatherproof, {"first-digit-for-second": _first_digit}),
    "place/warm-enough": Verdict(lambda plan: not places.colder(plan, about(plan, r"this: (\S+) may"))),
    "place/clears-weather": Change("place/indoor-camera-outdoors", places.PLACE, _place_change, _shelter),
}
