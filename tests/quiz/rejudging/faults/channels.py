"""Faults of recorder inputs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from ..judging import Claim
from ..plan import Plan, numbers_in, port


def connected(plan: Plan) -> list[str]:
    return [name for name in plan.cameras if plan.camera(name, "recorder input")]


def _inputs(plan: Plan) -> Counter[str]:
    return Counter(plan.need("Cameras", name, "recorder input") for name in connected(plan))


def _input(text: str) -> str:
    recorder, which = port(text)
    return f"input {which} of {recorder}"


def _exists(plan: Plan, text: str) -> bool:
    return int(port(text)[1]) in numbers_in(plan.needed_of_box("coax inputs"))


def input_shared(plan: Plan) -> Mapping[str, bool]:
    return {_input(text): count > 1 for text, count in _inputs(plan).items() if _exists(plan, text)}


def no_such_input(plan: Plan) -> Mapping[str, bool]:
    return {_input(text): not _exists(plan, text) for text in _inputs(plan)}


def given_up(plan: Plan) -> set[int]:
    """Inputs given up for network cameras beyond those that cost none, by the convention that is given."""
    cameras = int(plan.cell("Recorders", plan.recorder, "network cameras recorded besides") or 0)
    if not cameras:
        return set()
    if plan.given and plan.the("inputs given up for network cameras") != "from the highest number down":
        raise ValueError("another convention")
    beyond = max(0, cameras - int(plan.needed_of_box("network cameras without giving up inputs")))
    return set(sorted(numbers_in(plan.needed_of_box("coax inputs")), reverse=True)[:beyond])


def input_given_up(plan: Plan) -> Mapping[str, bool]:
    gone = given_up(plan)
    return {_input(text): int(port(text)[1]) in gone for text in _inputs(plan) if _exists(plan, text)}


CHANNELS = {
    "channels/input-shared": Claim(input_shared),
    "channels/no-such-input": Claim(no_such_input),
    "channels/input-given-up": Claim(input_given_up),
    "channels/camera-not-connected": Claim(
        lambda plan: {name: plan.camera(name, "recorder input") is None for name in plan.cameras}
    ),
}
