"""The topology of a plan as a list of lines, and as a small drawing: what is joined to what, and nothing of findings.

Own layout: cameras in a column in the middle, what records them on the right, what feeds them on the left; a line for
each cable with its length. It shows only what the tables of the question print.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from coaxwright.quiz.plans import Plan
from coaxwright.show.markup import Markup

ROW, WIDE, BOX, HIGH, BUS = 34, 640, 120, 22, 12
Lines = tuple[tuple[str, str, str], ...]
"""Lines of a drawing: what feeds or is fed, what it is joined to, over what; power first."""


def drawing_of(plan: Plan, shows: Sequence[str]) -> Lines:
    """The lines that a question may show: from, to, over what."""
    return tuple(_lines(plan.site, set(shows)))


def _lines(site: Mapping[str, Any], shows: set[str]) -> Iterator[tuple[str, str, str]]:
    if shows & {"power", "feeding"}:
        for group in ("junctions", "cameras"):
            for name, entry in site.get(group, {}).items():
                power = entry.get("power") or {}
                if power.get("from"):
                    yield str(power["from"]), name, _length(power) if "power" in shows else ""
    if "network" in shows:
        yield from _network(site)
    if shows & {"signal", "inputs", "coax", "sound", "control", "storage"}:
        for name, camera in site.get("cameras", {}).items():
            video = camera.get("video") or {}
            if video.get("into"):
                yield name, str(video["into"]), _length(video) if shows & {"coax", "sound", "control"} else ""


def _network(site: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    for name, camera in site.get("cameras", {}).items():
        way = camera.get("network") or {}
        if way.get("into"):
            yield name, str(way["into"]), _length(way)
    for name, switch in site.get("switches", {}).items():
        if switch.get("into"):
            yield name, str(switch["into"]), _length(switch)


def _length(way: Mapping[str, Any]) -> str:
    """Lengths of the runs as written; a run without one shows a question mark."""
    hops = [hop for hop in way.get("over") or () if hop.get("cable")]
    return " + ".join(str(hop.get("length") or "? m") for hop in hops)


def as_text(lines: Lines) -> list[str]:
    """The drawing as lines of text, for formats without pictures."""
    if not lines:
        return []
    wide = max(len(start) for start, _, _ in lines)
    reach = max(len(over) for _, _, over in lines)
    return [
        f"{start.ljust(wide)} --{(f' {over} ' if over else '').center(reach + 2, '-')}--> {end}"
        for start, end, over in lines
    ]


_FONT = 'font:11px "DejaVu Sans",Arial,sans-serif'
_PICTURE_CSS = (
    f".plan{{background:#fff}}text{{{_FONT};fill:#111;paint-order:stroke;stroke:#fff;stroke-width:3px}}"
    "rect{fill:#fff;stroke:#111}path{fill:none;stroke:#111;stroke-width:1.1}path.power{stroke-dasharray:5 3}"
)


def as_picture(lines: Lines) -> str:
    """The drawing as an SVG file of its own, black on white, for packages that show pictures."""
    from coaxwright.show.markup import stylesheet

    drawn = _svg(lines, "Plan", stylesheet(_PICTURE_CSS), xmlns="http://www.w3.org/2000/svg", width=WIDE)
    return f"{drawn}\n"


def as_svg(lines: Lines, title: str) -> str:
    """The drawing as an SVG element with its own words; every line of it is in the tables as well."""
    return _svg(lines, title, "", width="100%")


def _svg(lines: Lines, title: str, style: str, **attributes: str | float) -> str:
    from coaxwright.show.markup import tag

    left, middle, right = _columns(lines)
    high = max(len(left), len(middle), len(right)) * ROW + 8
    at = {name: (x, 4 + place * ROW * max(1, high // ROW // max(1, len(column)))) for x, column in
          ((4, left), ((WIDE - BOX) // 2, middle), (WIDE - BOX - 70, right)) for place, name in enumerate(column)}  # fmt: skip
    wires = [_wire(at, start, end) for start, end, _ in lines]
    words = [_words(at, *line) for line in lines]
    boxes = [_box(name, x, y) for name, (x, y) in at.items()]
    return str(
        tag("svg", tag("title", title), style or None, tag("g", wires), tag("g", boxes), tag("g", words), class_="plan",
            viewBox=f"0 0 {WIDE} {high}", role="img", **attributes)
    )  # fmt: skip


def _device(port: str) -> str:
    return port.partition("/")[0]


def _columns(lines: Lines) -> tuple[list[str], list[str], list[str]]:
    """Sources, cameras and junctions, recorders: each once, in order."""
    sources = dict.fromkeys(_device(start) for start, _, _ in lines if "/" in start)
    ends = dict.fromkeys(_device(end) for _, end, _ in lines if "/" in end)
    middle = dict.fromkeys(_device(each) for line in lines for each in line[:2])
    return list(sources), [name for name in middle if name not in sources and name not in ends], list(ends)


def _ends(at: Mapping[str, tuple[int, int]], start: str, end: str) -> tuple[tuple[int, int], tuple[int, int]]:
    """Where a line begins and stops: at the sides of boxes that face each other, or on one side where both stand in
    one column (the left one, the right one in the last column).
    """
    (x1, y1), (x2, y2) = at[_device(start)], at[_device(end)]
    if x1 == x2:
        side = x1 + BOX if x1 > WIDE // 2 else x1
        return (side, y1 + HIGH // 2), (side, y2 + HIGH // 2)
    return (x1 + BOX, y1 + HIGH // 2), (x2, y2 + HIGH // 2)


def _feeds(start: str, end: str) -> bool:
    return "/" in start or "/" not in end


def _wire(at: Mapping[str, tuple[int, int]], start: str, end: str) -> Markup:
    from coaxwright.show.markup import tag

    (x1, y1), (x2, y2) = _ends(at, start, end)
    past = x1 + BUS if x1 > WIDE // 2 else x1 - BUS  # as a bus beside the boxes between
    way = f"H{past}V{y2}H{x2}" if x1 == x2 else f"L{x2} {y2}"
    return tag("path", d=f"M{x1} {y1}{way}", class_="power" if _feeds(start, end) else "video")


def _words(at: Mapping[str, tuple[int, int]], start: str, end: str, over: str) -> Markup:
    """Port and length beside the end that is not shared; written last, so that no line crosses them."""
    from coaxwright.show.markup import tag

    begin, stop = _ends(at, start, end)
    port = (start if "/" in start else end).partition("/")[2]
    words = " ".join(each for each in (f"[{port}]" if port else "", over) if each)
    near, anchor, shift = (stop, "end", -6 - BUS) if _feeds(start, end) else (begin, "start", 6)
    return tag("text", words, x=near[0] + shift, y=near[1] + 4, text_anchor=anchor)


def _box(name: str, x: int, y: int) -> Markup:
    from coaxwright.show.markup import tag

    return tag(
        "g",
        tag("rect", x=x, y=y, width=BOX, height=HIGH),
        tag("text", name, x=x + BOX // 2, y=y + 15, text_anchor="middle"),
    )
