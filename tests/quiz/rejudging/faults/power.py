"""Faults of supplies and of what hangs on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from .. import power
from ..judging import Claim
from ..plan import Plan, number, pieces, port
from .each import each


def fed(plan: Plan) -> list[str]:
    return [name for name in plan.cameras if plan.camera(name, "fed from")]


def outputs_in_use(plan: Plan) -> Counter[str]:
    """Runs on each output."""
    sources = [plan.cell(kind, name, "fed from") for kind in ("Cameras", "Junctions") for name in plan.names(kind)]
    return Counter(source for source in sources if source and "/" in source)


def _output(text: str) -> str:
    supply, which = port(text)
    return f"output {which} of {supply}"


def _supply(plan: Plan, name: str, label: str) -> float:
    return number(plan.need("Supply models", plan.need("Supplies", name, "model"), label))


def _there(plan: Plan, output: str) -> bool:
    supply, which = port(output)
    return int(which) <= _supply(plan, supply, "outputs")


def undervoltage(plan: Plan) -> Mapping[str, bool]:
    return each(fed(plan), lambda name: not power.enough(plan, name))


def near_undervoltage(plan: Plan) -> Mapping[str, bool]:
    """Above the least voltage, and by less than the reserve that is given."""
    reserve = 1 + number(plan.the("reserve to be left above the least voltage")) / 100

    def near(name: str) -> bool:
        least = power.works_from(plan, name)
        return least <= power.volts_at(plan, name) < least * reserve

    return each(fed(plan), near)


def overvoltage(plan: Plan) -> Mapping[str, bool]:
    def over(name: str) -> bool:
        source = plan.need("Cameras", name, "fed from")
        while "/" not in source:
            source = plan.need("Junctions", source, "fed from")
        return power.trim(plan, port(source)[0]) > number(plan.needed_of_model(name, "stands up to"))

    return each(fed(plan), over)


def trim_out_of_range(plan: Plan) -> Mapping[str, bool]:
    def out(name: str) -> bool:
        low, high = _supply(plan, name, "can be set from"), _supply(plan, name, "can be set up to")
        return not low <= number(plan.need("Supplies", name, "set to")) <= high

    return each(plan.names("Supplies"), out)


def supply_overloaded(plan: Plan) -> Mapping[str, bool]:
    amps = power.solved(plan).supplies
    return each(amps, lambda name: amps[name] > _supply(plan, name, "all outputs together"))


def output_overloaded(plan: Plan) -> Mapping[str, bool]:
    amps = {output: each for output, each in power.solved(plan).outputs.items() if _there(plan, output)}
    found = each(amps, lambda output: amps[output] > _supply(plan, port(output)[0], "each output"))
    return {_output(output): there for output, there in found.items()}


def no_such_output(plan: Plan) -> Mapping[str, bool]:
    found = each(outputs_in_use(plan), lambda output: not _there(plan, output))
    return {_output(output): there for output, there in found.items()}


def output_shared(plan: Plan) -> Mapping[str, bool]:
    runs = outputs_in_use(plan)
    return {_output(output): count > 1 for output, count in runs.items() if _there(plan, output)}


def clad_conductor(plan: Plan) -> Mapping[str, bool]:
    def clad(name: str) -> bool:
        cables = [piece.cable for piece in pieces(plan.need("Cameras", name, "power run")) if piece.cable]
        return any(plan.need("Cables", cable, "material") != "copper" for cable in cables)

    return each(fed(plan), clad, "power run of {}")


def unpowered(plan: Plan) -> Mapping[str, bool]:
    return {name: plan.camera(name, "fed from") is None for name in plan.cameras}


POWER = {
    "power/undervoltage": Claim(undervoltage),
    "power/overvoltage": Claim(overvoltage),
    "power/trim-out-of-range": Claim(trim_out_of_range),
    "power/supply-overloaded": Claim(supply_overloaded),
    "power/output-overloaded": Claim(output_overloaded),
    "power/no-such-output": Claim(no_such_output),
    "power/output-shared": Claim(output_shared),
    "power/clad-conductor": Claim(clad_conductor),
    "power/camera-unpowered": Claim(unpowered),
}
POWER_CHANGES = {**POWER, "near": Claim(near_undervoltage)}
