"""What is drawn: devices and the lines between them, as plain records. Nothing of how it looks or where it stands.

Devices are known by their subject path. A plan may stand for a whole site, for a part of it, or for an overview in
which each camera-like device is a block of cameras.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field

from coaxwright.immutable import immutable


@immutable
class Device:
    """One device: `level` is the worst finding on itself (empty for none), `words` all of it for a reader's ears."""

    key: str
    kind: str
    name: str
    detail: str = ""
    building: str = ""
    level: str = ""
    link: str = ""
    words: str = ""


@immutable
class Line:
    """One way over cables from `start` (camera or junction) to `end` (recorder, source or junction).

    `port` is what it is joined to there, `note` its length in words, `rules` the findings on it, worst first. `number` is that
    of its cable, `kind` what it is made of, `shared` how many lines end in the same input.
    """

    use: str
    start: str
    end: str
    port: str = ""
    note: str = ""
    boxes: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    level: str = ""
    link: str = ""
    number: str = ""
    kind: str = ""
    shared: int = 1

    def called(self, kind: bool = True) -> str:
        """Its number, what it is made of where that is asked for, its length, and how many are on one input."""
        words = " ".join(each for each in (self.number, self.kind if kind else "", self.note) if each)
        return f"{words}, {self.shared} on one" if self.shared > 1 else words


@immutable
class Plan:
    """Devices in file order. `video` holds the lines of each camera, `power` those of each camera and junction."""

    cameras: tuple[Device, ...] = ()
    recorders: tuple[Device, ...] = ()
    sources: tuple[Device, ...] = ()
    junctions: tuple[Device, ...] = ()
    video: Mapping[str, tuple[Line, ...]] = field(default_factory=dict)
    power: Mapping[str, tuple[Line, ...]] = field(default_factory=dict)

    def lines(self) -> list[Line]:
        """Every line, those of cameras first, in file order."""
        owners: Sequence[Device] = (*self.cameras, *self.junctions)
        return [line for table in (self.video, self.power) for each in owners for line in table.get(each.key, ())]

    def above(self, key: str) -> list[str]:
        """Sources of power over a device, nearest first: junctions, then the source at the root."""
        found: list[str] = []
        lines = self.power.get(key, ())
        while lines and lines[0].end not in found:
            found.append(lines[0].end)
            lines = self.power.get(found[-1], ())
        return found


def part_of(plan: Plan, keys: frozenset[str]) -> Plan:
    """The plan of some of its cameras, with what they hang on."""
    cameras = tuple(each for each in plan.cameras if each.key in keys)
    needed = {line.end for each in cameras for line in (*plan.video.get(each.key, ()), *plan.power.get(each.key, ()))}
    needed |= {above for each in cameras for above in plan.above(each.key)}
    junctions = tuple(each for each in plan.junctions if each.key in needed)
    kept = {each.key for each in (*cameras, *junctions)}
    return Plan(
        cameras,
        tuple(each for each in plan.recorders if each.key in needed),
        tuple(each for each in plan.sources if each.key in needed),
        junctions,
        {key: lines for key, lines in plan.video.items() if key in kept},
        {key: lines for key, lines in plan.power.items() if key in kept},
    )
