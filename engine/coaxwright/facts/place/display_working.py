"""Workings of how a coax is ended, and of the cable to a screen. Computes no fact."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.place.display import cable_row
from coaxwright.facts.sheets import Ending, Monitor
from coaxwright.facts.written import number

Lines = tuple[str, ...]


def _level(context: Context, ending: Ending) -> Lines:
    line = f"20 lg(2 / (1 + {ending.terminations})) = {number(ending.level)} dB"
    return line, "source: circuit theory, equal resistors in parallel"


def _cable_most(context: Context, sheet: Monitor) -> Lines:
    row = cable_row(sheet.output_mode)
    source = "" if row is None else row["source"]
    return (f"{number(sheet.cable_most)} m for {sheet.output_mode}: {source}",)


DISPLAY_WORKINGS: Mapping[tuple[str, str], Callable[[Context, Any], Lines]] = {
    ("ending", "level"): _level,
    ("monitor", "cable_most"): _cable_most,
}
"""By kind of sheet and field."""
