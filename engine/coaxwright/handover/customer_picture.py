"""All cameras by building, each with its mark and its word: the system in one picture, not to scale."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from coaxwright.immutable import immutable
from coaxwright.show.figures import count
from coaxwright.show.markup import Markup, tag
from coaxwright.show.tree import Picture

_WIDE, _HIGH, _GAP, _ACROSS = 164, 40, 8, 4
_LETTERS, _LINE = 22, 13
"""Letters of a name that go into a line of a box, and how far apart the lines of a long name stand."""
_LINES = 3
_MOST = 32
"""Beyond so many cameras only those that do not work are drawn one by one, so that the picture stays on one page."""
_CAPTION = (
    "Cameras by building, as planned now. A full square falls short, a dashed square is not known, a tick works. "
    "Not to scale."
)


@immutable
class Tile:
    """One camera: its name, the word for how it stands, its level, its building."""

    name: str
    word: str
    level: str
    building: str


def picture(tiles: Sequence[Tile]) -> Picture:
    """The picture with the sentence that says the same."""
    groups: dict[str, list[Tile]] = {}
    for each in tiles:
        groups.setdefault(each.building or "no building named", []).append(each)
    drawn: list[Markup] = []
    top = 0.0
    for building, some in groups.items():
        shown = some if len(tiles) <= _MOST else [each for each in some if each.level != "pass"]
        rows = [shown[start : start + _ACROSS] for start in range(0, len(shown), _ACROSS)]
        heights = [_HIGH + _LINE * (max(len(_lines(each.name)) for each in row) - 1) for row in rows]
        height = 26 + sum(heights) + _GAP * len(rows)
        drawn.append(tag("rect", x=0, y=top, width=_ACROSS * (_WIDE + _GAP) + _GAP, height=height, class_="band"))
        drawn.append(tag("text", _heading(building, len(some) - len(shown)), x=_GAP, y=top + 16, font_size=11, font_weight=650))
        below = top + 24
        for row, high in zip(rows, heights, strict=True):
            drawn += [_tile(each, _GAP + place * (_WIDE + _GAP), below, high) for place, each in enumerate(row)]
            below += high + _GAP
        top += height + _GAP
    wide = _ACROSS * (_WIDE + _GAP) + _GAP
    svg = tag("svg", drawn, viewBox=f"0 0 {wide} {max(top, 1):g}", class_="tiles", role="presentation")
    said = "; ".join(f"{building}: {_told(some)}" for building, some in groups.items())
    return Picture(svg, f"{count(len(tiles), 'camera')}. {said}", _CAPTION)


def _heading(building: str, left_out: int) -> str:
    return f"{building}, and {count(left_out, 'camera')} that {'works' if left_out == 1 else 'work'}" if left_out else building


def _told(tiles: Sequence[Tile]) -> str:
    return ", ".join(f"{each.name} ({each.word})" for each in tiles)


def _lines(name: str) -> list[str]:
    """A name in the lines of its box, none of its letters left out but for one of more than three lines."""
    return wrap(name, _LETTERS, max_lines=_LINES, placeholder=" …")


def _tile(tile: Tile, x: float, y: float, high: float) -> Markup:
    names = [
        tag("text", line, x=x + 22, y=y + 16 + _LINE * place, font_size=10.5, font_weight=650)
        for place, line in enumerate(_lines(tile.name))
    ]
    return tag(
        "g", tag("rect", x=x, y=y, width=_WIDE, height=high, class_="card"), _mark(tile.level, x + 7, y + 8), names,
        tag("text", tile.word, x=x + 7, y=y + high - 8, font_size=10.5), class_=tile.level,
    )  # fmt: skip


def _mark(level: str, x: float, y: float) -> Markup:
    if level == "pass":
        return tag("path", d=f"M{x:g} {y + 5:g}l3 4l6 -9", class_="tick")
    return tag("rect", x=x, y=y, width=9, height=9, class_=f"sign-{level}")
