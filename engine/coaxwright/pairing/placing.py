"""Several cameras on one recorder, each on an input of its own, placed so that most is kept.

Which camera goes where is an assignment: a flow of least cost from the cameras to the inputs, solved by networkx in
whole numbers. What a camera comes to on an input is its cell; what the channels then record is shared among all that
were placed, as a site's would be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from coaxwright.facts.picture.recording import share_known
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import Cell, Clerk, asked_of
from coaxwright.pairing.small_sites import Question

_Cells = tuple[Cell, ...]
PICTURES = ("full", "asked-down", "reduced-width")
MOST_TOGETHER = 256
"""More cameras or recorders than this get a table of pairs, and no placing beside it: `--best-for` places them."""
NO_INPUT = "no-input"
"""What is said of a camera for which no input is left."""


@immutable
class Seat:
    """One camera with the input that it has (None: none is left for it) and what it comes to there."""

    camera: str
    number: int | None
    cell: Cell | None

    @property
    def outcome(self) -> str:
        """What is said of it: its outcome with the cable asked about, `open`, or `no-input`."""
        if self.cell is None:
            return NO_INPUT
        return self.cell.verdict or "open"


def place(clerk: Clerk, cameras: Sequence[str], recorder: str, question: Question) -> list[Seat]:
    """Every camera (one that is named twice, twice) with an input of its own, in the order of the cameras.

    As many pictures as can be, then as many of full width, asked down and reduced width, then picture elements a
    second recorded alone, then features; equal cameras take equal inputs from the lowest number up.
    """
    alone = replace(question, channels=None)
    groups = clerk.alike(recorder)
    told = {name: tuple(clerk.cell(name, recorder, alone, numbers[0]) for numbers in groups) for name in set(cameras)}
    alike: dict[_Cells, list[int]] = {}
    for index, name in enumerate(cameras):
        alike.setdefault(told[name], []).append(index)
    free = [iter(numbers) for numbers in groups]
    seats = [Seat(name, None, None) for name in cameras]
    counts = [len(members) for members in alike.values()]
    shares = assigned(values_of(list(alike), len(cameras)), counts, [len(each) for each in groups])
    for (cells, members), places in zip(alike.items(), shares, strict=True):
        given = sorted((next(free[place]), place) for place in places)
        for index, (number, place) in zip(members, given, strict=False):
            seats[index] = Seat(cameras[index], number, cells[place])
    return _recorded(clerk, seats, recorder, alone)


def assigned(values: list[list[int]], counts: list[int], sizes: list[int]) -> list[list[int]]:
    """For every kind of camera the groups of inputs that its pieces go to; fewer where inputs run out.

    `values` says what a piece of each kind is worth on each group, `counts` how many pieces there are, `sizes` how
    many inputs.
    """
    import networkx

    graph = networkx.DiGraph()
    graph.add_node("end", demand=sum(counts))
    for place, size in enumerate(sizes):
        graph.add_edge(("inputs", place), "end", capacity=size, weight=0)
    for kind, count in enumerate(counts):
        graph.add_node(("kind", kind), demand=-count)
        graph.add_edge(("kind", kind), "end", capacity=count, weight=0)
        for place, value in enumerate(values[kind]):
            graph.add_edge(("kind", kind), ("inputs", place), capacity=count, weight=-value)
    _, flow = networkx.network_simplex(graph)
    taken = [[flow[("kind", kind)][("inputs", place)] for place in range(len(sizes))] for kind in range(len(counts))]
    return [[place for place, many in enumerate(row) for _ in range(many)] for row in taken]


def values_of(kinds: list[_Cells], cameras: int, stays: list[list[bool]] | None = None) -> list[list[int]]:
    """One whole number for what a camera keeps on an input: sums of them compare first by pictures, and so on.

    Each measure is scaled by more than all cameras together can make of the measures after it. An input always
    counts for something, so that no camera stays without one while one is free. `stays` tells where a camera keeps
    what it has today, which counts after outcomes and before rates.
    """
    stays = stays or [[False] * len(cells) for cells in kinds]
    measured = [
        [tuple(_measures(cell, kept)) for cell, kept in zip(cells, row, strict=True)]
        for cells, row in zip(kinds, stays, strict=True)
    ]
    rows = [row for several in measured for row in several]
    bases = [cameras * max(column) + 1 for column in zip(*rows, strict=True)]
    return [[_whole(row, bases) for row in several] for several in measured]


def _measures(cell: Cell, stays: bool) -> Iterator[int]:
    """What counts, weightiest first; rates in thousands of picture elements a second."""
    yield int(cell.verdict in PICTURES)
    yield from (int(cell.verdict == name) for name in PICTURES)
    yield int(stays)
    pixels = (cell.recorded_width or 0) * (cell.recorded_height or 0) * (cell.recorded_fps or 0.0)
    yield round(pixels / 1000.0) if cell.verdict in PICTURES else 0
    yield cell.kept
    yield 1


def _whole(row: Sequence[int], bases: Sequence[int]) -> int:
    value = 0
    for each, base in zip(row, bases, strict=True):
        value = value * base + each
    return value


def _recorded(clerk: Clerk, seats: list[Seat], recorder: str, question: Question) -> list[Seat]:
    """The seats with what each records while all of them do."""
    desk = clerk.desk(recorder, question.made)
    wanted = [
        asked_of(desk, seat.number, clerk.settled(desk, seat.number, seat.camera, question))
        for seat in seats
        if seat.number is not None
    ]
    streams = iter(share_known(wanted, desk.part.encodes_total))
    return [seat if seat.cell is None else _with(seat, seat.cell, next(streams)) for seat in seats]


def _with(seat: Seat, cell: Cell, stream: object) -> Seat:
    width, height, fps = (getattr(stream, name, None) for name in ("width", "height", "fps"))
    return replace(seat, cell=cell._replace(recorded_fps=fps, recorded_width=width, recorded_height=height))
