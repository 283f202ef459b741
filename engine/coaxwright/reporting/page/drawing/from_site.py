"""The plan of a site from its topology and findings: which devices and lines are drawn, and what is said on each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from coaxwright.facts.context import Context
from coaxwright.findings import LEVELS, Finding
from coaxwright.model.common import Strict
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.reporting.page.drawing.plan import Device, Line, Plan
from coaxwright.reporting.page.survey import Survey, worst
from coaxwright.show import figures
from coaxwright.topology.cable_numbers import way_numbers
from coaxwright.topology.records import GROUP_OF_KIND, CablePath

_ON_VIDEO = frozenset({"cable", "signal", "channels"})
_PORT_WORDS = {"poe-port": "PoE ", "recorder-audio-in": "audio ", "serial": "serial", "network": "net "}


def plan_of(survey: Survey) -> Plan:
    """Everything that the drawing shows of a site; an empty plan where the facts are not at hand."""
    if survey.facts is None:
        return Plan()
    return _Maker(survey, survey.facts.context).plan()


class _Maker:
    def __init__(self, survey: Survey, context: Context) -> None:
        self.survey = survey
        self.site = context.loaded.site
        self.lists = context.topology.lists
        self.numbers = way_numbers(self.lists)
        self.ends = Counter(path.target for path in self.lists.video.values())
        self.links = {each.subject: each for each in survey.sheets("link")}
        self.cameras = {each.subject: each for each in survey.sheets("camera")}

    def plan(self) -> Plan:
        site, lists = self.site, self.lists
        video: dict[str, tuple[Line, ...]] = {f"cameras/{name}": (self._line(path),) for name, path in lists.video.items()}
        power: dict[str, tuple[Line, ...]] = {f"cameras/{name}": (self._line(path),) for name, path in lists.power.items()}
        video.update(self._networked())
        for (kind, name), path in lists.device_power.items():
            if kind == "junction":
                power[f"junctions/{name}"] = (self._line(path),)
        return Plan(
            tuple(self._camera(name, entry) for name, entry in site.cameras.items()),
            tuple(self._device("recorders", name, entry) for name, entry in site.recorders.items()),
            tuple(self._sources(power)),
            tuple(self._device("junctions", name, entry) for name, entry in site.junctions.items()),
            video,
            power,
        )

    def _networked(self) -> Iterator[tuple[str, tuple[Line, ...]]]:
        """The ways of network cameras to what records them, through whatever switches."""
        for path in self.lists.paths:
            if path.use != "network" or path.owner_kind != "camera" or path.target is None:
                continue
            entry = self.site.cameras[path.owner].network
            recorder = entry.recorder if entry else None
            line = self._line(path)
            if recorder is not None:
                through = "" if path.target.device == recorder else f", {path.target.device}"
                line = replace(line, end=f"recorders/{recorder}", port="net", note=f"{line.note}{through}")
            if line.end.startswith("recorders/"):
                yield path.subject, (line,)

    def _camera(self, name: str, entry: CameraEntry) -> Device:
        link, camera = self.links.get(f"cameras/{name}"), self.cameras[f"cameras/{name}"]
        sheet, frame = (link, ("width", "height")) if link is not None else (camera, ("recorded_width", "recorded_height"))
        width, height = (sheet.known(each) for each in frame)
        detail = ""
        if width and height:
            rate = sheet.known("recorded_fps")
            size = f"{figures.plain(width * height / 1e6, 1)} MP"
            detail = size if rate is None else f"{size}, {figures.plain(rate, 1)} fps"
        return self._device("cameras", name, entry, detail)

    def _device(self, group: str, name: str, entry: Strict, detail: str = "") -> Device:
        key = f"{group}/{name}"
        found = self.survey.of(key)
        place = getattr(entry, "place", None)
        building = (place.building or "") if place else ""
        kind = group.removesuffix("s") if group != "supplies" else "supply"
        return Device(
            key, kind, name, detail, building, worst(found), self._link(key, found), _words(kind, name, found)
        )

    def _link(self, key: str, found: Sequence[Finding]) -> str:
        """A device with findings leads to its worst one, any other to its own entry."""
        return self.survey.finding(found[0]) if found else self.survey.anchor(key)

    def _sources(self, power: dict[str, tuple[Line, ...]]) -> Iterable[Device]:
        """Supplies, then whatever else gives power to what is drawn: switches, ports of recorders."""
        sheets = {each.name: each for each in self.survey.sheets("supply")}
        for name, entry in self.site.supplies.items():
            sheet = sheets[name]
            known = (figures.volts(sheet.known("volts")), figures.amps(sheet.known("amps_night")))
            detail = ", ".join(each for each in known if each != figures.UNKNOWN)
            yield self._device("supplies", name, entry, detail)
        drawn = {f"supplies/{name}" for name in self.site.supplies} | {f"junctions/{each}" for each in self.site.junctions}
        others = dict.fromkeys(line.end for lines in power.values() for line in lines if line.end not in drawn)
        for end in others:
            group, _, name = end.removesuffix("#power").partition("/")
            entry = getattr(self.site, group)[name]
            device = self._device(group, name, entry, "PoE")
            yield Device(end, "supply", name, device.detail, device.building, device.level, device.link, device.words)

    def _line(self, path: CablePath) -> Line:
        target = path.target
        end = f"{GROUP_OF_KIND[target.device_kind]}/{target.device}" if target else ""
        if path.use == "power" and target and target.device_kind == "recorder":
            end += "#power"
        found = self._on_line(path)
        port = "" if target is None else _PORT_WORDS.get(target.kind, "") + (str(target.number) if target.number else "")
        boxes = tuple(hop.box for hop in path.hops or () if hop.box is not None)
        rules = tuple(dict.fromkeys(finding.rule for finding in found))
        link = self.survey.finding(found[0]) if found else ""
        note = length(path) or "no length"
        number = self.numbers.get((path.subject, path.use)) or self.numbers.get((path.subject, "network"), "")
        shared = self.ends[target] if target is not None and path.use == "video" else 1
        return Line(path.use, path.subject, end, port, note, boxes, rules, worst(found), link, number, _kind(path), shared)

    def _on_line(self, path: CablePath) -> list[Finding]:
        entry = "/" + "/".join(map(str, path.pointer))
        found = self.survey.of(path.subject)
        return [each for each in found if each.pointer.startswith(entry) or _belongs(each, path)]


def _kind(path: CablePath) -> str:
    """What it is made of: the cable as people call it, or how many kinds."""
    kinds = dict.fromkeys(str(hop.cable).rpartition("/")[2] for hop in path.hops or () if hop.cable is not None)
    return next(iter(kinds)) if len(kinds) == 1 else f"{len(kinds)} kinds" if kinds else ""


def length(path: CablePath) -> str:
    """Length of all its runs in words; empty where one of them has none."""
    runs = [hop.metres for hop in path.hops or () if hop.cable is not None]
    if not runs or None in runs:
        return ""
    return figures.metres(sum(run for run in runs if run is not None))


def _belongs(finding: Finding, path: CablePath) -> bool:
    """By topic, for findings that point at the whole device."""
    topics = {"power": {"power"}, "video": _ON_VIDEO, "network": {"network"}}.get(path.use, set())
    return finding.pointer.count("/") <= 2 and finding.rule.partition("/")[0] in topics


def _words(kind: str, name: str, found: Sequence[Finding]) -> str:
    counts = [figures.count(sum(each.level == level for each in found), level) for level in LEVELS]
    told = ", ".join(words for words in counts if not words.startswith("0 "))
    return f"{kind} {name}: {told or 'nothing found'}"
