"""The port graph as a networkx graph, for drawing and for questions of reachability. Made only when asked
for.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Protocol

from coaxwright.model.site import Site
from coaxwright.topology.records import GROUP_OF_KIND, CablePath, Lists, Port

_OWN = {
    "video": ("camera-video", "out"),
    "power": ("camera-power", "in"),
    "sound": ("pickup-out", "out"),
    "control": ("serial", "both"),
    "network": ("network", "both"),
    "monitor": ("monitor", "in"),
}
DIRECTIONS = {
    "recorder-video-in": "in",
    "recorder-audio-in": "in",
    "supply-out": "out",
    "junction-tap": "out",
    "poe-port": "out",
    "monitor-out": "out",
    "serial": "both",
    "network": "both",
}
_WORDS = {"recorder-audio-in": "audio", "serial": "rs485"}


def port_graph(site: Site, lists: Lists) -> object:
    """A `networkx.DiGraph`; imports networkx, which takes about 0.1 s."""
    import networkx

    graph = networkx.DiGraph(name=site.site)
    for path in lists.paths:
        if path.target is not None:
            _add_path(graph, path, path.target)
    for name in site.junctions:
        entry, tap = f"junctions/{name}/power", f"junctions/{name}"
        if entry in graph and tap in graph:
            graph.add_edge(entry, tap, use="inside", path=None)
    return graph


def port_id(port: Port) -> str:
    """Node of a port: subject path of its device, and the port word."""
    subject = f"{GROUP_OF_KIND[port.device_kind]}/{port.device}"
    if port.kind == "junction-tap":
        return subject
    number = str(port.number or "")
    word = _WORDS.get(port.kind, "")
    if port.device_kind == "recorder" and port.kind in ("network", "poe-port"):
        word = "net" if port.kind == "network" else "poe"
    return f"{subject}/{port.connector or word + number}"


class _Graph(Protocol):
    """What is filled here: a directed graph of networkx, which is loaded only where one is asked for."""

    def add_node(self, node: str, **facts: object) -> None:
        """A port."""
        ...

    def add_edge(self, start: str, end: str, **facts: object) -> None:
        """A link between two ports."""
        ...


def _add_path(graph: _Graph, path: CablePath, target: Port) -> None:
    """The owner's port, both sides of every box, the target's port, and the links between them."""
    kind, direction = _OWN[path.use]
    own = f"{path.subject}/{path.use}"
    graph.add_node(own, kind=kind, direction=direction, device=path.subject)
    device = f"{GROUP_OF_KIND[target.device_kind]}/{target.device}"
    end = port_id(target)
    graph.add_node(end, kind=target.kind, direction=DIRECTIONS[target.kind], device=device)
    chain = _box_sides(graph, path)
    # Hops of a power path are written from the source to the load; all others start at the owner.
    start, last = (end, own) if path.use in ("power", "monitor") else (own, end)
    nodes = [start, *chain, last]
    for index, (near, far) in enumerate(pairwise(nodes)):
        inside = index % 2 == 1
        graph.add_edge(near, far, use="inside" if inside else path.use, path=None if inside else path)


def _box_sides(graph: _Graph, path: CablePath) -> list[str]:
    nodes = []
    for hop in path.hops or ():
        if hop.box is not None:
            device = f"boxes/{hop.box}"
            for side, direction in (("in", "in"), ("out", "out")):
                node = f"{device}/{path.use}-{side}"
                graph.add_node(node, kind=f"box-{side}", direction=direction, device=device)
                nodes.append(node)
    return nodes
