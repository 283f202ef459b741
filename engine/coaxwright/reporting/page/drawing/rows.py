"""Which device stands on which row: recorder by recorder down the sheet, cameras of each to its left and right.

Cameras of one building stand together under its name, and within it those of one supply, output and trunk. Every
order follows the file or the names in it, so that the same site gives the same sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from coaxwright.reporting.page.drawing.plan import Device, Plan

HEADER = 0.95
GAP = 0.55
SEVERAL = 0.9
"""Height of each line, where several lead to one device."""
ONE_SIDED = 14
"""Up to so many cameras stand all on one side, which reads from left to right."""


@dataclass(slots=True)
class Row:
    """One row of one side: a camera, a junction that needs a row of its own, or the name of a building."""

    kind: str
    key: str
    tall: float = 1.0
    at: float = 0.0


@dataclass(slots=True)
class Section:
    """One recorder (empty: cameras without one) with the rows of its two sides."""

    recorder: str
    sides: tuple[list[Row], list[Row]] = field(default_factory=lambda: ([], []))

    @property
    def tall(self) -> float:
        """Rows that it takes, its head included."""
        return HEADER + max(sum(row.tall for row in side) for side in self.sides)


def sections(plan: Plan, headed: bool, tidy: float = 1.0) -> list[Section]:
    """All sections in order. With `headed`, buildings have rows for their names; `tidy` weighs how much rather
    buildings and trunks stay whole than both sides are as long."""
    both = len(plan.cameras) > ONE_SIDED
    place = _Places(plan)
    found = []
    placed: tuple[set[str], set[str]] = (set(), set())
    for recorder, cameras in _by_recorder(plan):
        ordered = sorted(cameras, key=place.of)
        cut = _cut(ordered, place, tidy) if both else len(ordered)
        section = Section(recorder)
        for side, part, known in zip(section.sides, (ordered[:cut], ordered[cut:]), placed, strict=True):
            side.extend(_rows(plan, part, headed, known))
        found.append(section)
    return _with_idle(plan, found, placed[0])


def _by_recorder(plan: Plan) -> list[tuple[str, list[Device]]]:
    groups: dict[str, list[Device]] = {each.key: [] for each in plan.recorders}
    for camera in plan.cameras:
        lines = plan.video.get(camera.key, ())
        groups.setdefault(lines[0].end if lines else "", []).append(camera)
    groups[""] = groups.pop("", [])
    return [(key, cameras) for key, cameras in groups.items() if key or cameras]


class _Places:
    """Sorting keys of cameras."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.buildings: dict[str, int] = {}
        for camera in plan.cameras:
            self.buildings.setdefault(camera.building, len(self.buildings))
        self.rank = {each.key: place for place, each in enumerate((*plan.sources, *plan.junctions))}
        self.file = {each.key: place for place, each in enumerate(plan.cameras)}

    def power(self, camera: Device) -> tuple[int, ...]:
        """Ranks of what it hangs on, the root first."""
        return tuple(self.rank.get(key, -1) for key in reversed(self.plan.above(camera.key)))

    def of(self, camera: Device) -> tuple[int, tuple[int, ...], int]:
        return self.buildings[camera.building], self.power(camera), self.file[camera.key]


def _cut(ordered: Sequence[Device], place: _Places, tidy: float) -> int:
    """Where the left side ends: near the middle, rather between buildings or trunks than within them."""
    total = len(ordered)
    return min(range(1, total + 1), key=lambda at: _cost(ordered, place, at, tidy)) if total else 0


def _cost(ordered: Sequence[Device], place: _Places, at: int, tidy: float) -> float:
    unequal = abs(at - len(ordered) / 2)
    if at == len(ordered):
        return unequal
    before, after = ordered[at - 1], ordered[at]
    if before.building != after.building:
        return unequal
    return unequal + tidy * len(ordered) * (0.25 if place.power(before) == place.power(after) else 0.06)


def _rows(plan: Plan, cameras: Sequence[Device], headed: bool, placed: set[str]) -> list[Row]:
    """Rows of one side: the first building's name stands in the head of the section, so it needs no row.

    A junction shares the row of its first camera, unless it has none here or there is something to say of its line.
    """
    shared = {line.end for each in cameras for line in plan.power.get(each.key, ())}
    junctions = {each.key for each in plan.junctions}
    made: list[Row] = []
    building: str | None = None
    for camera in cameras:
        if headed and building not in (None, camera.building):
            made.append(Row("building", camera.building, HEADER))
        building = camera.building
        for junction in (key for key in reversed(plan.above(camera.key)) if key in junctions):
            told = any(line.rules for line in plan.power.get(junction, ()))
            if junction not in placed and (told or junction not in shared):
                made.append(Row("junction", junction))
            placed.add(junction)
        made.append(Row("camera", camera.key, max(1.0, SEVERAL * len(plan.power.get(camera.key, ())))))
    return made


def _with_idle(plan: Plan, found: list[Section], placed: set[str]) -> list[Section]:
    """Junctions over no camera get rows at the end of the first side, with those that they hang on: they are to be seen."""
    used = {key for camera in plan.cameras for key in plan.above(camera.key)}
    junctions = {each.key for each in plan.junctions}
    rows = []
    for each in plan.junctions:
        for key in (*reversed(plan.above(each.key)), each.key) if each.key not in used else ():
            if key in junctions and key not in placed:
                placed.add(key)
                rows.append(Row("junction", key))
    if rows:
        if not found:
            found.append(Section(""))
        found[-1].sides[0].extend(rows)
    return found
