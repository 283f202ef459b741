"""A kit laid out as a site: cameras on inputs and outputs in order, with the cables, boxes and disks of its box.

What the box lacks is told in words, and stood in for by usual cables, so that the rest can still be judged.
Nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.wiring_parts import KitItem
from coaxwright.reading.catalogue import Catalogue

MOST_DEPTH = 8
MOST_PIECES = 2048


@immutable
class Piece:
    """One piece in the box: its part and, of a cable, its length in m."""

    part: str
    kind: str
    length: float | None


@dataclass(slots=True)
class Contents:
    """Pieces of a kit by kind, in the order of the box."""

    pieces: list[Piece]

    def of(self, kind: str) -> list[Piece]:
        """Pieces of one kind."""
        return [each for each in self.pieces if each.kind == kind]


def contents(catalogue: Catalogue, kit: str) -> Contents:
    """Everything in the box, kits within kits unpacked. Raises Refusal for a kit within itself."""
    pieces = list(_unpacked(catalogue, kit, ()))
    if len(pieces) > MOST_PIECES:
        raise Refusal([Problem(kit, f"holds more than {MOST_PIECES} pieces", "make several kits of it")])
    return Contents(pieces)


def _unpacked(catalogue: Catalogue, kit: str, around: tuple[str, ...]) -> Iterator[Piece]:
    if kit in around or len(around) >= MOST_DEPTH:
        raise Refusal(
            [Problem(kit, f"is packed within itself: {' in '.join((kit, *reversed(around)))}", "take it out")]
        )
    for item in catalogue.part(kit).contains:
        name = catalogue.full_id(item.part)
        if catalogue.kind(name) == "kit":
            inner = list(_unpacked(catalogue, name, (*around, kit)))
            yield from (piece for _ in range(item.count) for piece in inner)
        else:
            yield from _pieces(catalogue, name, item)


def _pieces(catalogue: Catalogue, name: str, item: KitItem) -> Iterator[Piece]:
    piece = Piece(name, catalogue.kind(name), item.length)
    return (piece for _ in range(min(item.count, MOST_PIECES + 1)))


@dataclass(slots=True)
class Layout:
    """A kit as a site of any run length, and what the box lacks.

    `runs` holds, for each camera, the lengths of its video and power cables in the box (None: not in the box, or
    without a length).
    """

    value: dict[str, Any]
    missing: list[str]
    left_over: list[str]
    runs: dict[str, tuple[float | None, float | None]] = field(default_factory=dict)

    def at(self, metres: float | None) -> dict[str, Any]:
        """The site with every run so long; with None, each run as it is in the box (1 m where that is not said)."""
        cameras = {}
        for name, entry in self.value["cameras"].items():
            lengths = dict(zip(("video", "power"), self.runs[name], strict=True))
            cameras[name] = {
                key: _stretched(each, lengths[key] if metres is None else metres) if key in lengths else each
                for key, each in entry.items()
            }
        return {**self.value, "cameras": cameras}

    @property
    def boxed(self) -> bool:
        """Every camera has both cables in the box, with their lengths."""
        return bool(self.runs) and all(length is not None for pair in self.runs.values() for length in pair)


def _stretched(path: dict[str, Any], metres: float | None) -> dict[str, Any]:
    length = f"{1.0 if metres is None else metres:.2f} m"
    over = [{**hop, "length": length} if "cable" in hop else hop for hop in path["over"]]
    return {**path, "over": over}


@immutable
class StandIns:
    """What stands in for cables that the box lacks, and the frame family."""

    video: str = "rg59-copper"
    power: str = "dc-0.75mm2"
    video_rate: int = 25


def lay_out(catalogue: Catalogue, kit: str, stand_ins: StandIns) -> Layout:
    """The kit as a site. Raises Refusal for a kit without cameras or without a recorder."""
    return _Packer(catalogue, kit, stand_ins).layout()


class _Packer:
    """Takes piece after piece out of the box; lives for one call."""

    def __init__(self, catalogue: Catalogue, kit: str, stand_ins: StandIns) -> None:
        self.catalogue, self.kit, self.stand_ins = catalogue, kit, stand_ins
        self.box = contents(catalogue, kit)
        self.missing: list[str] = []
        self.cables = self.box.of("cable")
        self.baluns = [each for each in self.box.of("box") if catalogue.part(each.part).does == "balun"]
        self.boxes: dict[str, Any] = {}

    def layout(self) -> Layout:
        """The whole site."""
        cameras, recorders = self.box.of("camera"), self.box.of("recorder")
        lacking = [kind for kind, found in (("camera", cameras), ("recorder", recorders)) if not found]
        if lacking:
            raise Refusal(
                [Problem(self.kit, f"holds no {' and no '.join(lacking)}", "such a kit is no system to check")]
            )
        network = [each.part for each in cameras if not self.catalogue.part(each.part).emits]
        if network:
            raise Refusal(
                [Problem(self.kit, f"holds the network camera {network[0]}", "only kits of coax cameras are laid out")]
            )
        value: dict[str, Any] = {"site": self.kit, "video_rate": self.stand_ins.video_rate}
        value["recorders"] = self._recorders(recorders)
        inputs, outputs = self._inputs(recorders), self._outputs()
        value["supplies"] = {
            f"supply{place}": {"part": each.part} for place, each in enumerate(self.box.of("supply"), 1)
        }
        runs, entries = {}, {}
        for place, camera in enumerate(cameras, 1):
            name = f"camera{place}"
            entries[name], runs[name] = self._camera(name, camera, inputs, outputs)
        value["boxes"] = self.boxes
        value["cameras"] = entries
        kept = {key: each for key, each in value.items() if each != {}}
        return Layout(
            kept, _counted(self.missing), _counted([each.part for each in (*self.cables, *self.baluns)]), runs
        )

    def _recorders(self, recorders: list[Piece]) -> dict[str, Any]:
        disks = [each.part for each in self.box.of("disk")]
        found: dict[str, Any] = {}
        for place, piece in enumerate(recorders, 1):
            bays = self.catalogue.part(piece.part).bays
            own, disks = (disks, []) if bays is None or place == len(recorders) else (disks[:bays], disks[bays:])
            found[f"recorder{place}"] = {"part": piece.part, "disks": own}
            if not own and bays != 0:
                self.missing.append(f"disk for {piece.part}")
        return found

    def _inputs(self, recorders: list[Piece]) -> list[str]:
        return [
            f"recorder{place}/{number}"
            for place, piece in enumerate(recorders, 1)
            for number in dict.fromkeys(
                number for group in self.catalogue.part(piece.part).inputs for number in group.channels
            )
        ]

    def _outputs(self) -> list[str]:
        return [
            f"supply{place}/{number}"
            for place, piece in enumerate(self.box.of("supply"), 1)
            for number in range(1, (self.catalogue.part(piece.part).outputs or 1) + 1)
        ]

    def _camera(
        self, name: str, piece: Piece, inputs: list[str], outputs: list[str]
    ) -> tuple[dict[str, Any], tuple[float | None, float | None]]:
        """One camera with its two cables; both of one cable where that carries both."""
        entry: dict[str, Any] = {"part": piece.part}
        video = self._cable("coax", "pair")
        video_part = self.stand_ins.video if video is None else video.part
        if video is None:
            self.missing.append("video cable")
        power = video if video is not None and "power" in self._carries(video.part) else self._cable("power")
        power_part = self.stand_ins.power if power is None else power.part
        if power is None:
            self.missing.append("power cable")
        if inputs:
            entry["video"] = {"into": inputs.pop(0), "over": self._way(name, video_part)}
        else:
            self.missing.append(f"recorder input for {piece.part}")
        if outputs:
            entry["power"] = {"from": outputs.pop(0), "over": [{"cable": power_part}]}
        else:
            self.missing.append(f"supply output for {piece.part}")
        return entry, (video.length if video else None, power.length if power else None)

    def _carries(self, cable: str) -> tuple[str, ...]:
        carries: tuple[str, ...] = self.catalogue.part(cable).carries
        return carries

    def _cable(self, *uses: str) -> Piece | None:
        """The next cable of the box for one of these uses; one that carries both before one that carries one."""
        for piece in self.cables:
            if set(uses) & set(self._carries(piece.part)):
                self.cables.remove(piece)
                return piece
        return None

    def _way(self, name: str, cable: str) -> list[dict[str, Any]]:
        """The cable, with a balun at both ends where it is a pair."""
        run = {"cable": cable}
        if "coax" in self._carries(cable):
            return [run]
        ends = []
        for end in ("a", "b"):
            if not self.baluns:
                self.missing.append("balun")
                continue
            box = f"balun-{name}-{end}"
            self.boxes[box] = {"part": self.baluns.pop(0).part}
            ends.append({"box": box})
        return [*ends[:1], run, *ends[1:]]


def _counted(words: list[str]) -> list[str]:
    """Equal words once, with their number."""
    return [f"{words.count(word)} x {word}" for word in dict.fromkeys(words)]
