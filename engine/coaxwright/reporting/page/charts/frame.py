"""A frame with two scales, and marks within it. Data in, markup out; the stylesheet gives colour and width."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from coaxwright.immutable import immutable
from coaxwright.show.figures import plain
from coaxwright.show.markup import Markup, number, tag

WIDE, HIGH = 380.0, 220.0
LEFT, RIGHT, TOP, BOTTOM = 46.0, 12.0, 14.0, 34.0
Point = tuple[float, float]


@immutable
class Scale:
    """One direction of a frame: data from `low` to `high` onto `start` to `end`, evenly or by ratios."""

    low: float
    high: float
    start: float
    end: float
    ratios: bool = False

    def at(self, value: float) -> float:
        """Where a value stands; values outside stand on the edge."""
        inside = min(max(value, self.low), self.high)
        if self.ratios:
            share = math.log(inside / self.low) / math.log(self.high / self.low)
        else:
            share = (inside - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def ticks(self, most: int = 6) -> list[float]:
        """Round values along it, at most about so many."""
        return _ratio_ticks(self.low, self.high) if self.ratios else _even_ticks(self.low, self.high, most)


def _even_ticks(low: float, high: float, most: int) -> list[float]:
    rough = (high - low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * nice for nice in (1, 2, 5, 10) if power * nice >= rough * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [each * step for each in range(first, math.floor(high / step + 1e-9) + 1)]


def _ratio_ticks(low: float, high: float) -> list[float]:
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    found = [nice * 10.0**power for power in powers for nice in (1, 2, 5)]
    inside = [each for each in found if low * 0.999 <= each <= high * 1.001]
    return inside if len(inside) <= 7 else [each for each in inside if str(each).strip("0.")[:1] == "1"]


@dataclass(slots=True)
class Frame:
    """A picture being made. Draw into it with data values; `done` gives the SVG."""

    x: Scale
    y: Scale
    high: float = HIGH
    inside: list[Markup] = field(default_factory=list)

    def line(self, points: Sequence[Point], class_: str) -> None:
        """A line through points."""
        way = "L".join(f"{number(self.x.at(x))} {number(self.y.at(y))}" for x, y in points)
        self.inside.append(tag("path", class_=class_, d=f"M{way}"))

    def level(self, value: float, words: str, class_: str, left: bool = False) -> None:
        """A line right across at a value, with its name on it at the right, or at the left."""
        height = self.y.at(value)
        self.inside.append(tag("path", class_=class_, d=f"M{number(self.x.start)} {number(height)}H{number(self.x.end)}"))
        self.words(words, self.x.start + 3 if left else self.x.end - 2, height - 3, "start" if left else "end", class_)

    def upright(self, value: float, words: str, class_: str) -> None:
        """A line from bottom to top at a value, its name at the top."""
        at = self.x.at(value)
        self.inside.append(tag("path", class_=class_, d=f"M{number(at)} {number(self.y.start)}V{number(self.y.end)}"))
        anchor = "end" if at > (self.x.start + self.x.end) / 2 else "start"
        self.words(words, at + (-3 if anchor == "end" else 3), self.y.end + 9, anchor, class_)

    def bar(self, middle: float, wide: float, value: float, class_: str) -> None:
        """A bar from the foot of the frame up to a value."""
        left, right = self.x.at(middle - wide / 2), self.x.at(middle + wide / 2)
        top = self.y.at(value)
        rect = tag("rect", class_=class_, x=left, y=top, width=right - left, height=self.y.start - top)
        self.inside.append(rect)

    def spot(self, point: Point, class_: str) -> None:
        """A round mark at a point."""
        self.inside.append(tag("circle", class_=class_, cx=self.x.at(point[0]), cy=self.y.at(point[1]), r=2.6))

    def words(self, text: str, x: float, y: float, anchor: str, class_: str = "") -> None:
        """Words at a place in the picture's own units."""
        self.inside.append(_words(text, x, y, anchor, f"said {class_}".strip()))

    def done(self, title: str, wordy: str, x_name: str, y_name: str, ticks: Sequence[float] | None = None,
             rows: bool = False) -> Markup:  # fmt: skip
        """The picture. `wordy` says in a sentence what it shows; `rows`: it has named rows in place of a scale upwards."""
        return tag(
            "svg",
            tag("title", title),
            tag("desc", wordy),
            tag("g", self._grid(self.x.ticks(7) if ticks is None else ticks, () if rows else self.y.ticks(5))),
            tag("g", self.inside),
            _words(x_name, self.x.end, self.high - 4, "end", "axis"),
            _words(y_name, 2, 9, "start", "axis"),
            class_="chart",
            viewBox=f"0 0 {WIDE:g} {self.high:g}",
            role="img",
            aria_label=f"{title}. {wordy}",
        )

    def _grid(self, ticks: Sequence[float], levels: Sequence[float]) -> list[Markup]:
        made = []
        for value in levels:
            at = self.y.at(value)
            made.append(tag("path", class_="grid", d=f"M{number(self.x.start)} {number(at)}H{number(self.x.end)}"))
            made.append(_words(_round(value), self.x.start - 4, at + 3.5, "end", "tick"))
        for value in ticks:
            at = self.x.at(value)
            made.append(tag("path", class_="grid", d=f"M{number(at)} {number(self.y.start)}v4"))
            made.append(_words(_round(value), at, self.y.start + 14, "middle", "tick"))
        foot = f"M{number(self.x.start)} {number(self.y.end)}V{number(self.y.start)}H{number(self.x.end)}"
        return [*made, tag("path", class_="foot", d=foot)]


def frame(x: tuple[float, float], y: tuple[float, float], *, ratios: bool = False, high: float = HIGH) -> Frame:
    """An empty frame for data in these ranges; `ratios` makes both scales go by ratios."""
    across = Scale(x[0], x[1], LEFT, WIDE - RIGHT, ratios)
    return Frame(across, Scale(y[0], y[1], high - BOTTOM, TOP, ratios), high)


def padded(values: Sequence[float], share: float = 0.06) -> tuple[float, float]:
    """A range around values with some air."""
    low, high = min(values), max(values)
    air = (high - low) * share or max(abs(high) * share, 0.1)
    return low - air, high + air


def figure(drawn: Markup, caption: str | Markup, more: Markup | None = None) -> Markup:
    """A picture with its caption."""
    return tag("figure", drawn, tag("figcaption", caption, more))


def _words(text: str, x: float, y: float, anchor: str, class_: str) -> Markup:
    return tag("text", text, class_=class_, x=x, y=y, text_anchor=None if anchor == "start" else anchor)


def _round(value: float) -> str:
    return plain(value, 2)
