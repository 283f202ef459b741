"""Which cable is cut from which drum: the longest first, each from the first drum that still holds it.

First fit decreasing needs at most 11/9 of the least number of drums and 6/9 of one (Dosa 2007, "The tight bound of
first fit decreasing bin-packing algorithm"). No cable is joined: one that is longer than a drum stands apart.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from coaxwright.portable import added

_ROUNDING = 1e-9


@dataclass
class Drum:
    """A drum of `length` metres and what is cut from it, in order: number and metres."""

    length: float
    cuts: list[tuple[str, float]] = field(default_factory=list)

    @property
    def left(self) -> float:
        """Metres left on it."""
        return self.length - added(metres for _, metres in self.cuts)


def on_drums(pieces: Iterable[tuple[str, float]], length: float) -> tuple[list[Drum], list[tuple[str, float]]]:
    """Drums with their cuts, and the pieces that are longer than one."""
    drums: list[Drum] = []
    too_long = []
    for number, metres in sorted(pieces, key=lambda piece: (-piece[1], piece[0])):
        if metres > length + _ROUNDING:
            too_long.append((number, metres))
            continue
        drum = next((each for each in drums if each.left + _ROUNDING >= metres), None)
        if drum is None:
            drum = Drum(length)
            drums.append(drum)
        drum.cuts.append((number, metres))
    return drums, too_long
