"""How wide words come out, and words cut to a width. Widths are those of a wide common face, so that any other fits.

em shares by class of character, from the published metrics of DejaVu Sans (from memory), rounded up.
"""

from __future__ import annotations

from coaxwright.portable import added
from coaxwright.show.painter import columns, visible

SIZE = 7.2
"""Points of every label: the least that is read without effort in print is taken as 7."""
CAP_HEIGHT = 0.73
_WIDTHS = {
    0.32: "iljI.,:;'|! ",
    0.43: "frt[]()-/J",
    0.56: "cskzvxy",
    0.66: "abdeghnopqu0123456789FLEKPSTXYZ?=+~^",
    0.8: "ABCDGHNOQRUVw&",
    1.0: "mMW@%—…",
}
_EMS = {character: em for em, characters in _WIDTHS.items() for character in characters}
_CUT = "…"


BOLD = 1.14


def width(text: str, size: float = SIZE) -> float:
    """Points that `text` takes at most; for bold lettering give `SIZE * BOLD`."""
    return added(map(_em, text)) * size


def _em(character: str) -> float:
    known = _EMS.get(character)
    if known is not None:
        return known
    return 1.05 if columns(character) == 2 else 0.86


def shortened(text: str, room: float, size: float = SIZE) -> str:
    """A name as far as it goes into `room` points, cut in its middle: names of a row often differ at their ends."""
    shown = visible(text)
    if width(shown, size) <= room:
        return shown
    for kept in range(len(shown) - 1, 1, -1):
        cut = shown[: (kept + 1) // 2].rstrip() + _CUT + shown[len(shown) - kept // 2 :].lstrip()
        if width(cut, size) <= room:
            return cut
    return fitted(text, room, size)


def fitted(text: str, room: float, size: float = SIZE) -> str:
    """`text` as far as it goes into `room` points, its end cut and marked where it does not; empty for no room."""
    shown = visible(text)
    if width(shown, size) <= room:
        return shown
    kept = ""
    left = room - width(_CUT, size)
    for character in shown:
        left -= _em(character) * size
        if left < 0:
            break
        kept += character
    return kept.rstrip() + _CUT if kept.strip() else ""
