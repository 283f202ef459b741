"""Field of view from above, and picture density by distance, with the classes of view and what is wanted."""

from __future__ import annotations

import math
from collections.abc import Sequence

from coaxwright.facts.physics.optics import distance_for_density, field_of_view, pixels_per_metre
from coaxwright.immutable import immutable
from coaxwright.reporting.page.charts.frame import HIGH, Frame, figure, frame
from coaxwright.show import figures
from coaxwright.show.markup import Markup, join, number, tag

NEAR, LEAST_FAR = 1.0, 40.0


@immutable
class View:
    """What some cameras see: columns at full width and recorded, focal length and sensor width in mm, and what is wanted.

    `classes` are (name, px/m) from coarse to fine; `wanted` is the class, `at` its distance in m.
    """

    cameras: tuple[str, ...]
    sent: int
    recorded: int
    focal: float
    sensor: float
    classes: tuple[tuple[str, float], ...]
    wanted: str = ""
    at: float | None = None

    @property
    def angle(self) -> float:
        """Horizontal degrees."""
        return field_of_view(self.sensor, self.focal)

    def density(self, metres: float) -> float:
        """Pixels a metre of what is recorded."""
        return pixels_per_metre(self.recorded, metres, self.sensor, self.focal)

    def reaches(self, density: float) -> float:
        """Farthest metres at which what is recorded has that density."""
        return distance_for_density(self.recorded, density, self.sensor, self.focal)


def density_picture(view: View) -> Markup:
    """Both pictures with one caption."""
    far = max(LEAST_FAR, (view.at or 0.0) * 1.6)
    title = f"What {_whose(view.cameras)} see{'s' if len(view.cameras) == 1 else ''}"
    said = f"{_said(view)} The fan is drawn to {figures.metres(far)}."
    made = _curves(view, far)
    curve = made.done(title, said, "metres from the lens", "pixels a metre")
    return figure(join([_fan(view, far), curve]), f"{title}. {said}")


def _curves(view: View, far: float) -> Frame:
    ends = [view.density(NEAR), view.density(far)]
    shown = [(name, density) for name, density in view.classes if ends[1] * 0.5 <= density <= ends[0]]
    low = min([ends[1], *(density for _, density in shown)]) * 0.8
    made = frame((NEAR, far), (low, ends[0] * 1.2), ratios=True)
    for name, density in shown:
        # The name stands where the curve is far: it falls from the upper left to the lower right.
        left = made.x.at(view.reaches(density)) > made.x.start + 110
        made.level(density, f"{name} {density:g}", "limit" if name == view.wanted else "class", left)
    if view.sent > view.recorded:
        lost = view.sent / view.recorded
        made.line([(NEAR, ends[0] * lost), (far, ends[1] * lost)], "curve night")
    made.line([(NEAR, ends[0]), (far, ends[1])], "curve day")
    if view.at:
        made.upright(view.at, f"{figures.metres(view.at)}", "wanted")
        made.spot((view.at, view.density(view.at)), "spot day")
    return made


def _fan(view: View, far: float) -> Markup:
    """The field of view from above, to one scale, with arcs where each class ends and the wanted distance."""
    wide, high = 150.0, HIGH
    scale = (high - 40.0) / far
    half = math.radians(min(view.angle, 170.0)) / 2
    scale = min(scale, (wide / 2 - 4.0) / (far * math.sin(half))) if half else scale
    x, y = wide / 2, high - 34.0
    arcs = [_sector(x, y, far * scale, half, "fan")]
    for name, density in view.classes:
        reach = view.reaches(density)
        if 2.0 <= reach <= far:
            arcs.append(_arc(x, y, reach * scale, half, "limit" if name == view.wanted else "class"))
    if view.at:
        arcs.append(_arc(x, y, view.at * scale, half, "wanted"))
    return tag(
        "svg", arcs, class_="chart fan-chart", viewBox=f"0 0 {number(wide)} {number(high)}", aria_hidden="true"
    )


def _edge(x: float, y: float, radius: float, half: float) -> tuple[str, str]:
    left = f"{number(x - radius * math.sin(half))} {number(y - radius * math.cos(half))}"
    return left, f"{number(x + radius * math.sin(half))} {number(y - radius * math.cos(half))}"


def _sector(x: float, y: float, radius: float, half: float, class_: str) -> Markup:
    left, right = _edge(x, y, radius, half)
    return tag("path", class_=class_, d=f"M{number(x)} {number(y)}L{left}A{number(radius)} {number(radius)} 0 0 1 {right}Z")


def _arc(x: float, y: float, radius: float, half: float, class_: str) -> Markup:
    left, right = _edge(x, y, radius, half)
    return tag("path", class_=f"arc {class_}", d=f"M{left}A{number(radius)} {number(radius)} 0 0 1 {right}")


def _whose(cameras: Sequence[str]) -> str:
    shown = ", ".join(cameras[:6])
    return shown if len(cameras) <= 6 else f"{shown} and {len(cameras) - 6} more"


def _said(view: View) -> str:
    words = f"{view.angle:.0f}° wide, {view.recorded} columns recorded"
    if view.sent > view.recorded:
        words += f" of {view.sent} at full width (dashed: what that would give)"
    needed = dict(view.classes).get(view.wanted)
    if not view.wanted or view.at is None or needed is None:
        return f"{words}. Nobody said what is to be seen at which distance."
    got = view.density(view.at)
    verdict = "enough" if got >= needed else "too few"
    far = figures.metres(view.reaches(needed))
    return (
        f"{words}. Wanted: {view.wanted} at {figures.metres(view.at)}, {needed:g} pixels a metre; there are {got:.0f},"
        f" {verdict}. That class is held up to {far}."
    )
