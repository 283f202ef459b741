"""Power over Ethernet: one switch or recorder with all that its network ports power.

Every port is a run of its own, so each is solved in closed form (`rules/facts/poe_port.yaml`) at the least voltage that
its type of source may give. Classes and types are tables. Networks as such are not looked at here.
"""

from __future__ import annotations

from typing import Any, NamedTuple, cast

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.power.cable_ohms import conductor_ohms
from coaxwright.facts.power.loads import Load, Loads
from coaxwright.facts.power.power_runs import PowerRun, PowerRuns
from coaxwright.facts.power.power_sheets import fill_protective_device
from coaxwright.facts.sheets import PoePort, PoeSource, Run, Sheet
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import Place
from coaxwright.model.wiring_parts import SwitchPart
from coaxwright.reading.tables import Row, load_table
from coaxwright.topology.records import CablePath, SupplyTree

POE = "poe"
TWO_PAIRS = 2
MEASURED_OHMS = 0.0938
"""ohm/m of a conductor of the measured bundle: TIA-568-C.2, greatest of category 5e."""


class Giver(NamedTuple):
    """What a switch or a recorder states of its powered ports, with the place of each in the part."""

    ports: int | None
    watts: float | None
    highest: int | None
    at: str


def giver_of(part_id: str, part: RecorderPart | SwitchPart) -> Giver:
    """The powered ports of a switch or recorder part."""
    stated = part if part.kind == "switch" else part.network
    at = f"parts/{part_id}" + ("" if part.kind == "switch" else "/network")
    if stated is None:
        return Giver(None, None, None, at)
    return Giver(stated.poe_ports, stated.poe_watts, stated.poe_class_port, at)


def bind_poe(context: Context, tree: SupplyTree) -> tuple[PoeSource, list[PoePort], dict[str, list[Run]]]:
    """Sheets of a device that gives power over Ethernet: itself, its ports in use, and runs by owner."""
    group, _, name = tree.root.partition("/")
    model = getattr(context.loaded.site, group)[name]
    giver = giver_of(model.part, context.part(model.part))
    source = PoeSource()
    source.subject, source.pointer = tree.root, (group, name)
    source.name, source.part, source.members = name, model.part, []
    _put(source, "ports", giver.ports, f"{giver.at}/poe_ports")
    _put(source, "watts_max", giver.watts, f"{giver.at}/poe_watts")
    runs: dict[str, list[Run]] = {}
    for number, paths in _by_port(tree).items():
        source.members.append(_Port(context, source, giver, paths[0]).bind(number, len(paths), runs))
    _open_beyond(context, tree, runs)
    fill("poe_source", [source])
    return source, source.members, runs


def _put(sheet: Sheet, field: str, value: object, *missing: str) -> None:
    if value is None:
        sheet.lacks(field, *missing)
    else:
        setattr(sheet, field, value)


def _by_port(tree: SupplyTree) -> dict[int, list[CablePath]]:
    """Paths by port number, in the order of the file."""
    found: dict[int, list[CablePath]] = {}
    for path, parent in zip(tree.paths, tree.parents, strict=True):
        if parent < 0 and path.target is not None:
            found.setdefault(path.target.number, []).append(path)
    return found


def _open_beyond(context: Context, tree: SupplyTree, runs: dict[str, list[Run]]) -> None:
    """Cameras have no feed here; what hangs on a junction, or as a second device on a port, has no power."""
    powered = {path.subject for paths in _by_port(tree).values() for path in paths[:1]}
    below = cameras_below(tree)
    for index, path in enumerate(tree.paths):
        if path.owner_kind == "camera":
            context.cameras[path.owner].lacks("feed", f"{path.subject}/power/from")
        elif path.owner_kind == "junction":
            sheet = context.junctions[path.owner]
            sheet.powered, sheet.children = True, len(context.topology.lists.taps.get(path.owner, ()))
            sheet.cameras = below[index]
            fill_protective_device(sheet, context.loaded.site.junctions[path.owner].protective_device)
            for field in ("source", "depth", "volts_day", "volts_night", "amps_day", "amps_night", "metres_total"):
                sheet.lacks(field, f"{path.subject}/power/from")
        if path.subject not in powered:
            made = PowerRuns(context).read(path, _place(context, path)).runs
            runs.setdefault(path.subject, []).extend(made)
            for run in made:
                for field in ("amps_day", "amps_night"):
                    run.lacks(field, f"{path.subject}/power/from")


def cameras_below(tree: SupplyTree) -> list[int]:
    """Cameras at or below every path of a tree, whose parents stand before their children."""
    counts = [int(path.owner_kind == "camera") for path in tree.paths]
    for index in range(len(counts) - 1, -1, -1):
        if tree.parents[index] >= 0:
            counts[tree.parents[index]] += counts[index]
    return counts


def _place(context: Context, path: CablePath) -> Place | None:
    """Where the device at the end of a path stands."""
    group, name = path.subject.split("/")
    place: Place | None = getattr(context.loaded.site, group)[name].place
    return place


class _Port:
    """One port in use, from its path to its sheet."""

    def __init__(self, context: Context, source: PoeSource, giver: Giver, path: CablePath) -> None:
        self.context, self.source, self.giver, self.path = context, source, giver, path
        self.sheet = PoePort()

    def bind(self, number: int, devices: int, runs: dict[str, list[Run]]) -> PoePort:
        """The sheet of the port; runs of its cable are added to `runs`."""
        sheet, path = self.sheet, self.path
        sheet.subject, sheet.pointer = f"{self.source.subject}/{number}", (*path.pointer, "from")
        sheet.source, sheet.number, sheet.devices = self.source, number, devices
        sheet.device, sheet.name = path.subject, path.owner
        load = self._load()
        self._device(load)
        own = self._classes()
        self._cable(own, runs)
        self._flow(own, runs)
        return sheet

    def _load(self) -> Load:
        """What the device draws, the loss of a converter on its cable added where there is one."""
        group, name = self.path.subject.split("/")
        device = getattr(self.context.loaded.site, group)[name]
        if self.path.owner_kind == "junction":
            return Load("constant-power", None, None, None, None, (), ())
        loads = Loads(self.context)
        load = loads.of(device.part, getattr(device, "heater", None), solved=False)
        converter = self._converter()
        if converter is None:
            return load
        own = loads.of(converter, solved=False)
        return _with_converter(load, own)

    def _converter(self) -> str | None:
        """The part of a box on the cable that takes power over Ethernet for the device."""
        for hop in self.path.hops or ():
            part_id = None if hop.box is None else self.context.loaded.site.boxes[hop.box].part
            power = None if part_id is None else self.context.part(part_id).power
            if power is not None and power.kind == POE:
                return part_id
        return None

    def _device(self, load: Load) -> None:
        """What stands at the far end: kind of input, class, watts."""
        sheet = self.sheet
        _put(sheet, "watts_day", load.day, *load.missing_day)
        _put(sheet, "watts_night", load.night, *load.missing_night)
        part_id = self._converter()
        if part_id is None and self.path.owner_kind != "junction":
            group, name = self.path.subject.split("/")
            part_id = getattr(self.context.loaded.site, group)[name].part
        if part_id is None:
            sheet.takes_poe = False
            sheet.lacks("device_class", f"{self.path.subject}/power/from")
            return
        power = self.context.part(part_id).power
        if power is None:
            sheet.lacks("takes_poe", f"parts/{part_id}/power")
            sheet.lacks("device_class", f"parts/{part_id}/power")
        else:
            sheet.takes_poe = power.kind == POE
            _put(sheet, "device_class", power.poe_class, f"parts/{part_id}/power/poe_class")

    def _classes(self) -> Row | None:
        """What the classes of device and port say; the row of the device's class."""
        sheet, classes = self.sheet, load_table("poe-classes")
        number = sheet.known("device_class")
        row: Row | None = None if number is None else classes.row(number)
        for field, column in _OF_CLASS:
            _put(sheet, field, None if row is None else row[column], *sheet.missing("device_class"))
        _put(sheet, "volts_min", None if row is None else row["device_volts_min"], *sheet.missing("device_class"))
        highest = self.giver.highest
        port = None if highest is None else classes.row(highest)
        _put(sheet, "port_class", highest, f"{self.giver.at}/poe_class_port")
        _put(sheet, "watts_port", None if port is None else port["source_watts"], f"{self.giver.at}/poe_class_port")
        _put(sheet, "volts", None if port is None else _type(port)["source_volts_min"], f"{self.giver.at}/poe_class_port")
        if row is None:
            sheet.lacks("pairs_needed", *sheet.missing("device_class"))
        else:
            sheet.pairs_needed = _type(row)["pairs"]
        return row

    def _cable(self, row: Row | None, runs: dict[str, list[Run]]) -> None:
        """Length, loop resistance of the powered pairs, and pairs that there are."""
        sheet, path = self.sheet, self.path
        pairs = TWO_PAIRS if row is None else sheet.pairs_needed
        run = PowerRuns(self.context).read(path, _place(self.context, path), pairs)
        runs.setdefault(path.subject, []).extend(run.runs)
        _put(sheet, "metres", run.metres, *run.missing_metres)
        lacking = run.missing_ohms if row is not None else (*run.missing_ohms, *sheet.missing("device_class"))
        _put(sheet, "ohms", None if lacking else run.ohms, *lacking)
        self._pairs(run)
        self._bundle()

    def _bundle(self) -> None:
        """The largest bunch that the cable lies in, and the largest resistance of a conductor against the measured one."""
        sheet, given = self.sheet, cast(Any, self.sheet)
        hops = [hop for hop in self.path.hops or () if hop.cable is not None]
        if not hops:
            for field in ("bunched", "bundle", "wire_factor"):
                sheet.lacks(field, f"{self.path.subject}/power/over")
            return
        given.bundle = max(hop.bunched or 1 for hop in hops)
        sheet.bunched = given.bundle > 1
        known = {str(hop.cable): conductor_ohms(self.context.part(str(hop.cable))) for hop in hops}
        missing = [f"parts/{cable}/{name}" for cable, each in known.items() for name in each.missing]
        factors = [each.ohm_per_m / MEASURED_OHMS for each in known.values() if each.ohm_per_m is not None]
        _put(sheet, "wire_factor", None if missing or not factors else max(factors), *missing)

    def _pairs(self, run: PowerRun) -> None:
        """The fewest pairs of any run of the cable."""
        cables = [each.cable for each in run.runs]
        counts = {cable: self.context.part(cable).pairs for cable in cables}
        missing = [f"parts/{cable}/pairs" for cable, count in counts.items() if count is None]
        if missing or not cables:
            self.sheet.lacks("pairs", *(missing or run.missing_metres))
        else:
            self.sheet.pairs = min(count for count in counts.values() if count is not None)

    def _flow(self, row: Row | None, runs: dict[str, list[Run]]) -> None:
        """Least volts at the device by night, and what the port gives for it."""
        sheet = self.sheet
        fill("poe_port", [sheet])
        for run in runs[self.path.subject]:
            if sheet.known("watts_given") is None:
                for field in ("amps_day", "amps_night"):
                    run.lacks(field, *sheet.missing("watts_given"))
            else:
                run.amps_day = run.amps_night = sheet.watts_given / sheet.volts
            if row is None:
                for field in ("amps_protective", "amps_opening"):
                    run.lacks(field, *sheet.missing("device_class"))
            else:
                run.amps_protective = run.amps_opening = _type(row)["amps"] * sheet.pairs_needed / TWO_PAIRS


_OF_CLASS = (("watts_allotted", "source_watts"), ("watts_class", "device_watts"), ("ohms_max", "channel_ohms"))


def _type(row: Row) -> Row:
    """The type that a class belongs to."""
    return load_table("poe-types").row(row["type"])


def _with_converter(load: Load, own: Load) -> Load:
    """A load with what a converter before it uses itself added."""
    day = None if load.day is None or own.day is None else load.day + own.day
    night = None if load.night is None or own.night is None else load.night + own.night
    missing = load.missing_day + own.missing_day, load.missing_night + own.missing_night
    return load._replace(day=day, night=night, missing_day=missing[0], missing_night=missing[1])
