"""What generators of candidates work with: a state of the site, what the finding is about, and the catalogue.

A candidate is an edit that may help; `proving` finds out. Lengths and rooms that nobody wrote are not made
up: where an edit assumes one, its title says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from operator import ne
from typing import Any

from coaxwright.facts.sheets import Sheet
from coaxwright.fixes.components import Entry, model_of
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Operation, pointer, reach, value_at
from coaxwright.fixes.rejudging import SiteState
from coaxwright.model.part_base import PartBase
from coaxwright.model.site import Site
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.defaults import filled_in

SETTING, MOVE, CABLE, DEVICE, NEED = range(5)
"""Kinds of disruption, least first: a setting, a plug moved, a cable, a device, the need itself."""
Steps = tuple[str | int, ...]
DEVICE_GROUPS = {
    "camera": "cameras", "recorder": "recorders", "supply": "supplies", "box": "boxes", "switch": "switches",
    "monitor": "monitors", "ups": "ups",
}  # fmt: skip


@dataclass(frozen=True)
class Candidate:
    """An edit to be tried: RFC 6902 `patch`, how it disrupts, and whether it only hides the finding.

    Where it has a run whose length nobody gave, `lay` makes the patch for a length as written, and `metres` is that of
    `patch`; once it is proven up to a length, `lay` is None and the title says so.
    """

    title: str
    patch: tuple[Operation, ...]
    disruption: int
    word: str = ""
    lay: Callable[[str], tuple[Operation, ...]] | None = None
    metres: float | None = None

    @property
    def hides(self) -> bool:
        """The need is given up, or the finding only silenced."""
        return self.disruption == NEED


@dataclass(frozen=True)
class Want:
    """What a rule declares: the word `do`, the sheets that `of` names, how to choose (`prefer`), the rule's id."""

    do: str
    sheets: tuple[Any, ...]
    prefer: str
    rule: str


class Bench:
    """One state of a site, laid out for generators."""

    def __init__(self, state: SiteState) -> None:
        self.state = state
        self.value = state.value
        self.site: Site = state.site
        self.catalogue: Catalogue = state.basis.loaded.catalogue

    def entry(self, group: str, name: str) -> Any:
        """The model of an entry; None where there is none."""
        return model_of(self.site, (group, name))

    def part(self, identifier: str) -> Any:
        """A catalogue entry."""
        return self.catalogue.part(identifier)

    def parts(self, kind: str, like: str, prefer: str = "") -> list[str]:
        """Other parts of a kind that are still sold: by price or maker where that is preferred, else the
        nearest to `like` first.
        """
        own = self.catalogue.full_id(like)
        makers = frozenset(self._recorder_makers) if prefer == "own-maker" else frozenset()
        memo = self.state.basis.facts.context.memo
        key = ("fixes.bench", kind, own, prefer, makers)
        if key not in memo:
            found = [name for name in self.catalogue.ids(kind) if name != own and not self.part(name).retired]
            memo[key] = sorted(
                found, key=lambda name: (*self._preference(name, own, prefer), self._unlike(name, own), name)
            )
        known: list[str] = memo[key]
        return known

    def _preference(self, name: str, own: str, prefer: str) -> tuple[Any, ...]:
        part = self.part(name)
        if prefer == "own-maker":
            return (self.catalogue.maker(name) not in self._recorder_makers,)
        return (part.price is None, part.price or 0.0) if prefer == "cheapest" else ()

    @cached_property
    def _recorder_makers(self) -> set[str]:
        return {self.catalogue.maker(recorder.part) for recorder in self.site.recorders.values()}

    def _unlike(self, name: str, own: str) -> tuple[int, int]:
        """How far it is from what stands there: first where it may be used and of what it is made, then how many stated
        fields differ.
        """
        one, other = self.part(name), self.part(own)
        fields = type(one).model_fields
        differ = sum(getattr(one, field) != getattr(other, field) for field in fields if field not in _INCIDENTAL)
        return sum(map(ne, _family(name, one), _family(own, other))), differ

    def write(self, path: Steps, value: object) -> Operation:
        """The operation that writes a value at a path, whether or not something stands there."""
        return reach(self.value, path, value)

    def removal(self, path: Steps) -> Operation:
        """The operation that takes a value away."""
        return {"op": "remove", "path": pointer(path)}

    def written(self, path: Steps) -> Any:
        """What the site file writes at a path, or its defaults for it."""
        return value_at(self._whole, path)

    @cached_property
    def _whole(self) -> dict[str, Any]:
        loaded = self.state.loaded
        return filled_in(self.value, loaded.defaulted) if loaded.site.defaults else self.value

    def free_name(self, stem: str) -> str:
        """An id that no entry has."""
        taken = {
            name
            for group in ("recorders", "supplies", "junctions", "boxes", "switches")
            for name in getattr(self.site, group)
        }
        number = 2 if stem[-1:].isdigit() else 1
        base = stem.rstrip("0123456789") or stem
        while f"{base}{number}" in taken or f"{base}{number}" in self.site.cameras:
            number += 1
        return f"{base}{number}"

    @cached_property
    def outputs_used(self) -> set[tuple[str, int]]:
        """Supply outputs that something names."""
        return {_numbered(port) for port in self._ports("source")}

    @cached_property
    def inputs_used(self) -> set[tuple[str, int]]:
        """Recorder inputs that a camera names."""
        return {_numbered(camera.video.into) for camera in self.site.cameras.values() if camera.video is not None}

    @cached_property
    def lines_used(self) -> set[str]:
        """Line inputs that a camera names."""
        ways = [camera.sound for camera in self.site.cameras.values() if camera.sound is not None]
        return {way.into for way in ways if way.into is not None}

    def _ports(self, name: str) -> Iterator[str]:
        for group in ("cameras", "recorders", "junctions", "boxes"):
            for model in getattr(self.site, group).values():
                if model.power is not None:
                    yield getattr(model.power, name)

    def free_outputs(self, supply: str) -> list[int]:
        """Outputs of a supply that nothing names."""
        outputs = self.part(self.site.supplies[supply].part).outputs or 0
        return [number for number in range(1, outputs + 1) if (supply, number) not in self.outputs_used]

    def free_inputs(self, recorder: str) -> list[int]:
        """Coax inputs of a recorder that no camera names."""
        groups = self.part(self.site.recorders[recorder].part).inputs
        channels = sorted({channel for group in groups for channel in group.channels})
        return [number for number in channels if (recorder, number) not in self.inputs_used]

    def power_owners(self, port: str) -> list[Entry]:
        """Entries that take their power from this port, cameras first."""
        return [
            (group, name)
            for group in ("cameras", "recorders", "junctions", "boxes")
            for name, model in getattr(self.site, group).items()
            if model.power is not None and model.power.source == port
        ]

    def cameras_on(self, recorder: str) -> list[str]:
        """Cameras whose video goes into a recorder, in file order."""
        return [
            name
            for name, camera in self.site.cameras.items()
            if camera.video is not None and camera.video.into.partition("/")[0] == recorder
        ]


def _family(name: str, part: PartBase) -> tuple[Any, ...]:
    """What nobody changes without need: outdoors or in, copper or not, metric or gauge, rated to run all the time."""
    conductor = getattr(part, "conductor", None)
    return (
        getattr(part, "rated", None) or getattr(getattr(part, "housing", None), "rated", None),
        getattr(conductor, "material", None),
        getattr(part, "centre", None),
        "awg" in name.lower(),
        getattr(part, "continuous", None),
    )


_INCIDENTAL = frozenset((
    "title", "source", "maker", "price", "currency", "retired", "kind", "retired_since", "successor", "articles", "price_date",
    "stock", "lead_time", "price_tiers", "warranty_years", "read",
))  # fmt: skip


def _numbered(port: str) -> tuple[str, int]:
    device, _, number = port.partition("/")
    return device, int(number) if number.isdecimal() else 0


def hops_of(bench: Bench, way: Steps) -> list[Steps]:
    """Paths of the runs of one way, where it is drawn; of a switch the way is its entry."""
    model = bench.entry(str(way[0]), str(way[1]))
    path = getattr(model, str(way[2]), None) if len(way) > 2 else model
    hops = (path.over or ()) if path is not None else ()
    return [(*way, "over", index) for index, hop in enumerate(hops) if hop.cable is not None]


def cameras_of(sheets: Iterable[Any]) -> list[str]:
    """Ids of the cameras that sheets are about, each once."""
    found: dict[str, None] = {}
    for sheet in sheets:
        if sheet.kind == "hop" and sheet.pointer[0] == "cameras":
            found[str(sheet.pointer[1])] = None
        for camera in _cameras(sheet):
            found[camera.name] = None
    return list(found)


def _cameras(sheet: Sheet) -> Iterator[Any]:
    if sheet.kind == "camera":
        yield sheet
    for field in ("camera", "load"):
        if sheet.known(field) is not None:
            yield sheet.known(field)
    if sheet.kind == "recorder":
        yield from (link.camera for link in sheet.known("links") or ())
    elif sheet.kind == "input":
        yield from sheet.known("cameras") or ()
    elif sheet.kind == "disk_group":
        yield from _cameras(sheet.known("recorder"))


def entries_of(sheets: Iterable[Any], kind: str) -> list[str]:
    """Ids of the devices of one kind (recorder, supply, junction, box) that sheets belong to."""
    found: dict[str, None] = {}
    for sheet in sheets:
        own = sheet if sheet.kind == kind else sheet.known({"recorder": "recorder", "supply": "supply"}.get(kind, ""))
        if own is None and kind == "supply":
            own = sheet.known("source")
        if own is not None:
            found[entry_of(own.subject)[1]] = None
    return list(found)
