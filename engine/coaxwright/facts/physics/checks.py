"""Refusals of impossible input that all of the physics shares. Not for judging what a person wrote."""

from __future__ import annotations

import math


def positive(name: str, value: float) -> float:
    """Return `value` when it is finite and above zero, else raise ValueError naming it."""
    if not (value > 0.0 and math.isfinite(value)):
        raise ValueError(f"{name} must be a finite number above zero, not {value!r}")
    return value


def not_negative(name: str, value: float) -> float:
    """Return `value` when it is finite and zero or more, else raise ValueError naming it."""
    if not (value >= 0.0 and math.isfinite(value)):
        raise ValueError(f"{name} must be a finite number of zero or more, not {value!r}")
    return value


def finite(name: str, value: float) -> float:
    """Return `value` when it is neither infinite nor not-a-number, else raise ValueError naming it."""
    if not math.isfinite(value):
        raise ValueError(f"{name} must be a finite number, not {value!r}")
    return value


def count(name: str, value: int, least: int = 0) -> int:
    """Return `value` when it is a whole number of `least` or more, else raise ValueError naming it."""
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise ValueError(f"{name} must be a whole number of {least} or more, not {value!r}")
    return value
