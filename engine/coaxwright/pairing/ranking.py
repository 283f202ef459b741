"""Which recorder keeps most of these cameras, which camera most on this recorder, and what could take a place.

Ranked by what is kept, then by price. Parts that are no longer sold are left out. Not advice: power, lenses,
housings and stock are not compared beyond what is told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Any

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.picture.signals import RANK
from coaxwright.fixes.costs import currency_of
from coaxwright.fixes.loss_kinds import Loss
from coaxwright.fixes.part_losses import losses_of
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.pairing.cells import FEATURES, Cell, Clerk
from coaxwright.pairing.placing import PICTURES, Seat, place
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.tables import Table, tabulate
from coaxwright.reading.catalogue import Catalogue

MOST_PLACED = 1024
"""Inputs that a recorder can have at most, by the form of a part."""


@immutable
class Ranked:
    """One part of a ranking: how many pairs come to each outcome, features kept over all, price, and remarks.

    Of a recorder for cameras `seats` tells which camera has which input.
    """

    part: str
    outcomes: dict[str, int]
    pixel_rate: float
    features: int
    price: float | None
    currency: str | None
    remarks: tuple[str, ...]
    seats: tuple[Seat, ...] = ()


def best_recorders(clerk: Clerk, cameras: list[str], recorders: list[str], question: Question) -> list[Ranked]:
    """Recorders for a set of cameras, each on an input of its own; the one that keeps most first.

    A camera that is named twice takes two inputs. Raises Refusal for more cameras than any recorder has inputs.
    """
    if len(cameras) > MOST_PLACED:
        what = f"{len(cameras)} cameras are more than {MOST_PLACED}, the most that are placed on one recorder"
        raise Refusal([Problem("pair", what, "name fewer cameras")])
    found = []
    for name in pace.counted(sold(clerk.catalogue, recorders), "recorders"):
        found.append(_placed(clerk, name, place(clerk, cameras, name, question)))
        clerk.forget(name)
    return sorted(found, key=_rank)


def _placed(clerk: Clerk, recorder: str, seats: list[Seat]) -> Ranked:
    """A recorder with all cameras on it."""
    left = sum(seat.number is None for seat in seats)
    short = (f"{len(seats) - left} inputs for {len(seats)} cameras",) if left else ()
    cells = [seat.cell for seat in seats if seat.cell is not None]
    ranked = _ranked(clerk.catalogue, recorder, cells, short)
    return replace(ranked, outcomes=outcomes_of(seats), seats=tuple(seats))


def outcomes_of(seats: Iterable[Seat]) -> dict[str, int]:
    """How many cameras come to each outcome, best first."""
    counts = Counter(seat.outcome for seat in seats)
    return {name: counts[name] for name in sorted(counts, key=lambda name: (-RANK.get(name, -1), name))}


def best_cameras(clerk: Clerk, cameras: list[str], recorders: list[str], question: Question) -> list[Ranked]:
    """Cameras for a recorder (or for all of several), the one of which most is kept first."""
    names = sold(clerk.catalogue, cameras)
    table = tabulate(clerk, names, recorders, question)
    places = range(len(recorders))
    found = [
        _ranked(clerk.catalogue, name, [table.cell(camera, place) for place in places], ())
        for camera, name in enumerate(names)
    ]
    return sorted(found, key=_rank)


def sold(catalogue: Catalogue, names: Iterable[str]) -> list[str]:
    """Those that are still sold."""
    return [name for name in names if not catalogue.part(name).retired]


def _ranked(catalogue: Catalogue, name: str, cells: list[Cell], remarks: tuple[str, ...]) -> Ranked:
    part = catalogue.part(name)
    kept = [cell for cell in cells if cell.verdict in PICTURES]
    rates = ((cell.recorded_width or 0) * (cell.recorded_height or 0) * (cell.recorded_fps or 0.0) for cell in kept)
    return Ranked(
        name,
        dict(Counter(cell.verdict or "open" for cell in cells)),
        sum(rates),
        sum(cell.kept for cell in cells),
        part.price,
        currency_of(name, catalogue),
        remarks,
    )


def _rank(one: Ranked) -> tuple[Any, ...]:
    """Most pictures first, then best outcomes, picture elements a second recorded, features; then price, then id."""
    counts = [one.outcomes.get(name, 0) for name in PICTURES]
    price = float("inf") if one.price is None else one.price
    return (
        -sum(counts),
        *(-each for each in counts),
        -one.pixel_rate,
        -one.features,
        bool(one.remarks),
        price,
        one.part,
    )


# In place of another


@immutable
class Replacement:
    """A part that keeps at least as much in the same place: what it would change, and what a person would lose.

    `lost` is from what the two parts state of themselves; no rule need ask for it.
    """

    part: str
    cell: Cell
    gains: tuple[str, ...]
    lost: tuple[Loss, ...]
    price: float | None
    currency: str | None
    remarks: tuple[str, ...]

    @property
    def loses(self) -> tuple[str, ...]:
        """What is lost, in words, weightiest first."""
        return tuple(each.words for each in self.lost if each.known)

    @property
    def not_known(self) -> tuple[str, ...]:
        """What the part does not state of what is there now, in words."""
        return tuple(each.words for each in self.lost if not each.known)


_HEAVY = (
    "movement", "largest picture", "lamp", "rating", "impact rating (IK)", "lens", "microphone", "supply voltage",
    "inputs", "largest picture taken at full width", "bays", "inputs with sound over the coax",
)  # fmt: skip
"""What weighs most of what can be lost: what a camera or recorder was most likely chosen for."""


def replace_camera(
    clerk: Clerk, camera: str, recorder: str, candidates: list[str], question: Question
) -> list[Replacement]:
    """Cameras that keep at least as much on this recorder; those that lose least first, then by what is gained."""
    catalogue = clerk.catalogue
    now = clerk.cell(camera, recorder, question)
    plain = replace(question, family=None, mode=None)
    names = [name for name in sold(catalogue, candidates) if name != camera]
    table = tabulate(clerk, names, [recorder], plain)
    wanted = catalogue.part(camera)
    cells = ((name, table.cell(place, 0)) for place, name in enumerate(names))
    lost = losses_of(wanted)
    found = [
        _replacement(catalogue, name, cell, now, lost, _power_remarks(wanted, catalogue.part(name)))
        for name, cell in _as_good(cells, now)
    ]
    return sorted(found, key=order)


def replace_recorder(
    clerk: Clerk, camera: str, recorder: str, candidates: list[str], question: Question
) -> list[Replacement]:
    """Recorders that keep at least as much of this camera and have as many inputs; those that lose least first."""
    catalogue = clerk.catalogue
    now = clerk.cell(camera, recorder, question)
    inputs = len(clerk.desk(recorder).group_of)
    plain = replace(question, made=(), number=None)
    names = [name for name in sold(catalogue, candidates) if name != recorder]
    names = [name for name in names if len(clerk.desk(name).group_of) >= inputs]
    table: Table = tabulate(clerk, [camera], names, plain)
    cells = ((name, table.cell(0, place)) for place, name in enumerate(names))
    lost = losses_of(catalogue.part(recorder))
    found = [_replacement(catalogue, name, cell, now, lost, ()) for name, cell in _as_good(cells, now)]
    return sorted(found, key=order)


def _replacement(
    catalogue: Catalogue, name: str, cell: Cell, now: Cell, lost: Callable[[Any], tuple[Loss, ...]], remarks: tuple[str, ...]
) -> Replacement:
    before, after = _measures(now), _measures(cell)
    gains = tuple(each for each in before if after[each] > before[each])
    part = catalogue.part(name)
    return Replacement(name, cell, gains, lost(part), part.price, currency_of(name, catalogue), remarks)


def _measures(cell: Cell) -> dict[str, float]:
    """What counts of an outcome, each better the larger it is."""
    rank, pixels, recorded, _ = cell.worth
    features = {name: float(getattr(cell, name) is True) for name in FEATURES}
    return {"outcome": rank, "detail": pixels, "recorded rate": recorded, **features}


def _as_good(found: Iterable[tuple[str, Cell]], now: Cell) -> Iterator[tuple[str, Cell]]:
    """Those whose cell is worse in nothing asked."""
    least = _measures(now)
    good: dict[Cell, bool] = {}
    for name, cell in found:
        if cell not in good:
            good[cell] = all(value >= least[what] for what, value in _measures(cell).items())
        if good[cell]:
            yield name, cell


def order(one: Replacement) -> tuple[Any, ...]:
    """What loses least first, a part that does not move behind all that do; then what is gained, and price."""
    price = float("inf") if one.price is None else one.price
    moved = any(each.about == "movement" for each in one.lost)
    heavy = sum(each.about in _HEAVY for each in one.lost)
    lost = (moved, heavy, len(one.loses), len(one.not_known))
    return (*lost, len(one.remarks), tuple(-value for value in one.cell.worth), -one.cell.kept, price, one.part)


def _power_remarks(now: CameraPart, other: CameraPart) -> tuple[str, ...]:
    """What the supply would notice."""
    if now.power is None or other.power is None:
        return ("power of one of the two is not stated",)
    remarks = []
    if other.power.kind != now.power.kind or other.power.volts != now.power.volts:
        remarks.append(
            f"takes {other.power.volts or 0:g} V {other.power.kind}, not {now.power.volts or 0:g} V {now.power.kind}"
        )
    before, after = now.power.watts_night, other.power.watts_night
    if before is not None and after is not None and after > before:
        remarks.append(f"draws {after:g} W by night, {before:g} W now")
    return tuple(remarks)
