"""Enclosure codes compared by their digits of ingress (IEC 60529).

Says what a code implies, not whether a place needs it.
"""

from __future__ import annotations

import re

_CODE = re.compile(r"IP([0-6X])([0-9X])[A-D]?[HMSW]*", re.ASCII)


def ingress_digits(code: str) -> tuple[tuple[int | None, int | None], ...]:
    """Digits of "IP66", "IPX7" or a double marking "IP66/IP67": one (solids, water) pair each, None for X.

    Optional letters of IEC 60529 (access A to D, H M S W) are accepted and left out. ValueError for anything
    else.
    """
    pairs: list[tuple[int | None, int | None]] = []
    for part in code.replace(" ", "").split("/"):
        match = _CODE.fullmatch(part)
        if match is None:
            raise ValueError(f"ingress code must look like IP66, IPX7 or IP66/IP67, not {code!r}")
        solids, water = match.groups()
        pairs.append((None if solids == "X" else int(solids), None if water == "X" else int(water)))
    return tuple(pairs)


def water_implied(water: int) -> frozenset[int]:
    """Second digits that `water` implies; IEC 60529 clause 6.

    Up to 6 a digit implies all lower ones. 7 and 8 do not imply the jets of 5 and 6, 8 implies 7; 9 implies
    neither jets nor immersion (from memory). All of 7, 8 and 9 are read as implying 0 to 4.
    """
    if not 0 <= water <= 9:
        raise ValueError(f"water digit must be 0 to 9, not {water!r}")
    if water <= 6:
        return frozenset(range(water + 1))
    return frozenset({0, 1, 2, 3, 4, water} | ({7} if water == 8 else set()))


def ingress_meets(code: str, required: str) -> bool | None:
    """True when `code` implies every digit of `required`, False when not, None when an X leaves it open.

    A double marking counts with all its parts; a double requirement asks for all of its parts. IEC 60529
    clause 6.
    """
    have = ingress_digits(code)
    answers: list[bool | None] = []
    for solids, water in ingress_digits(required):
        if solids is not None:
            known = [digit for digit, _ in have if digit is not None]
            answers.append(_answer(any(digit >= solids for digit in known), len(known) < len(have)))
        if water is not None:
            wet = [digit for _, digit in have if digit is not None]
            answers.append(_answer(any(water in water_implied(digit) for digit in wet), len(wet) < len(have)))
    return False if False in answers else None if None in answers else True


def _answer(met: bool, unknown: bool) -> bool | None:
    """Three-valued: met, or open because of an X, or not met."""
    return True if met else None if unknown else False
