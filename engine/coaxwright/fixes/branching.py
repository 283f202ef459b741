"""The cheapest choice of changes that every cut allows, by branch and bound. Knows nothing of sites.

A cut says: with all of `taken` among the changes, one of `options` has to be among them too. A node has chosen some changes and
closed others. Where a cut is missed there, every set below it has one of the open options: those are the nodes below. So each
set of which no change is needless is met, and none twice. Who tries a choice (`chosen`) and finds that it does not do gives the
cuts that say why (`learn`). The bound: what is chosen, and the least of cuts that share no option; no set costs less than the
least bound of what was not looked into.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

WORK = 4000
"""Cuts looked at in all nodes together, for each trial of a budget."""


class Cut(NamedTuple):
    """Changes as bits: with all of `taken`, one of `options`."""

    taken: int
    options: int


class Node(NamedTuple):
    """Sets that have all of `chosen` and none of `closed`; `bound` was known when it was made."""

    bound: float
    lacking: int
    """Fewer than none by the number chosen: of equal bounds the one that has come farthest is looked into first."""
    serial: int
    chosen: int
    closed: int
    cost: float


@dataclass
class Branching:
    """One search. `weights` by number of the change; `bars` are the changes that cannot go with it, `needs` those without which
    it cannot be. `over` says that the work ended before the search did.
    """

    weights: Sequence[float]
    bars: Sequence[int]
    needs: Sequence[int]
    work: int
    over: bool = False
    cuts: list[Cut] = field(default_factory=list)
    _known: set[Cut] = field(default_factory=set)
    _heap: list[Node] = field(default_factory=lambda: [Node(-math.inf, 0, 0, 0, 0, 0.0)])
    _serial: int = 1
    _saving: list[tuple[int, float]] = field(init=False)
    """Changes that cost less than nothing, as bits, with what they cost."""
    _least_of: dict[int, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """What saves is known from the weights."""
        self._saving = [(1 << place, weight) for place, weight in enumerate(self.weights) if weight < 0.0]

    def learn(self, cuts: Iterable[Cut]) -> None:
        """Take cuts in; those that are known already count once."""
        for cut in cuts:
            if cut not in self._known:
                self._known.add(cut)
                self.cuts.append(cut)

    @property
    def bound(self) -> float:
        """No set that every cut allows, and that was not given out, costs less; infinite where there is none."""
        return self._heap[0].bound if self._heap else math.inf

    def chosen(self, below: float = math.inf) -> Node | None:
        """The next choice that no cut forbids, the cheapest first; None where none is left below that cost, or the work ended."""
        while self._heap and self._heap[0].bound < below and not self.over:
            node = heapq.heappop(self._heap)
            missed = self._missed(node.chosen, node.closed)
            if not missed:
                return node
            for each in self._below(node, missed):
                heapq.heappush(self._heap, each)
        return None

    def again(self, node: Node) -> None:
        """Look into a choice again: it was tried, and a cut says now why it does not do."""
        heapq.heappush(self._heap, node)

    def _missed(self, chosen: int, closed: int) -> list[int]:
        """Open options of the cuts that are missed, the fewest first."""
        self.work -= len(self.cuts)
        self.over = self.over or self.work < 0
        shut = ~closed
        found = {options & shut for taken, options in self.cuts if not taken & ~chosen and not options & chosen}
        return sorted(found, key=lambda options: (options.bit_count(), options))

    def _below(self, node: Node, missed: list[int]) -> Iterator[Node]:
        closed = node.closed
        for bit in bits(missed[0]):
            more = self._with_needs(bit) & ~node.chosen
            chosen, barred = node.chosen | more, closed | self._barred(more)
            if not chosen & barred:
                cost = node.cost + self._cost(more)
                bound = cost + self._least(chosen, barred)
                if bound < math.inf:
                    self._serial += 1
                    yield Node(max(node.bound, bound), -chosen.bit_count(), self._serial, chosen, barred, cost)
            closed |= bit

    def _least(self, chosen: int, closed: int) -> float:
        """What the sets below a node cost more at least: of cuts that share no option the least, and all that may save."""
        missed = self._missed(chosen, closed)
        if missed and not missed[0]:
            return math.inf
        saved = math.fsum(weight for bit, weight in self._saving if not (chosen | closed) & bit)
        return saved + self._apart(missed)

    def _apart(self, missed: Iterable[int]) -> float:
        """As `apart`, with what each set of options costs at least worked out once."""
        used, found, known = 0, 0.0, self._least_of
        for options in missed:
            if not options & used:
                used |= options
                least = known.get(options)
                if least is None:
                    least = known[options] = apart((options,), self.weights)
                found += least
        return found

    def _with_needs(self, bit: int) -> int:
        found, waiting = 0, bit
        while waiting:
            low = waiting & -waiting
            found |= low
            waiting = (waiting | self.needs[low.bit_length() - 1]) & ~found
        return found

    def _barred(self, chosen: int) -> int:
        found = 0
        for bit in bits(chosen):
            found |= self.bars[bit.bit_length() - 1]
        return found

    def _cost(self, chosen: int) -> float:
        return math.fsum(self.weights[bit.bit_length() - 1] for bit in bits(chosen))


def apart(missed: Iterable[int], weights: Sequence[float]) -> float:
    """The least that cuts cost which share no option, the smallest first."""
    used, found = 0, 0.0
    for options in missed:
        if not options & used:
            used |= options
            found += max(0.0, min(weights[bit.bit_length() - 1] for bit in bits(options)))
    return found


def bits(mask: int) -> Iterator[int]:
    """Each bit of a mask, the lowest first."""
    while mask:
        low = mask & -mask
        yield low
        mask ^= low


def numbers(mask: int) -> list[int]:
    """The places of the bits of a mask."""
    return [bit.bit_length() - 1 for bit in bits(mask)]


def contradiction(cuts: Sequence[Sequence[Cut]], bars: Sequence[int], needs: Sequence[int], work: int) -> list[int]:
    """The places of groups of cuts of which none may be left out, so that no choice is allowed by them all; empty where that
    cannot be shown within the work.
    """
    kept = list(range(len(cuts)))
    if not _forbid([cuts[place] for place in kept], bars, needs, work):
        return []
    for place in range(len(cuts)):
        fewer = [each for each in kept if each != place]
        if _forbid([cuts[each] for each in fewer], bars, needs, work):
            kept = fewer
    return kept


def _forbid(groups: Iterable[Sequence[Cut]], bars: Sequence[int], needs: Sequence[int], work: int) -> bool:
    search = Branching([0.0] * len(bars), bars, needs, work)
    search.learn(cut for group in groups for cut in group)
    return search.chosen() is None and not search.over
