"""Numbers of cables: a letter for the use, a number for the line, a small letter for each cable of it.

The same file gives the same numbers on every sheet and in the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.immutable import immutable
from coaxwright.model.site import Hop
from coaxwright.schedules.runs import Line
from coaxwright.topology.cable_numbers import numbers_by_use


@immutable
class Cable:
    """One cable to be laid: `near` is the end at the device, or nearer to the source where it is power.

    `pointer` is the document path of its piece, `jacket` the number of the cable whose jacket it shares, if any.
    """

    number: str
    use: str
    subject: str
    pointer: str
    hop: Hop
    near: str
    far: str
    jacket: str = ""

    @property
    def device(self) -> str:
        """The id of the device that the line is for."""
        return self.subject.partition("/")[2]


def numbered(lines: Sequence[Line]) -> list[Cable]:
    """Every cable of every line, numbered."""
    found: list[Cable] = []
    jackets: dict[str, str] = {}
    for line, number in zip(lines, numbers_by_use([each.use for each in lines]), strict=True):
        for cable in _of_line(line, number):
            jacket = jackets.setdefault(cable.hop.sheath, cable.number) if cable.hop.sheath else ""
            found.append(
                Cable(cable.number, cable.use, cable.subject, cable.pointer, cable.hop, cable.near, cable.far,
                      "" if jacket == cable.number else jacket)
            )  # fmt: skip
    return found


def _of_line(line: Line, number: str) -> Iterator[Cable]:
    """The cables of a line from its first end to its last; what stands between two of them is a box, or a joint."""
    device = line.subject.partition("/")[2]
    first, last = (line.target, device) if line.use == "power" else (device, line.target)
    cables = [place for place, hop in enumerate(line.hops) if hop.cable is not None]
    for order, place in enumerate(cables):
        pointer = "/".join(map(str, (*line.pointer, "over", place)))
        near = first if place == 0 else _between(line.hops[place - 1])
        far = last if place == len(line.hops) - 1 else _between(line.hops[place + 1])
        name = number if len(cables) == 1 else number + _letter(order)
        yield Cable(name, line.use, line.subject, pointer, line.hops[place], near, far)


def _between(hop: Hop) -> str:
    return hop.box or "joint"


def _letter(order: int) -> str:
    """a to z, then aa, ab and so on."""
    return _letter(order // 26 - 1) + _letter(order % 26) if order > 25 else chr(ord("a") + order)
