"""The network of a site as one component: switches, ports in use, ways of cable, addresses, shared jackets.

Made after all recorders, whose cameras' bit rates it sums. A site without networks has none of it.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from itertools import chain
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.network.sheath_binding import bind_sheath
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.picture.path_binding import PathBinder
from coaxwright.facts.picture.signal_cache import memory_of
from coaxwright.facts.sheets import Address, NetworkPath, NetworkPort, Run, Sheath, Switch
from coaxwright.model.site import Site as SiteEntry
from coaxwright.model.wiring_parts import SwitchPart
from coaxwright.portable import added
from coaxwright.topology.records import CablePath, Lists, Port

_ADDRESSED = ("recorders", "switches", "cameras")
"""Whose address counts as the first where two have the same."""
_SHOWN: tuple[str | int, ...] = ("cameras", "recorders", "switches")


@dataclass(slots=True, eq=False, repr=False)
class NetworkSheets:
    """Sheets of the network. `runs` by subject path of the owner."""

    switches: list[Switch] = field(default_factory=list)
    ports: list[NetworkPort] = field(default_factory=list)
    paths: list[NetworkPath] = field(default_factory=list)
    addresses: list[Address] = field(default_factory=list)
    sheaths: list[Sheath] = field(default_factory=list)
    runs: dict[str, list[Run]] = field(default_factory=dict)


def is_networked(site: SiteEntry, lists: Lists) -> bool:
    """Whether the site has anything that only shows when all of it is looked at together."""
    return bool(site.switches or lists.network or lists.sheaths or next(_addressed(site), None))


def _addressed(site: SiteEntry) -> Iterator[tuple[str, str, str]]:
    for group in _ADDRESSED:
        for name, entry in getattr(site, group).items():
            if entry.network_address is not None:
                yield group, name, entry.network_address


def bind_network(context: Context, _: str) -> NetworkSheets:
    """All sheets of the network."""
    lists, made = context.topology.lists, NetworkSheets()
    paths = [*lists.network.values(), *lists.uplinks.values()]
    ports = [_port(context, port, joined) for port, joined in _by_port(paths).items()]
    made.ports = sorted(ports, key=_device_order(context))
    made.paths = [_path(context, path) for path in paths]
    made.switches = [_Tree(context).switch(name) for name in context.loaded.site.switches]
    fill("network_port", made.ports)
    fill("switch", made.switches)
    made.addresses = sorted(_addresses(context.loaded.site), key=lambda each: _SHOWN.index(each.pointer[0]))
    made.sheaths = [bind_sheath(context, name, uses) for name, uses in lists.sheaths.items()]
    _bind_uplink_runs(context, made)
    return made


def _device_order(context: Context) -> Callable[[NetworkPort], int]:
    """Recorders before switches, each in file order."""
    site = context.loaded.site
    order = {name: place for place, name in enumerate((*site.recorders, *site.switches))}
    return lambda port: order[port.device]


def _by_port(paths: Iterable[CablePath]) -> dict[Port, list[CablePath]]:
    found: dict[Port, list[CablePath]] = {}
    joined = ((path.target, path) for path in paths if path.target is not None)
    for target, path in joined:
        found.setdefault(target, []).append(path)
    return found


def _ports_of(context: Context, port: Port) -> tuple[int | None, str]:
    """How many ports of that kind a device has, and where its part states it."""
    site = context.loaded.site
    if port.device_kind == "switch":
        part_id = site.switches[port.device].part
        part = context.part(part_id)
        return part.ports + part.uplinks, f"parts/{part_id}/ports"
    part_id = site.recorders[port.device].part
    network = context.part(part_id).network
    name = "poe_ports" if port.kind == "poe-port" else "ports"
    return getattr(network, name, None), f"parts/{part_id}/network/{name}"


def _port(context: Context, port: Port, joined: list[CablePath]) -> NetworkPort:
    sheet = NetworkPort()
    word = {"network": "net", "poe-port": "poe"}[port.kind] if port.device_kind == "recorder" else ""
    group = "switches" if port.device_kind == "switch" else "recorders"
    sheet.subject = f"{group}/{port.device}/{word}{port.number}"
    sheet.pointer = (*joined[-1].pointer, "into")
    sheet.device, sheet.number, sheet.cables = port.device, port.number, len(joined)
    sheet.part = getattr(context.loaded.site, group)[port.device].part
    sheet.owners = ", ".join(path.owner for path in joined)
    ports, at = _ports_of(context, port)
    if ports is None:
        sheet.lacks("ports", at)
    else:
        sheet.ports = ports
    return sheet


def _path(context: Context, path: CablePath) -> NetworkPath:
    sheet = NetworkPath()
    sheet.subject, sheet.pointer, sheet.owner = path.subject, path.pointer, path.owner
    target = path.target
    sheet.port = "" if target is None else f"{target.device}/{target.number}"
    hops, boxes = path.hops, context.loaded.site.boxes
    at = "/".join(map(str, path.pointer)) + "/over"
    if hops is None:
        lack(sheet, ("metres", "coax", "converters"), (at,))
        return sheet
    sheet.coax = any("coax" in context.part(hop.cable).carries for hop in hops if hop.cable is not None)
    sheet.converters = sum(context.part(boxes[hop.box].part).does == "converter" for hop in hops if hop.box is not None)
    missing = [f"{at}/{index}/length" for index, hop in enumerate(hops) if hop.box is None and hop.metres is None]
    if missing:
        lack(sheet, ("metres",), tuple(missing))
    else:
        sheet.metres = added(hop.metres or 0.0 for hop in hops)
    return sheet


class _Tree:
    """The tree of switches: who hangs on whom."""

    def __init__(self, context: Context) -> None:
        self.context, self.lists = context, context.topology.lists
        self.below: dict[str, list[CablePath]] = {}
        for path in chain(self.lists.network.values(), self.lists.uplinks.values()):
            if path.target is not None and path.target.device_kind == "switch":
                self.below.setdefault(path.target.device, []).append(path)

    def switch(self, name: str) -> Switch:
        """The sheet of one switch."""
        sheet = Switch()
        entry = self.context.loaded.site.switches[name]
        part = self.context.part(entry.part)
        sheet.subject, sheet.pointer, sheet.name, sheet.part = f"switches/{name}", ("switches", name), name, entry.part
        sheet.has_uplink = name in self.lists.uplinks
        sheet.ports = part.ports + part.uplinks
        sheet.ports_used = len({path.target for path in self.below.get(name, ())}) + sheet.has_uplink
        cameras = list(self._cameras(name))
        sheet.cameras = len(cameras)
        missing = [path for camera in cameras if camera.known("bitrate") is None for path in camera.missing("bitrate")]
        if missing:
            lack(sheet, ("load",), tuple(missing))
        else:
            sheet.load = added(camera.bitrate for camera in cameras)
        self._bind_rate(sheet, entry.part, part)
        return sheet

    def _bind_rate(self, sheet: Switch, part_id: str, part: SwitchPart) -> None:
        """An uplink port where there is one, an ordinary port otherwise."""
        field_name = "uplink_rate" if part.uplinks else "port_rate"
        rate = getattr(part, field_name)
        if rate is None:
            lack(sheet, ("uplink_rate",), (f"parts/{part_id}/{field_name}",))
        else:
            sheet.uplink_rate = rate

    def _cameras(self, name: str) -> Iterator[Any]:
        for path in self.below.get(name, ()):
            if path.owner_kind == "switch":
                yield from self._cameras(path.owner)
            else:
                yield self.context.cameras[path.owner]


def _addresses(site: SiteEntry) -> Iterator[Address]:
    first: dict[str, str] = {}
    for group, name, written in _addressed(site):
        sheet = Address()
        sheet.subject, sheet.pointer = f"{group}/{name}", (group, name, "network_address")
        sheet.name, sheet.address = name, written
        plain = _plain(written)
        sheet.valid, sheet.shared = plain is not None, (plain or written) in first
        sheet.other = first.setdefault(plain or written, name) if sheet.shared else ""
        first.setdefault(plain or written, name)
        yield sheet


def _plain(written: str) -> str | None:
    """The address in its one usual form (RFC 5952 for IPv6); None where it is none."""
    try:
        return str(ipaddress.ip_address(written))
    except ValueError:
        return None


def _bind_uplink_runs(context: Context, made: NetworkSheets) -> None:
    """Runs of the ways of switches; those of cameras are made with the camera."""
    ways = PathBinder(context, memory_of(context))
    for path in context.topology.lists.uplinks.values():
        place = context.loaded.site.switches[path.owner].place
        way = ways.read(path, place.setting if place else None, None, ())
        made.runs.setdefault(path.subject, []).extend(way.runs)
    ways.count()
