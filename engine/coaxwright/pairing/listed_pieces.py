"""The coax cameras of a list as a set: which part, how switched, over which run."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from coaxwright.pairing.sets import Piece
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue


class HalfRun(Exception):
    """A row, at `place`, has a cable without its length, or a length without its cable."""

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place


def pieces_of(rows: Iterable[Any], catalogue: Catalogue, question: Question) -> tuple[list[Piece], int, list[str]]:
    """The coax cameras of rows (`schedules.camera_lists.Listed`), how many network cameras there are, and a remark on those.

    A row's own run and switch count before those of the question. Raises HalfRun.
    """
    pieces: list[Piece] = []
    network: list[str] = []
    many = 0
    for row in rows:
        if catalogue.part(row.part).emits:
            pieces += [Piece(row.part, _asked(row, question), row.label or "")] * row.count
        else:
            network.append(f"{row.count} x {row.part}")
            many += row.count
    return pieces, many, [of_network(network)] if network else []


def of_network(names: Iterable[str]) -> str:
    """A remark on the network cameras of a set."""
    return f"network cameras take no coax input; inputs that are given up for them count: {', '.join(names)}"


def _asked(row: Any, question: Question) -> Question:
    cable, length = row.cable or question.cable, row.length or question.length
    if (cable is None) != (length is None):
        raise HalfRun(row.place)
    return replace(question, family=row.family, mode=row.mode, cable=cable, length=length)
