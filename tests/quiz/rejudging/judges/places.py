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
    name = about(plan, r"IP code of (\S+) covers")
    return places.keeps_out(plan.needed_of_model(name, "IP code"), about(plan, r"usual (IP[0-9]{2}) for"))


def _first_digit(plan: Plan) -> Plan:
    """The first digit read for the second as well."""
    return plan.each("Camera models", "IP code", lambda text: f"IP{text[2]}{text[2]}")


def _named(plan: Plan) -> str:
    return about(plan, r"^(\S+) is rated for indoors")


def _place_change(plan: Plan, text: str) -> Plan:
    if match := re.fullmatch(r"take the model (\S+) for it", text):
        return plan.put("Cameras", _named(plan), "model", match[1])
    raise ValueError(text)


def _shelter(plan: Plan) -> float:
    """0 in the open, 1 under a roof, 2 in a room."""
    return float(("outdoor", "sheltered", "indoor").index(plan.need("Cameras", _named(plan), "stands")))


PLACES: dict[str, Any] = {
    "place/fit-for-weather": Verdict(_weatherproof, {"first-digit-for-second": _first_digit}),
    "place/warm-enough": Verdict(lambda plan: not places.colder(plan, about(plan, r"this: (\S+) may"))),
    "place/clears-weather": Change("place/indoor-camera-outdoors", places.PLACE, _place_change, _shelter),
}
