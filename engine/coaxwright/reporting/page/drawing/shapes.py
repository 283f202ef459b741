"""What a layout consists of, in points: boxes, wires, words and dots, each knowing the device or line that it shows."""

from __future__ import annotations

from coaxwright.immutable import immutable
from coaxwright.reporting.page.drawing.lettering import BOLD, CAP_HEIGHT, SIZE, width
from coaxwright.reporting.page.drawing.plan import Device, Line

Point = tuple[float, float]


@immutable
class Rectangle:
    """A rectangle by its upper left corner."""

    x: float
    y: float
    wide: float
    high: float

    def meets(self, other: Rectangle) -> bool:
        """Whether the two share any area; touching edges do not."""
        slack = 0.01
        return (
            self.x + slack < other.x + other.wide
            and other.x + slack < self.x + self.wide
            and self.y + slack < other.y + other.high
            and other.y + slack < self.y + self.high
        )


@immutable
class Words:
    """One line of lettering on a baseline. `anchor` is start, middle or end; `role` says what it names."""

    text: str
    x: float
    y: float
    anchor: str = "start"
    role: str = "name"
    full: str = ""

    @property
    def bold(self) -> bool:
        """Rules and buildings stand out."""
        return self.role in ("rule", "building")

    def area(self) -> Rectangle:
        """The most that it covers."""
        wide = width(self.text, SIZE * BOLD if self.bold else SIZE)
        left = {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return Rectangle(self.x - left, self.y - SIZE * CAP_HEIGHT, wide, SIZE * (CAP_HEIGHT + 0.2))


@immutable
class Box:
    """A device as drawn; `again` where the same device stands on the other side too."""

    device: Device
    area: Rectangle
    words: tuple[Words, ...]
    again: bool = False


@immutable
class Wire:
    """A line as drawn: one way or several pieces, each a list of corners, with marks at its ends and for its boxes."""

    line: Line
    pieces: tuple[tuple[Point, ...], ...]
    words: tuple[Words, ...] = ()
    boxes: tuple[Point, ...] = ()


@immutable
class Band:
    """The rows of one building on one side."""

    area: Rectangle
    words: Words | None


@immutable
class Sheet:
    """A finished drawing of `wide` by `high` points."""

    wide: float
    high: float
    bands: tuple[Band, ...]
    boxes: tuple[Box, ...]
    wires: tuple[Wire, ...]
    dots: tuple[Point, ...]
    words: tuple[Words, ...]

    def lettering(self) -> list[Words]:
        """Every word on the sheet."""
        named = [words for box in self.boxes for words in box.words]
        on_lines = [words for wire in self.wires for words in wire.words]
        in_bands = [band.words for band in self.bands if band.words is not None]
        return [*self.words, *named, *on_lines, *in_bands]
