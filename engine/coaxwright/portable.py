"""Arithmetic that gives the same bits on every machine.

Plus, minus, times, divided by and the square root are rounded correctly everywhere (IEEE 754-2019); what a system's
library makes of powers, logarithms and angles, and how a Python adds up, is not. Here both are: functions are worked out to
thirty-odd decimal digits and rounded once; sums are added from left to right.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import lru_cache, reduce
from typing import Any, TypeVar

Number = TypeVar("Number", int, float)
_KEPT = 1 << 16
_DIGITS = 40
_HALF_TURN = "3.14159265358979323846264338327950288419716939937510582097494"


def added(values: Iterable[Number]) -> Number:
    """The sum, added from left to right; 0 of nothing. (Python's own `sum` corrects itself from 3.12 on.)"""
    found: Number = reduce(operator.add, values, 0)
    return found


@lru_cache(_KEPT)
def power(base: float, exponent: float) -> float:
    """`base` to an exponent; ValueError for a base below nothing, and for nothing to an exponent that is not above it."""
    if not (base > 0.0 or (base == 0.0 and exponent > 0.0)):
        raise ValueError(f"{base!r} to the power of {exponent!r} is no number")
    if base == 0.0 or base == 1.0 or exponent == 0.0:
        return base if exponent else 1.0
    with _digits() as decimal:
        return float((decimal(base).ln() * decimal(exponent)).exp())


@lru_cache(_KEPT)
def logarithm(number: float) -> float:
    """The natural logarithm of a number above nothing; ValueError for any other."""
    if not number > 0.0:
        raise ValueError(f"{number!r} has no logarithm")
    with _digits() as decimal:
        return float(decimal(number).ln())


@lru_cache(_KEPT)
def common_logarithm(number: float) -> float:
    """The logarithm to base 10 of a number above nothing; ValueError for any other."""
    if not number > 0.0:
        raise ValueError(f"{number!r} has no logarithm")
    with _digits() as decimal:
        return float(decimal(number).log10())


@lru_cache(_KEPT)
def cosine(degrees: float) -> float:
    """The cosine of an angle in degrees."""
    with _digits() as decimal:
        return float(_series(decimal, degrees, 0))


@lru_cache(_KEPT)
def sine(degrees: float) -> float:
    """The sine of an angle in degrees."""
    with _digits() as decimal:
        return float(_series(decimal, degrees, 1))


@lru_cache(_KEPT)
def tangent(degrees: float) -> float:
    """The tangent of an angle in degrees; ValueError at right angles, which have none."""
    with _digits() as decimal:
        below = _series(decimal, degrees, 0)
        if not below:
            raise ValueError(f"{degrees!r} degrees have no tangent")
        return float(_series(decimal, degrees, 1) / below)


def size(number: complex) -> float:
    """The length of a complex number, as Python itself works it out, and not a system's library."""
    return math.hypot(number.real, number.imag)


@lru_cache(_KEPT)
def arctangent(ratio: float) -> float:
    """The angle in degrees whose tangent is a ratio: halved until its series is short."""
    if ratio < 0.0:
        return -arctangent(-ratio)
    with _digits() as decimal:
        short, halved, least = decimal(ratio), 0, decimal(10) ** -_DIGITS
        while short > decimal("0.1"):
            short /= 1 + (1 + short * short).sqrt()
            halved += 1
        square, term, found, place = short * short, short, short, 1
        while abs(term) > least:
            term, place = -term * square, place + 2
            found += term / place
        return float(found * 180 * 2**halved / decimal(_HALF_TURN))


def _series(decimal: Any, degrees: float, first: int) -> Any:
    """The series of the sine (`first` 1) or the cosine (0); exact at quarter turns."""
    turned, least = decimal(degrees) % 360, decimal(10) ** -_DIGITS
    if turned % 90 == 0:
        return decimal((1, 0, -1, 0)[(int(turned) // 90 - first) % 4])
    angle = turned * decimal(_HALF_TURN) / 180
    found, term, place = decimal(0), angle if first else decimal(1), first
    while abs(term) > least:
        found += term
        term *= -angle * angle / ((place + 1) * (place + 2))
        place += 2
    return found


@contextmanager
def _digits() -> Iterator[Any]:
    """Within this block decimal numbers, whose type it gives, are worked with to more digits than are told."""
    from decimal import Context, Decimal, localcontext

    with localcontext(Context(prec=_DIGITS + 8)):
        yield Decimal
