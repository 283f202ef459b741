"""Scanning arithmetic: total rasters, clocks, line rates, and the widest signal that a clock can carry.

Which modes exist, and their rasters, are table data. Not for what a camera's filter really passes.
"""

from __future__ import annotations

from coaxwright.facts.physics.checks import count, not_negative, positive

NTSC_RATIO = 1000.0 / 1001.0
"""Frame-rate ratio of 525-line colour and of the "/1.001" HD rates: ITU-R BT.470, SMPTE ST 274."""


def pixel_clock_mhz(total_columns: int, total_lines: int, fps: float) -> float:
    """MHz: H_total * V_total * frames a second / 1e6; SMPTE ST 274, ST 296, CTA-861."""
    return (
        count("total_columns", total_columns, 1)
        * count("total_lines", total_lines, 1)
        * positive("fps", fps)
        / 1.0e6
    )


def frame_rate(clock_mhz: float, total_columns: int, total_lines: int) -> float:
    """Frames a second of a raster at a clock: clock / (H_total * V_total)."""
    return positive("clock_mhz", clock_mhz) / pixel_clock_mhz(total_columns, total_lines, 1.0)


def raster_agrees(
    total_columns: int, total_lines: int, fps: float, clock_mhz: float, tolerance: float = 1.0e-9
) -> bool:
    """True when a raster's figures multiply out to its clock within the relative `tolerance`."""
    computed = pixel_clock_mhz(total_columns, total_lines, fps)
    return (
        abs(computed - positive("clock_mhz", clock_mhz)) <= not_negative("tolerance", tolerance) * clock_mhz
    )


def line_rate_hz(total_lines: int, fps: float) -> float:
    """Lines a second: V_total * fps; 15 625 Hz for 625/25 (ITU-R BT.470)."""
    return count("total_lines", total_lines, 1) * positive("fps", fps)


def bandwidth_bound_mhz(clock_mhz: float) -> float:
    """Widest baseband that samples at this clock can carry: clock / 2; sampling theorem.

    An upper bound: real signals are filtered below it, and a colour carrier may lie above the luma.
    """
    return positive("clock_mhz", clock_mhz) / 2.0


def active_share(columns: int, lines: int, total_columns: int, total_lines: int) -> float:
    """Share of the raster that is picture, 0 to 1. ValueError when the picture is larger than its raster."""
    if count("columns", columns, 1) > total_columns or count("lines", lines, 1) > total_lines:
        raise ValueError(f"{columns}x{lines} does not fit a raster of {total_columns}x{total_lines}")
    return columns * lines / (total_columns * total_lines)
