"""Bits of a stream that nobody set: columns x lines x rate x bits a pixel, by how much moves and how noisy the night is.

Figures and their sources: tables `recording-rates` and `night-rates`. Where nobody says how much moves it is planned as
`little`, and the most is what `much` comes to.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from coaxwright.facts.assumed import FROM_SITE
from coaxwright.facts.physics.encoding import compressed_bit_rate
from coaxwright.facts.picture.recording import STEADY, Plan, Rate, Spread
from coaxwright.facts.sheets import Camera
from coaxwright.reading.tables import load_table

SOUND = 64_000.0
"""bit/s of one voice, as the most is counted (ITU-T G.711: 8 bits, 8000 times a second)."""

BITS = ("bitrate", "bitrate_low", "bitrate_high", "stream_rate", "level_rate_max")


class Bits(NamedTuple):
    """Bits of one camera: most while recording; means over the hours recorded, least, planned, on the careful side; the share
    of the day that is recorded; the main stream alone, at its most.
    """

    peak: float
    low: float
    mean: float
    high: float
    share: float
    main: float = 0.0


def planned_rate(pixels: float, fps: float, codec: str, plan: Plan, values: Mapping[str, Any], guessed: tuple[str, ...]) -> Rate:
    """The rate of a main stream while it records, with what was assumed for it, and how far it may lie off."""
    name = f"bits-per-pixel-{codec}"
    bits, used = float(values[name].value), (*guessed, name)
    if plan.motion is None:
        bits, used = bits * float(values["motion-factor"].value), (*used, "motion-factor")
    else:
        bits *= load_table("recording-rates").row(codec, plan.motion)["motion_factor"]
    if plan.noise is not None:
        used = (*used, "night-share", "night-share-most")
    spread = spread_of(codec, plan, values, values[name].source == FROM_SITE)
    by_day = compressed_bit_rate(pixels, fps, bits)
    return Rate(by_day * spread.peak, "assumed", codec, bits, used, spread)


def spread_of(codec: str, plan: Plan, values: Mapping[str, Any], measured: bool) -> Spread:
    """How far a planned rate may lie off its figure by day, as factors; `measured` where the site states its bits a pixel."""
    low, high = motion_band(codec, plan.motion, measured)
    if plan.noise is None:
        return Spread(1.0, low, 1.0, high * (_night("some")["high"] if plan.motion else 1.0))
    row, share, most = _night(plan.noise), values["night-share"].value, values["night-share-most"].value
    return Spread(
        max(1.0, row["planned"]),
        low * (1.0 - most + most * row["low"]),
        1.0 - share + share * row["planned"],
        high * (1.0 - most + most * row["high"]),
    )


def motion_band(codec: str, motion: str | None, measured: bool) -> tuple[float, float]:
    """Least and most by day over what is planned; where nobody says what moves, and no rate was measured, `much` is the most."""
    table = load_table("recording-rates")
    row = table.row(codec, motion or "little")
    planned = row["bits_per_pixel"] * row["motion_factor"]
    most = row["high"]
    if motion is None and not measured:
        much = table.row(codec, "much")
        most = much["bits_per_pixel"] * much["motion_factor"]
    return row["low"] / planned, most / planned


def _night(noise: str) -> Mapping[str, Any]:
    return load_table("night-rates").row(noise)


def bits_of(main: Rate, plan: Plan, share: float) -> Bits:
    """Bits of a camera, its second stream with them, and on the careful side its sound."""
    spread = main.spread or STEADY
    by_day, second = main.bitrate / spread.peak, plan.second_stream or 0.0
    sound = SOUND if plan.sound else 0.0
    low, mean, high = (by_day * factor + second for factor in (spread.low, spread.mean, spread.high))
    return Bits(main.bitrate + second, low, mean, high + sound, share, main.bitrate)


def tell_bits(camera: Camera, bits: Bits) -> None:
    """Put the bits of a camera on its sheet."""
    camera.bitrate, camera.bitrate_low, camera.bitrate_high = bits.peak, bits.low, bits.high
    camera.stream_rate = bits.main
