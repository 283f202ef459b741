"""Power facts: supplies, outputs, junctions, feeds and power runs, and the power fields of cameras.

`bind_supply` does one supply with all that hangs on it; `bind_unfed` and `bind_unpowered` the rest. What network
ports power is handed to `ethernet`. Nothing here judges.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.power.backup import bind_battery
from coaxwright.facts.power.ethernet import bind_poe
from coaxwright.facts.power.loads import Load, Loads
from coaxwright.facts.power.own_heat import solve_heated
from coaxwright.facts.power.power_runs import PowerRun, PowerRuns
from coaxwright.facts.power.power_sheets import (
    bind_over_coax,
    bind_wet,
    fill_camera,
    fill_device_feed,
    fill_feed,
    fill_junction,
    fill_output,
    fill_protective_device,
    fill_run,
    fill_supply_loads,
    name_collapse,
    ports_of,
)
from coaxwright.facts.power.power_solving import Network, State
from coaxwright.facts.power.protection import bind_protection, bind_start
from coaxwright.facts.power.rectifiers import bind_rectified
from coaxwright.facts.power.supply_sheets import bind_wiring_code, on_mains, volts_assumed
from coaxwright.facts.power.warm_air import bind_warm_output, bind_warm_supply
from coaxwright.facts.sheets import Battery, DeviceFeed, Feed, Junction, Output, PoePort, PoeSource, Run, Supply
from coaxwright.immutable import immutable
from coaxwright.model.site import Supply as SupplyModel
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.portable import added
from coaxwright.topology.records import CablePath, SupplyTree


@dataclass(slots=True, eq=False, repr=False)
class PowerSheets:
    """The sheets that one power component made, by owner where one is needed for their order in the file."""

    outputs: list[Output] = field(default_factory=list)
    feeds: dict[str, Feed] = field(default_factory=dict)
    runs: dict[str, list[Run]] = field(default_factory=dict)
    batteries: list[Battery] = field(default_factory=list)
    device_feeds: list[DeviceFeed] = field(default_factory=list)
    poe_sources: list[PoeSource] = field(default_factory=list)
    poe_ports: list[PoePort] = field(default_factory=list)


class Source(NamedTuple):
    """A supply as the network sees it: volts without load, and the resistance behind them; `idle` is the most that
    it gives without load, above `volts` where it keeps a battery charged.
    """

    volts: float
    ohm: float | None
    missing: tuple[str, ...]
    idle: float
    volts_full: float | None = None
    """Volts at full load, where they are others."""

    def terminal(self, amps: float) -> float:
        """Volts at its terminals at a direct current, behind its own resistance."""
        return self.volts - amps * (self.ohm or 0.0)


@immutable
class Solved:
    """What was read and solved of one tree; lists run over its paths. `source`, `network` and `states` are None and
    empty for a tree that no supply feeds.
    """

    tree: SupplyTree
    runs: list[PowerRun]
    loads: list[Load | None]
    source: Source | None = None
    network: Network | None = None
    states: Sequence[State] = ()


def solved(context: Context, name: str) -> Solved:
    """What is solved of a supply, solved once more for those who ask how: a check keeps nothing of it."""
    return _Tree(context.for_component(), context.topology.trees[name], context.supplies[name]).solve()


def laid(context: Context, tree: SupplyTree) -> Solved:
    """The paths of a tree that no supply feeds, read once more."""
    return _Tree(context.for_component(), tree, None).read()


def source_of(part_id: str, part: SupplyPart, model: SupplyModel, ledger: Ledger) -> Source:
    """No-load volts and inner resistance. A stated regulation is the rise from full load to none, of nominal:

    V0 = V + regulation x nominal, R = regulation x nominal / rated amps; `V` (trim or nominal) holds at full
    load. Without it the assumed source resistance stands. Which volts: `on_mains`.
    """
    for name in volts_assumed(model, part):
        ledger.take(name)
    if "gives" not in part.model_fields_set:
        ledger.take("power-kind")
    volts, most = on_mains(model, part)
    if part.regulation is None:
        return Source(volts, float(ledger.take("source-resistance")), (), most)
    rise = part.regulation * part.volts
    if part.amps is None and rise:
        return Source(volts + rise, None, (f"parts/{part_id}/amps",), most + rise, volts)
    return Source(volts + rise, rise / part.amps if part.amps else 0.0, (), most + rise, volts)


def bind_supply(context: Context, name: str) -> PowerSheets:
    """Solve one supply with all that hangs on it, and fill its sheets and its cameras' power fields."""
    return _Tree(context, context.topology.trees[name], context.supplies[name]).bind()


def unfed_roots(context: Context) -> list[str]:
    """Where power starts that no supply gives: junctions without a source, and devices with powered network
    ports.
    """
    drawn = context.topology.lists.device_power
    lone = [f"junctions/{name}" for name in context.loaded.site.junctions if ("junction", name) not in drawn]
    return list(dict.fromkeys([*(tree.root for tree in context.topology.unfed), *lone]))


def bind_unfed(context: Context, root: str) -> PowerSheets:
    """Sheets of all that hangs on one of `unfed_roots`, and of the junction that is the root."""
    made = PowerSheets()
    tree = context.topology.unfed_by_root.get(root)
    if tree is not None and not root.startswith("junctions/"):
        source, made.poe_ports, made.runs = bind_poe(context, tree)
        made.poe_sources.append(source)
        _fill_loads(context, tree)
        return made
    if tree is not None:
        _Tree(context, tree, None, made).bind()
    _lone_junction(context, context.junctions[root.removeprefix("junctions/")], tree)
    return made


def bind_unpowered(context: Context, name: str) -> PowerSheets:
    """Power fields of a camera for which no source of power is named."""
    camera, model = context.cameras[name], context.loaded.site.cameras[name]
    fill_camera(context, camera, Loads(context).of(model.part, model.heater, solved=False))
    camera.lacks("feed", f"cameras/{name}/power")
    return PowerSheets()


def _fill_loads(context: Context, tree: SupplyTree) -> None:
    """Power fields of the cameras of a tree that is solved elsewhere."""
    for path in tree.paths:
        if path.owner_kind == "camera":
            model = context.loaded.site.cameras[path.owner]
            fill_camera(context, context.cameras[path.owner], Loads(context).of(model.part, model.heater, solved=False))


def _lone_junction(context: Context, sheet: Junction, tree: SupplyTree | None) -> None:
    """A junction that names no source, with the tree that hangs on it."""
    sheet.powered = False
    sheet.children = len(context.topology.lists.taps.get(sheet.name, ()))
    sheet.cameras = sum(path.owner_kind == "camera" for path in tree.paths) if tree else 0
    fill_protective_device(sheet, context.loaded.site.junctions[sheet.name].protective_device)
    for each in ("source", "depth", "volts_day", "volts_night", "amps_day", "amps_night", "metres_total"):
        sheet.lacks(each, f"{sheet.subject}/power")


class _Tree:
    """One power tree on its way from paths to sheets. Lists run over the tree's paths, parents first."""

    def __init__(
        self, context: Context, tree: SupplyTree, supply: Supply | None, made: PowerSheets | None = None
    ) -> None:
        self.context = context
        self.tree = tree
        self.supply = supply
        self.made = made or PowerSheets()
        self.loads: list[Load | None] = []
        self.runs: list[PowerRun] = []

    def bind(self) -> PowerSheets:
        """Read, solve, fill."""
        supply, model = self.supply, self.context.loaded.site.supplies.get(self.tree.root)
        if supply is None or model is None:
            self.read()
            self._fill_unfed()
            return self.made
        bind_wiring_code(supply, self.context.loaded.site.wiring_code)
        done = self.solve()
        assert done.source is not None, "a supply is a source"
        assert done.network is not None, "a supply has a network"
        self._fill(supply, done.source, done.states)
        bind_rectified(done.network, done.states, self._feeds_by_node())
        battery = bind_battery(self.context, supply, model, done.network, self._feeds_by_node())
        if battery is not None:
            self.made.batteries.append(battery)
        return self.made

    def read(self) -> Solved:
        """Read alone."""
        self._read()
        return Solved(self.tree, self.runs, self.loads)

    def solve(self) -> Solved:
        """Read and solve; the tree hangs on a supply."""
        self._read()
        context, name = self.context, self.tree.root
        model = context.loaded.site.supplies[name]
        source = source_of(model.part, context.part(model.part), model, context.ledger)
        network, states = self._heat(self._network(source, context.supplies[name].gives == "ac"))
        return Solved(self.tree, self.runs, self.loads, source, network, states)

    def _feeds_by_node(self) -> dict[int, Feed]:
        """Feeds of cameras by the index of their path."""
        feeds = self.made.feeds
        return {index: feeds[path.owner] for index, path in enumerate(self.tree.paths) if path.owner_kind == "camera"}

    def _read(self) -> None:
        """Loads and resistances of every path."""
        site, loads, runs = self.context.loaded.site, Loads(self.context), PowerRuns(self.context)
        groups: dict[str, Any] = {
            "camera": site.cameras, "recorder": site.recorders, "junction": site.junctions, "box": site.boxes,
        }  # fmt: skip
        for path in self.tree.paths:
            kind, owner = path.owner_kind, path.owner
            device = groups[kind][owner]
            power = None if kind == "junction" else self.context.part(device.part).power
            run = runs.read(path, device.place, over_coax=power is not None and power.over_coax is True)
            self.runs.append(run)
            self.made.runs[path.subject] = run.runs
            if kind == "camera":
                load = loads.of(device.part, device.heater)
                self.loads.append(load)
                fill_camera(self.context, self.context.cameras[owner], load)
            else:
                self.loads.append(None if kind == "junction" else loads.of(device.part))

    def _network(self, source: Source, alternating: bool) -> Network:
        factor = 1.0
        if alternating:
            stated = [load.power_factor is not None for load in self.loads if load is not None]
            if not all(stated):
                factor = float(self.context.ledger.take("power-factor", stated.count(False)))
        return Network(
            self.tree.parents,
            [run.ohms for run in self.runs],
            [run.missing_ohms for run in self.runs],
            self.loads,
            source.volts,
            source.ohm,
            source.missing,
            alternating,
            factor,
            source.volts_full,
        )

    def _heat(self, network: Network) -> tuple[Network, list[State]]:
        """The network solved with its conductors as warm as their own currents make them."""
        network, states, extra = solve_heated(network, [[each for each, _ in run.heated] for run in self.runs])
        for run, ohms, kelvin in zip(self.runs, network.ohms, extra, strict=True):
            run.ohms = ohms
            for (_, sheet), more in zip(run.heated, kelvin, strict=True):
                sheet.temperature += more
                run.temperature = max(run.temperature or 0.0, sheet.temperature)
        return network, states

    def _fill(self, supply: Supply, source: Source, states: Sequence[State]) -> None:
        supply.recorders_fed = sorted(path.owner for path in self.tree.paths if path.owner_kind == "recorder")
        totals = _Totals(self.tree.parents, self.runs)
        outputs = self._outputs(supply, totals, states)
        for index, (path, state) in enumerate(zip(self.tree.paths, states, strict=True)):
            if path.owner_kind == "camera":
                feed = self._feed(index, path, totals)
                feed.source, feed.output = supply, outputs[totals.roots[index]]
                feed.output.feeds.append(feed)
                fill_feed(feed, source.volts, source.idle, state)
            elif path.owner_kind == "junction":
                self._junction(index, path, totals, supply, state)
            else:
                self._device(index, path, totals, supply, source.idle, state)
            for run in self.runs[index].runs:
                fill_run(run, state)
        self._name_collapse(states)
        self.made.outputs = list(dict.fromkeys(outputs.values()))
        bind_protection(self.tree, self.runs, outputs, self.context.loaded.site.junctions)
        part, place = self.context.part(supply.part), self.context.loaded.site.supplies[supply.name].place
        bind_warm_supply(self.context, supply, part, place)
        for output in self.made.outputs:
            bind_warm_output(self.context, output)
        bind_start(self.tree, self.runs, self.loads, outputs, supply, source.volts, source.ohm)
        roots = [state for state, parent in zip(states, self.tree.parents, strict=True) if parent < 0]
        fill_supply_loads(supply, self.made.outputs, roots, states)
        fill("output", self.made.outputs)
        fill("supply", [supply])
        self._watts(supply, source, states)

    def _name_collapse(self, states: Sequence[State]) -> None:
        """Who tells of each collapse: looked for only where something goes dark."""
        dark = any(state.collapsed for state in states)
        if not dark and not self.made.device_feeds:
            return
        groups = {path.subject: state.group for path, state in zip(self.tree.paths, states, strict=True)}
        devices = [(feed, groups[feed.subject]) for feed in self.made.device_feeds]
        made, site = self.made, self.context.loaded.site
        order = sorted((ports_of(site.cameras[name]), name) for name in made.feeds)
        cameras = [made.feeds[name] for _, name in order]
        name_collapse([(feed, groups[feed.subject]) for feed in cameras], devices)

    def _watts(self, supply: Supply, source: Source, states: Sequence[State]) -> None:
        """Power by night: terminal volts times amps; on alternating current the loads' power and what runs
        lose. Where something has no working voltage: what is asked for, times the volts that it is asked at.
        """
        amps = supply.known("amps_night")
        if amps is None or source.ohm is None:
            supply.lacks("watts_night", *supply.missing("amps_night"))
        elif any(state.collapsed_night for state in states):
            supply.watts_night = supply.volts * amps
        elif supply.gives == "ac":
            drawn = added(load.night or 0.0 for load in self.loads if load is not None)
            lost = added((run.ohms or 0.0) * ((a := s.amps_night or 0.0) * a) for run, s in zip(self.runs, states, strict=True))
            supply.watts_night = drawn + lost
        else:
            supply.watts_night = source.terminal(amps) * amps

    def _outputs(self, supply: Supply, totals: _Totals, states: Sequence[State]) -> dict[int, Output]:
        """The sheet of every output that is named, by the index of each path joined to it."""
        by_number: dict[int, list[int]] = {}
        for index, (path, parent) in enumerate(zip(self.tree.paths, self.tree.parents, strict=True)):
            if parent < 0 and path.target is not None:
                by_number.setdefault(path.target.number, []).append(index)
        cameras = totals.below(self.tree.paths)
        part = self.context.part(supply.part)
        found: dict[int, Output] = {}
        for number, indices in by_number.items():
            named_at = (*self.tree.paths[indices[0]].pointer, "from")
            output = fill_output(supply, part, number, [states[index] for index in indices], named_at)
            output.cameras = sum(cameras[index] for index in indices)
            found.update(dict.fromkeys(indices, output))
        return found

    def _feed(self, index: int, path: CablePath, totals: _Totals) -> Feed:
        """The sheet of a camera's feed with all that does not depend on the source."""
        feed, run, load = Feed(), self.runs[index], self.context.cameras[path.owner]
        feed.subject, feed.pointer, feed.load = path.subject, path.pointer, load
        load.feed = self.made.feeds[path.owner] = feed
        camera = self.context.loaded.site.cameras[path.owner]
        bind_wet(feed, camera.place)
        bind_over_coax(self.context, feed, camera.part, path.hops)
        target = path.target
        feed.own_output = target is not None and target.kind == "supply-out"
        if target is not None and target.kind == "junction-tap":
            feed.junction = self.context.junctions[target.device]
        totals.put(feed, index)
        for name, value, missing in (
            ("metres", run.metres, run.missing_metres),
            ("ohms", run.ohms, run.missing_ohms),
            ("cable", run.cable, run.missing_metres),
            ("conductor_size", run.size, run.missing_size),
            ("temperature", run.temperature, run.missing_ohms),
        ):
            if value is None:
                feed.lacks(name, *missing)
            else:
                setattr(feed, name, value)
        return feed

    def _device(self, index: int, path: CablePath, totals: _Totals, supply: Supply, idle: float, state: State) -> None:
        """The sheet of a recorder's or a box's way to its power."""
        site, feed, load = self.context.loaded.site, DeviceFeed(), self.loads[index]
        part_id = (site.recorders if path.owner_kind == "recorder" else site.boxes)[path.owner].part
        feed.subject, feed.pointer, feed.name, feed.source = path.subject, path.pointer, path.owner, supply
        if load is None or load.night is None:
            feed.lacks("watts_night", *(() if load is None else load.missing_night))
        else:
            feed.watts_night = load.night
        totals.put(feed, index)
        fill_device_feed(feed, part_id, self.context.part(part_id).power, idle, state)
        self.made.device_feeds.append(feed)

    def _junction(
        self, index: int, path: CablePath, totals: _Totals, supply: Supply | None, state: State | None
    ) -> None:
        sheet = self.context.junctions[path.owner]
        sheet.powered = True
        sheet.children = len(self.context.topology.lists.taps.get(path.owner, ()))
        sheet.cameras = totals.below(self.tree.paths)[index]
        sheet.depth = totals.depths[index]
        if supply is not None:
            sheet.source = supply
        metres = totals.metres[index]
        if metres is None:
            sheet.lacks("metres_total", *totals.missing_metres[index])
        else:
            sheet.metres_total = metres
        fill_protective_device(sheet, self.context.loaded.site.junctions[path.owner].protective_device)
        if state is not None:
            fill_junction(sheet, state)

    def _fill_unfed(self) -> None:
        """Feeds below a root that is no supply: what does not depend on it, and what would have to be
        supplied.
        """
        totals = _Totals(self.tree.parents, self.runs)
        missing = f"{self.tree.root}/power"
        for index, path in enumerate(self.tree.paths):
            if path.owner_kind == "camera":
                _lack_all(self._feed(index, path, totals), _UNFED, missing)
            elif path.owner_kind == "junction":
                self._junction(index, path, totals, None, None)
                _lack_all(self.context.junctions[path.owner], _UNFED_JUNCTION, missing)
            for run in self.runs[index].runs:
                run.lacks("amps_day", missing)
                run.lacks("amps_night", missing)


def _lack_all(sheet: Feed | Junction, fields: Iterable[str], missing: str) -> None:
    for each in fields:
        sheet.lacks(each, missing)


_UNFED_JUNCTION = ("source", "volts_day", "volts_night", "amps_day", "amps_night")
_UNFED = (
    *_UNFED_JUNCTION, "output", "volts_idle", "drop_night", "collapsed", "collapsed_by_day", "collapsed_by_night",
    "speaks_for_collapse", "margin_night", "margin_least", "kinds_meet",
)  # fmt: skip


class _Totals:
    """Sums from every node back to the source, and counts of what hangs below."""

    def __init__(self, parents: Sequence[int], runs: Sequence[PowerRun]) -> None:
        self.parents = parents
        self.roots: list[int] = []
        self.depths: list[int] = []
        self.metres: list[float | None] = []
        self.ohms: list[float | None] = []
        self.missing_metres: list[tuple[str, ...]] = []
        self.missing_ohms: list[tuple[str, ...]] = []
        self._below: list[int] | None = None
        for index, (parent, run) in enumerate(zip(parents, runs, strict=True)):
            if parent < 0:
                self._add(index, 0, run.metres, run.ohms, run.missing_metres, run.missing_ohms)
            else:
                self._add(
                    self.roots[parent],
                    self.depths[parent] + 1,
                    _plus(self.metres[parent], run.metres),
                    _plus(self.ohms[parent], run.ohms),
                    self.missing_metres[parent] + run.missing_metres,
                    self.missing_ohms[parent] + run.missing_ohms,
                )

    def _add(
        self, root: int, depth: int, metres: float | None, ohms: float | None,
        missing_metres: tuple[str, ...], missing_ohms: tuple[str, ...],
    ) -> None:  # fmt: skip
        self.roots.append(root)
        self.depths.append(depth)
        self.metres.append(metres)
        self.ohms.append(ohms)
        self.missing_metres.append(missing_metres)
        self.missing_ohms.append(missing_ohms)

    def below(self, paths: Sequence[CablePath]) -> list[int]:
        """Cameras at or below every node."""
        if self._below is None:
            counts = [int(path.owner_kind == "camera") for path in paths]
            for index in range(len(counts) - 1, -1, -1):
                parent = self.parents[index]
                if parent >= 0:
                    counts[parent] += counts[index]
            self._below = counts
        return self._below

    def put(self, feed: Feed | DeviceFeed, index: int) -> None:
        """Length and resistance back to the supply."""
        metres, ohms = self.metres[index], self.ohms[index]
        if metres is None:
            feed.lacks("metres_total", *self.missing_metres[index])
        else:
            feed.metres_total = metres
        if ohms is None:
            feed.lacks("ohms_total", *self.missing_ohms[index])
        else:
            feed.ohms_total = ohms


def _plus(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other
