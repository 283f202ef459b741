"""Volts along a trunk, or at the ends of the runs of one supply: by day, by night, and the least that cameras need."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.immutable import immutable
from coaxwright.reporting.page.charts.frame import Frame, figure, frame, padded
from coaxwright.show import figures
from coaxwright.show.markup import Markup


@immutable
class Stop:
    """A junction or camera on the way: metres from the supply, volts by day and night (None for not known, 0 for a
    collapse), and the stop before it (-1: the supply). `least` is what a camera needs."""

    name: str
    metres: float
    day: float | None
    night: float | None
    before: int
    least: float | None = None


@immutable
class Way:
    """Everything on one output, or all single runs of one supply."""

    title: str
    source: str
    volts: float
    stops: tuple[Stop, ...]


def volts_picture(way: Way) -> Markup:
    """The picture with its caption."""
    needs = [stop.least for stop in way.stops if stop.least is not None]
    shown = [volts for stop in way.stops for volts in (stop.day, stop.night) if volts]
    made = frame((0.0, max(stop.metres for stop in way.stops) * 1.04 or 1.0), padded([way.volts, *needs, *shown], 0.1))
    for least in sorted(set(needs)):
        made.level(least, f"least {figures.volts(least)}", "limit", left=True)
    for night, class_ in ((False, "day"), (True, "night")):
        _ways(made, way, night, class_)
    lowest = _lowest(way.stops)
    if lowest is not None:
        _name_lowest(made, lowest)
    said = _said(way, lowest, max(needs) if needs else None)
    return figure(made.done(way.title, said, "metres from the supply", "volts"), f"{way.title}. {said}")


def _volts(stop: Stop, night: bool) -> float | None:
    return stop.night if night else stop.day


def _ways(made: Frame, way: Way, night: bool, class_: str) -> None:
    for stop in way.stops:
        here = _volts(stop, night)
        before = way.stops[stop.before] if stop.before >= 0 else None
        start = way.volts if before is None else _volts(before, night)
        if here is None or start is None:
            continue
        end = (stop.metres, here or made.y.low)
        made.line(((before.metres if before else 0.0, start or made.y.low), end), f"curve {class_}")
        if stop.least is not None:
            made.spot(end, f"spot {class_}" if here else "spot collapsed")


def _lowest(stops: Sequence[Stop]) -> Stop | None:
    """The camera with least to spare by night."""
    cameras = [stop for stop in stops if stop.least is not None and stop.night is not None]
    return min(cameras, key=lambda stop: (stop.night or 0.0) - (stop.least or 0.0), default=None)


def _name_lowest(made: Frame, stop: Stop) -> None:
    x, y = made.x.at(stop.metres), made.y.at(stop.night or made.y.low)
    anchor = "end" if x > (made.x.start + made.x.end) / 2 else "start"
    words = f"{stop.name} {figures.volts(stop.night)}" if stop.night else f"{stop.name} collapses"
    made.words(words, x + (-6 if anchor == "end" else 6), y + (11 if y < made.y.start - 14 else -5), anchor, "lowest")


def _said(way: Way, lowest: Stop | None, least: float | None) -> str:
    begins = f"{way.source} gives {figures.volts(way.volts)}"
    if lowest is None:
        return f"{begins}. Volts at the cameras are not known."
    if not lowest.night:
        return f"{begins}. By night the voltage collapses before {lowest.name}: no working voltage exists."
    needs = f", which needs {figures.volts(lowest.least)}" if least is not None else ""
    return f"{begins}. Least to spare by night: {figures.volts(lowest.night)} at {lowest.name}{needs}."
