"""How a planned bit rate came about, in words: the factors of what moves and of the night, and the ends of the range."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright.facts.picture.recording import STEADY, Plan, Rate
from coaxwright.facts.written import number
from coaxwright.reading.tables import load_table


def planned_lines(size: str, main: Rate, plan: Plan, values: Mapping[str, Any]) -> Iterator[str]:
    """The product, and where its figures come from."""
    bits, spread = values[f"bits-per-pixel-{main.codec}"], main.spread or STEADY
    motion = main.bits_per_pixel / bits.value
    moves = f"motion: {plan.motion}" if plan.motion else "motion"
    product = f"{size} x {number(bits.value)} bit/px ({main.codec}) x {number(motion)} ({moves})"
    if spread.peak != 1.0:
        product += f" x {number(spread.peak)} (night: {plan.noise} noise)"
    yield f"{product} = {number(main.bitrate)} bit/s"
    yield f"source: {bits.source}"
    if plan.noise:
        yield f"source: {load_table('night-rates').row(plan.noise)['source']}"


def range_lines(main: Rate, plan: Plan) -> Iterator[str]:
    """What the ends of the range rest on."""
    if main.by != "assumed":
        yield "set or stated by the maker: the same at both ends"
        return
    moves = plan.motion or "nobody says what moves: little to much"
    yield f"planned rates move with content (table recording-rates, {moves}) and with noise at night (table night-rates)"
