"""How many changes a set that clears everything needs at least: the smallest choice that touches what each finding has read.

A finding stays as it is under every set that touches nothing it has read (`reads`), so of the changes that do, each set has one:
that is its cut. The fewest changes that hit every cut are found by branch and bound; cut short, the bound is a smaller, true one.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator, Sequence
from itertools import count

from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.reads import Written, cone_of, written_names
from coaxwright.fixes.rejudging import SiteState
from coaxwright.rulebook.judging import Judgement

NODES = 2000
"""Nodes looked into at most."""


def cuts_of(state: SiteState, findings: Iterable[Judgement], pool: Sequence[Candidate]) -> list[int]:
    """For each finding the changes of the pool that may touch what it has read, as bits in the order of the pool."""
    written, changes = written_names(state.value), [Written(candidate) for candidate in pool]
    cuts = []
    for judgement in findings:
        cone = cone_of(state, judgement)
        cuts.append(sum(1 << number for number, change in enumerate(changes) if cone.reached_by(change, written)))
    return cuts


def least_changes(cuts: Iterable[int], nodes: int = NODES) -> int:
    """No choice that has a change of every cut is smaller; a cut without any change asks for nothing here."""
    wanted = sorted({cut for cut in cuts if cut}, key=lambda cut: (cut.bit_count(), cut))
    order = count()
    heap = [(_apart(wanted), next(order), 0, 0)]
    bound = 0
    for _ in range(nodes):
        if not heap:
            return bound
        bound, _, chosen, without = heapq.heappop(heap)
        missed = [cut & ~without for cut in wanted if not cut & chosen]
        if not missed:
            return bound
        closed = without
        for bit in _bits(min(missed, key=lambda cut: (cut.bit_count(), cut))):
            taken = chosen | bit
            left = [cut & ~closed for cut in wanted if not cut & taken]
            if 0 not in left:
                heapq.heappush(heap, (taken.bit_count() + _apart(left), next(order), taken, closed))
            closed |= bit
    return heap[0][0] if heap else bound


def _apart(cuts: Iterable[int]) -> int:
    """Cuts that share no change, the smallest first: each of them asks for one of its own."""
    used = number = 0
    for cut in sorted(cuts, key=lambda each: (each.bit_count(), each)):
        if not cut & used:
            used, number = used | cut, number + 1
    return number


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low
        mask ^= low
