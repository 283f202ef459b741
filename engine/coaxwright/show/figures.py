"""Numbers with units as a reader of the page wants them. Base units in, words out; None is `not known`."""

from __future__ import annotations

import math
from collections.abc import Sequence

UNKNOWN = "not known"


def volts(value: float | None) -> str:
    """`11.64 V`."""
    return _with(value, "V", 2)


def amps(value: float | None) -> str:
    """`3.46 A`."""
    return _with(value, "A", 2)


def watts(value: float | None) -> str:
    """`5.2 W`."""
    return _with(value, "W", 1)


def metres(value: float | None) -> str:
    """`85 m`; tenths below ten."""
    return _with(value, "m", 0 if value is None or abs(value) >= 10 else 1)


def days(value: float | None) -> str:
    """`23.4 days`."""
    return _with(value, "days", 1)


def fps(value: float | None) -> str:
    """`12.5 fps`."""
    return _with(value, "fps", 2)


def decibels(value: float | None) -> str:
    """`7.3 dB`."""
    return _with(value, "dB", 1)


def megabits(value: float | None) -> str:
    """Bits a second as `3.2 Mb/s`."""
    return _with(None if value is None else value / 1e6, "Mb/s", 1)


def megapixels(value: float | None) -> str:
    """Picture elements a second as `62 Mpx/s`."""
    return _with(None if value is None else value / 1e6, "Mpx/s", 1)


def terabytes(value: float | None) -> str:
    """Bytes as decimal `8 TB`."""
    return _with(None if value is None else value / 1e12, "TB", 1)


def frame(width: int | None, height: int | None) -> str:
    """`2592 × 1944`."""
    return UNKNOWN if width is None or height is None else f"{width} × {height}"


def count(number: int, word: str, plural: str = "") -> str:
    """`1 camera`, `3 cameras`."""
    return f"{number} {word}" if number == 1 else f"{number} {plural or word + 's'}"


def plain(value: float, decimals: int) -> str:
    """A number with at most so many decimals, without trailing noughts, and never `-0`."""
    shown = f"{value:.{decimals}f}"
    shown = shown.rstrip("0").rstrip(".") if "." in shown else shown
    return "0" if shown in ("-0", "") else shown


def _with(value: float | None, unit: str, decimals: int) -> str:
    if value is None or math.isnan(value):
        return UNKNOWN
    if math.isinf(value):
        return "without end"
    return f"{plain(value, decimals)} {unit}"


def named_apart(names: Sequence[str]) -> str:
    """Names one after the other; by semicolons where a name has a comma in it, so that each is read as one."""
    return ("; " if any("," in each for each in names) else ", ").join(names)
