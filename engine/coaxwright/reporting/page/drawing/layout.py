"""From a plan to a finished sheet: recorders down the middle, cameras beside them, power at the outer edges.

The sheet is the largest that prints on A4 and on Letter turned sideways, in points, so that lettering of `SIZE` comes
out at that size in print. What does not fit at that size gives no sheet; `pages` then divides it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from coaxwright.reporting.page.drawing.lettering import CAP_HEIGHT, SIZE, fitted, shortened
from coaxwright.reporting.page.drawing.plan import Device, Plan
from coaxwright.reporting.page.drawing.rows import GAP, HEADER, Row, Section, sections
from coaxwright.reporting.page.drawing.shapes import Box, Rectangle, Sheet, Words
from coaxwright.reporting.page.drawing.side import PAD, Drawn, Side, Stretch, turned

WIDE = 744.0
HIGH = 466.0
"""Letter is 792 pt wide and A4 595 pt high; margins of 23 pt, and 80 pt for heading and key."""
LEAST_PITCH = 10.6
MOST_PITCH = 30.0
SPINE = 60.0
SPINE_ALONE = 96.0


def lay_out(plan: Plan, wide: float = WIDE, high: float = HIGH) -> Sheet | None:
    """The sheet of a plan; None where it does not fit at full lettering."""
    for headed, tidy in ((True, 1.0), (True, 0.2), (False, 0.2)):
        found = sections(plan, headed, tidy)
        units = sum(each.tall for each in found) + GAP * max(0, len(found) - 1)
        pitch = min(MOST_PITCH, high / units) if units else MOST_PITCH
        if pitch >= LEAST_PITCH:
            sheet = _Layout(plan, found, headed, pitch, wide, high).sheet()
            if sheet is not None:
                return sheet
    return None


@dataclass(slots=True)
class _Layout:
    plan: Plan
    found: Sequence[Section]
    headed: bool
    pitch: float
    wide: float
    high: float

    def sheet(self) -> Sheet | None:
        tops = self._place_rows()
        alone = not any(section.sides[1] for section in self.found)
        spine = SPINE_ALONE if alone else SPINE
        side_wide = self.wide - spine if alone else (self.wide - spine) / 2
        used = tops[-1]
        sides = self._sides(side_wide, max(used, min(self.high, 13.0 * len(self.plan.sources))))
        if not all(side.fits for side in sides):
            return None
        parts = [sides[0].draw()] + ([] if alone else [turned(sides[1].draw(), self.wide)])
        boxes, words = self._spine(tops, side_wide, spine, alone)
        return self._joined(parts, boxes, words, max(used, *(_bottom(part) for part in parts)))

    def _place_rows(self) -> list[float]:
        """Heights of all rows set; tops of the sections, and the bottom of the last."""
        top = 0.0
        tops = [top]
        for section in self.found:
            for side in section.sides:
                at = top + HEADER * self.pitch
                for row in side:
                    row.at = at + row.tall * self.pitch / 2
                    at += row.tall * self.pitch
            top += section.tall * self.pitch + GAP * self.pitch
            tops.append(top)
        tops[-1] -= GAP * self.pitch if self.found else 0.0
        return tops

    def _sides(self, wide: float, high: float) -> list[Side]:
        used = {line.end for line in self.plan.lines()}
        idle = [each.key for each in self.plan.sources if each.key not in used]
        return [
            Side(
                self.plan,
                [row for section in self.found for row in section.sides[which]],
                [each for section in self.found for each in self._stretches(section, which)],
                self.pitch, wide, high, () if which else idle,
            )
            for which in (0, 1)
        ]  # fmt: skip

    def _stretches(self, section: Section, which: int) -> list[Stretch]:
        """Buildings of one side of a section, from the first row of each to its last."""
        buildings = {each.key: each.building for each in self.plan.cameras}
        made: list[Stretch] = []
        head: float | None = None
        for row in section.sides[which]:
            if row.kind == "building":
                head = row.at
            elif row.kind == "camera":
                made = self._extended(made, buildings[row.key], row, head)
                head = None
        return made

    def _extended(self, made: list[Stretch], building: str, row: Row, head: float | None) -> list[Stretch]:
        bottom = row.at + row.tall * self.pitch / 2 - 0.3
        if made and made[-1].building == building:
            return [*made[:-1], replace(made[-1], bottom=bottom)]
        top = row.at - row.tall * self.pitch / 2 + 0.3
        if not made:
            top -= HEADER * self.pitch
            return [Stretch(building, top, bottom, top + HEADER * self.pitch / 2)]
        if head is not None:
            return [*made, Stretch(building, head - HEADER * self.pitch / 2 + 0.3, bottom, head)]
        return [*made, Stretch(building, top, bottom, None, row.at)]

    def _spine(self, tops: Sequence[float], left: float, wide: float, alone: bool) -> tuple[list[Box], list[Words]]:
        """Recorders, with the inputs that lines come in at."""
        devices = {each.key: each for each in self.plan.recorders}
        boxes, words = [], []
        for section, top in zip(self.found, tops, strict=False):
            area = Rectangle(left, top, wide, section.tall * self.pitch)
            head = top + HEADER * self.pitch / 2 + SIZE * CAP_HEIGHT / 2
            device = devices.get(section.recorder)
            if device is None:
                if any(section.sides):
                    words.append(Words(fitted("no recorder", wide), left + wide / 2, head, "middle", "detail"))
                continue
            boxes.append(Box(device, area, _head(device, area, head)))
            words += self._ports(section, left, wide, alone)
        return boxes, words

    def _ports(self, section: Section, left: float, wide: float, alone: bool) -> list[Words]:
        found = []
        room = wide - 2 * PAD if alone else wide / 2 - 2 * PAD
        for which, side in enumerate(section.sides):
            for row in side:
                for line in self.plan.video.get(row.key, ())[:1] if row.kind == "camera" else ():
                    x, anchor = (left + wide - PAD, "end") if which else (left + PAD, "start")
                    middle = row.at + SIZE * CAP_HEIGHT / 2
                    found.append(Words(fitted(line.port, room), x, middle, anchor, "port", line.port))
        return [words for words in found if words.text]

    def _joined(self, parts: Sequence[Drawn], boxes: Sequence[Box], words: Sequence[Words], high: float) -> Sheet:
        twice = [box.device.key for part in parts for box in part.boxes]
        devices = tuple(
            replace(box, again=twice.count(box.device.key) > 1) for part in parts for box in part.boxes
        )
        return Sheet(
            self.wide,
            high,
            tuple(band for part in parts for band in part.bands),
            (*boxes, *devices),
            tuple(wire for part in parts for wire in part.wires),
            tuple(dot for part in parts for dot in part.dots),
            (*words, *(each for part in parts for each in part.words)),
        )


def _head(device: Device, area: Rectangle, baseline: float) -> tuple[Words, ...]:
    room = area.wide - 2 * PAD - (9.0 if device.level else 0.0)
    return (Words(shortened(device.name, room), area.x + PAD, baseline, full=device.name),)


def _bottom(part: Drawn) -> float:
    return max((box.area.y + box.area.high for box in part.boxes), default=0.0)
