"""Charts of lessons as SVG: a curve with its limit, and a test chart whose columns were halved and stretched again."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Sequence

from coaxwright.show.markup import Markup, tag

WIDTH, HEIGHT, LEFT, BOTTOM, TOP = 360.0, 220.0, 44.0, 40.0, 12.0
COLUMNS, PITCHES = 96, (2, 4, 6, 8)
BAND, CELL = 24.0, 3.5


def curve_svg(points: Sequence[tuple[float, float]], limit: float | None, across: str, up: str) -> Markup:
    """A curve over its axes, the limit as a broken line. ValueError for fewer than two points."""
    if len(points) < 2:
        raise ValueError("a curve has two points or more")
    low, high = span(points, limit)
    first, last, at = points[0][0], points[-1][0], placing(points, limit)
    line = "M" + "L".join("{:.1f} {:.1f}".format(*at(x, y)) for x, y in points)
    shapes = [tag("path", d=f"M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - 10}", class_="axis"), tag("path", d=line)]
    if limit is not None:
        y = at(first, limit)[1]
        shapes.append(tag("path", d=f"M{LEFT} {y:.1f}H{WIDTH - 10}", class_="limit"))
    marks = [
        tag("text", f"{value:g}", x=LEFT - 4, y=at(first, value)[1] + 4, text_anchor="end") for value in (low, high)
    ] + [
        tag("text", f"{value:g}", x=at(value, low)[0], y=HEIGHT - BOTTOM + 15, text_anchor="middle")
        for value in (first, last)
    ]
    names = [tag("text", across, x=(LEFT + WIDTH) / 2, y=HEIGHT - 6, text_anchor="middle")]
    said = f"{up} over {across}: {points[0][1]:.2f} at {first:g}, {points[-1][1]:.2f} at {last:g}" + (
        f"; limit {limit:g}" if limit is not None else ""
    )
    return tag(
        "svg", tag("title", said), shapes, marks, names, tag("circle", r=5, class_="here", display="none"),
        class_="chart", viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}", role="img",
    )  # fmt: skip


def span(points: Sequence[tuple[float, float]], limit: float | None) -> tuple[float, float]:
    """From where to where the upright axis goes."""
    values = [*(y for _, y in points), *([limit] if limit is not None else [])]
    return min(0.0, *values), _round_up(max(values))


def placing(points: Sequence[tuple[float, float]], limit: float | None) -> Callable[[float, float], tuple[float, float]]:
    """Where on the chart a point of the curve stands."""
    low, high = span(points, limit)
    first, last = points[0][0], points[-1][0]

    def at(x: float, y: float) -> tuple[float, float]:
        across, up = (x - first) / (last - first), (y - low) / (high - low)
        return LEFT + across * (WIDTH - LEFT - 10), HEIGHT - BOTTOM - up * (HEIGHT - BOTTOM - TOP)

    return at


def slider(points: Sequence[tuple[float, float]], limit: float | None, across: str, unit: str, shown: str) -> Markup:
    """What moves a mark along the curve from one computed point to the next; of no use without a script, and hidden there."""
    at = placing(points, limit)
    stops = [[x, y, *(round(each, 1) for each in at(x, y))] for x, y in points]
    data = {"points": stops, "unit": unit, "shown": shown, "limit": limit}
    low, high = span(points, limit)
    return tag(
        "div", tag("label", f"Move it: {across} ", tag("input", type="range", min=0, max=len(points) - 1, value=0, step=1)),
        tag("output", ""), tag("meter", "", min=low, max=high, value=low, aria_hidden="true"),
        class_="slider", hidden=True, data_curve=json.dumps(data),
    )  # fmt: skip


def _round_up(value: float) -> float:
    """The next one, two or five of its power of ten."""
    if value <= 0:
        return 1.0
    scale = 10 ** math.floor(math.log10(value))
    return next(float(step * scale) for step in (1, 1.5, 2, 3, 5, 7.5, 10) if step * scale >= value * 0.999)


def stripes(pitch: int, columns: int = COLUMNS) -> list[float]:
    """A row of the chart: upright stripes, so many columns from one to the next; 0 is black and 1 is white."""
    return [1.0 if place % pitch < pitch / 2 else 0.0 for place in range(columns)]


def halved(row: Sequence[float]) -> list[float]:
    """What reduced width stores and a screen shows: the mean of each two neighbours (the second pair of them), twice.

    The pairs begin one column in: a chart whose stripes lie exactly on pairs would come through by luck.
    """
    shifted = [row[-1], *row[:-1]]
    means = [(shifted[place] + shifted[place + 1]) / 2 for place in range(0, len(shifted) - 1, 2)]
    return [mean for mean in means for _ in range(2)]


def stripes_svg() -> Markup:
    """The chart as sent above, as stored at reduced width below, for each pitch."""
    shapes = []
    for place, pitch in enumerate(PITCHES):
        top = place * (2 * BAND + 18)
        row = stripes(pitch)
        shapes += [tag("text", f"a stripe each {pitch} columns: sent, then stored", x=0, y=top + 11)]
        shapes += [*_row(row, top + 15), *_row(halved(row), top + 15 + BAND)]
    height = len(PITCHES) * (2 * BAND + 18)
    said = "Upright stripes each 2 columns become even grey at reduced width, each 4 greys; each 6 and 8 stay with soft edges."
    return tag(
        "svg", tag("title", said), shapes, class_="chart", viewBox=f"0 0 {COLUMNS * CELL:g} {height:g}", role="img"
    )


def _row(values: Sequence[float], top: float) -> list[Markup]:
    return [
        tag("rect", x=place * CELL, y=top, width=CELL, height=BAND - 2, fill=_grey(value))
        for place, value in enumerate(values)
    ]


def _grey(value: float) -> str:
    level = round(255 * value)
    return f"#{level:02x}{level:02x}{level:02x}"
