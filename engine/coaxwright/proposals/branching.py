"""Branch and bound over how many of which recorder and supply stand where, best bound first.

Each node fixes the numbers of some stands. Its bound: what these cost, the least that the missing places cost (exact
cover, with bays for the disks), and for every camera its least worth over the stands that are left to it. No set of
options costs less than the least bound of what was not looked into: that is the bound that is told.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count
from typing import NamedTuple

from coaxwright import pace
from coaxwright.portable import added
from coaxwright.proposals.assigning import Plan, assigned
from coaxwright.proposals.problem import Problem, Stand, Unit, covers

NODES = 6000
"""Nodes looked into at most."""
LEAVES = 40
"""Plans kept, the cheapest first."""


class Bounded(NamedTuple):
    """Plans found, the cheapest first, and the least that any may cost; `proved` where the search ran to its end."""

    plans: list[Plan]
    bound: float
    proved: bool


@dataclass
class Branching:
    """One search. `device_price` is added for each recorder and supply, to look for the fewest."""

    problem: Problem
    device_price: float = 0.0
    nodes: int = NODES
    best: float = math.inf
    inexact: float = math.inf
    """The least bound of numbers whose plan costs more than that: something in between may exist."""
    found: dict[tuple[tuple[Stand, int], ...], Plan] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Tables that every node uses."""
        problem, most = self.problem, len(self.problem.cameras)
        self.units: list[Unit] = [*_ordered(problem.recorders), *_ordered(problem.supplies)]
        self.split = len(problem.recorders)
        self.prices = [unit.price + self.device_price for unit in self.units]
        priced = [replace(unit, price=price) for unit, price in zip(self.units, self.prices, strict=True)]
        self.recorder_covers = covers(priced[: self.split], most, len(problem.disk_prices) - 1)
        self.supply_covers = covers(priced[self.split :], most)
        self.rows = [self._row(camera, disks=True) for camera in problem.cameras]
        self.bare = [self._row(camera, disks=False) for camera in problem.cameras]

    def _row(self, camera: str, disks: bool) -> list[tuple[int, int, float]]:
        """The least worth of a camera (the least price, without disks) by the places of its two stands, least first."""
        place = {(index < self.split, unit.stand): index for index, unit in enumerate(self.units)}
        found = []
        for (one, other), choices in self.problem.all_choices[camera].items():
            value = self.problem.worth(choices[0]) if disks else min(each.price for each in choices)
            found.append((place[True, one], place[False, other], value))
        return sorted(found, key=lambda each: each[2])

    def run(self) -> Bounded:
        """Plans and the bound."""
        self._dive()
        order = count()
        heap: list[tuple[float, int, tuple[int, ...]]] = [(self.bound(()), next(order), ())]
        looked = 0
        while heap and heap[0][0] < self.best - 1e-6 and looked < self.nodes and not pace.out_of_time():
            bound, _, counts = heapq.heappop(heap)
            looked += 1
            if len(counts) == len(self.units):
                self._leaf(counts)
                if self._least_plan(counts) > bound + 1e-6:
                    self.inexact = min(self.inexact, bound)
                continue
            for below in self._below(counts):
                value = self.bound(below)
                if value < self.best - 1e-6:
                    heapq.heappush(heap, (value, next(order), below))
        rest = min([each[0] for each in heap], default=math.inf)
        bound = min(rest, self.inexact, self.best)
        plans = sorted(self.found.values(), key=lambda plan: (self._total(plan), len(plan.units)))
        return Bounded(plans[:LEAVES], bound, bound >= self.best - 1e-6)

    def _least_plan(self, counts: tuple[int, ...]) -> float:
        plan = self.found.get(self._key(counts))
        return math.inf if plan is None else self._total(plan)

    def _total(self, plan: Plan) -> float:
        return plan.cost + self.device_price * sum(plan.units.values())

    def _below(self, counts: tuple[int, ...]) -> list[tuple[int, ...]]:
        """The next stand with none, one, two ... up to what all cameras and the cheapest disks would need; one more than
        need be may pay, by shorter ways.
        """
        unit = self.units[len(counts)]
        most = math.ceil(len(self.problem.cameras) / unit.places)
        if unit.bays:
            most = max(most, math.ceil(self.problem.cheapest_disks / unit.bays))
        return [(*counts, number) for number in range(most + 1)]

    def _missing(self, counts: tuple[int, ...], recorders: bool) -> int:
        start, end = (0, self.split) if recorders else (self.split, len(self.units))
        have = sum(number * unit.places for number, unit in zip(counts[start:end], self.units[start:end], strict=False))
        return len(self.problem.cameras) - have

    def bound(self, counts: tuple[int, ...]) -> float:
        """No plan with these numbers costs less."""
        total = added(number * price for number, price in zip(counts, self.prices, strict=False))
        supplies = self.supply_covers[max(0, len(counts) - self.split)]
        total += supplies[max(0, self._missing(counts, recorders=False))][0]
        places = self.recorder_covers[min(len(counts), self.split)][max(0, self._missing(counts, recorders=True))]
        if math.isinf(total + places[0]):
            return math.inf
        closed = {index for index, number in enumerate(counts) if not number}
        # Two bounds on disks: each byte at the best price there is, or whole disks in the bays of the recorders, one for
        # each at least.
        with_bytes = self._cameras(self.rows, closed) + places[0]
        with_disks = self._cameras(self.bare, closed) + self._in_bays(counts, places)
        return total + max(with_bytes, with_disks)

    def _in_bays(self, counts: tuple[int, ...], places: Sequence[float]) -> float:
        """The least of disks and of the recorders that are still to come, which have the places and the bays that lack."""
        prices, problem = self.problem.disk_prices, self.problem
        if not problem.disks:
            return places[0]
        have = sum(number * unit.bays for number, unit in zip(counts, self.units[: self.split], strict=False))
        least = min(self._least_recorders(counts), len(prices) - 1)
        most = max(least, problem.cheapest_disks)
        return min(prices[disks] + places[max(0, disks - have)] for disks in range(least, most + 1))

    def _cameras(self, rows: list[list[tuple[int, int, float]]], closed: set[int]) -> float:
        """The least of every camera over the stands that are left to it."""
        total = 0.0
        for row in rows:
            total += next((value for one, other, value in row if one not in closed and other not in closed), math.inf)
        return total

    def _least_recorders(self, counts: tuple[int, ...]) -> int:
        """Recorders that there are at least."""
        have = sum(counts[: self.split])
        largest = max((unit.places for unit in self.units[len(counts) : self.split]), default=0)
        missing = self._missing(counts, recorders=True)
        return have + (math.ceil(missing / largest) if missing > 0 and largest else 0)

    def _key(self, counts: tuple[int, ...]) -> tuple[tuple[Stand, int], ...]:
        return tuple((unit.stand, number) for unit, number in zip(self.units, counts, strict=True) if number)

    def _leaf(self, counts: Sequence[int]) -> None:
        """The plan of these numbers, if there is one."""
        key = self._key(tuple(counts))
        if key in self.found:
            return
        plan = assigned(self.problem, dict(key), self.split_of(counts))
        if plan is not None:
            self.found[key] = plan
            self.best = min(self.best, self._total(plan))

    def split_of(self, counts: Sequence[int]) -> tuple[dict[Stand, int], dict[Stand, int]]:
        """The numbers of recorders and of supplies by stand."""
        pairs = [(unit.stand, number) for unit, number in zip(self.units, counts, strict=True)]
        one, other = pairs[: self.split], pairs[self.split :]
        return {stand: number for stand, number in one if number}, {stand: number for stand, number in other if number}

    def _dive(self) -> None:
        """First plans: recorders of one kind in one place and supplies of one kind in one place, one more where they
        do not do.
        """
        need = len(self.problem.cameras)
        for one in range(self.split):
            for other in range(self.split, len(self.units)):
                if pace.out_of_time():
                    return
                for more in (0, 1):
                    counts = [0] * len(self.units)
                    counts[one] = math.ceil(need / self.units[one].places)
                    counts[other] = math.ceil(need / self.units[other].places) + more
                    if self.bound(tuple(counts)) < math.inf:
                        self._leaf(counts)


def _ordered(units: Mapping[Stand, Unit]) -> list[Unit]:
    """The cheapest for each place first, so that good plans are found early."""
    return sorted(units.values(), key=lambda unit: (unit.price / unit.places, str(unit.stand)))
