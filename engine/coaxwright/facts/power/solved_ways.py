"""What the solver did on the way from a supply to one device, for those who ask how a figure came about.

A check keeps nothing of it: the tree is read and solved once more, by the same code, when the first working is asked for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any
from weakref import WeakKeyDictionary

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.context import Context
from coaxwright.facts.power.cable_ohms import since_measured, temperature_factor
from coaxwright.facts.power.loads import CONSTANT_POWER, Load
from coaxwright.facts.power.own_heat import ALLOWED
from coaxwright.facts.power.power_runs import Piece
from coaxwright.facts.power.power_solving import power_factor
from coaxwright.facts.power.power_trees import Solved, Source, laid, solved
from coaxwright.facts.written import number
from coaxwright.topology.records import CablePath, SupplyTree

_DONE: WeakKeyDictionary[Ledger, dict[str, Solved]] = WeakKeyDictionary()
"""Trees solved again, by root, as long as the facts of their site are there."""


def solved_of(context: Context, root: str) -> Solved:
    """The tree of a supply, or one that no supply feeds, as it was read and solved."""
    done = _DONE.setdefault(context.ledger, {})
    if root not in done:
        supplied = root in context.topology.trees
        done[root] = solved(context, root) if supplied else laid(context, context.topology.unfed_by_root[root])
    return done[root]


class Way:
    """The paths from a source of power to one device, source first, by their places in the tree."""

    def __init__(self, context: Context, subject: str) -> None:
        self.context = context
        root, place = _found(context, subject)
        self.solved = solved_of(context, root)
        self.places = [place]
        while (above := self.solved.tree.parents[self.places[0]]) >= 0:
            self.places.insert(0, above)

    @property
    def source(self) -> Source:
        """The supply as the solver sees it."""
        assert self.solved.source is not None, "what has volts hangs on a supply"
        return self.solved.source

    def path(self, place: int) -> CablePath:
        """The path at a place of the tree."""
        return self.solved.tree.paths[place]

    def load(self, place: int | None = None) -> Load:
        """The load at a place, at the end of the way where none is named."""
        load = self.solved.loads[self.places[-1] if place is None else place]
        assert load is not None, "a device draws something"
        return load

    def volts(self, place: int, night: bool) -> float:
        """Volts that were solved; asked for where they are known."""
        state = self.solved.states[place]
        return float((state.volts_night if night else state.volts_day) or 0.0)

    def amps(self, place: int, night: bool) -> float | None:
        """Current that was solved."""
        return self.solved.states[place].amps(night)

    def below(self, place: int) -> list[int]:
        """Places that hang on this one."""
        return [each for each, parent in enumerate(self.solved.tree.parents) if parent == place]

    def alone(self) -> bool:
        """Whether the device was solved by itself, in closed form: nothing else depends on it."""
        group, network = self.solved.states[self.places[-1]].group, self.solved.network
        shared = sum(state.group == group for state in self.solved.states) > 1
        return not shared and network is not None and not network.alternating and self.load().kind == CONSTANT_POWER

    def loop_ohms(self) -> float:
        """Resistance before a device that is alone: that of its run and that of the supply itself."""
        network = self.solved.network
        assert network is not None, "what is solved has a network"
        return (network.ohms[self.places[-1]] or 0.0) + (network.source_ohm or 0.0)

    def factor_words(self, place: int) -> str:
        """The power factor of a load on alternating current, as a divisor."""
        network, load = self.solved.network, self.load(place)
        if network is None or not network.alternating or load.kind == "resistive":
            return ""
        assumed = " assumed" if load.power_factor is None else ""
        return f" / {number(power_factor(network, load))} (power factor{assumed})"

    def terms(self, places: Iterable[int]) -> str:
        """Each piece of cable as a product of numbers that gives its ohms."""
        return " + ".join(self.terms_of(places)) or "0 ohm"

    def terms_of(self, places: Iterable[int]) -> list[str]:
        """The same piece by piece."""
        return [term(piece) for place in places for piece in self.solved.runs[place].pieces]

    def sources(self, places: Iterable[int]) -> Iterator[str]:
        """Where the figures of cables and temperatures are from."""
        for place in places:
            yield from sources(self.context, self.solved.runs[place].pieces)


def term(piece: Piece) -> str:
    """A piece as a product of numbers that gives its ohms."""
    hop, figures, sheet = piece.hop, piece.figures, piece.sheet
    if figures is None or sheet is None:
        return f"{number(piece.ohms.ohms or 0.0)} ohm ({hop.box})"
    measured = hop.measured
    if measured is not None and measured.loop is not None:
        by = number(since_measured(measured, figures, sheet.temperature))
        return f"{number(measured.loop)} ohm measured x {by} ({number(sheet.temperature)} degC)"
    factor = number(temperature_factor(figures.alpha, sheet.temperature))
    text = f"2 x {number(hop.metres or 0.0)} m x {_per_km(piece)} x {factor} ({number(sheet.temperature)} degC)"
    return f"{text} / {hop.pairs} (pairs)" if hop.pairs and hop.pairs > 1 else text


def _per_km(piece: Piece) -> str:
    return f"{number(((piece.figures and piece.figures.ohm_per_m) or 0.0) * 1000.0)} ohm/km"


def sources(context: Context, pieces: Iterable[Piece]) -> Iterator[str]:
    """Where the figures of cables and temperatures are from."""
    for piece in pieces:
        if piece.figures is None or piece.sheet is None:
            continue
        yield f"{_per_km(piece)} ({piece.hop.cable}): {piece.figures.source}"
        if piece.hop.temperature is None:
            row = context.ledger.values["conductor-temperature"]
            yield f"{number(row.value)} degC assumed: {row.source}"
            if piece.sheet.temperature > (piece.ohms.temperature or 0.0):
                yield (
                    f"{number(piece.sheet.temperature)} degC with the heat of its own current beyond the {ALLOWED:g} K "
                    "allowed for: thermal balance of IEC 60364-5-52"
                )


def _found(context: Context, subject: str) -> tuple[str, int]:
    """The root of the tree that a subject hangs on, and its place there."""
    for tree in _trees(context):
        for place, path in enumerate(tree.paths):
            if path.subject == subject:
                return tree.root, place
    raise KeyError(subject)


def _trees(context: Context) -> Iterator[SupplyTree]:
    topology: Any = context.topology
    yield from topology.trees.values()
    yield from topology.unfed
