"""Solves what hangs on one supply, as far as it is known: volts, currents, collapse and margin of every node.

Where a length or a load is not known, exactly what depends on it stays open. Two branches that meet only at a
source without resistance do not depend on each other; all that shares a resistance does, because
constant-power loads draw more current when the others pull the voltage down. Behind an unknown resistance
lies no mystery for the rest when all loads there draw constant direct current. Physics:
physics.power_network, physics.ac_network.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coaxwright.facts.physics.ac_network import AcTree, ac_loading_margin, solve_ac
from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve
from coaxwright.facts.physics.single_run import constant_power_volts, most_watts
from coaxwright.facts.power.loads import CONSTANT_POWER, Load
from coaxwright.immutable import immutable


@immutable
class Network:
    """A supply and its nodes, parents before children; lists run over the nodes.

    `ohms`: loop ohm of the run to each node, None where not known, and then `ohms_missing` says what supplies
    it. `loads`: None at a junction. `source_volts` is without load. `power_factor` is that assumed for loads
    that state none; `alternating` tells which physics holds. `stated_volts` are those at which what has no working
    voltage is asked for the watts stated; None: those without load.
    """

    parents: Sequence[int]
    ohms: Sequence[float | None]
    ohms_missing: Sequence[tuple[str, ...]]
    loads: Sequence[Load | None]
    source_volts: float
    source_ohm: float | None = 0.0
    source_missing: tuple[str, ...] = ()
    alternating: bool = False
    power_factor: float = 1.0
    stated_volts: float | None = None

    @property
    def volts_asked(self) -> float:
        """Volts at which what has no working voltage is asked for the watts stated."""
        return self.source_volts if self.stated_volts is None else self.stated_volts


class State:
    """What one node settles on; None where not known, and then the `missing_...` say what would supply it.

    Where the network collapses, volts are 0 and amps those that the watts stated take at the volts of the source: what
    is asked of it, although nothing settles. `group` tells the nodes that depend on each other, -1 at the source.
    `margin` is that by night, `margin_least` the least of both seasons.
    """

    __slots__ = (
        "amps_day",
        "amps_night",
        "collapsed_day",
        "collapsed_night",
        "group",
        "margin",
        "margin_least",
        "missing_day",
        "missing_margin",
        "missing_night",
        "volts_day",
        "volts_night",
    )

    def __init__(self) -> None:
        self.volts_day: float | None = None
        self.volts_night: float | None = None
        self.amps_day: float | None = None
        self.amps_night: float | None = None
        self.collapsed_day: bool | None = None
        self.collapsed_night: bool | None = None
        self.group = -1
        self.margin: float | None = None
        self.margin_least: float | None = None
        self.missing_day: tuple[str, ...] = ()
        self.missing_night: tuple[str, ...] = ()
        self.missing_margin: tuple[str, ...] = ()

    def put(self, night: bool, volts: float, amps: float) -> None:
        """Set volts and amps of one season."""
        if night:
            self.volts_night, self.amps_night = volts, amps
        else:
            self.volts_day, self.amps_day = volts, amps

    @property
    def collapsed(self) -> bool | None:
        """Whether no working voltage exists in one season or the other."""
        both = (self.collapsed_night, self.collapsed_day)
        return True if True in both else None if None in both else False

    @property
    def missing_collapsed(self) -> tuple[str, ...]:
        """What would tell whether it collapses."""
        night = self.missing_night if self.collapsed_night is None else ()
        day = self.missing_day if self.collapsed_day is None else ()
        return tuple(dict.fromkeys((*night, *day)))

    def put_limit(self, night: bool, collapsed: bool, margin: float | None) -> None:
        """Set whether one season collapses, and its margin where that was worked out."""
        if night:
            self.collapsed_night, self.margin = collapsed, margin
        else:
            self.collapsed_day = collapsed
        if margin is not None and (self.margin_least is None or margin < self.margin_least):
            self.margin_least = margin

    def amps(self, night: bool) -> float | None:
        """Amps of one season."""
        return self.amps_night if night else self.amps_day

    def lacks(self, night: bool, missing: tuple[str, ...]) -> None:
        """Set what one season lacks."""
        if night:
            self.missing_night = self.missing_margin = missing
        else:
            self.missing_day = missing


def solve_network(network: Network) -> list[State]:
    """The state of every node, in the order of the network's lists."""
    states = [State() for _ in network.parents]
    at_source, groups = _groups(network)
    for number, group in enumerate(groups):
        for index in group:
            states[index].group = number
        if len(group) > 1 or not _solve_single(network, group[0], states[group[0]]):
            for night in (False, True):
                _Group(network, group, states, night).solve()
    for index in reversed(at_source):
        _at_source(network, index, states)
    return states


def _groups(network: Network) -> tuple[list[int], list[list[int]]]:
    """Nodes at source potential, and the groups of nodes that depend on each other."""
    if network.source_ohm != 0.0:
        return [], [list(range(len(network.parents)))] if network.parents else []
    at_source: list[int] = []
    groups: list[list[int]] = []
    of_node: list[list[int] | None] = []
    for index, (parent, ohm) in enumerate(zip(network.parents, network.ohms, strict=True)):
        group = of_node[parent] if parent >= 0 else None
        if group is None and ohm == 0.0:
            at_source.append(index)
            of_node.append(None)
            continue
        if group is None:
            group = []
            groups.append(group)
        group.append(index)
        of_node.append(group)
    return at_source, groups


def _at_source(network: Network, index: int, states: list[State]) -> None:
    """Right at a source without resistance: its volts, and the current of the load or of all that leaves."""
    state, volts = states[index], network.source_volts
    load = network.loads[index]
    state.volts_day = state.volts_night = volts
    parents = network.parents if load is None else ()
    below = [states[child] for child, parent in enumerate(parents) if parent == index]
    for night in (False, True):
        if load is None:
            amps, missing = total_amps(below, night)
        else:
            amps, missing = _amps_at(network, load, night, volts), load.missing(night)
        if amps is None:
            state.lacks(night, missing)
        else:
            state.put(night, volts, amps)
    state.collapsed_day = state.collapsed_night = False
    state.margin, state.margin_least, state.missing_margin = math.inf, math.inf, ()


def _amps_at(network: Network, load: Load, night: bool, volts: float) -> float | None:
    """Current of a load at known volts; None where its watts are not known."""
    watts = load.watts(night)
    if watts is None:
        return None
    power, amps, siemens = drawn(network, load, watts)
    return power / volts + amps + siemens * volts


def drawn(network: Network, load: Load, watts: float) -> tuple[float, float, float]:
    """Watts (volt-amperes on alternating current), amps and siemens that stand for a load of `watts`."""
    factor = power_factor(network, load)
    if load.kind == CONSTANT_POWER:
        return watts / factor, 0.0, 0.0
    volts = load.volts or 1.0
    if load.kind == "constant-current":
        return 0.0, watts / (volts * factor), 0.0
    return 0.0, 0.0, watts / (volts * volts)


def power_factor(network: Network, load: Load | None) -> float:
    """1 on direct current; else what the part states, or what is assumed."""
    if not network.alternating or load is None:
        return 1.0
    return network.power_factor if load.power_factor is None else load.power_factor


def total_amps(states: Iterable[State], night: bool) -> tuple[float | None, tuple[str, ...]]:
    """Sum of currents (magnitudes, so on alternating current never too small), or what would supply it."""
    total = 0.0
    missing: list[str] = []
    for state in states:
        amps = state.amps(night)
        if amps is None:
            missing += state.missing_night if night else state.missing_day
        else:
            total += amps
    return (None, tuple(dict.fromkeys(missing))) if missing else (total, ())


def _solve_single(network: Network, index: int, state: State) -> bool:
    """One constant-power load alone behind known resistance: closed form. False where it is no such case.

    A group of one node hangs on the supply itself where that has resistance, else on what is at its volts.
    """
    load, ohm, inner = network.loads[index], network.ohms[index], network.source_ohm
    if load is None or ohm is None or inner is None or network.alternating or load.kind != CONSTANT_POWER:
        return False
    ohm += inner
    source = network.source_volts
    limit = most_watts(source, ohm)
    for night, watts in ((False, load.day), (True, load.night)):
        if watts is None:
            state.lacks(night, load.missing(night))
            continue
        volts = constant_power_volts(source, ohm, watts)
        state.put(night, volts or 0.0, watts / (volts or network.volts_asked))
        state.put_limit(night, volts is None, limit / watts if watts > 0.0 else math.inf)
    return True


@dataclass(slots=True, eq=False, repr=False)
class _Arrays:
    """Lists for the physics: the nodes that are solved, by their index in the network (-1: a stand-in)."""

    nodes: list[int]
    parents: list[int]
    ohms: list[float]
    watts: list[float]
    amps: list[float]
    siemens: list[float]
    factors: list[float]


class _Group:
    """Nodes that depend on each other, in one season."""

    def __init__(self, network: Network, group: list[int], states: list[State], night: bool) -> None:
        self.network = network
        self.group = group
        self.states = states
        self.night = night

    def solve(self) -> None:
        """Set volts, amps and, by night, collapse and margin of the nodes; or what they lack."""
        missing = self._missing()
        if missing and not self._separable():
            for index in self.group:
                self.states[index].lacks(self.night, missing)
            self._constant_currents()
            return
        beyond = self._beyond()
        for index, lacking in beyond.items():
            self.states[index].lacks(self.night, lacking)
        if beyond:
            self._constant_currents()
        if len(beyond) < len(self.group):
            self._solve_known(self._arrays(beyond), missing)

    def _missing(self) -> tuple[str, ...]:
        """Everything that the group lacks in this season, in order."""
        found: list[str] = list(self.network.source_missing)
        for index in self.group:
            found += self.network.ohms_missing[index]
            load = self.network.loads[index]
            if load is not None and load.watts(self.night) is None:
                found += load.missing(self.night)
        return tuple(dict.fromkeys(found))

    def _separable(self) -> bool:
        """Only resistances are missing, and behind them lies nothing but constant direct current."""
        network = self.network
        if network.source_missing or network.alternating:
            return False
        beyond = self._beyond()
        for index in self.group:
            load = network.loads[index]
            if load is None:
                continue
            watts = load.watts(self.night)
            if watts is None or (index in beyond and watts and load.kind != "constant-current"):
                return False
        return True

    def _beyond(self) -> dict[int, tuple[str, ...]]:
        """Nodes behind an unknown resistance, and what would supply it."""
        found: dict[int, tuple[str, ...]] = {}
        for index in self.group:
            lacking = found.get(self.network.parents[index], ()) + tuple(self.network.ohms_missing[index])
            if lacking:
                found[index] = lacking
        return found

    def _constant_currents(self) -> None:
        """A constant-current load draws its current whatever the voltage: that much is known."""
        for index in self.group:
            load, state = self.network.loads[index], self.states[index]
            if load is not None and load.kind == "constant-current":
                amps = drawn(self.network, load, load.watts(self.night) or 0.0)[1]
                if self.night and load.night is not None:
                    state.amps_night = amps
                elif not self.night and load.day is not None:
                    state.amps_day = amps

    def _arrays(self, beyond: dict[int, tuple[str, ...]]) -> _Arrays:
        """Known nodes as lists; the constant current of those beyond is drawn where their branch leaves."""
        arrays = _Arrays([], [], [], [], [], [], [])
        place: dict[int, int] = {}
        lumped: dict[int, float] = {}
        for index in self.group:
            load = self.network.loads[index]
            watts = 0.0 if load is None else load.watts(self.night) or 0.0
            figures = (0.0, 0.0, 0.0) if load is None else drawn(self.network, load, watts)
            if index in beyond:
                at = self._leaving(index, beyond)
                lumped[at] = lumped.get(at, 0.0) + figures[1]
                continue
            place[index] = len(arrays.nodes)
            parent = place.get(self.network.parents[index], -1)
            self._append(
                arrays, index, parent, self.network.ohms[index] or 0.0, figures, power_factor(self.network, load)
            )
        for at, amps in lumped.items():
            self._append(arrays, -1, place.get(at, -1), 0.0, (0.0, amps, 0.0), 1.0)
        return arrays

    def _leaving(self, index: int, beyond: dict[int, tuple[str, ...]]) -> int:
        while index in beyond:
            index = self.network.parents[index]
        return index

    @staticmethod
    def _append(
        arrays: _Arrays, index: int, parent: int, ohm: float, figures: tuple[float, float, float], factor: float
    ) -> None:
        arrays.nodes.append(index)
        arrays.parents.append(parent)
        arrays.ohms.append(ohm)
        arrays.watts.append(figures[0])
        arrays.amps.append(figures[1])
        arrays.siemens.append(figures[2])
        arrays.factors.append(factor)

    def _solve_known(self, arrays: _Arrays, missing: tuple[str, ...]) -> None:
        volts, amps, collapsed = self._operation(arrays, 1.0)
        margin = self._margin(arrays) if collapsed or (not missing and self._decides(arrays)) else None
        if collapsed:
            amps = self._asked(arrays)
        for place, index in enumerate(arrays.nodes):
            if index >= 0:
                state = self.states[index]
                state.put(self.night, volts[place] if volts else 0.0, amps[place] if amps else 0.0)
                state.put_limit(self.night, collapsed, margin)
                if self.night:
                    state.missing_margin = missing

    def _decides(self, arrays: _Arrays) -> bool:
        """Whether the margin of this season may be the least: that of the night, and of a day on which some load draws
        more than by night.
        """
        loads = (self.network.loads[index] for index in arrays.nodes if index >= 0)
        return self.night or any((each.day or 0.0) > (each.night or 0.0) for each in loads if each is not None)

    def _asked(self, arrays: _Arrays) -> list[float]:
        """Branch amps that the watts stated would take at the volts of the source; nothing lost on the way is in them,
        and on alternating current they are magnitudes added up.
        """
        volts = self.network.volts_asked
        figures = zip(arrays.watts, arrays.amps, arrays.siemens, strict=True)
        amps = [power / volts + current + siemens * volts for power, current, siemens in figures]
        for place in range(len(amps) - 1, -1, -1):
            if arrays.parents[place] >= 0:
                amps[arrays.parents[place]] += amps[place]
        return amps

    def _operation(self, arrays: _Arrays, factor: float) -> tuple[Sequence[float], Sequence[float], bool]:
        """Volts, branch amps, and whether there is no operating point, with all loads times `factor`."""
        done = solve_ac(self._ac(arrays, factor)) if self.network.alternating else solve(self._dc(arrays, factor))
        return done.volts, done.branch_amps, done.collapsed

    def _margin(self, arrays: _Arrays) -> float:
        if self.network.alternating:
            return ac_loading_margin(self._ac(arrays, 1.0))
        return loading_margin(self._dc(arrays, 1.0))

    def _dc(self, arrays: _Arrays, factor: float) -> PowerTree:
        loads = _times(factor, arrays.watts), _times(factor, arrays.amps), _times(factor, arrays.siemens)
        source = self.network.source_volts, self.network.source_ohm or 0.0
        return PowerTree(arrays.parents, arrays.ohms, *loads, *source)

    def _ac(self, arrays: _Arrays, factor: float) -> AcTree:
        loads = _times(factor, arrays.watts), _times(factor, arrays.amps), _times(factor, arrays.siemens)
        source = self.network.source_volts, self.network.source_ohm or 0.0
        return AcTree(arrays.parents, arrays.ohms, *loads, arrays.factors, *source)


def _times(factor: float, values: list[float]) -> list[float]:
    return values if factor == 1.0 else [factor * value for value in values]
