"""Short names for what the re-judging of printed papers offers; everything is in `rejudging`."""

from __future__ import annotations

from .rejudging import power
from .rejudging.paper import Read, read_paper
from .rejudging.plan import plan_of

__all__ = ["Read", "read_paper", "volts_at"]


def volts_at(read: Read, name: str) -> float:
    """Volts that arrive at a camera after dark, from what a question prints."""
    return power.volts_at(plan_of(read), name)
