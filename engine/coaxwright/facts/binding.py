"""From wiring to facts: makes the sheets, has each component fill its own, and keeps them in file order.

A component is one supply with all that hangs on it, or one recorder with its cameras: an edit needs to
compute no more than the components that it touches. What is computed stands in the modules of each topic.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, TypeVar

from coaxwright.facts.assumed import Ledger, Used, assumable, total
from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.makers import maker_of
from coaxwright.facts.network.network_binding import NetworkSheets, bind_network, is_networked
from coaxwright.facts.place.cabinets import bind_cabinets
from coaxwright.facts.place.copper import coppers
from coaxwright.facts.place.display import bind_monitor
from coaxwright.facts.place.surroundings import areas, endings, exposures, layings
from coaxwright.facts.power.power_trees import (
    PowerSheets,
    bind_supply,
    bind_unfed,
    bind_unpowered,
    unfed_roots,
)
from coaxwright.facts.power.standby import bind_standby
from coaxwright.facts.power.supply_sheets import make_supply
from coaxwright.facts.record.recorder_binding import bind_recorder, bind_unrecorded
from coaxwright.facts.record.upkeep import clocks, disk_risks
from coaxwright.facts.recorder_sheets import RecorderSheets
from coaxwright.facts.sheets import SHEETS, Box, Camera, Junction, Recorder, Run, Sheet, Site, Supply
from coaxwright.facts.site_counting import site_counts, site_labels
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import NetworkPath
from coaxwright.reading.collector import collector_off
from coaxwright.reading.tables import Assumption
from coaxwright.topology.source import SiteSource
from coaxwright.topology.wiring import Topology

Component = tuple[str, str]
"""What is computed as one: its kind (one of the words below), and the id or the root that it belongs to."""
SUPPLY: str = "supply"
ROOT: str = "root"
UNPOWERED: str = "unpowered"
RECORDER: str = "recorder"
UNRECORDED: str = "unrecorded"
MONITOR, NETWORK, STANDBY, CABINETS = "monitor", "network", "standby", "cabinets"


class Facts:
    """All sheets of one site by kind, in the order of the site file, and what was assumed to fill them.

    `ledgers` holds the assumptions of each component.
    """

    __slots__ = ("_by_kind", "_by_subject", "context", "ledgers")

    def __init__(self, context: Context) -> None:
        self.context = context
        self._by_kind: dict[str, list[Sheet]] = {kind: [] for kind in SHEETS}
        self._by_subject: dict[str, list[Sheet]] | None = None
        self.ledgers: dict[Component, Ledger] = {}

    def by_kind(self, kind: str) -> list[Sheet]:
        """Sheets of one kind in file order; KeyError where there is no such kind."""
        return self._by_kind[kind]

    def of(self, subject: str) -> tuple[Sheet, ...]:
        """Every sheet about one subject: a camera has its own, one of its link and one of its feed."""
        if self._by_subject is None:
            index: dict[str, list[Sheet]] = {}
            for sheets in self._by_kind.values():
                for each in sheets:
                    index.setdefault(each.subject, []).append(each)
            self._by_subject = index
        return tuple(self._by_subject.get(subject, ()))

    def sheet(self, subject: str, kind: str = "") -> Sheet | None:
        """The sheet of that subject, of that kind where one is named; the first one otherwise; None for
        none.
        """
        return next((each for each in self.of(subject) if kind in ("", each.kind)), None)

    def subjects(self) -> tuple[str, ...]:
        """Every subject path that has a sheet."""
        self.of("")
        return tuple(self._by_subject or ())

    def working(self, sheet: Sheet, field: str) -> tuple[str, ...]:
        """How a field came about, line by line; what to supply where it is not known (see `workings`)."""
        from coaxwright.facts.workings import working

        return working(self.context, sheet, field)

    @property
    def assumed(self) -> list[Used]:
        """Every default that was used, with the number of uses, in order of name."""
        return total(self.ledgers.values())

    def take_over(self, kind: str, sheets: Iterable[Sheet]) -> None:
        """Set the sheets of one kind, in file order."""
        self._by_kind[kind] = list(sheets)
        self._by_subject = None

    def keep(self, component: Component, ledger: Ledger) -> None:
        """Count a component's assumptions among those of the site."""
        self.ledgers[component] = ledger


def compute_facts(
    loaded: SiteSource,
    topology: Topology,
    memo: dict[Any, Any] | None = None,
    *,
    values: Mapping[str, Assumption] | None = None,
) -> Facts:
    """Every fact of a site that was read and wired. Missing data open the fields that need them; nothing is
    raised.

    `memo` (of an earlier context) saves working out again what follows from parts alone; it must come from
    a site with the same catalogue and the same `assume`. `values` stand in the place of what may be assumed
    on the site (see `assumable`).
    """
    with collector_off():
        context = _context(loaded, topology, {} if memo is None else memo, values)
        facts = Facts(context)
        power = [_bound(facts, *work) for work in _power_work(context)]
        recorders = [_bound(facts, *work) for work in _picture_work(context)]
        network = _network(facts)
        _collect(facts, context, power, recorders, network)
        _collect_lines(facts, recorders, network)
        return facts


_Sheets = TypeVar("_Sheets")


def _bound(facts: Facts, component: Component, bind: Callable[[Context, str], _Sheets]) -> _Sheets:
    """One component, with a ledger of its own."""
    own = facts.context.for_component()
    facts.keep(component, own.ledger)
    return bind(own, component[1])


def _power_work(context: Context) -> Iterator[tuple[Component, Any]]:
    """Every component of the power network with what computes it."""
    for name in context.supplies:
        yield (SUPPLY, name), bind_supply
    for root in unfed_roots(context):
        yield (ROOT, root), bind_unfed
    for name, camera in context.cameras.items():
        if not camera.has_power:
            yield (UNPOWERED, name), bind_unpowered


def _picture_work(context: Context) -> Iterator[tuple[Component, Any]]:
    """Every recorder, and every camera that none takes."""
    for name in context.recorders:
        yield (RECORDER, name), bind_recorder
    lists = context.topology.lists
    recorded = {path.owner for paths in lists.network_into.values() for path in paths}
    for name in context.cameras:
        if name not in lists.video and name not in recorded:
            yield (UNRECORDED, name), bind_unrecorded


def _network(facts: Facts) -> NetworkSheets:
    """The network of the site; nothing where there is none."""
    context = facts.context
    if not is_networked(context.loaded.site, context.topology.lists):
        return NetworkSheets()
    made: NetworkSheets = _bound(facts, (NETWORK, ""), bind_network)
    return made


def _context(
    loaded: SiteSource, topology: Topology, memo: dict[Any, Any], values: Mapping[str, Assumption] | None
) -> Context:
    """The sheets that exist before any component is bound."""
    model, site = loaded.site, Site()
    part = loaded.catalogue.part
    cameras = {name: _camera(name, camera, site, loaded) for name, camera in model.cameras.items()}
    recorders = {name: _recorder(name, recorder.part, site, loaded) for name, recorder in model.recorders.items()}
    supplies = {name: make_supply(name, supply, part(supply.part)) for name, supply in model.supplies.items()}
    _fill_site(site, loaded, cameras, recorders, supplies)
    junctions = {name: _junction(name) for name in model.junctions}
    ledger = Ledger(assumable(model.assume) if values is None else values)
    return Context(loaded, topology, site, cameras, recorders, supplies, junctions, ledger, memo)


def _camera(name: str, model: CameraEntry, site: Site, loaded: SiteSource) -> Camera:
    sheet = Camera()
    sheet.subject, sheet.pointer, sheet.name = f"cameras/{name}", ("cameras", name), name
    sheet.part = part_id = model.part
    maker = maker_of(part_id, loaded.catalogue.part(part_id))
    if maker:
        sheet.maker = maker
    else:
        sheet.lacks("maker", f"parts/{part_id}/maker")
    if model.label is not None:
        sheet.label = model.label
    sheet.site = site
    sheet.has_video = model.video is not None
    sheet.has_power = model.power is not None
    sheet.has_network = model.network is not None and _is_recorded(model.network, loaded)
    return sheet


def _is_recorded(way: NetworkPath, loaded: SiteSource) -> bool:
    """Whether a recorder of the site records a network camera."""
    return (way.recorder or way.into.partition("/")[0]) in loaded.site.recorders


def _junction(name: str) -> Junction:
    sheet = Junction()
    sheet.subject, sheet.pointer, sheet.name = f"junctions/{name}", ("junctions", name), name
    return sheet


def _recorder(name: str, part_id: str, site: Site, loaded: SiteSource) -> Recorder:
    sheet = Recorder()
    sheet.subject, sheet.pointer, sheet.name = f"recorders/{name}", ("recorders", name), name
    sheet.part, sheet.site = part_id, site
    maker = maker_of(part_id, loaded.catalogue.part(part_id))
    if maker:
        sheet.maker = maker
    else:
        sheet.lacks("maker", f"parts/{part_id}/maker")
    return sheet


def _fill_site(
    site: Site, loaded: SiteSource, cameras: dict[str, Camera], recorders: dict[str, Recorder],
    supplies: dict[str, Supply],
) -> None:  # fmt: skip
    model = loaded.site
    site.subject, site.pointer, site.name = "site", (), model.site
    site.video_rate = model.video_rate
    if model.retention is None:
        site.lacks("retention", "retention")
    else:
        site.retention = model.retention
    site.cameras = list(cameras.values())
    site.recorders = list(recorders.values())
    site.supplies = list(supplies.values())
    if model.growth is None:
        site.lacks("growth", "growth")
    else:
        site.growth = model.growth
    for field, found in (site_counts(model.cameras.values()) | site_labels(model.cameras.values())).items():
        setattr(site, field, found)


def _boxes(context: Context) -> list[Box]:
    """Sheets of all in-line boxes."""
    found = []
    uses = context.topology.lists.box_uses
    for name, model in context.loaded.site.boxes.items():
        sheet = Box()
        sheet.subject, sheet.pointer, sheet.name = f"boxes/{name}", ("boxes", name), name
        sheet.part, sheet.does = model.part, context.part(model.part).does
        sheet.used = len(uses.get(name, ()))
        sheet.takes_power, sheet.has_power = context.part(model.part).power is not None, model.power is not None
        found.append(sheet)
    return found


def _collect(
    facts: Facts, context: Context, power: list[PowerSheets], recorders: list[RecorderSheets], network: NetworkSheets
) -> None:
    """All sheets into the container, each kind in file order."""
    facts.take_over("site", [context.site])
    facts.take_over("camera", context.cameras.values())
    facts.take_over("recorder", context.recorders.values())
    facts.take_over("supply", context.supplies.values())
    facts.take_over("output", [each for made in power for each in made.outputs])
    facts.take_over("feed", _merged([made.feeds for made in power], context.cameras))
    facts.take_over("junction", context.junctions.values())
    facts.take_over("battery", [each for made in power for each in made.batteries])
    lit = [each for battery in facts.by_kind("battery") for each in getattr(battery, "evenings", ())]
    facts.take_over("evening", _merged([{str(each.pointer[1]): each for each in lit}], context.cameras))
    facts.take_over("device_feed", [each for made in power for each in made.device_feeds])
    facts.take_over("poe_source", [each for made in power for each in made.poe_sources])
    facts.take_over("poe_port", [each for made in power for each in made.poe_ports])
    facts.take_over("box", _boxes(context))
    facts.take_over("link", _merged([made.links for made in recorders], context.cameras))
    hops = _merged([made.hops for made in recorders], context.cameras)
    facts.take_over("hop", [hop for each in hops for hop in each])
    facts.take_over("view", _merged([made.views for made in recorders], context.cameras))
    facts.take_over("exposure", exposures(context))
    facts.take_over("laying", layings(context))
    facts.take_over("copper", coppers(context))
    facts.take_over("disk_risk", disk_risks(context))
    facts.take_over("clock", clocks(context))
    facts.take_over("ending", endings(context))
    facts.take_over("area", areas(context))
    facts.take_over("input", [each for made in recorders for each in made.inputs])
    facts.take_over("disk_group", [each for made in recorders for each in made.disks])
    runs = [*(made.runs for made in recorders), *(made.runs for made in power), network.runs]
    facts.take_over("run", _runs(runs, context))


def _collect_lines(facts: Facts, recorders: list[RecorderSheets], network: NetworkSheets) -> None:
    """Sheets of lines, screens and the network; most sites have none of them."""
    context = facts.context
    facts.take_over("serial_bus", [bus for each in recorders for bus in each.buses])
    facts.take_over("monitor", [_bound(facts, (MONITOR, name), bind_monitor) for name in context.loaded.site.monitors])
    facts.take_over("switch", network.switches)
    facts.take_over("network_port", network.ports)
    facts.take_over("network_path", network.paths)
    facts.take_over("address", network.addresses)
    facts.take_over("sheath", network.sheaths)
    _collect_standby(facts)
    _collect_cabinets(facts)


def _collect_standby(facts: Facts) -> None:
    """Sheets of what has to run without mains; most sites ask nothing of the kind."""
    site = facts.context.loaded.site
    if site.ups or any(entry.autonomy is not None for entry in site.supplies.values()):
        devices, units = _bound(facts, (STANDBY, ""), bind_standby)
        facts.take_over("standby", devices)
        facts.take_over("ups", units)


def _collect_cabinets(facts: Facts) -> None:
    """Sheets of cabinets, and the air that they make; few sites draw one."""
    if not facts.context.loaded.site.cabinets:
        return
    units: dict[str, Any] = {str(sheet.pointer[1]): sheet for sheet in facts.by_kind("ups")}
    cabinets, housed = _bound(facts, (CABINETS, ""), lambda context, _: bind_cabinets(context, units))
    facts.take_over("cabinet", cabinets)
    facts.take_over("housed", housed)
    at = {sheet.subject: sheet for sheet in housed}
    for sheet in facts.by_kind("exposure"):
        inside = at.get(sheet.subject)
        if inside is not None and sheet.known("ambient_max") is None:
            sheet.put("ambient_max", inside.known("air"), *(inside.missing("air") if inside.known("air") is None else ()))
    fill("exposure", facts.by_kind("exposure"))


def _merged(made: Iterable[dict[str, Any]], order: Iterable[str]) -> list[Any]:
    """What several components made by id, in the order of the file."""
    found: dict[str, Any] = {}
    for each in made:
        found.update(each)
    return [found[name] for name in order if name in found]


def _runs(made: list[dict[str, list[Run]]], context: Context) -> list[Run]:
    """Runs of cameras in file order (video before power), then those of other devices."""
    by_owner: dict[str, list[Run]] = {camera.subject: [] for camera in context.cameras.values()}
    for each in made:
        for owner, runs in each.items():
            by_owner.setdefault(owner, []).extend(runs)
    return [run for runs in by_owner.values() for run in runs]
