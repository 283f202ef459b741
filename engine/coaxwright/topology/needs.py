"""What needs what to go on working: of each camera its power, its picture at the recorder and its recording, down to the
cable run and the output that they stand on. As drawn: whether volts and signals suffice is for rules to judge.

Each thing names what it needs, all of it: there is one way only, since a device names one source and one port. Plain
lookups, made when asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from coaxwright.model.site import Hop, Recorder, Site
from coaxwright.reading.tables import load_table
from coaxwright.topology.records import GROUP_OF_KIND, CablePath, Lists, Port

POWER, PICTURE, RECORDING, KEPT = KINDS = ("power", "picture", "recording", "kept")
"""What a camera can lose, the gravest first; KEPT is a part of what was recorded before."""


class Loss(NamedTuple):
    """One thing that a camera can lose: `kind` is one of `KINDS`."""

    kind: str
    camera: str


class Way(NamedTuple):
    """The way through the network from a device's port up to the recorder that records."""

    device_kind: str
    device: str
    recorder: str


Node = str | Loss | Way
"""A part by its subject path, what a camera can lose, or a way. A disk is `recorders/NAME/disk`."""


class Needs:
    """Answers for one site what each node needs directly. Parts go by their subject paths, as in `supplies/psu1/2` for
    an output, `cameras/c1/video/over/0` for a cable run, `sheaths/gate` for all runs in one jacket.
    """

    __slots__ = ("_lists", "_site")

    def __init__(self, site: Site, lists: Lists) -> None:
        self._site, self._lists = site, lists

    def losses(self) -> Iterator[Loss]:
        """What cameras have as drawn, and so can lose, in file order."""
        for name in self._site.cameras:
            yield from self.losses_of(name)

    def losses_of(self, camera: str) -> Iterator[Loss]:
        """What one camera has as drawn: power where a source is named, a picture and a recording where a recorder is."""
        power, recorder = self._lists.power.get(camera), self.recorder_of(camera)
        if power is not None and power.target is not None:
            yield Loss(POWER, camera)
        if recorder is None:
            return
        yield Loss(PICTURE, camera)
        disks = self._site.recorders[recorder].disks
        if disks is None or disks:
            yield Loss(RECORDING, camera)
        if disks and disk_takes(self._site.recorders[recorder]):
            yield Loss(KEPT, camera)

    def recorder_of(self, camera: str) -> str | None:
        """The recorder that takes a camera's picture; None where none is drawn."""
        path = self._lists.video.get(camera)
        if path is not None:
            return path.target.device if path.target is not None else None
        written = self._site.cameras[camera].network
        if written is None:
            return None
        named = written.recorder or written.into.partition("/")[0]
        return named if named in self._site.recorders else None

    def of(self, node: Node) -> Iterator[Node]:
        """What `node` needs directly; each of these takes it along when it fails."""
        if isinstance(node, Loss):
            return self._loss(node)
        return self._way(node) if isinstance(node, Way) else self._part(node)

    def before_recorder(self, camera: str) -> set[str]:
        """Parts that a camera's power and picture need, without recorders and what only these need."""
        found: set[str] = set()
        waiting: list[Node] = [each for each in self.losses_of(camera) if each.kind in (POWER, PICTURE)]
        for node in waiting:
            if isinstance(node, str):
                if node in found or node.startswith("recorders/"):
                    continue
                found.add(node)
            waiting.extend(self.of(node))
        return found

    def gaps(self, camera: str) -> Iterator[str]:
        """Document paths that nobody wrote and that would tell of more parts that a camera's power or picture need."""
        lists = self._lists
        power, picture = lists.power.get(camera), lists.video.get(camera) or lists.network.get(camera)
        if power is None:
            yield f"cameras/{camera}/power"
        if picture is None:
            yield f"cameras/{camera}/video"
        elif self.recorder_of(camera) is None:
            yield f"cameras/{camera}/network/recorder"
        for path in (power, picture):
            yield from self._gaps(path)

    def _gaps(self, path: CablePath | None) -> Iterator[str]:
        """Of a path, of the boxes on it, and of what it goes on to."""
        if path is None or path.target is None:
            return
        lists, target = self._lists, path.target
        if path.hops is None:
            yield f"{'/'.join(map(str, path.pointer))}/over"
        for hop in path.hops or ():
            if hop.box is not None:
                yield from self._gaps(lists.device_power.get(("box", hop.box)))
        if target.device_kind == "junction":
            above = lists.device_power.get(("junction", target.device))
            yield from self._gaps(above) if above is not None else (f"junctions/{target.device}/power",)
        elif target.device_kind == "switch" and path.use == "network":
            above = lists.uplinks.get(target.device)
            yield from self._gaps(above) if above is not None else (f"switches/{target.device}/into",)

    def piece(self, subject: str) -> str | None:
        """The cable or box that the piece of a path at `subject` is; None where no path has such a piece."""
        owner, _, place = subject.rpartition("/over/")
        path = next((each for each in self._lists.paths if "/".join(map(str, each.pointer)) == owner), None)
        pieces = list(self._pieces(path)) if path is not None else []
        return pieces[int(place)] if place.isdecimal() and int(place) < len(pieces) else None

    def _loss(self, loss: Loss) -> Iterator[Node]:
        camera, recorder = loss.camera, self.recorder_of(loss.camera)
        if loss.kind == POWER:
            yield from self._fed(self._lists.power[camera])
        elif recorder is not None and loss.kind == PICTURE:
            yield from (each for each in self.losses_of(camera) if each.kind == POWER)
            yield from self._picture(camera, recorder)
        elif recorder is not None:
            takes = disk_takes(self._site.recorders[recorder])
            if loss.kind == RECORDING:
                yield Loss(PICTURE, camera)
            if takes == RECORDING or (takes and loss.kind == KEPT):
                yield f"recorders/{recorder}/disk"

    def _picture(self, camera: str, recorder: str) -> Iterator[Node]:
        path = self._lists.video.get(camera)
        if path is None:
            path = self._lists.network[camera]
            if path.target is not None:
                yield Way(path.target.device_kind, path.target.device, recorder)
        yield from self._pieces(path)
        yield f"recorders/{recorder}"

    def _way(self, way: Way) -> Iterator[Node]:
        """The device and, of a switch, what stands between it and the recorder. The last switch of a way that ends at
        another recorder than the one that records is as far as it is drawn.
        """
        yield f"{GROUP_OF_KIND[way.device_kind]}/{way.device}"
        path = self._lists.uplinks.get(way.device) if way.device_kind == "switch" else None
        target = path.target if path is not None else None
        if path is not None and target is not None and (target.device_kind == "switch" or target.device == way.recorder):
            yield from self._pieces(path)
            yield Way(target.device_kind, target.device, way.recorder)

    def _part(self, part: str) -> Iterator[Node]:
        group, _, rest = part.partition("/")
        if group == "supplies" and "/" in rest:
            yield f"supplies/{rest.partition('/')[0]}"
        elif "/" not in rest:
            kind = {"junctions": "junction", "boxes": "box", "recorders": "recorder"}.get(group, "")
            path = self._lists.device_power.get((kind, rest))
            if path is not None:
                yield from self._fed(path)

    def _fed(self, path: CablePath) -> Iterator[Node]:
        """What a power path needs: its pieces, and what it takes power from."""
        yield from self._pieces(path)
        if path.target is not None:
            yield feeding(path.target)

    def _pieces(self, path: CablePath) -> Iterator[str]:
        for place, hop in enumerate(path.hops or ()):
            yield f"boxes/{hop.box}" if hop.box is not None else self.cable_of(path, place, hop)

    def cable_of(self, path: CablePath, place: int, hop: Hop) -> str:
        """The cable that a run belongs to: its jacket's, the network cable's that carries the power too, or its own."""
        if hop.sheath is not None:
            return f"sheaths/{hop.sheath}"
        if self._lists.is_network_cable(path):
            other = (self._lists.network if path.owner_kind == "camera" else self._lists.uplinks)[path.owner]
            return self._carrier(path, place, other)
        return run_name(path, place)

    def _carrier(self, path: CablePath, place: int, other: CablePath) -> str:
        """The run of a network path that is the same piece of cable; its hops may stand the other way round."""
        own = [(hop.cable, hop.length) for hop in path.hops or ()]
        hops = other.hops or ()
        at = place if own == [(hop.cable, hop.length) for hop in hops] else len(own) - 1 - place
        return f"sheaths/{hops[at].sheath}" if hops[at].sheath is not None else run_name(other, at)


def run_name(path: CablePath, place: int) -> str:
    """Subject path of a cable run."""
    return "/".join(map(str, (*path.pointer, "over", place)))


def feeding(port: Port) -> str:
    """The part that a power port belongs to: an output of a supply, or the device itself."""
    device = f"{GROUP_OF_KIND[port.device_kind]}/{port.device}"
    return f"{device}/{port.number}" if port.kind == "supply-out" else device


def disk_takes(recorder: Recorder) -> str:
    """What one failing disk takes from the cameras: RECORDING (all of it) where the group stands or falls with each disk
    or has one only, KEPT where the others go on; empty where a level survives it or the disks are not known.
    """
    if not recorder.disks:
        return ""
    members = len(recorder.disks) - recorder.spare_disks
    if recorder.redundancy == "none":
        return KEPT if members > 1 else RECORDING
    row = next(each for each in load_table("redundancy").rows if each["level"] == recorder.redundancy)
    made = members >= row["least_disks"] and not (row["even"] and members % 2)
    return RECORDING if row["survives"] == "none" or not made else ""
