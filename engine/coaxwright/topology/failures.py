"""Which cameras go dark when one part fails, and the parts with which any do: reach over the graph of needs.

A camera goes dark when it loses its power, its picture at the recorder, or its recording. Each thing needs all that it
names, so what a part takes along is what can be reached from it, and a part takes several cameras where each can be. Plain
dictionaries: the desk in one file has no networkx, and reports are made there too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

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
    """The graph of needs of one site, asked what fails with what. `takes` leads from what fails to what needs it."""

    def __init__(self, site: Site, lists: Lists) -> None:
        self.needs = Needs(site, lists)
        self._place = {name: place for place, name in enumerate(site.cameras)}
        self.takes: dict[Node, list[Node]] = _taking(self.needs)

    @property
    def parts(self) -> tuple[str, ...]:
        """Every part that any camera needs, by subject path, recorders and supplies first."""
        return tuple(sorted((node for node in self.takes if isinstance(node, str)), key=_rank))

    def lost_with(self, part: str) -> Lost:
        """What is lost when `part` fails; nothing for what no camera needs."""
        lost: dict[str, list[str]] = {kind: [] for kind in KINDS}
        for node in _reached((part,), lambda node: self.takes.get(node, ())):
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
        losses = [each for each in self.needs.losses_of(camera) if each.kind != KEPT]
        return {node for node in _reached(losses, self.needs.of) if isinstance(node, str)}


def _taking(needs: Needs) -> dict[Node, list[Node]]:
    """Every thing that a camera needs, and cameras' losses, each with what it takes along directly."""
    found: dict[Node, list[Node]] = {}
    for node in _reached(needs.losses(), needs.of):
        found.setdefault(node, [])
        for needed in needs.of(node):
            found.setdefault(needed, []).append(node)
    return found


def _reached(starts: Iterable[Node], further: Callable[[Node], Iterable[Node]]) -> list[Node]:
    """The starts and all that can be reached from them, nearest first; a ring is walked once."""
    found = list(dict.fromkeys(starts))
    known = set(found)
    for node in found:
        for each in further(node):
            if each not in known:
                known.add(each)
                found.append(each)
    return found


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
