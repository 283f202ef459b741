"""How a question names what it is about, and the misreadings of a plan that many wrong methods share."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from ..plan import Plan, port, relaid, stretched, times

FOOT = 0.3048  # international foot, exact


def about(plan: Plan, pattern: str) -> str:
    """The name that the question is about."""
    match = re.search(pattern, plan.stem)
    if match is None:
        raise ValueError(f"`{plan.stem}` does not read as {pattern}")
    return match[1]


def told(pattern: str) -> Callable[[Plan], str]:
    return lambda plan: about(plan, pattern)


Edit = Callable[[Plan], Plan]


def ways(factor: float) -> Edit:
    """Every length by a factor: power, trunks and coax alike."""

    def edit(plan: Plan) -> Plan:
        for title, label in (("Cameras", "power run"), ("Junctions", "trunk"), ("Cameras", "coax")):
            plan = plan.each(title, label, stretched(factor))
        return plan

    return edit


def column(title: str, label: str, change: Callable[[str], str]) -> Edit:
    return lambda plan: plan.each(title, label, change)


def by_day(plan: Plan) -> Plan:
    for model in plan.names("Camera models"):
        plan = plan.put("Camera models", model, "draws by night", plan.need("Camera models", model, "draws by day"))
    return plan


constant_current = column("Camera models", "load", lambda _: "constant-current")
watts_for_amps = column("Camera models", "draws by night", times(1 / 12))
FEET, HALF, DOUBLE, NOWHERE = ways(FOOT), ways(0.5), ways(2.0), ways(0.0)


def members(plan: Plan) -> list[str]:
    return about(plan, r"Order these: (.+)\.$").split(", ")


def ordered(plan: Plan, value: Callable[[Plan, str], Any]) -> str:
    names = members(plan)
    values = {name: value(plan, name) for name in names}
    if len(set(values.values())) < len(values):
        raise AssertionError(f"no order: {values}")
    return ", ".join(sorted(names, key=lambda name: values[name], reverse=True))


def input_number(plan: Plan, name: str) -> int:
    return int(port(plan.need("Cameras", name, "recorder input"))[1])


def as_acquired(plan: Plan) -> Plan:
    """No encoding row slower than what arrives."""
    return plan.each(
        "Recorder models", "records a channel up to", lambda text: re.sub(r": [0-9.]+ fps", ": 60 fps", text)
    )


def switched(plan: Plan, name: str, text: str) -> Plan:
    """What several changes have in common: another mode, family, input or cable of a camera."""
    family, mode = plan.need("Cameras", name, "switched to").split()
    if match := re.fullmatch(r"switch this camera to the family (\S+)", text):
        return plan.put("Cameras", name, "switched to", f"{match[1]} {mode}")
    if match := re.fullmatch(r"switch this camera to (\S+@\S+)", text):
        return plan.put("Cameras", name, "switched to", f"{family} {match[1]}")
    if match := re.fullmatch(r"move this camera to recorder input ([0-9]+)", text):
        return plan.put("Cameras", name, "recorder input", f"{plan.recorder}/{match[1]}")
    if match := re.fullmatch(r"set its frame rate to ([0-9.]+ fps)", text):
        return plan.put("Cameras", name, "recorded rate set", match[1])
    if text == "lay coax of 10 mm to this camera":
        return plan.put("Cameras", name, "coax", relaid("video-10mm")(plan.need("Cameras", name, "coax")))
    raise ValueError(text)
