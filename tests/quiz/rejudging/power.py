"""Supplies and what arrives at cameras: Ohm's law over a tree of runs, worked by sweeps (no solver of the program)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from .plan import Missing, Plan, number, pieces, port

COPPER_PER_KELVIN = 0.00393  # IEC 60028, from 20 °C; printed at the head of every paper
ALUMINIUM_PER_KELVIN = 0.00403  # from memory (IEC 60889); clad conductors only, no key hangs on it
SWEEPS = 200_000


@dataclass
class State:
    """Volts at each camera, amperes at each output and supply. A camera without a working voltage has 0 V."""

    volts: dict[str, float] = field(default_factory=dict)
    amps: dict[str, float] = field(default_factory=dict)
    outputs: dict[str, float] = field(default_factory=dict)
    supplies: dict[str, float] = field(default_factory=dict)
    collapsed: bool = False


def loop_ohms(plan: Plan, way: str) -> float:
    """Both conductors of a way, at the printed temperature."""
    warmth = number(plan.site("conductor temperature")) - 20
    ohms = 0.0
    for piece in pieces(way):
        if piece.metres is None or piece.cable is None:
            raise Missing(way)
        a_km = number(plan.need("Cables", piece.cable, "resistance of one conductor at 20 °C"))
        copper = plan.need("Cables", piece.cable, "material") == "copper"
        rise = COPPER_PER_KELVIN if copper else ALUMINIUM_PER_KELVIN
        ohms += 2 * piece.metres * a_km / 1000 * (1 + rise * warmth)
    return ohms


@dataclass
class _Node:
    """What hangs on one terminal: a camera or a junction, with the way to it."""

    name: str
    ohms: float
    children: list[_Node]


def _tree(plan: Plan, parent: str, branches: Mapping[str, list[tuple[str, str, str]]]) -> list[_Node]:
    return [_Node(name, loop_ohms(plan, way), _tree(plan, name, branches) if kind == "Junctions" else [])
            for kind, name, way in branches.get(parent, [])]  # fmt: skip


def _branches(plan: Plan) -> dict[str, list[tuple[str, str, str]]]:
    found: dict[str, list[tuple[str, str, str]]] = {}
    for kind, label in (("Cameras", "power run"), ("Junctions", "trunk")):
        for name in plan.names(kind):
            source = plan.cell(kind, name, "fed from")
            if source is not None:
                found.setdefault(source, []).append((kind, name, plan.need(kind, name, label)))
    return found


def trim(plan: Plan, supply: str) -> float:
    """What the supply is set to; its nominal voltage where nothing else is written."""
    text = plan.cell("Supplies", supply, "set to")
    return number(text or plan.need("Supply models", plan.need("Supplies", supply, "model"), "nominal"))


def solved(plan: Plan, draws: str = "draws by night", only: str = "") -> State:
    """The network with every camera drawing what that column says; `only` solves the tree of one output alone."""
    state, branches = State(), _branches(plan)
    for terminal in branches:
        supply, number_of = port(terminal)
        if not number_of or (only and terminal != only):
            continue
        amps = _sweep(plan, state, _tree(plan, terminal, branches), trim(plan, supply), draws)
        state.outputs[terminal] = amps
        state.supplies[supply] = state.supplies.get(supply, 0.0) + amps
    return state


def _sweep(plan: Plan, state: State, roots: list[_Node], source: float, draws: str) -> float:
    """Volts by sweeps from full voltage downwards: comes to the high one of the two voltages that Ohm's law allows."""
    volts: dict[str, float] = {}
    for _ in range(SWEEPS):
        before = dict(volts)
        total = sum(_current(plan, root, volts, source, draws) for root in roots)
        for root in roots:
            _drop(plan, root, volts, source, draws, before)
        if any(each <= 0 for each in volts.values()):
            break
        if before and all(abs(volts[name] - before[name]) < 1e-10 for name in volts):
            state.volts.update(volts)
            state.amps.update({name: _own(plan, name, volts[name], draws) for name in volts if name in plan.cameras})
            return total
    state.collapsed = True
    state.volts.update(dict.fromkeys(volts, 0.0))
    return math.inf


def _own(plan: Plan, name: str, volts: float, draws: str) -> float:
    watts = number(plan.needed_of_model(name, draws))
    if plan.model(name, "load") == "constant-current":
        return watts / 12.0  # at the nominal voltage
    return watts / volts


def _current(plan: Plan, node: _Node, volts: dict[str, float], source: float, draws: str) -> float:
    if node.name in plan.cameras:
        return _own(plan, node.name, volts.get(node.name, source), draws)
    return sum(_current(plan, child, volts, source, draws) for child in node.children)


def _drop(plan: Plan, node: _Node, volts: dict[str, float], above: float, draws: str, before: dict[str, float]) -> None:
    amps = _current(plan, node, before, above, draws)
    volts[node.name] = above - amps * node.ohms
    for child in node.children:
        _drop(plan, child, volts, volts[node.name], draws, before)


def volts_at(plan: Plan, name: str, draws: str = "draws by night") -> float:
    """Volts at a camera; 0 where no voltage works."""
    terminal = plan.need("Cameras", name, "fed from")
    while not port(terminal)[1]:
        terminal = plan.need("Junctions", terminal, "fed from")
    state = solved(plan, draws, terminal)
    return state.volts.get(name, 0.0)


def lost_on_the_way(plan: Plan, name: str) -> float:
    """Volts lost between supply and camera after dark."""
    terminal = plan.need("Cameras", name, "fed from")
    while not port(terminal)[1]:
        terminal = plan.need("Junctions", terminal, "fed from")
    return trim(plan, port(terminal)[0]) - volts_at(plan, name)


def works_from(plan: Plan, name: str) -> float:
    return number(plan.needed_of_model(name, "works from"))


def enough(plan: Plan, name: str) -> bool:
    """Whether what arrives after dark is at least what the camera works from."""
    return volts_at(plan, name) >= works_from(plan, name)


def longest_way(plan: Plan, name: str) -> int:
    """Whole metres, one way, at which the camera still works: at the least voltage, or where power is greatest (S/2)."""
    way = plan.need("Cameras", name, "power run")
    metres = pieces(way)[0].metres
    if metres is None:
        raise Missing(way)
    source = trim(plan, port(plan.need("Cameras", name, "fed from"))[0])
    least = works_from(plan, name)
    watts = number(plan.needed_of_model(name, "draws by night"))
    if plan.model(name, "load") == "constant-current":
        ohms = (source - least) / (watts / 12.0)
    else:
        least = max(least, source / 2)
        ohms = (source - least) * least / watts
    return math.floor(ohms / (loop_ohms(plan, way) / metres) + 1e-9)
