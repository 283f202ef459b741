"""Volts: docs/how-facts-are-computed.md, "Volts"."""

import math
from dataclasses import dataclass, field
from typing import Any

from .losing import ASSUMED_CELSIUS, drawn, length
from .reading import Open, figure, quantity, size

FLOAT_LEAST = 13.5
#: Name of the node behind a supply that has a resistance of its own.
SOURCE = "source"


@dataclass
class Run:
    """One run of a power path: loop at 20 °C, 1/K of its metal, how warm (None: worked out), amps that bring it to 70 °C."""

    ohms: float
    per_kelvin: float
    fixed: float | None = None
    full: float | None = None

    def at(self, celsius: float) -> float:
        """Loop at a conductor temperature."""
        return self.ohms * (1.0 + self.per_kelvin * (celsius - 20.0))


@dataclass
class Node:
    """A junction or a device with its way to what feeds it."""

    name: str
    parent: str
    runs: list[Run] | None
    extra: float = 0.0
    load: dict[str, Any] | None = None
    heater: bool = False
    children: list["Node"] = field(default_factory=list)


def power_run(hop: dict[str, Any], parts: dict[str, Any]) -> Run:
    """A run with its loop resistance at 20 °C."""
    conductor = parts[hop["cable"]].get("conductor") or {}
    metal = conductor.get("material", "copper")
    alpha = figure("conductor-materials", "temperature_coefficient", material=metal)
    fixed = quantity(hop["temperature"], "celsius") if "temperature" in hop else None
    pairs, full = hop.get("pairs", 1), None
    if "size" in conductor:
        factor = figure("conductor-materials", "factor", material=metal)
        full = 13.1 * size(conductor["size"]) ** 0.6 / math.sqrt(factor) * pairs
    measured = hop.get("measured") or {}
    if "loop" in measured:
        at = quantity(measured.get("temperature", "20 °C"), "celsius")
        return Run(quantity(measured["loop"], "ohms") / (1.0 + alpha * (at - 20.0)), alpha, fixed, full)
    return Run(2.0 * length(hop) * ohms_a_metre(conductor) / pairs, alpha, fixed, full)


def ohms_a_metre(conductor: dict[str, Any]) -> float:
    """One conductor at 20 °C: as stated, else by IEC 60228 or the gauge, times the factor of its metal."""
    if "resistance" in conductor:
        return quantity(conductor["resistance"], "ohms a metre")
    if not {"size", "material", "stranding"} <= set(conductor):
        raise Open
    written, stranding = conductor["size"].split()[0], conductor["stranding"]
    factor = figure("conductor-materials", "factor", material=conductor["material"])
    if conductor["size"].endswith("AWG"):
        return figure("wire-awg", "solid" if stranding == "solid" else "stranded", gauge=written) / 1000.0 * factor
    return figure("conductors-iec60228", "resistance", size=written, stranding=stranding) / 1000.0 * factor


def supply_volts(entry: dict[str, Any], part: dict[str, Any]) -> float:
    """Measured, as trimmed, at the least float voltage behind which a battery is charged, or nominal."""
    if "volts" in (entry.get("measured") or {}):
        return quantity(entry["measured"]["volts"], "volts")
    if "trim" in entry:
        return quantity(entry["trim"], "volts")
    nominal = quantity(part["volts"], "volts")
    if part.get("gives", "dc") == "dc" and ("battery" in entry or "battery" in part or part.get("battery_backed")):
        if "float_volts" in part:
            return quantity(part["float_volts"], "volts")
        return max(nominal, FLOAT_LEAST * math.floor(nominal / 12.0))
    return nominal


def watts(load: dict[str, Any], night: bool, heater: bool) -> float:
    """Power stated, by day or night; motors too (docs/worked-example-salt-works.md)."""
    total = quantity(load.get("watts_night" if night else "watts_day"), "watts")
    if night and heater:
        total += quantity(load.get("watts_heater"), "watts")
    return total + (quantity(load["watts_motor"], "watts") if "watts_motor" in load else 0.0)


def drawn_amps(load: dict[str, Any], power: float, volts: complex) -> complex:
    """Current of a load of its kind at a voltage."""
    kind = load.get("load", "constant-power")
    if kind == "constant-power":
        return power / volts
    nominal = quantity(load.get("volts"), "volts")
    return power / nominal if kind == "constant-current" else volts * power / nominal**2


def beyond(node: Node) -> list[Node]:
    """A node with all that hangs on it."""
    found, waiting = [], [node]
    while waiting:
        one = waiting.pop()
        found.append(one)
        waiting += one.children
    return found


class Tree:
    """All that shares resistance behind one outlet of a source."""

    def __init__(self, root: Node, source_volts: float, assumed: float) -> None:
        self.root, self.source, self.assumed = root, source_volts, assumed
        self.warm: dict[int, float] = {}

    def nodes(self) -> list[Node]:
        return beyond(self.root)

    def known(self, night: bool) -> bool:
        """Whether every load of a season is known, and every run that a current which hangs on the volts goes through."""
        try:
            for node in self.nodes():
                if node.load is not None:
                    drawn_amps(node.load, watts(node.load, night, node.heater), 1.0)
                steady = all(each.load is None or each.load.get("load") == "constant-current" for each in beyond(node))
                if node.runs is None and not steady:
                    return False
        except Open:
            return False
        return True

    def ohms(self, node: Node) -> float:
        """Loop of a node's own way, as warm as it is."""
        total = node.extra
        for run in node.runs or []:
            total += run.at(run.fixed if run.fixed is not None else self.warm.get(id(run), self.assumed))
        return total

    def solve(self, night: bool, factor: float = 1.0) -> tuple[dict[str, float], dict[str, float]] | None:
        """Volts and amps of each node; None where no voltage holds.

        Loads of constant power draw, in the first round, what they would at the source: too little. Every round then brings
        the volts down, towards the greatest that hold; a resistive load is solved with its round, or it would draw too much
        in the first and seem to leave no volts.
        """
        order = self.nodes()
        volts = {node.name: self.source for node in order}
        ohms = {node.name: self.ohms(node) for node in order}
        for _ in range(20_000):
            given = {node.name: self._given(node, night, factor, volts[node.name]) for node in order}
            amps = self._swept(order, ohms, given)
            moved = 0.0
            for node in order:
                above = self.source if node is self.root else volts[node.parent]
                amps[node.name] = amps[node.name][0] + amps[node.name][1] * above
                fresh = above - ohms[node.name] * amps[node.name]
                moved = max(moved, abs(fresh - volts[node.name]))
                volts[node.name] = fresh
                if fresh <= 0.0:
                    return None
            if moved < 1e-12:
                return volts, amps
        return None

    @staticmethod
    def _given(node: Node, night: bool, factor: float, volts: float) -> tuple[float, float]:
        """What the load of a node draws: amps that do not hang on its volts in this round, and amps for each volt."""
        if node.load is None:
            return 0.0, 0.0
        drawn = drawn_amps(node.load, watts(node.load, night, node.heater) * factor, volts)
        return (0.0, drawn / volts) if node.load.get("load") == "resistive" else (drawn, 0.0)

    @staticmethod
    def _swept(order: list[Node], ohms: dict[str, float], given: dict[str, tuple[float, float]]) -> dict[str, Any]:
        """What goes through each node: amps, and amps for each volt of the node above."""
        found: dict[str, Any] = {}
        for node in reversed(order):
            fixed, each_volt = given[node.name]
            fixed += sum(found[child.name][0] for child in node.children)
            each_volt += sum(found[child.name][1] for child in node.children)
            spread = 1.0 + ohms[node.name] * each_volt
            found[node.name] = (fixed / spread, each_volt / spread)
        return found

    def heat(self) -> tuple[Any, Any]:
        """Solves network and temperatures in turn; answers of day and night."""
        seasons = [night for night in (False, True) if self.known(night)]
        for _ in range(100):
            answers = {night: self.solve(night) for night in seasons}
            fresh = self.temperatures([answer[1] for answer in answers.values() if answer])
            if all(abs(fresh[key] - self.warm.get(key, self.assumed)) < 1e-9 for key in fresh):
                break
            self.warm = fresh
        return answers.get(False, "open"), answers.get(True, "open")

    def temperatures(self, currents: list[dict[str, float]]) -> dict[int, float]:
        """Temperature of each run whose size is known and whose temperature nobody wrote."""
        found = {}
        for node in self.nodes():
            amps = max((season[node.name] for season in currents), default=0.0)
            for run in node.runs or []:
                if run.fixed is None and run.full is not None:
                    found[id(run)] = self.warmth(run, amps)
        return found

    def warmth(self, run: Run, amps: float) -> float:
        """Air of 10 K below what is assumed, and the rise by the current, of which 10 K are in what is assumed."""
        air, a = self.assumed - 10.0, run.per_kelvin
        k = 40.0 / (1.0 + a * 50.0) * (amps / run.full) ** 2
        rise = 40.0 if a * k >= 1.0 else min(40.0, k * (1.0 + a * (air - 20.0)) / (1.0 - a * k))
        return max(self.assumed, air + rise)


def near_collapse(tree: Tree) -> bool:
    """Whether half a per cent more or less load would change what collapses."""
    for night in (False, True):
        if tree.known(night) and len({tree.solve(night, factor) is None for factor in (0.99, 1.0, 1.01)}) > 1:
            return True
    return False


def trees(site: dict[str, Any], parts: dict[str, Any]) -> list[tuple[str, Tree]]:
    """Every outlet of every supply with all behind it."""
    nodes = gather(site, parts)
    assumed = (site.get("assume") or {}).get("conductor_temperature")
    celsius = quantity(assumed, "celsius") if assumed else ASSUMED_CELSIUS
    for node in nodes.values():
        if node.parent in nodes:
            nodes[node.parent].children.append(node)
    found = []
    for device, entry in site.get("supplies", {}).items():
        outlets = [node for node in nodes.values() if node.parent.split("/")[0] == device and node.parent not in nodes]
        volts, ohms = source(site, entry, parts[entry["part"]])
        if ohms and outlets:
            for node in outlets:
                node.parent = SOURCE
            outlets = [Node(SOURCE, "", [Run(ohms, 0.0, 20.0)], children=outlets)]
        found += [(device, Tree(node, volts, celsius)) for node in outlets]
    return found


def source(site: dict[str, Any], entry: dict[str, Any], part: dict[str, Any]) -> tuple[float, float]:
    """Volts without load, and the resistance behind them."""
    volts = supply_volts(entry, part)
    if "regulation" not in part:
        return volts, (site.get("assume") or {}).get("source_resistance", 0.0)
    rise = quantity(part["regulation"], "share") * quantity(part["volts"], "volts")
    return volts + rise, rise / quantity(part["amps"], "amps")


def gather(site: dict[str, Any], parts: dict[str, Any]) -> dict[str, Node]:
    """All nodes by name: junctions by their own name, devices as `group/name`."""
    found = {}
    for group in ("junctions", "cameras", "recorders", "boxes"):
        for name, entry in site.get(group, {}).items():
            if not entry.get("power"):
                continue
            load = None if group == "junctions" else parts[entry["part"]].get("power", {})
            full = name if group == "junctions" else f"{group}/{name}"
            found[full] = Node(
                full, entry["power"]["from"], *_way(entry["power"], site, parts), load, bool(entry.get("heater"))
            )
    return found


def _way(path: dict[str, Any], site: dict[str, Any], parts: dict[str, Any]) -> tuple[list[Run] | None, float]:
    try:
        hops = drawn(path)
        return [power_run(hop, parts) for hop in hops if "cable" in hop], sum(
            _in_line(hop, site, parts) for hop in hops if "box" in hop
        )
    except Open:
        return None, 0.0


def _in_line(hop: dict[str, Any], site: dict[str, Any], parts: dict[str, Any]) -> float:
    return quantity(parts[site["boxes"][hop["box"]]["part"]].get("resistance"), "ohms")
