"""How long a new run may be: a change with a run whose length nobody gave is proven up to a length.

Lengths are tried upwards and then halved in between, down to a metre; every length that was tried up to the one that is
told holds, and the one told was tried itself.
"""

from __future__ import annotations

from collections.abc import Callable

from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.candidates.new_runs import at_most

_MOST = 1000.0
"""Metres beyond which no run is tried."""
_WIDER = 1.6
"""Each length tried is so many times the one before."""


def longest(candidate: Candidate, holds: Callable[[Candidate], bool]) -> Candidate:
    """The candidate proven up to a length; `holds` proves it at one, and holds at that of its patch."""
    if candidate.lay is None or candidate.metres is None:
        return candidate
    near, far = candidate.metres, None
    while far is None and near < _MOST:
        longer = float(int(min(_MOST, near * _WIDER + 1.0)))
        if holds(at_most(candidate, longer)):
            near = longer
        else:
            far = longer
    while far is not None and far - near > 1.0:
        middle = float(int((near + far) / 2.0))
        if middle in (near, far):
            break
        near, far = (middle, far) if holds(at_most(candidate, middle)) else (near, middle)
    return at_most(candidate, near)
