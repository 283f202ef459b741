"""Pixels, macroblocks, codec levels, compressed rates, and the fair sharing of an encoder among channels.

The level tables are passed in as rows; what a given recorder can encode is its own figure and never assumed
here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from coaxwright.facts.physics.checks import count, not_negative, positive
from coaxwright.immutable import immutable

MACROBLOCK = 16
"""Luma samples on a side: ITU-T H.264 clause 3."""
SMALLEST_CODING_UNIT = 8
"""Luma samples; ITU-T H.265 pictures are whole multiples of the smallest coding unit."""


@immutable
class MacroblockLevel:
    """A row of ITU-T H.264 Table A-1: MaxMBPS (macroblocks/s), MaxFS (macroblocks), MaxBR in bit/s of the
    profile used."""

    name: str
    macroblocks_per_second: float
    frame_macroblocks: int
    bit_per_second: float = math.inf


@immutable
class LumaLevel:
    """A row of the ITU-T H.265 general level limits: MaxLumaPs (samples), MaxLumaSr (samples/s), MaxBR in
    bit/s of the tier."""

    name: str
    picture_samples: int
    samples_per_second: float
    bit_per_second: float = math.inf


def compressed_bit_rate(pixels: float, fps: float, bits_per_pixel: float, motion: float = 1.0) -> float:
    """Planned bit/s: pixels * fps * bits a pixel * motion. A rule of thumb (common practice): content moves
    it tenfold."""
    rate = not_negative("pixels", pixels) * not_negative("fps", fps)
    return rate * positive("bits_per_pixel", bits_per_pixel) * positive("motion", motion)


def macroblocks(width: int, height: int) -> int:
    """Macroblocks of a frame, sides rounded up to 16: 1080 lines are 68 rows; ITU-T H.264 clause 7.4.2.1.1.
    """
    across = -(-count("width", width, 1) // MACROBLOCK)
    return across * -(-count("height", height, 1) // MACROBLOCK)


def macroblock_rate(width: int, height: int, fps: float) -> float:
    """Macroblocks a second: frame macroblocks * fps."""
    return macroblocks(width, height) * positive("fps", fps)


def h264_level(
    width: int, height: int, fps: float, levels: Sequence[MacroblockLevel], bit_per_second: float = 0.0
) -> str | None:
    """Name of the first of `levels` (lowest first) that holds the mode; None when none does.

    ITU-T H.264 clause A.3.1: frame size, macroblocks a second, each side at most sqrt(8 MaxFS) macroblocks,
    and the bit rate. `fps` counts frames.
    """
    size, rate = macroblocks(width, height), macroblock_rate(width, height, fps)
    side = -(-max(width, height) // MACROBLOCK)
    for level in levels:
        fits = size <= level.frame_macroblocks and side * side <= 8 * level.frame_macroblocks
        if fits and rate <= level.macroblocks_per_second and bit_per_second <= level.bit_per_second:
            return level.name
    return None


def h265_level(
    width: int, height: int, fps: float, levels: Sequence[LumaLevel], bit_per_second: float = 0.0
) -> str | None:
    """Name of the first of `levels` (lowest first) that holds the mode; None when none does.

    ITU-T H.265 clause A.4.1: picture samples, samples a second, each side at most sqrt(8 MaxLumaPs), and the
    bit rate; sides are rounded up to the smallest coding unit of 8.
    """
    wide, high = (
        -(-count("side", side, 1) // SMALLEST_CODING_UNIT) * SMALLEST_CODING_UNIT for side in (width, height)
    )
    samples, rate = wide * high, wide * high * positive("fps", fps)
    for level in levels:
        fits = samples <= level.picture_samples and max(wide, high) ** 2 <= 8 * level.picture_samples
        if fits and rate <= level.samples_per_second and bit_per_second <= level.bit_per_second:
            return level.name
    return None


def bit_rate_max(level: str | None, levels: Sequence[MacroblockLevel] | Sequence[LumaLevel]) -> float:
    """Most bit/s of all `levels` with the same limits of picture and rate as the one of that name; 0.0 for None.

    Levels that differ in nothing but their bit rate (ITU-T H.264: 1 and 1b, 1.3 and 2, 4 and 4.1) hold the same
    pictures, so an encoder is free to declare the higher one.
    """
    least = next((each for each in levels if each.name == level), None)
    if least is None:
        return 0.0
    return max(each.bit_per_second for each in levels if _same_pictures(each, least))


def _same_pictures(one: MacroblockLevel | LumaLevel, other: MacroblockLevel | LumaLevel) -> bool:
    return replace(one, name="", bit_per_second=0.0) == replace(other, name="", bit_per_second=0.0)


def share_budget(total: float, demands: Sequence[float]) -> list[float]:
    """Share `total` among `demands` in their own unit so that no one can get more without a worse-off one
    getting less.

    Max-min fairness by water filling (Bertsekas and Gallager, Data Networks, section 6.5): each gets its
    demand or the common level, whichever is less; what the modest leave is shared again. Shares are in the
    order of the demands.
    """
    left, waiting = not_negative("total", total), len(demands)
    shares = [0.0] * waiting
    for index in sorted(range(waiting), key=demands.__getitem__):
        share = min(not_negative("demand", demands[index]), left / waiting)
        shares[index] = share
        left, waiting = max(0.0, left - share), waiting - 1
    return shares
