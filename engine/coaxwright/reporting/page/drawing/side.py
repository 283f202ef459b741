"""One side of a sheet: sources at its outer edge, then trunks and junctions, cameras, and the way to the recorder.

Worked out as if it were the left side, x growing from the outer edge towards the recorders; the right side is turned
over at the end. Rows have their heights already (`Row.at`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from coaxwright.immutable import immutable
from coaxwright.reporting.page.drawing.lanes import lanes, spread
from coaxwright.reporting.page.drawing.lettering import BOLD, CAP_HEIGHT, SIZE, fitted, shortened, width
from coaxwright.reporting.page.drawing.plan import Device, Line, Plan
from coaxwright.reporting.page.drawing.rows import Row
from coaxwright.reporting.page.drawing.shapes import Band, Box, Point, Rectangle, Wire, Words

SOURCE_WIDE = 60.0
JUNCTION_WIDE = 42.0
LANE = 4.5
PAD = 3.0
MARK = 9.0
_EXIT = 0.28
_DROP = SIZE * CAP_HEIGHT / 2
_BOLD = SIZE * BOLD


@immutable
class Columns:
    """Where each column begins, in points from the outer edge; `end` is the recorder's edge."""

    outer: float
    junction: float
    inner: float
    power_run: float
    camera: float
    video_run: float
    end: float


@dataclass(slots=True)
class Drawn:
    """What a side consists of."""

    bands: list[Band] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)
    dots: list[Point] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)


@immutable
class Stretch:
    """Rows of one building: from `top` to `bottom`; its name stands on a row of its own, or on that of its first
    camera."""

    building: str
    top: float
    bottom: float
    named_at: float | None
    inline_at: float | None = None


class Side:
    """Places everything of one side. `idle` are sources over nothing, to be drawn here too."""

    def __init__(
        self, plan: Plan, rows: Sequence[Row], stretches: Sequence[Stretch], pitch: float, wide: float, high: float,
        idle: Sequence[str] = (),
    ) -> None:  # fmt: skip
        self.plan, self.pitch, self.wide, self.high = plan, pitch, wide, high
        self.stretches = stretches
        self.box_high = min(pitch - 1.2, 21.0)
        self.junction_high = min(self.box_high, 11.0)
        self.at = {row.key: row.at for row in rows if row.kind != "building"}
        self.tall = {row.key: row.tall for row in rows}
        self.cameras = [each for each in plan.cameras if each.key in self.at]
        self._share_rows()
        self.junctions = [each for each in plan.junctions if each.key in self.at]
        self.powered = {
            key: [line for line in plan.power.get(key, ()) if line.end] for key in self.at
        }
        used = {line.end for lines in self.powered.values() for line in lines} | set(idle)
        self.sources = [each for each in plan.sources if each.key in used]
        self.source_high = self._source_high()
        self.exits = self._exits()
        self.outer, outer_count = lanes(self._outer_stretches())
        self.inner, inner_count = lanes(self._inner_stretches())
        self.columns = self._columns(outer_count, inner_count)
        self.drawn = Drawn()

    @property
    def fits(self) -> bool:
        """Whether the sources find room beside each other's edges."""
        return len(self.sources) * (self.source_high + 2.0) <= self.high

    def draw(self) -> Drawn:
        """Everything, the right way up for the left side."""
        self._bands()
        self._source_boxes()
        for junction in self.junctions:
            self._junction(junction)
        for camera in self.cameras:
            self._camera(camera)
        self._dots()
        return self.drawn

    def _share_rows(self) -> None:
        """Junctions without a row of their own stand on that of their first camera in the order of rows."""
        names = {each.key for each in self.plan.junctions}
        for camera in sorted(self.cameras, key=lambda each: self.at[each.key]):
            for line in self.plan.power.get(camera.key, ()):
                if line.end in names:
                    self.at.setdefault(line.end, self.at[camera.key])

    def _source_high(self) -> float:
        high = 22.0
        return high if len(self.sources) * (high + 3.0) <= self.high else 10.6

    def _height(self, line: Line) -> float:
        """Where a power line comes in at its load: lines of one load stand apart."""
        lines = self.powered[line.start]
        step = self._camera_high(line.start) / len(lines)
        return self.at[line.start] + (lines.index(line) - (len(lines) - 1) / 2) * step

    def _camera_high(self, key: str) -> float:
        """Height of a camera's box: taller where several lines lead to it."""
        return self.box_high if self.tall.get(key, 1.0) == 1.0 else self.tall[key] * self.pitch - 1.2

    def _hung(self, on: str) -> list[Line]:
        return [line for lines in self.powered.values() for line in lines if line.end == on]

    def _exits(self) -> dict[str, float]:
        """Where power leaves each source and junction: never on the height of a line that comes in."""
        taken = [self._height(line) for lines in self.powered.values() for line in lines]
        exits = {each.key: self.at[each.key] + self.junction_high * _EXIT for each in self.junctions}
        taken += exits.values()
        wanted = {}
        for source in self.sources:
            heights = [self._height(line) for line in self._hung(source.key)]
            wanted[source.key] = sum(heights) / len(heights) if heights else self.high
        for key, middle in spread(wanted, self.source_high, 2.0, 0.0, self.high).items():
            exits[key] = self._clear(middle, taken)
        self.middles = spread(wanted, self.source_high, 2.0, 0.0, self.high)
        return exits

    def _clear(self, middle: float, taken: Sequence[float]) -> float:
        """The height nearest to the middle of a source box that no line comes in at."""
        reach = self.source_high / 2 - 1.0
        steps = sorted((step * 0.6 for step in range(-int(reach / 0.6), int(reach / 0.6) + 1)), key=abs)
        free = [middle + step for step in steps if all(abs(middle + step - each) >= 1.8 for each in taken)]
        return free[0] if free else middle

    def _outer_stretches(self) -> dict[str, tuple[float, float]]:
        """Nets of the outer gutter: sources to all they feed, junctions to the junctions after them."""
        junctions = {each.key for each in self.junctions}
        found = {}
        for parent in (*self.sources, *self.junctions):
            lines = self._hung(parent.key)
            if parent.key in junctions:
                lines = [line for line in lines if line.start in junctions]
            if lines:
                heights = [self.exits[parent.key], *map(self._height, lines)]
                found[parent.key] = (min(heights), max(heights))
        return found

    def _inner_stretches(self) -> dict[str, tuple[float, float]]:
        """Nets of the inner gutter: junctions to their cameras, where they do not all stand on one row."""
        cameras = {each.key for each in self.cameras}
        found = {}
        for junction in self.junctions:
            heights = [self._height(line) for line in self._hung(junction.key) if line.start in cameras]
            if heights:
                heights.append(self.at[junction.key])
                found[junction.key] = (min(heights), max(heights))
        return found

    def _columns(self, outer: int, inner: int) -> Columns:
        first = SOURCE_WIDE if self.sources else 0.0
        junction = first + (outer * LANE + 6.0 if outer else 0.0)
        after = junction + (JUNCTION_WIDE if self.junctions else 0.0)
        run = after + (inner * LANE + 5.0 if inner else 0.0)
        rest = self.wide - run
        longest = max((width(each.name) for each in self.cameras), default=0.0) + 2 * PAD + MARK
        camera_wide = min(longest, 150.0, rest * 0.34) if self.cameras else 0.0
        camera_wide = max(camera_wide, min(110.0, rest * 0.29))
        power = (rest - camera_wide) * 0.47 if self.sources or self.junctions else 8.0
        camera = run + power
        return Columns(first, junction, after, run, camera, camera + camera_wide, self.wide)

    def _bands(self) -> None:
        at = self.columns
        for each in self.stretches:
            area = Rectangle(at.camera - 3.0, each.top, at.end - at.camera - 3.0, each.bottom - each.top)
            words = None
            if each.named_at is not None and each.building:
                name = fitted(each.building, area.wide - 2 * PAD, _BOLD)
                words = Words(name, area.x + PAD, each.named_at + _DROP, role="building", full=each.building)
            self.drawn.bands.append(Band(area, words if words and words.text else None))

    def _source_boxes(self) -> None:
        for source in self.sources:
            area = Rectangle(0.0, self.middles[source.key] - self.source_high / 2, self.columns.outer, self.source_high)
            self.drawn.boxes.append(Box(source, area, _named(source, area)))

    def _junction(self, junction: Device) -> None:
        at = self.columns
        middle = self.at[junction.key]
        area = Rectangle(at.junction, middle - self.junction_high / 2, JUNCTION_WIDE, self.junction_high)
        self.drawn.boxes.append(Box(junction, area, _named(junction, area)))
        for line in self.powered[junction.key]:
            words: tuple[Words, ...] = ()
            if line.rules:
                text = label(line, at.camera - at.power_run - PAD)
                words = (Words(text, at.power_run + 1.0, middle + _DROP, role="rule", full=told(line)),) if text else ()
            self.drawn.wires.append(Wire(line, self._outer_way(line, at.junction), words))

    def _outer_way(self, line: Line, end: float) -> tuple[tuple[Point, ...], ...]:
        """From a source or junction through its lane to `end` at the height of the load."""
        if line.end not in self.outer:
            return ()
        at = self.columns
        from_junction = line.end in self.at
        lane = at.outer + 5.0 + self.outer[line.end] * LANE
        start = (at.junction if from_junction else at.outer, self.exits[line.end])
        height = self._height(line)
        return ((start, (lane, start[1]), (lane, height), (end, height)),)

    def _inner_way(self, line: Line) -> tuple[tuple[Point, ...], ...]:
        at = self.columns
        start, height = self.at[line.end], self._height(line)
        lane = at.inner + 4.0 + self.inner[line.end] * LANE
        way = ((at.inner, start), (lane, start), (lane, height), (at.camera, height))
        return ((way[0], way[3]),) if start == height else (way,)

    def _camera(self, camera: Device) -> None:
        at, middle = self.columns, self.at[camera.key]
        high = self._camera_high(camera.key)
        area = Rectangle(at.camera, middle - high / 2, at.video_run - at.camera, high)
        self.drawn.boxes.append(Box(camera, area, _named(camera, area)))
        for line in self.powered[camera.key]:
            self._power_wire(line)
        for line in self.plan.video.get(camera.key, ()):
            self._video_wire(line, middle)

    def _power_wire(self, line: Line) -> None:
        at = self.columns
        way = self._inner_way(line) if line.end in self.at else self._outer_way(line, at.camera)
        several = len(self.powered[line.start])
        tall = self.pitch if several == 1 else self._camera_high(line.start) / several
        words = _on_line(line, at.power_run + 2.0, at.camera - 5.0, self._height(line), tall)
        if way:
            self.drawn.wires.append(Wire(line, way, words))

    def _video_wire(self, line: Line, height: float) -> None:
        at = self.columns
        start, end = at.video_run, at.end
        marks = tuple((start + 10.0 + 8.0 * place, height) for place in range(min(len(line.boxes), 3)))
        inline = next((each.building for each in self.stretches if each.inline_at == height), "")
        room = end - 4.0
        if inline:
            text = fitted(inline, (end - start) * 0.42, _BOLD)
            room = end - 12.0 - width(text, _BOLD)
            self.drawn.words.append(Words(text, end - 8.0, height + _DROP, "end", "building", inline))
        words = _on_line(line, start + 7.0 + 8.0 * len(marks), room, height, self.pitch)
        self.drawn.wires.append(Wire(line, (((start, height), (end, height)),), words, marks))

    def _dots(self) -> None:
        """Where a line leaves another one of the same net."""
        at = self.columns
        for nets, first in ((self.outer, at.outer + 5.0), (self.inner, at.inner + 4.0)):
            for net, lane in nets.items():
                lines = [line for line in self._hung(net) if self._in_gutter(line, nets)]
                if len(lines) > 1:
                    self.drawn.dots.extend((first + lane * LANE, self._height(line)) for line in lines)

    def _in_gutter(self, line: Line, nets: dict[str, int]) -> bool:
        straight = line.end in self.at and self.at[line.end] == self._height(line)
        to_junction = line.start in {each.key for each in self.junctions}
        return not straight and (nets is self.outer) == (to_junction or line.end not in self.at)


def told(line: Line) -> str:
    """All the rules of a line in words."""
    return ", ".join(line.rules)


def label(line: Line, room: float) -> str:
    """What stands on a line where there is room for one label: number, kind and length, and its worst finding.

    Where room is short the kind goes first, then the name of the finding, of which its level stays; never the length.
    """
    size = _BOLD if line.rules else SIZE
    choices = [line.called(), line.called(kind=False)]
    if line.rules:
        names = (*_names(line), line.level)
        told_so = [f"{called}: {name}" for name in names for called in choices]
        choices = [*told_so, *choices]
    return next((each for each in (*choices, line.note) if width(each, size) <= room), "")


def _names(line: Line) -> tuple[str, str]:
    """The worst finding of a line by its whole and by its short name, and how many more."""
    more = f" +{len(line.rules) - 1}" if len(line.rules) > 1 else ""
    return f"{line.rules[0]}{more}", f"{line.rules[0].rpartition('/')[2]}{more}"


def _on_line(line: Line, start: float, end: float, height: float, tall: float) -> tuple[Words, ...]:
    """One label on a line; where rows are `tall` enough what it is above it, and what was found below it."""
    middle, room = (start + end) / 2, end - start
    full = f"{line.called()}; {told(line)}" if line.rules else line.called()
    if not line.rules or tall < _TWO_LABELS:
        text = label(line, room)
        role = "rule" if line.rules else "length"
        return (Words(text, middle, height + _DROP, "middle", role, full),) if text else ()
    called = next((each for each in (line.called(), line.called(kind=False), line.note) if width(each) <= room), "")
    below = next((each for each in (*_names(line), line.level) if width(each, _BOLD) <= room), "")
    above = (Words(called, middle, height - _OFF, "middle", "length", full),) if called else ()
    return (*above, *((Words(below, middle, height + _OFF + 2 * _DROP, "middle", "rule", full),) if below else ()))


_OFF = 2.6
"""From a line to the lettering above and below it."""
_TWO_LABELS = 2 * (SIZE * 1.16 + _OFF) + 1.0
"""Height of a row in which two labels stand apart from their line and from those of the next row."""


def _named(device: Device, area: Rectangle) -> tuple[Words, ...]:
    """Its name, and below it a detail where there is height for two lines."""
    room = area.wide - 2 * PAD - (MARK if device.level else 0.0)
    name = shortened(device.name, room)
    middle = area.y + area.high / 2 + _DROP
    left = area.x + PAD
    if area.high < 2 * SIZE + 4.0 or not device.detail:
        return (Words(name, left, middle, full=device.name),)
    step = SIZE * 0.62
    detail = fitted(device.detail, area.wide - 2 * PAD)
    return (
        Words(name, left, middle - step, full=device.name),
        Words(detail, left, middle + step, role="detail", full=device.detail),
    )


def turned(drawn: Drawn, wide: float) -> Drawn:
    """The same for the right side of a sheet `wide` points wide."""
    return Drawn(
        [Band(_turned_area(each.area, wide), _turned_words(each.words, wide)) for each in drawn.bands],
        [
            Box(each.device, _turned_area(each.area, wide), _within(each, _turned_area(each.area, wide)), each.again)
            for each in drawn.boxes
        ],
        [_turned_wire(each, wide) for each in drawn.wires],
        [(wide - x, y) for x, y in drawn.dots],
        [words for each in drawn.words if (words := _turned_words(each, wide))],
    )


def _within(box: Box, area: Rectangle) -> tuple[Words, ...]:
    """Words in boxes begin at the left on both sides."""
    return tuple(Words(each.text, area.x + PAD, each.y, "start", each.role, each.full) for each in box.words)


def _turned_area(area: Rectangle, wide: float) -> Rectangle:
    return Rectangle(wide - area.x - area.wide, area.y, area.wide, area.high)


def _turned_words(words: Words | None, wide: float) -> Words | None:
    if words is None:
        return None
    anchor = {"start": "end", "middle": "middle", "end": "start"}[words.anchor]
    return Words(words.text, wide - words.x, words.y, anchor, words.role, words.full)


def _all_turned(words: Iterable[Words], wide: float) -> tuple[Words, ...]:
    return tuple(turned for each in words if (turned := _turned_words(each, wide)))


def _turned_wire(wire: Wire, wide: float) -> Wire:
    pieces = tuple(_turned_points(piece, wide) for piece in wire.pieces)
    return Wire(wire.line, pieces, _all_turned(wire.words, wide), _turned_points(wire.boxes, wide))


def _turned_points(points: Iterable[Point], wide: float) -> tuple[Point, ...]:
    return tuple((wide - x, y) for x, y in points)
