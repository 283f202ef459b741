"""A whole set of cameras on one recorder or two, each on a real input of its own, and which choice keeps most.

Which camera goes where is the assignment of `placing`; where so many of something are to be kept (`--keep sound=6`)
and the assignment keeps too few, every way of filling the inputs is compared instead (`keeping`). Rates are shared
on each recorder among the cameras on it, as a site's are. Not here: words and forms (`set_words`).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations_with_replacement
from typing import Any

from coaxwright import pace
from coaxwright.facts.picture.recording import share_known
from coaxwright.fixes.costs import currency_of
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import FEATURES, Cell, Clerk, asked_of
from coaxwright.pairing.keeping import Keep, kept_by, seated
from coaxwright.pairing.network_places import NetworkPlaces, network_places
from coaxwright.pairing.placing import PICTURES, Seat
from coaxwright.pairing.ranking import outcomes_of, sold
from coaxwright.pairing.small_sites import Question

MOST_IN_PAIRS = 16
"""Recorders of which two together are tried: the best so many alone; more make too many pairs."""


@immutable
class Piece:
    """One camera of a set: its part, how it is switched and over which run, and what it is called (`fuel`, or empty).

    `today` is what it comes to where it stands now; None where it stands nowhere.
    """

    part: str
    question: Question
    name: str = ""
    today: Cell | None = None


@immutable
class Placing:
    """A piece with the recorder of a choice (0 for the first) and the input that it has there."""

    piece: Piece
    box: int
    seat: Seat


@immutable
class Choice:
    """One recorder, or two, with all cameras on them.

    `kept` tells for every thing asked to be kept how many cameras keep it; `exhaustive` is false where so many ways of
    filling the inputs exist that not all were compared. `price` is of the recorders alone. `network` tells of the
    network cameras of the set, for which inputs may be given up.
    """

    recorders: tuple[str, ...]
    placings: tuple[Placing, ...]
    kept: Mapping[str, int]
    exhaustive: bool
    price: float | None
    currency: str | None
    inputs: int
    network: NetworkPlaces = NetworkPlaces()

    @property
    def outcomes(self) -> dict[str, int]:
        """How many cameras come to each outcome, best first."""
        return outcomes_of(each.seat for each in self.placings)

    @property
    def cells(self) -> list[Cell]:
        """What arrives, of each camera that has a picture."""
        cells = (each.seat.cell for each in self.placings)
        return [cell for cell in cells if cell is not None and cell.verdict in PICTURES]

    @property
    def pixel_rate(self) -> float:
        """Picture elements a second recorded of all cameras together."""
        return sum((c.recorded_width or 0) * (c.recorded_height or 0) * (c.recorded_fps or 0.0) for c in self.cells)

    @property
    def features(self) -> int:
        """Sound, control, firmware and sorted motion that work, over all cameras."""
        return sum(cell.kept for cell in self.cells)

    @property
    def left(self) -> int:
        """Cameras for which no input is left."""
        return sum(each.seat.number is None for each in self.placings)

    def short(self, keep: Keep) -> dict[str, int]:
        """How many of each thing to be kept are lacking; nothing where all are kept."""
        lacking = {name: wanted - self.kept[name] for name, wanted in keep.items()}
        return {name: many for name, many in lacking.items() if many > 0}


def choices(
    clerk: Clerk, pieces: Sequence[Piece], recorders: Sequence[str], keep: Keep, network: int = 0
) -> list[Choice]:
    """Every recorder still sold, and two together where no single one seats all and keeps what is asked; best first.

    First by what is kept of what is asked, then cameras without an input, pictures, their outcomes, picture elements a
    second recorded, features; then price. `network` cameras besides have their places before inputs are shared out.
    """
    table = _Table(clerk, pieces, keep, network)
    names = sold(clerk.catalogue, recorders)
    found = [table.choice((name,)) for name in pace.counted(names, "recorders")]
    found.sort(key=lambda each: rank(each, keep))
    if found and not enough(found[0], keep):
        first = [each.recorders[0] for each in found[:MOST_IN_PAIRS]]
        two = list(combinations_with_replacement(first, 2))
        found += [table.choice(each) for each in pace.counted(two, "pairs of recorders")]
        found.sort(key=lambda each: rank(each, keep))
    return found


def enough(choice: Choice, keep: Keep) -> bool:
    """Every camera has an input, and what is asked to be kept is."""
    return not choice.left and not choice.network.left and not choice.short(keep)


def rank(one: Choice, keep: Keep) -> tuple[Any, ...]:
    """The order of choices: what is kept, then price, then names."""
    counts = [one.outcomes.get(name, 0) for name in PICTURES]
    price = float("inf") if one.price is None else one.price
    return (
        sum(one.short(keep).values()), one.left + one.network.left, -sum(counts),
        *(-each for each in counts), -one.pixel_rate, -one.features,
        len(one.recorders), price, one.recorders,
    )  # fmt: skip


def as_it_stands(clerk: Clerk, pieces: Sequence[Piece], ports: Sequence[tuple[str, int]], boxes: Sequence[str]) -> Choice:
    """Cameras on the inputs that they have today: `ports` names the recorder (its place in `boxes`) and the input."""
    table = _Table(clerk, pieces, {})
    placed = [
        Placing(piece, int(box), Seat(piece.part, number, clerk.cell(piece.part, boxes[int(box)], piece.question, number)))
        for piece, (box, number) in zip(pieces, ports, strict=True)
    ]
    return table.told(tuple(boxes), placed, True)


@dataclass(slots=True)
class _Table:
    """Cells of every piece on every kind of input, each worked out once; lives for one call."""

    clerk: Clerk
    pieces: Sequence[Piece]
    keep: Keep
    network: int = 0
    rows: dict[tuple[str, Question, str], tuple[Cell, ...]] = field(default_factory=dict)

    def choice(self, recorders: tuple[str, ...]) -> Choice:
        """All pieces on these recorders."""
        network = self._network(recorders)
        inputs = [
            (box, [number for number in numbers if number not in network.given_up[box]])
            for box, name in enumerate(recorders)
            for numbers in self.clerk.alike(name)
        ]
        alike: dict[tuple[tuple[Cell, ...], Cell | None], list[int]] = {}
        for index, piece in enumerate(self.pieces):
            alike.setdefault((self._row(piece, recorders), piece.today), []).append(index)
        sizes, kinds = [len(numbers) for _, numbers in inputs], [cells for cells, _ in alike]
        stays = [[_stays(cell, today) for cell in cells] for cells, today in alike]
        shares, exhaustive = seated(kinds, [len(each) for each in alike.values()], sizes, self.keep, stays)
        free = [iter(numbers) for _, numbers in inputs]
        placings = [Placing(piece, 0, Seat(piece.part, None, None)) for piece in self.pieces]
        for ((cells, _), members), places in zip(alike.items(), shares, strict=True):
            given = sorted((inputs[place][0], next(free[place]), place) for place in places)
            for index, (box, number, place) in zip(members, given, strict=False):
                piece = self.pieces[index]
                placings[index] = Placing(piece, box, Seat(piece.part, number, cells[place]))
        return replace(self.told(recorders, placings, exhaustive), network=network)

    def _network(self, recorders: tuple[str, ...]) -> NetworkPlaces:
        desks = [self.clerk.desk(name) for name in recorders]
        return network_places([each.part for each in desks], [tuple(each.group_of) for each in desks], self.network)

    def _row(self, piece: Piece, recorders: tuple[str, ...]) -> tuple[Cell, ...]:
        found: list[Cell] = []
        for name in recorders:
            key = (piece.part, piece.question, name)
            if key not in self.rows:
                groups = self.clerk.alike(name)
                self.rows[key] = tuple(self.clerk.cell(piece.part, name, piece.question, each[0]) for each in groups)
            found += self.rows[key]
        return tuple(found)

    def told(self, recorders: tuple[str, ...], placings: list[Placing], exhaustive: bool) -> Choice:
        """The choice with what each recorder records while all of its cameras do."""
        shared = list(_recorded(self.clerk, recorders, placings))
        cells = [each.seat.cell for each in shared if each.seat.cell is not None]
        inputs = sum(len(self.clerk.desk(name).group_of) for name in recorders)
        price, currency = _price(self.clerk, recorders)
        kept = {name: sum(kept_by(cell, name) for cell in cells) for name in self.keep}
        return Choice(recorders, tuple(shared), kept, exhaustive, price, currency, inputs)


def _stays(cell: Cell, today: Cell | None) -> bool:
    """A camera keeps its outcome, its size and what else works there today; rates are shared and come later."""
    if today is None:
        return False
    kept = all(getattr(cell, name) is True for name in FEATURES if getattr(today, name) is True)
    return kept and cell.worth[:2] >= today.worth[:2]


def _recorded(clerk: Clerk, recorders: tuple[str, ...], placings: Sequence[Placing]) -> Iterator[Placing]:
    """The placings in their order, with what is recorded of each."""
    streams: dict[int, object] = {}
    for box, name in enumerate(recorders):
        here = [place for place, each in enumerate(placings) if each.box == box and each.seat.number is not None]
        desk = clerk.desk(name, placings[here[0]].piece.question.made if here else ())
        wanted = []
        for place in here:
            piece, number = placings[place].piece, placings[place].seat.number
            assert number is not None
            wanted.append(asked_of(desk, number, clerk.settled(desk, number, piece.part, piece.question)))
        streams.update(zip(here, share_known(wanted, desk.part.encodes_total), strict=True))
    for place, each in enumerate(placings):
        yield each if place not in streams else replace(each, seat=_with(each.seat, streams[place]))


def _with(seat: Seat, stream: object) -> Seat:
    assert seat.cell is not None
    width, height, fps = (getattr(stream, name, None) for name in ("width", "height", "fps"))
    return replace(seat, cell=seat.cell._replace(recorded_fps=fps, recorded_width=width, recorded_height=height))


def _price(clerk: Clerk, recorders: Sequence[str]) -> tuple[float | None, str | None]:
    """The price of all together in one currency, by what so many of one kind cost.

    None where one has no price, or currencies differ.
    """
    many = Counter(recorders)
    prices = [clerk.catalogue.part(name).price_of(many[name]) for name in recorders]
    currencies = {currency_of(name, clerk.catalogue) for name in recorders}
    if None in prices or len(currencies) > 1:
        return None, None
    return sum(each for each in prices if each is not None), currencies.pop()


def alike_pieces(placings: Sequence[Placing]) -> list[tuple[Placing, list[Placing]]]:
    """Placings that come to the same together: one of them, and all."""
    groups: dict[Any, list[Placing]] = {}
    for each in placings:
        groups.setdefault((each.piece.part, each.piece.question, each.box, each.seat.cell), []).append(each)
    return [(members[0], members) for members in groups.values()]


def count_parts(pieces: Sequence[Piece]) -> dict[str, int]:
    """How many there are of each part, in the order of the list."""
    return dict(Counter(each.part for each in pieces))
