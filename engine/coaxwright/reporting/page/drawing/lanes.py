"""Lanes for upright lines: nets that share a stretch of the sheet get lanes of their own, as few as there can be."""

from __future__ import annotations

from collections.abc import Mapping

SPACE = 2.0


def lanes(stretches: Mapping[str, tuple[float, float]]) -> tuple[dict[str, int], int]:
    """The lane of each net by its (top, bottom), and how many lanes there are.

    Nets in order of their tops, each into the first lane that is free: no colouring of intervals needs fewer.
    """
    ends: list[float] = []
    found: dict[str, int] = {}
    for net, (top, bottom) in sorted(stretches.items(), key=lambda item: (item[1], item[0])):
        lane = next((at for at, end in enumerate(ends) if end + SPACE <= top), len(ends))
        if lane == len(ends):
            ends.append(bottom)
        ends[lane] = bottom
        found[net] = lane
    return found, len(ends)


def spread(wanted: Mapping[str, float], high: float, space: float, top: float, bottom: float) -> dict[str, float]:
    """Middles of boxes of one height, as near to what is wanted as they go without meeting or leaving the sheet.

    Boxes in order of what they want are pushed down off each other, then back up from the bottom.
    """
    order = sorted(wanted, key=lambda name: (wanted[name], name))
    middles: list[float] = []
    for name in order:
        least = middles[-1] + high + space if middles else top + high / 2
        middles.append(max(wanted[name], least))
    most = bottom - high / 2
    for at in range(len(middles) - 1, -1, -1):
        middles[at] = min(middles[at], most)
        most = middles[at] - high - space
    return dict(zip(order, middles, strict=True))
