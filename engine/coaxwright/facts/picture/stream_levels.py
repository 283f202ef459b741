"""What the levels of its codec leave a recorded stream: the most bits a second for its picture and rate.

ITU-T H.264 and H.265, Annex A; tables `h264-levels` (High profile) and `h265-levels` (High tier where a level has one).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from coaxwright.facts.physics.encoding import LumaLevel, bit_rate_max, h264_level, h265_level
from coaxwright.facts.picture.recording import Plan, Rate
from coaxwright.facts.picture.signal_cache import macroblock_levels
from coaxwright.reading.tables import load_table

CODECS = ("h264", "h265")


@cache
def luma_levels() -> Sequence[LumaLevel]:
    """Rows of the ITU-T H.265 general tier and level limits, lowest first, with the bit rates of the higher tier."""
    return [
        LumaLevel(row["level"], row["picture_samples"], row["samples_per_second"], row["bit_rate_high"] or row["bit_rate_main"])
        for row in load_table("h265-levels").rows
    ]


def least_level(codec: str, width: int, height: int, fps: float) -> str | None:
    """The lowest level of the codec that holds picture and rate, whatever its bits; None where none does."""
    if codec == "h264":
        return h264_level(width, height, fps, macroblock_levels())
    return h265_level(width, height, fps, luma_levels())


@cache
def level_rate_max(codec: str, width: int, height: int, fps: float) -> float:
    """Most bit/s of a stream of that picture and rate; 0.0 where no level holds it."""
    level = least_level(codec, width, height, fps)
    return bit_rate_max(level, macroblock_levels() if codec == "h264" else luma_levels())


def possible_codecs(listed: Sequence[str] | None, plan: Plan, rate: Rate) -> tuple[str, ...]:
    """The codecs that a stream may have: the one set, else the one that its bits were planned in, else all `listed`.

    A bit rate that is set says nothing of the codec; None lists none.
    """
    if plan.codec is not None:
        return (plan.codec,)
    return tuple(listed or CODECS) if rate.by == "set" or not listed else (rate.codec,)


def deciding_max(bitrate: float, codecs: Sequence[str], width: int, height: int, fps: float) -> float | None:
    """The most that decides whichever of the codecs it is; None where that hangs on the codec."""
    each = [level_rate_max(codec, width, height, fps) for codec in codecs]
    if bitrate <= min(each):
        return min(each)
    return max(each) if bitrate > max(each) else None
