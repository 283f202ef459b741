"""Questions of inputs, outputs and viewers counted."""

from __future__ import annotations

import re
from typing import Any

from ..faults import channels
from ..faults import power as power_faults
from ..faults import sights as sight_faults
from ..judging import Change, Judge, Result, Verdict
from ..plan import Plan, number, numbers_in
from .ways import (
    about,
    input_number,
)


def _free_inputs(plan: Plan) -> Result:
    inputs = numbers_in(plan.needed_of_box("coax inputs"))
    cameras = plan.cell("Recorders", plan.recorder, "network cameras recorded besides") or "0"
    costs = max(0, int(cameras) - int(plan.needed_of_box("network cameras without giving up inputs")))
    return float(len(inputs) - len(channels.connected(plan)) - costs)


def _allowance_overlooked(plan: Plan) -> Result:
    return float(_free_inputs(plan)) - number(
        plan.cell("Recorders", plan.recorder, "network cameras recorded besides") or "0"
    )


def _outputs(plan: Plan) -> float:
    supply = about(plan, r"outputs of (\S+) are")
    return number(plan.need("Supply models", plan.need("Supplies", supply, "model"), "outputs"))


def _free_outputs(plan: Plan) -> Result:
    return _outputs(plan) - len(power_faults.outputs_in_use(plan))


def _network_cameras(plan: Plan) -> bool:
    wanted = number(plan.need("Recorders", plan.recorder, "network cameras recorded besides"))
    return wanted <= number(plan.needed_of_box("network cameras with inputs given up"))


def _viewers(plan: Plan) -> bool:
    return number(plan.need("Recorders", plan.recorder, "remote viewers at a time")) <= number(
        plan.needed_of_box("remote viewers at most")
    )


def _planned(plan: Plan) -> float:
    return number(plan.need("Recorders", plan.recorder, "network cameras recorded besides"))


def _room(plan: Plan) -> float:
    return number(plan.needed_of_box("network cameras without giving up inputs"))


def _given_up(plan: Plan) -> Result:
    return max(0.0, _planned(plan) - _room(plan))


def _inputs_kept(plan: Plan) -> bool:
    """From the highest number down, as the question says."""
    if "from the highest number down" not in plan.stem:
        raise ValueError(plan.stem)
    costs = max(0, int(_planned(plan) - _room(plan)))
    gone = sorted(numbers_in(plan.needed_of_box("coax inputs")), reverse=True)[:costs]
    return not any(input_number(plan, name) in gone for name in channels.connected(plan))


def _most_for_room(plan: Plan) -> Plan:
    """The most that is possible read as what costs nothing."""
    model = plan.need("Recorders", plan.recorder, "model")
    most = plan.needed_of_box("network cameras with inputs given up")
    return plan.put("Recorder models", model, "network cameras without giving up inputs", most)


def _input_change(plan: Plan, text: str) -> Plan:
    if match := re.fullmatch(r"move (\S+) to input ([0-9]+) of (\S+)", text):
        return plan.put("Cameras", match[1], "recorder input", f"{match[3]}/{match[2]}")
    if text == "record the network cameras elsewhere":
        return plan.put("Recorders", plan.recorder, "network cameras recorded besides", "0")
    raise ValueError(text)


def _most_on_one(plan: Plan) -> float:
    inputs = [plan.need("Cameras", name, "recorder input") for name in channels.connected(plan)]
    return -float(max(inputs.count(each) for each in inputs))


def _behind(plan: Plan) -> list[str]:
    """Cameras on the output that feeds the junction asked about."""
    gone = sight_faults.root(plan, about(plan, r"output behind (\S+) blows"))
    return [
        name
        for name in power_faults.fed(plan)
        if sight_faults.root(plan, plan.need("Cameras", name, "fed from")) == gone
    ]


def _lost(plan: Plan) -> Result:
    return float(len(_behind(plan)))


def _runs(plan: Plan) -> Result:
    return float(power_faults.outputs_in_use(plan)[sight_faults.root(plan, about(plan, r"output behind (\S+) blows"))])


def _in_area(plan: Plan) -> list[str]:
    area = about(plan, r"the area (\S+) (?:stays|hang)")
    return [name for name in plan.cameras if plan.camera(name, "watches the area") == area]


def _area_fed(plan: Plan) -> bool:
    """Two outputs or more feed the cameras of the area. Raises Missing where a source is not drawn."""
    return len({sight_faults.root(plan, plan.need("Cameras", name, "fed from")) for name in _in_area(plan)}) > 1


def _all_apart(plan: Plan) -> Plan:
    """Each camera taken to be fed from an output of its own."""
    for place, name in enumerate(plan.cameras, start=1):
        plan = plan.put("Cameras", name, "fed from", f"psu1/{place}")
    return plan


def _area_change(plan: Plan, text: str) -> Plan:
    if match := re.fullmatch(r"feed (jb1) from output ([0-9]+) of (\S+) instead", text):
        return plan.put("Junctions", match[1], "fed from", f"{match[3]}/{match[2]}")
    if match := re.fullmatch(r"feed (\S+) from output ([0-9]+) of (\S+)", text):
        return plan.put("Cameras", match[1], "fed from", f"{match[3]}/{match[2]}")
    if text == "feed jb1 over a thicker cable than now":
        return plan.put("Junctions", "jb1", "trunk", "5 m of power-2.5mm2")
    if text == "put a supply of ten amperes for psu1":
        return plan.put("Supplies", "psu1", "model", "maker-c/supply-10a")
    raise ValueError(text)


def _feeders(plan: Plan) -> float:
    """Outputs that feed the area of which the question says that it hangs on one."""
    area = about(plan, r"cameras of (\S+) hang")
    names = [name for name in plan.cameras if plan.camera(name, "watches the area") == area]
    return float(len({sight_faults.root(plan, plan.need("Cameras", name, "fed from")) for name in names}))


COUNTS: dict[str, Any] = {
    "channels/given-up": Judge(
        _given_up,
        {
            "room-forgotten": _planned,
            "room-for-given-up": _room,
            "left-for-given-up": lambda plan: len(numbers_in(plan.needed_of_box("coax inputs"))) - float(_given_up(plan)),
            "most-for-planned": lambda plan: number(plan.needed_of_box("network cameras with inputs given up")) - _room(plan),
        },
    ),
    "channels/inputs-kept": Verdict(_inputs_kept, {"most-for-planned": _most_for_room}),
    "channels/clears-shared": Change("channels/input-shared", channels.CHANNELS, _input_change, _most_on_one),
    "practice/go-dark": Judge(
        _lost,
        {
            "cables-for-cameras": _runs,
            "whole-supply-for-output": lambda plan: float(len(power_faults.fed(plan))),
            "left-for-lost": lambda plan: len(power_faults.fed(plan)) - float(_lost(plan)),
            "junction-counted": lambda plan: float(_lost(plan)) + 1,
        },
    ),
    "practice/area-fed": Verdict(_area_fed, {"label-for-feed": _all_apart}),
    "practice/clears-area": Change(
        "practice/area-on-one-output", {**sight_faults.PRACTICE, **power_faults.POWER}, _area_change, _feeders
    ),
    "channels/inputs-free": Judge(
        _free_inputs,
        {"inputs-for-cameras": lambda plan: float(len(numbers_in(plan.needed_of_box("coax inputs")))),
         "used-for-free": lambda plan: float(len(channels.connected(plan))),
         "counted-one-more": lambda plan: float(_free_inputs(plan)) - 1,
         "allowance-overlooked": _allowance_overlooked},
    ),
    "practice/outputs-left": Judge(
        _free_outputs,
        {"inputs-for-cameras": _outputs, "used-for-free": lambda plan: float(len(power_faults.outputs_in_use(plan))),
         "counted-one-more": lambda plan: float(_free_outputs(plan)) - 1},
    ),
    "network/cameras-taken": Verdict(_network_cameras),
    "network/viewers-served": Verdict(_viewers),
}  # fmt: skip
