"""Questions of networks."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from .. import sights
from ..faults import sights as sight_faults
from ..judging import Change, Judge, Result, Verdict, misread, scaled
from ..plan import Plan, number, port, stretched
from .ways import (
    FOOT,
    about,
    column,
)

EIGHTH = 1 / 8


def _bytes(answer: Callable[[Plan], Result]) -> Callable[[Plan], Result]:
    return scaled(answer, EIGHTH)


def _eightfold(answer: Callable[[Plan], Result]) -> Callable[[Plan], Result]:
    return scaled(answer, 8)


def _without_second(plan: Plan) -> Plan:
    return plan.each("Recorders", "second stream of each channel", lambda _: "0 Mb/s")


def _one_viewer(plan: Plan) -> Plan:
    return plan.put("Recorders", plan.recorder, "remote viewers at a time", "1")


def _main_watched(plan: Plan) -> Plan:
    return plan.put("Recorders", plan.recorder, "stream they watch", "main")


def _ports_left(plan: Plan) -> Result:
    switch = about(plan, r"ports of (\S+) are")
    return sights.ports(plan, switch) - _ports_used(plan)


def _ports_used(plan: Plan) -> float:
    """Cables into the switch, and its own way onwards."""
    switch = about(plan, r"ports of (\S+) are")
    into = sum(port(text)[0] == switch for _, text, _ in sights.cables(plan))
    return float(into + (plan.cell("Switches", switch, "joined to") is not None))


def _all_ports(plan: Plan) -> Result:
    return float(sights.ports(plan, about(plan, r"ports of (\S+) are")))


def _uplink_change(plan: Plan, text: str) -> Plan:
    recorder = plan.recorder
    if match := re.fullmatch(r"let each viewer watch (one|two|three) channels?", text):
        count = str(("one", "two", "three").index(match[1]) + 1)
        return plan.put("Recorders", recorder, "channels each viewer watches", count)
    if match := re.fullmatch(r"order a line of ([0-9.]+ Mb/s) outwards", text):
        return plan.put("Recorders", recorder, "line outwards carries", match[1])
    if match := re.fullmatch(r"send a second stream of ([0-9.]+ Mb/s)", text):
        return plan.put("Recorders", recorder, "second stream of each channel", match[1])
    if match := re.fullmatch(r"admit (one|two) viewers? at a time", text):
        return plan.put("Recorders", recorder, "remote viewers at a time", str(1 + (match[1] == "two")))
    raise ValueError(text)


def _network_way(plan: Plan) -> bool:
    name = about(plan, r"cable from (\S+) is")
    return sights.metres(plan.need("Cameras", name, "network cable")) <= number(plan.the("longest channel"))


NETWORK: dict[str, Any] = {
    "network/incoming-rate": Judge(
        sights.sent_in,
        {"gigabytes-as-gigabits": _bytes(sights.sent_in),
         "bits-for-bytes": _eightfold(sights.sent_in),
         "coax-cameras-counted": lambda plan: sum(sights.rate(plan, name) for name in plan.cameras),
         "second-stream-forgotten": misread(sights.sent_in, _without_second)},
    ),
    "network/outgoing-rate": Judge(
        sights.sent_out,
        {"one-viewer-for-all": misread(sights.sent_out, _one_viewer), "gigabytes-as-gigabits": _bytes(sights.sent_out),
         "bits-for-bytes": _eightfold(sights.sent_out),
         "main-for-second": misread(sights.sent_out, _main_watched),
         "one-channel-for-all": misread(
             sights.sent_out, lambda plan: plan.put("Recorders", plan.recorder, "channels each viewer watches", "1"))},
    ),
    "network/ports-left": Judge(
        _ports_left,
        {"inputs-for-cameras": _all_ports, "used-for-free": _ports_used,
         "own-way-forgotten": lambda plan: float(_ports_left(plan)) + 1,
         "counted-one-more": lambda plan: float(_ports_left(plan)) - 1},
    ),
    "network/uplink-enough": Verdict(
        lambda plan: sights.sent_out(plan) <= sights.line_takes(plan),
        {"one-viewer-for-all": _one_viewer, "main-for-second": _main_watched},
    ),
    "network/way-length": Verdict(
        _network_way,
        {"feet-for-metres": column("Cameras", "network cable", stretched(FOOT)),
         "metres-for-feet": column("Cameras", "network cable", stretched(1 / FOOT))},
    ),
    "network/clears-uplink": Change(
        "network/uplink-exceeded", sight_faults.NETWORK, _uplink_change,
        lambda plan: sights.line_takes(plan) / sights.sent_out(plan),
    ),
}  # fmt: skip
