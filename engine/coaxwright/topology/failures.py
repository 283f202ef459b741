"""Which cameras go dark when one part fails, and the parts with which any do: reach over the graph of needs.

A camera goes dark when it loses its power, its picture at the recorder, or its recording. networkx, which takes about
0.1 s, is imported when a graph is made.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.site import Site
from coaxwright.topology.needs import KEPT, KINDS, Loss, Needs, Node
from coaxwright.topology.records import Lists

_ORDER = ("recorders", "supplies", "switches", "junctions", "boxes", "output", "disk", "sheaths", "cable")


@immutable
class Lost:
    """What is lost with one part: cameras in file order, by what they lose. A camera without power has no picture
    either, so it stands in each list. `kept` are cameras of which a part of the recordings made so far is lost.
    """

    part: str
    power: tuple[str, ...]
    picture: tuple[str, ...]
    recording: tuple[str, ...]
    kept: tuple[str, ...]

    @property
    def dark(self) -> tuple[str, ...]:
        """Cameras that lose power, picture or recording."""
        return tuple(dict.fromkeys((*self.power, *self.picture, *self.recording)))

    @property
    def worst(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Cameras by the gravest thing that each loses, gravest first; nothing twice."""
        told: set[str] = set()
        groups = []
        for kind in KINDS:
            cameras = tuple(name for name in getattr(self, kind) if name not in told)
            told.update(cameras)
            groups += [(kind, cameras)] if cameras else []
        return tuple(groups)


class Failures:
    """The graph of needs of one site, asked what fails with what. An arrow leads from what fails to what it takes."""

    def __init__(self, site: Site, lists: Lists) -> None:
        self.needs = Needs(site, lists)
        self._place = {name: place for place, name in enumerate(site.cameras)}
        self.graph: Any = _graph(self.needs, self.needs.losses())

    @property
    def parts(self) -> tuple[str, ...]:
        """Every part that any camera needs, by subject path, recorders and supplies first."""
        return tuple(sorted((node for node in self.graph if isinstance(node, str)), key=_rank))

    def lost_with(self, part: str) -> Lost:
        """What is lost when `part` fails; nothing for what no camera needs."""
        import networkx

        reached = networkx.descendants(self.graph, part) if part in self.graph else ()
        lost: dict[str, list[str]] = {kind: [] for kind in KINDS}
        for node in reached:
            if isinstance(node, Loss):
                lost[node.kind].append(node.camera)
        return Lost(part, *(tuple(sorted(lost[kind], key=self._place.__getitem__)) for kind in KINDS))

    def single_points(self) -> list[Lost]:
        """Every part with which something is lost, most cameras first; equal ones by kind of part, then by file order."""
        found = [self.lost_with(part) for part in self.parts]
        return sorted((each for each in found if each.dark or each.kept), key=_weight)

    def part_of(self, subject: str) -> str | None:
        """The part that a subject path names: itself, or the cable or box that a piece of a path is; None for what is no
        part, such as an input.
        """
        group, *rest = subject.split("/")
        if "over" in rest[1:]:
            return self.needs.piece(subject)
        depths = {"supplies": (1, 2), "cameras": ()}.get(group, (1,))
        return subject if group in _ORDER and len(rest) in depths else None

    def parts_of(self, cameras: Iterable[str]) -> list[str]:
        """Parts each of which takes all these cameras along: what they all need for power, picture or recording."""
        shared: set[str] | None = None
        for camera in cameras:
            behind = self._behind(camera)
            shared = behind if shared is None else shared & behind
        return [part for part in self.parts if part in (shared or ())]

    def _behind(self, camera: str) -> set[str]:
        import networkx

        losses = [each for each in self.needs.losses_of(camera) if each.kind != KEPT]
        found = (networkx.ancestors(self.graph, each) for each in losses)
        return {node for nodes in found for node in nodes if isinstance(node, str)}


def _graph(needs: Needs, starts: Iterable[Node]) -> Any:
    import networkx

    graph = networkx.DiGraph()
    waiting = list(starts)
    graph.add_nodes_from(waiting)
    known = set(waiting)
    for node in waiting:
        for needed in needs.of(node):
            graph.add_edge(needed, node)
            if needed not in known:
                known.add(needed)
                waiting.append(needed)
    return graph


def kind_of(part: str) -> str:
    """What a part is: recorders, supplies, switches, junctions, boxes, output, disk, sheaths or cable."""
    group, *rest = part.split("/")
    if "over" in rest[1:]:
        return "cable"
    if group == "recorders" and rest[1:] == ["disk"]:
        return "disk"
    return "output" if group == "supplies" and len(rest) > 1 else group


def _rank(part: str) -> int:
    return _ORDER.index(kind_of(part))


def _weight(lost: Lost) -> tuple[int, int, int, int]:
    """Most cameras dark first, then most without power, then most of which recordings are lost, then the kind of part."""
    return -len(lost.dark), -len(lost.power), -len(lost.kept) if not lost.dark else 0, _rank(lost.part)
