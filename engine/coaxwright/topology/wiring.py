"""Builds the wiring of one site: every cable path with its two ends, and who shares what.

Refused here is what makes no sense at all as wiring (a port word that names nothing, two outputs joined, a
ring in the power or the network, one box in two places). What could stand so and is wrong, such as two
cameras on one input or a ninth output of a supply that has eight, is left for rules to judge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.model.quantities import quoted
from coaxwright.model.site import Box, Camera, ControlPath, Hop, Junction, NetworkPath, Recorder, Site, SoundPath
from coaxwright.reading.suggest import did_you_mean
from coaxwright.topology.graph import port_graph
from coaxwright.topology.hops import HopChecks
from coaxwright.topology.meetings import Meetings
from coaxwright.topology.ports import PortError, not_a_port_device, port_devices, read_port
from coaxwright.topology.records import GROUP_OF_KIND, CablePath, Lists, Pointer, Port, SupplyTree
from coaxwright.topology.rings import rings
from coaxwright.topology.source import SiteSource
from coaxwright.topology.trees import supply_trees

_OWN_KIND = {
    "video": "camera-video",
    "power": "camera-power",
    "sound": "pickup-out",
    "control": "serial",
    "network": "network",
    "monitor": "monitor",
}


class Topology:
    """The wiring of one site. Lists are in file order; a device that nobody joined is absent from them.

    `lists` finds paths by owner and by target; `trees` holds one power tree per supply, by id, and `unfed`
    those whose root is a junction that names no source, or a device whose network ports give power;
    `unfed_by_root` finds them by that.
    """

    __slots__ = ("_graph", "lists", "site", "trees", "unfed", "unfed_by_root")

    def __init__(self, site: Site, lists: Lists) -> None:
        self.site = site
        self.lists = lists
        self.trees: dict[str, SupplyTree]
        self.unfed: list[SupplyTree]
        self.trees, self.unfed = supply_trees(site, lists)
        self.unfed_by_root = {tree.root: tree for tree in self.unfed}
        self._graph: Any = None

    @property
    def graph(self) -> object:
        """A `networkx.DiGraph` of ports and links, in the direction in which signal or power goes.

        Nodes carry `kind`, `direction` (in, out or both) and `device` (subject path); links carry `use` and
        the `path` that they belong to, or use `inside` for the way through one device. Built on first use.
        """
        if self._graph is None:
            self._graph = port_graph(self.site, self.lists)
        return self._graph


def build_topology(loaded: SiteSource) -> Topology:
    """The wiring of a site that was read; Refusal with every problem of the wiring, in order of place."""
    return Topology(loaded.site, _Builder(loaded).build())


class _Builder:
    """Collects paths and problems in one pass over the site."""

    def __init__(self, loaded: SiteSource) -> None:
        self.loaded = loaded
        self.site = loaded.site
        self.lists = Lists()
        self.problems: list[Problem] = []
        self.devices = port_devices(self.site)
        self.connectors = _connectors(loaded)
        self.meetings = Meetings()
        self.hops = HopChecks(self.site, self.refuse)

    def build(self) -> Lists:
        """All lists; Refusal when there is any problem."""
        self._ids_once()
        for name, camera in self.site.cameras.items():
            self._camera(name, camera)
        self._devices()
        self.lists.box_uses, self.lists.sheaths = self.hops.uses, self.hops.sheaths
        self.hops.refuse_shared_boxes()
        for words, pointer in rings(self.lists):
            self.refuse(pointer, *words)
        if self.problems:
            raise Refusal(sorted(self.problems, key=_place))
        return self.lists

    def refuse(self, pointer: Pointer, what: str, right: str) -> None:
        """Note one problem at a document path."""
        span = self.loaded.document.nearest_span(pointer)
        self.problems.append(Problem(self.loaded.file, what, right, span, pointer))

    def _ids_once(self) -> None:
        site = self.site
        groups: dict[str, Iterable[str]] = {
            "recorders": site.recorders,
            "supplies": site.supplies,
            "junctions": site.junctions,
            "switches": site.switches,
        }
        seen: dict[str, str] = {}
        for group, entries in groups.items():
            for name in entries:
                if name in seen:
                    what = f"`{name}` stands under `{seen[name]}` and `{group}`, so a port of it could be either"
                    self.refuse((group, name), what, "give one of the two another id")
                seen.setdefault(name, group)

    def _camera(self, name: str, camera: Camera) -> None:
        lists, video, power = self.lists, camera.video, camera.power
        if video is not None:
            at = ("cameras", name, "video")
            lists.video[name] = self._path("camera", name, "video", at, "into", video.into, video.over)
        if power is not None:
            at = ("cameras", name, "power")
            lists.power[name] = self._path("camera", name, "power", at, "from", power.source, power.over)
        if camera.network is not None:
            self._network_camera(name, camera.network)
        if camera.sound is not None:
            lists.sound[name] = self._way("sound", name, camera.sound)
        if camera.control is not None:
            lists.control[name] = self._way("control", name, camera.control)

    def _network_camera(self, name: str, written: NetworkPath) -> None:
        """The way of a network camera, filed by the recorder that records it."""
        at = ("cameras", name, "network")
        if name in self.lists.video:
            self.refuse(at, f"`{name}` goes both over coax and over the network", "leave one of `video` and `network` out")
        path = self._path("camera", name, "network", at, "into", written.into, written.over)
        self.lists.network[name] = path
        recorder = written.recorder
        if recorder is None and path.target is not None and path.target.device_kind == "recorder":
            recorder = path.target.device
        if recorder in self.site.recorders:
            self.lists.network_into.setdefault(recorder, []).append(path)
        elif recorder is not None:
            right = did_you_mean(recorder, tuple(self.site.recorders)) or "name one that stands under `recorders`"
            self.refuse((*at, "recorder"), f"there is no recorder `{recorder}` on this site", right)

    def _way(self, use: str, name: str, written: SoundPath | ControlPath) -> CablePath:
        """Sound or control: over the coax, or over a line of its own, and not both."""
        pointer = ("cameras", name, use)
        if (written.by is None) == (written.into is None):
            over = "network" if written.by == "network" else "coax"
            both = f"both over the {over} and into" if written.by else "neither over the coax nor into"
            right = "write either `by: coax` or `into:` with a port"
            self.refuse(pointer, f"{use} of `{name}` goes {both} a port", right)
        elif written.by is not None and written.over:
            right = f"leave `over` out, or write `into:` with a port instead of `by: {written.by}`"
            self.refuse((*pointer, "over"), f"{use} over the {written.by} has no cable of its own", right)
        return self._path("camera", name, use, pointer, "into", written.into, written.over)

    def _devices(self) -> None:
        """Paths that are written at other devices than cameras."""
        site, lists = self.site, self.lists
        powered: dict[str, Mapping[str, Recorder | Junction | Box]] = {
            "recorder": site.recorders,
            "junction": site.junctions,
            "box": site.boxes,
        }
        for kind, entries in powered.items():
            for name, device in entries.items():
                if device.power is not None:
                    at, power = (GROUP_OF_KIND[kind], name, "power"), device.power
                    path = self._path(kind, name, "power", at, "from", power.source, power.over)
                    lists.device_power[kind, name] = path
        for name, switch in site.switches.items():
            if switch.into is not None:
                entry = ("switches", name)
                path = self._path("switch", name, "network", entry, "into", switch.into, switch.over)
                lists.uplinks[name] = path
        for name, monitor in site.monitors.items():
            if monitor.source is not None:
                entry = ("monitors", name)
                lists.screens[name] = self._path("monitor", name, "monitor", entry, "from", monitor.source, ())

    def _path(
        self,
        kind: str,
        owner: str,
        use: str,
        pointer: Pointer,
        key: str,
        text: str | None,
        hops: tuple[Hop, ...] | None,
    ) -> CablePath:
        """One path, checked and put where its target looks for it."""
        target = None if text is None else self._port(text, use, (*pointer, key))
        path = CablePath(kind, owner, use, pointer, target, hops)
        self.lists.paths.append(path)
        if hops:
            self.hops.check(path, hops)
        if target is not None:
            self._file(path, target)
        return path

    def _port(self, text: str, use: str, pointer: Pointer) -> Port | None:
        try:
            port = read_port(text, use, self.devices, self.connectors)
        except PortError as error:
            self.refuse(pointer, *self._advised(error))
            return None
        against = self.meetings.against(_OWN_KIND[use], port.kind)
        if against:
            self.refuse(pointer, f"{use} cannot be joined to {quoted(text)}: {against[0]}", against[1])
        return port

    def _advised(self, error: PortError) -> tuple[str, str]:
        """What is wrong with a port word and what would be right, with a near miss where there is one."""
        if not error.near:
            return error.what, error.right
        other = not_a_port_device(error.near, self.site)
        meant = other or did_you_mean(error.near, error.choices)
        return error.what, meant or error.right

    def _file(self, path: CablePath, port: Port) -> None:
        lists, kind = self.lists, port.kind
        if kind == "supply-out":
            lists.outputs.setdefault((port.device, port.number), []).append(path)
        elif kind == "recorder-video-in":
            lists.inputs.setdefault((port.device, port.number), []).append(path)
            lists.video_into.setdefault(port.device, []).append(path)
        elif kind == "junction-tap":
            lists.taps.setdefault(port.device, []).append(path)
        else:
            lists.others.setdefault(port, []).append(path)


def _connectors(loaded: SiteSource) -> dict[str, frozenset[str]]:
    """Names of the monitor outputs of each recorder."""
    found: dict[str, frozenset[str]] = {}
    for name, recorder in loaded.site.recorders.items():
        outputs: Iterable[Any] = loaded.catalogue.part(recorder.part).outputs or ()
        found[name] = frozenset(output.connector for output in outputs)
    return found


def _place(problem: Problem) -> tuple[int, int]:
    return (problem.span.line, problem.span.column) if problem.span else (0, 0)
