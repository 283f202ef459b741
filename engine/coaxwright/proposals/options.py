"""What each wish may become: which camera in which mode on which recorder over what, judged as a small system.

Of each camera the best mode that holds is taken (the most picture elements, then the rate): nobody buys a camera to
set it lower than it could be. Ways are tried from the cheapest, and the first that holds is taken.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.proposals.probing import Outcome, Probe, Prober
from coaxwright.proposals.shopping import Shop, Way
from coaxwright.proposals.wishes import Wish

MOST_PARTS = 5
"""Cameras that are gone on with for a wish on a recorder: the cheapest that do what it is there for."""
FOCALS = 4
"""Settings of a varifocal lens that are tried, from the shortest focal length to the longest."""
_PICTURE = frozenset(("picture", "signal", "view", "sound", "control", "place", "channels"))
_WAY = _PICTURE | {"cable"}


@immutable
class Kind:
    """A camera with its settings on inputs of a recorder part: what it says of them in the file, and what comes of it.

    `warned` are the rules that warn of it wherever it hangs; none unless every camera of the catalogue has some.
    """

    camera: str
    said: Mapping[str, Any]
    recorder: str
    channels: tuple[int, ...]
    width: float
    fps: float
    bits: float
    days: float
    warned: frozenset[str] = frozenset()


@immutable
class Picture:
    """A kind with the way over which it holds at one position."""

    kind: Kind
    position: str
    way: Way
    metres: float
    price: float


@dataclass
class Refused:
    """Why parts were set aside for a wish: by part the rule that spoke against it; the systems in which it did."""

    by: dict[str, str] = field(default_factory=dict)
    tried: int = 0
    probes: list[Probe] = field(default_factory=list)


_REVIEWED = ("test_categories",)
"""Facts of a generic part that a specialist decides on (IEC 62305); the proposal says that they are open."""


def asks_of_wants(path: str) -> bool:
    """Whether a fact that is missing is one that whoever wrote the wants can give: a place, a wish, a day.

    Or one that the review by a specialist settles: which arrester is bought where a generic one is drawn.
    """
    steps = path.split("/")
    if steps[0] == "parts":
        return steps[1:2] == ["generic"] and steps[-1] in _REVIEWED
    return len(steps) == 1 or (len(steps) > 2 and steps[2] in ("place", "wants", "area"))


def _asks_of_power(path: str) -> bool:
    """Whether a fact that is missing is the camera's feed, which is chosen after its picture."""
    return path.split("/")[2:3] == ["power"]


def holds(outcome: Outcome, fed: bool = True) -> bool:
    """No error, and nothing open but what the wants leave open, and what the feed decides where there is none yet."""
    if any(level == "error" for _, level in outcome.broken):
        return False
    missing = [path for _, paths in outcome.unknown for path in paths]
    return all(asks_of_wants(path) or (not fed and _asks_of_power(path)) for path in missing)


def warned(outcome: Outcome) -> frozenset[str]:
    """The rules that warn."""
    return frozenset(rule for rule, level in outcome.broken if level == "warning")


def warnings(outcome: Outcome) -> int:
    """How many warnings there are."""
    return sum(level == "warning" for _, level in outcome.broken)


def reason(outcome: Outcome) -> str:
    """The rule that speaks most against it; empty where none does."""
    for wanted in ("error", "warning"):
        for rule, level in outcome.broken:
            if level == wanted:
                return rule
    return next((f"{rule} (open)" for rule, missing in outcome.unknown if not all(map(asks_of_wants, missing))), "")


class Pictures:
    """Options of the picture's side; every question is judged once."""

    def __init__(self, prober: Prober, shop: Shop) -> None:
        self.prober, self.shop = prober, shop
        self.refused: dict[str, Refused] = {}
        self._kinds: dict[str, list[Kind]] = {}
        self._rate = prober.wishes.loaded.site.video_rate

    def kinds(self, wish: Wish) -> list[Kind]:
        """Cameras, settings and inputs that do what the wish is there for, the cheapest first."""
        if wish.alike not in self._kinds:
            self._kinds[wish.alike] = self._judged(wish)
        return self._kinds[wish.alike]

    def _judged(self, wish: Wish) -> list[Kind]:
        asked = [
            (camera, said, recorder, channels)
            for camera in self.shop.cameras
            for said in self._settings(self.shop.part(camera), wish)
            for recorder in self.shop.recorders
            for channels in input_classes(self.shop.part(recorder))
        ]
        probes = [
            _probe(wish, camera, said, self.shop.part(name), name, channels) for camera, said, name, channels in asked
        ]
        outcomes = self.prober.outcomes(probes, lambda rule, subject: _of_camera(rule, subject, _PICTURE))
        refused = self.refused.setdefault(wish.alike, Refused())
        found: dict[tuple[str, str, tuple[int, ...]], list[tuple[tuple[Any, ...], Kind]]] = {}
        for (camera, said, recorder, channels), probe, outcome in zip(asked, probes, outcomes, strict=False):
            refused.tried += 1
            if not holds(outcome, fed=False):
                refused.by.setdefault(camera, reason(outcome))
                refused.probes.append(probe)
                continue
            figures = outcome.figures
            kind = Kind(camera, said, recorder, channels, figures.get("width", 0.0), figures.get("recorded_fps", 0.0),
                        figures.get("bitrate_mean_high", 0.0), figures.get("days_wanted", 0.0),
                        warned(outcome))  # fmt: skip
            rank = (warnings(outcome), -kind.width, -kind.fps, len(said))
            found.setdefault((camera, recorder, channels), []).append((rank, kind))
        return self._cheapest(found, refused)

    def _cheapest(self, found: Mapping[Any, list[tuple[tuple[Any, ...], Kind]]], refused: Refused) -> list[Kind]:
        """Of each camera and input the best two settings; of cameras the cheapest; those with warnings only where all
        have some.
        """
        for camera, _, _ in found:
            refused.by.pop(camera, None)
        least = min((each[0][0] for kinds in found.values() for each in kinds), default=0)
        kept: list[Kind] = []
        for kinds in found.values():
            best = sorted((each for each in kinds if each[0][0] <= least), key=lambda each: each[0])
            kept += [kind for _, kind in best[:2]]
        allowed: dict[str, list[str]] = {}
        for kind in sorted(kept, key=lambda kind: (self.shop.price(kind.camera), kind.camera)):
            names = allowed.setdefault(kind.recorder, [])
            if kind.camera not in names and len(names) < MOST_PARTS:
                names.append(kind.camera)
        return [kind for kind in kept if kind.camera in allowed[kind.recorder]]

    def _settings(self, part: CameraPart, wish: Wish) -> Iterator[dict[str, Any]]:
        """What a file may say of the camera: its mode where a person can switch it, and its lens where it can be set."""
        for mode in self._modes(part):
            for lens in _lenses(part):
                yield {**mode, **lens, **_lines(part, wish)}

    def _modes(self, part: CameraPart) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = [{}]
        for emits in part.emits if part.switched_by else ():
            for family in _several(emits.family):
                for mode in _several(emits.mode):
                    if emits.only is None and self._suits(mode.fps):
                        found.append({"set": {"family": family, "mode": str(mode)}})
        return found

    def _suits(self, fps: float) -> bool:
        """Whether a rate is of the country's frame family (25 or 30 and what they divide into)."""
        other = 30 if self._rate == 25 else 25
        return fps % other != 0 and fps <= self._rate

    def options(self, asked: Sequence[tuple[Wish, str]]) -> dict[tuple[str, str], list[Picture]]:
        """For each wish and position, each kind over the cheapest way that holds; by name of wish and position."""
        work = [
            (wish, position, kind, iter(self._ways(wish.distances[position])))
            for wish, position in asked
            for kind in self.kinds(wish)
        ]
        found: dict[tuple[str, str], list[tuple[int, Picture]]] = {}
        while work and not self.prober.spent:
            trying = [(each, way) for each in work if (way := next(each[3], None)) is not None]
            probes = [self._over(wish, position, kind, way) for (wish, position, kind, _), way in trying]
            outcomes = self.prober.outcomes(probes, of_way)
            work = []
            for (each, way), probe, outcome in zip(trying, probes, outcomes, strict=False):
                wish, position, kind, _ = each
                metres = wish.distances[position]
                if holds(outcome, fed=False) and warned(outcome) <= kind.warned:
                    picture = Picture(kind, position, way, metres, self.shop.price(kind.camera) + way.price(metres))
                    found.setdefault((wish.name, position), []).append((0, picture))
                else:
                    self.refused[wish.alike].by.setdefault(f"{kind.camera} over {way.title}", reason(outcome))
                    self.refused[wish.alike].probes.append(probe)
                    work.append(each)
        return {key: _best_modes([picture for _, picture in pictures]) for key, pictures in found.items()}

    def _ways(self, metres: float) -> list[Way]:
        return sorted(self.shop.picture_ways, key=lambda way: (way.price(metres), way.title))

    def _over(self, wish: Wish, position: str, kind: Kind, way: Way) -> Probe:
        hops, boxes = laid(way, wish.distances[position])
        place = self.prober.wishes.positions[position]
        part = self.shop.part(kind.recorder)
        return _probe(wish, kind.camera, kind.said, part, kind.recorder, kind.channels, hops, boxes, place)


def _best_modes(pictures: list[Picture]) -> list[Picture]:
    """Of each camera on each recorder's inputs, the best setting that holds."""
    found: dict[tuple[str, str, tuple[int, ...]], Picture] = {}
    for each in sorted(pictures, key=lambda each: (-each.kind.width, -each.kind.fps, each.price)):
        found.setdefault((each.kind.camera, each.kind.recorder, each.kind.channels), each)
    return sorted(found.values(), key=lambda each: (each.price, each.kind.camera))


def _of_camera(rule: str, subject: str, topics: frozenset[str]) -> bool:
    return subject.startswith("cameras/") and rule.partition("/")[0] in topics


def of_way(rule: str, subject: str) -> bool:
    """Whether a judgement counts for a camera with its way to a recorder."""
    topic = rule.partition("/")[0]
    return topic in _WAY if subject.startswith(("cameras/", "boxes/")) else topic == "place"


def laid(way: Way, metres: float) -> tuple[list[dict[str, Any]], tuple[dict[str, Any], ...]]:
    """The hops of a way over a length, boxes by their number, and the boxes."""
    hops: list[dict[str, Any]] = []
    boxes: list[dict[str, Any]] = []
    for what, name in way.hops:
        if what == "box":
            hops.append({"box": str(len(boxes))})
            boxes.append({"part": name})
        else:
            hops.append({"cable": name, "length": f"{metres:g} m"})
    return hops, tuple(boxes)


def _probe(
    wish: Wish, camera: str, said: Mapping[str, Any], part: RecorderPart, recorder: str, channels: tuple[int, ...],
    hops: Sequence[Mapping[str, Any]] = (), boxes: tuple[Mapping[str, Any], ...] = (),
    place: Mapping[str, Any] | None = None,
) -> Probe:  # fmt: skip
    entry = {**camera_entry(wish, camera, said), "video": {"into": f"r#/{channels[0]}", "over": list(hops)}}
    entry.pop("label", None)
    return Probe(entry, {"part": recorder, **recording(part, place or {})}, None, boxes)


def recording(part: RecorderPart, place: Mapping[str, Any]) -> dict[str, Any]:
    """How a recorder records and where it stands: the codec that needs least space, all the time."""
    codec = {"codec": "h265" if "h265" in part.codecs else "h264"} if part.codecs else {}
    entry: dict[str, Any] = {"record": {**codec, "schedule": "continuous"}}
    return {**entry, "place": dict(place)} if place else entry


def camera_entry(wish: Wish, camera: str, said: Mapping[str, Any]) -> dict[str, Any]:
    """A wish with its camera, as a site file says it; what the wish says of the recording comes before ours."""
    record = {**said.get("record", {}), **(wish.entry.get("record") or {})}
    rest = {key: value for key, value in said.items() if key != "record"}
    entry: dict[str, Any] = {"part": camera, **wish.entry, **rest}
    return {**entry, "record": record} if record else entry


def _lenses(part: CameraPart) -> list[dict[str, Any]]:
    """Focal lengths that are tried, in equal ratios; nothing of a fixed lens."""
    optics = part.optics
    if optics is None or optics.focal_min is None or optics.focal_max is None or optics.focal_min == optics.focal_max:
        return [{}]
    least, ratio = optics.focal_min * 1000, optics.focal_max / optics.focal_min
    return [{"lens": {"focal": round(least * ratio ** (step / (FOCALS - 1)), 2)}} for step in range(FOCALS)]


def _lines(part: CameraPart, wish: Wish) -> dict[str, Any]:
    """Sound and control over the coax where they are wanted, and the rate that is wanted as the one to record at."""
    wants = wish.entry.get("wants") or {}
    said: dict[str, Any] = {}
    if wants.get("sound") or wants.get("talk_back"):
        said["sound"] = {"by": "coax"}
    if wants.get("control"):
        said["control"] = {"by": "coax"}
    if wants.get("rate"):
        said["record"] = {"rate": wants["rate"]}
    return said


def input_classes(part: RecorderPart) -> list[tuple[int, ...]]:
    """Inputs of a recorder part that behave alike: by group, and by what counts for some channels only."""
    classes: dict[tuple[Any, ...], list[int]] = {}
    special = [each for each in (part.sorted_motion, part.sound and part.sound.coax_channels) if each]
    special += [each.channels for each in part.encodes or () if each.channels]
    for number, group in enumerate(part.inputs):
        for channel in group.channels:
            key = (number, *(channel in each for each in special))
            classes.setdefault(key, []).append(channel)
    return [tuple(sorted(channels)) for channels in classes.values()]


def _several(value: object) -> tuple[Any, ...]:
    return value if type(value) is tuple else (value,)


def as_key(value: object) -> str:
    """A plain value as a text that is the same for equal ones."""
    return json.dumps(value, sort_keys=True, default=str)
