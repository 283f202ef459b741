"""Whose part it is, and whether a maker's restriction lets it in. Not for what makers are called in print."""

from __future__ import annotations

from coaxwright.model.part_base import PartBase

NO_MAKER = ("", "generic")
"""Words before the `/` of a part id that name nobody."""


def maker_of(part_id: str, part: PartBase) -> str:
    """Maker's id of a part: its `maker`, else the word before the `/` of its id; empty where it has none."""
    maker = part.maker or (part_id.partition("/")[0] if "/" in part_id else "")
    return "" if maker in NO_MAKER else maker


def lets_in(wanted: str, camera_maker: str, recorder_maker: str) -> bool:
    """True when `any`, `own` or one maker's id admits a camera; a camera of no maker is nobody's own."""
    if wanted == "any":
        return True
    return camera_maker != "" and camera_maker == (recorder_maker if wanted == "own" else wanted)
