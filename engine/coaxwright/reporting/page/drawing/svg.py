"""A finished sheet as SVG: only marks, lines and words; colours and widths are the stylesheet's.

Video is an unbroken line that begins with a ring (a coax seen end-on), network a dotted one that begins with a lozenge;
power is dashed and ends with a crossbar.
A line with findings is thicker and carries the rule; a device with findings has a filled, half-filled or empty
square. Squares on a line are boxes in it. Every device and every line with findings is a link.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.reporting.page.drawing.lettering import SIZE
from coaxwright.reporting.page.drawing.shapes import Band, Box, Point, Rectangle, Sheet, Wire, Words
from coaxwright.show.markup import Markup, number, tag

_MARGIN = 2.0
_NOTCHED = {"camera": 3.0, "block": 0.0}


def as_svg(sheet: Sheet, identifier: str, title: str, wordy: str) -> Markup:
    """The sheet; `wordy` tells readers who cannot see it what it shows and where its table is."""
    wide, high = sheet.wide + 2 * _MARGIN, sheet.high + 2 * _MARGIN
    return tag(
        "svg",
        tag("title", title, id=f"{identifier}-t"),
        tag("desc", wordy, id=f"{identifier}-d"),
        tag("g", map(_band, sheet.bands)),
        tag("g", [_wire(each) for each in sheet.wires if not each.line.rules]),
        tag("g", [_wire(each) for each in sheet.wires if each.line.rules]),
        tag("path", class_="dot", d="".join(map(_dot, sheet.dots))) if sheet.dots else None,
        tag("g", [_word(words, knocked=len(each.words) == 1) for each in sheet.wires for words in each.words]),
        tag("g", map(_box, sheet.boxes)),
        tag("g", [_word(each, knocked=each.role == "building") for each in sheet.words]),
        class_="plan",
        viewBox=f"{-_MARGIN:g} {-_MARGIN:g} {number(wide)} {number(high)}",
        width=f"{number(wide)}pt",
        height=f"{number(high)}pt",
        role="group",
        aria_labelledby=f"{identifier}-t",
        aria_describedby=f"{identifier}-d",
    )


def _band(band: Band) -> Markup:
    return tag("g", _rectangle(band.area, "band"), _word(band.words) if band.words else None)


def _rectangle(area: Rectangle, class_: str) -> Markup:
    return tag("rect", class_=class_, x=area.x, y=area.y, width=area.wide, height=area.high)


def _word(words: Words, knocked: bool = False) -> Markup:
    title = tag("title", words.full) if words.full and words.full != words.text else None
    anchor = None if words.anchor == "start" else words.anchor
    made = tag(
        "text", title, words.text, class_=f"w {words.role}", x=words.x, y=words.y, text_anchor=anchor, font_size=SIZE
    )
    return tag("g", _knock_out(words), made) if knocked else made


def _knock_out(words: Words) -> Markup:
    """Paper below lettering that stands on a line."""
    area = words.area()
    return _rectangle(Rectangle(area.x - 1.0, area.y - 0.5, area.wide + 2.0, area.high), "paper")


def _box(box: Box) -> Markup:
    device = box.device
    classes = f"box {device.kind}" + (f" {device.level}" if device.level else "")
    marks = [_outline(box), *map(_word, box.words)]
    if device.level:
        marks.append(_mark(device.level, box))
    return _linked(box, tag("g", marks, class_=classes))


def _outline(box: Box) -> Markup:
    """Cameras have a notch on the side of their picture; what stands on both sides has a broken edge."""
    return _rectangle(box.area, "edge again" if box.again else "edge")


def _mark(level: str, box: Box) -> Markup:
    """A square at the end of the first line of words: full for an error, half for a warning, empty for a note."""
    area = box.area
    left, top = area.x + area.wide - 8.6, box.words[0].y - 5.4
    filled = {"error": "h5.6v5.6h-5.6z", "warning": "m0 5.6l5.6 -5.6v5.6z", "note": ""}[level]
    inside = tag("path", class_="level", d=f"M{number(left)} {number(top)}{filled}") if filled else None
    return tag("g", tag("rect", class_="level-edge", x=left, y=top, width=5.6, height=5.6), inside)


def _linked(box: Box, drawn: Markup) -> Markup:
    """What is spoken begins with what is seen, so that it can be called by its name."""
    device = box.device
    seen = " ".join(words.text for words in box.words)
    title = tag("title", f"{seen}, {device.words or device.name}")
    return tag("a", title, drawn, href=f"#{device.link}") if device.link else tag("g", title, drawn)


def _wire(wire: Wire) -> Markup:
    line = wire.line
    way = "".join(_way(piece) for piece in wire.pieces)
    classes = f"wire {line.use}" + (f" found {line.level}" if line.rules else "")
    drawn = [tag("path", class_=classes, d=way), *_ends(wire)]
    if line.rules and line.link:
        words = f"{line.use} line: {', '.join(line.rules)}"
        return tag("a", tag("title", words), drawn, href=f"#{line.link}")
    return tag("g", drawn)


def _ends(wire: Wire) -> Iterable[Markup]:
    """The ring of a video line at its camera, the crossbar of a power line at its load, and the boxes on it."""
    if wire.line.use == "network":
        x, y = wire.pieces[0][0]
        side = 3.4 if wire.pieces[0][-1][0] > x else -3.4
        yield tag("path", class_="plug", d=f"M{number(x + side)} {number(y - 2.4)}l2.4 2.4l-2.4 2.4l-2.4 -2.4z")
    elif wire.line.use == "video":
        (x, y), (far, _) = wire.pieces[0][0], wire.pieces[0][-1]
        ring = x + (3.2 if far > x else -3.2)
        yield tag("circle", class_="ring", cx=ring, cy=y, r=2.0)
        yield tag("circle", class_="core", cx=ring, cy=y, r=0.7)
    else:
        (before, _), (x, y) = wire.pieces[0][-2], wire.pieces[0][-1]
        bar = x + (-2.6 if x > before else 2.6)
        yield tag("path", class_="bar", d=f"M{number(bar)} {number(y - 2.6)}v5.2")
    for x, y in wire.boxes:
        yield tag("rect", class_="inline", x=x - 2.4, y=y - 2.4, width=4.8, height=4.8)


def _way(piece: tuple[Point, ...]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in piece)


def _dot(point: Point) -> str:
    return f"M{number(point[0] - 1.3)} {number(point[1])}a1.3 1.3 0 1 0 2.6 0a1.3 1.3 0 1 0 -2.6 0z"
