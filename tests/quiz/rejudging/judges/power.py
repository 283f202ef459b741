"""Questions of power."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from .. import power
from ..faults import power as power_faults
from ..judging import Change, Judge, Least, Result, Verdict, misread, scaled
from ..plan import Plan, number, pieces, port, relaid, with_length
from .ways import (
    DOUBLE,
    FEET,
    FOOT,
    HALF,
    NOWHERE,
    Edit,
    about,
    by_day,
    constant_current,
    ordered,
    told,
    watts_for_amps,
)

POWER_EDITS: dict[str, Edit] = {
    "one-way-length": HALF, "loop-doubled-twice": DOUBLE, "day-for-night": by_day, "nominal-at-the-end": NOWHERE,
    "feet-for-metres": FEET, "milliamps-as-watts": watts_for_amps, "current-not-falling-back": constant_current,
}  # fmt: skip


def _volts(name: Callable[[Plan], str]) -> Judge:
    def answer(plan: Plan) -> Result:
        return power.volts_at(plan, name(plan))

    thin = misread(answer, lambda plan: _relaid(plan, name(plan), "power-0.5mm2"))
    return Judge(answer, {"thinner-conductor": thin, **{slip: misread(answer, edit) for slip, edit in POWER_EDITS.items()}})


def _relaid(plan: Plan, name: str, cable: str) -> Plan:
    return plan.put("Cameras", name, "power run", relaid(cable)(plan.need("Cameras", name, "power run")))


def _supply_amps(plan: Plan) -> Result:
    return power.solved(plan).supplies[about(plan, r"amperes does (\S+) give")]


def _watts(plan: Plan) -> Result:
    return sum(number(plan.needed_of_model(name, "draws by night")) for name in power_faults.fed(plan))


def _first_alone(plan: Plan) -> Result:
    """What the first output gives, as if nothing else hung on the supply."""
    outputs = power.solved(plan).outputs
    return outputs[min(outputs, key=lambda text: int(port(text)[1]))]


def _longest_power(plan: Plan) -> Result:
    return float(power.longest_way(plan, about(plan, r"run to (\S+) may")))


def _conductor(plan: Plan, cable: str) -> bool:
    name = about(plan, r"keeps (\S+) working")
    return power.enough(_relaid(plan, name, cable), name)


def _carries(plan: Plan, supply: str) -> bool:
    name = about(plan, r"hangs on (\S+) after")
    return power.solved(plan).supplies[name] <= number(plan.need("Supply models", supply, "all outputs together"))


def _by_loss(plan: Plan) -> Result:
    return ordered(plan, power.lost_on_the_way)


def _metres(plan: Plan, name: str) -> float:
    return sum(piece.metres or 0.0 for piece in pieces(plan.need("Cameras", name, "power run")))


def _neighbour(plan: Plan) -> Result:
    name = about(plan, r"own output, (\S+) is hung")
    return power.volts_at(plan.put("Cameras", name, "fed from", about(plan, r"on the junction (\S+), over")), name)


def _as_before(plan: Plan) -> Result:
    return power.volts_at(plan, about(plan, r"own output, (\S+) is hung"))


def _power_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) gets")
    if match := re.fullmatch(r"lay (\S+) to this camera", text):
        return _relaid(plan, name, match[1])
    if match := re.fullmatch(r"set the supply's trim to ([0-9.]+ V)", text):
        return plan.put("Supplies", "psu1", "set to", match[1])
    if match := re.fullmatch(r"lead its run another way, ([0-9]+) m", text):
        return plan.put("Cameras", name, "power run", with_length(float(match[1]))(plan.need("Cameras", name, "power run")))
    raise ValueError(text)


def _within_trim(plan: Plan) -> bool:
    supply = about(plan, r"this: (\S+) can be")
    model = plan.need("Supplies", supply, "model")
    low, high = (number(plan.need("Supply models", model, f"can be set {word}")) for word in ("from", "up to"))
    return low <= number(plan.need("Supplies", supply, "set to")) <= high


POWER: dict[str, Any] = {
    "power/within-trim": Verdict(_within_trim),
    "power/volts-at-camera": _volts(told(r"arrive at (\S+) after")),
    "power/volts-entered": _volts(told(r"arrives at (\S+) after")),
    "power/supply-current": Judge(
        _supply_amps,
        {"watts-as-amps": _watts, "own-run-only": _first_alone, "day-for-night": misread(_supply_amps, by_day),
         "loop-doubled-twice": misread(_supply_amps, DOUBLE)},
    ),
    "power/longest-run": Judge(
        _longest_power,
        {"one-way-length": scaled(_longest_power, 2), "loop-doubled-twice": scaled(_longest_power, 0.5),
         "metres-for-feet": scaled(_longest_power, 1 / FOOT), "day-for-night": misread(_longest_power, by_day),
         "current-not-falling-back": misread(_longest_power, constant_current)},
    ),
    "power/least-conductor": Least(
        ("power-0.5mm2", "power-0.75mm2", "power-1mm2", "power-1.5mm2", "power-2.5mm2"), _conductor, POWER_EDITS
    ),
    "power/least-supply": Least(
        ("maker-c/supply-1a", "maker-c/supply-2a", "maker-c/supply-5a", "maker-c/supply-10a"), _carries, POWER_EDITS
    ),
    "power/order-by-loss": Judge(
        _by_loss,
        {"longest-run-first": lambda plan: ordered(plan, _metres),
         "greatest-load-first": lambda plan: ordered(
             plan, lambda of, name: number(of.needed_of_model(name, "draws by night"))),
         "order-turned-round": lambda plan: ordered(plan, lambda of, name: -power.lost_on_the_way(of, name)),
         "day-for-night": misread(_by_loss, by_day)},
    ),
    "power/enough-volts": Verdict(
        lambda plan: power.enough(plan, about(plan, r"this: (\S+) gets")), POWER_EDITS
    ),
    "power/trunk-neighbour": Judge(
        _neighbour,
        {"nothing-else-changes": _as_before,
         "own-run-only": misread(_neighbour, lambda plan: plan.put("Cameras", "depot", "fed from", "psu1/7")),
         "thinner-conductor": misread(
             _neighbour, lambda plan: _relaid(plan, about(plan, r"own output, (\S+) is hung"), "power-0.5mm2")),
         **{slip: misread(_neighbour, edit) for slip, edit in POWER_EDITS.items()}},
    ),
    "power/clears-undervoltage": Change(
        "power/undervoltage", power_faults.POWER_CHANGES, _power_change,
        lambda plan: power.volts_at(plan, about(plan, r"^(\S+) gets")),
    ),
}  # fmt: skip
