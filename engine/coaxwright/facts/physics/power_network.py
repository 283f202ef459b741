"""Volts and currents of a DC supply that feeds a tree of runs with constant-power, constant-current and
resistive loads; and how far all loads could grow before the tree collapses. One load on one run: see
single_run; 24 V AC: see ac_network. Not for meshes or several sources in parallel.

Why the answer is the operating point, and why "collapsed" is certain. Write F(V) for the current that leaves
each node less the current that reaches it: G V + I + P/V - (what the source feeds in), with G the
conductances of the runs. F is convex in each component (P/V is), and its derivative G + g - P/V^2 has no
positive entry off the diagonal. Started at the no-load volts, where F >= 0, Newton's method on such a
function falls monotonically and never passes below the greatest solution as long as the derivative is
positive definite (monotone Newton theorem: Ortega and Rheinboldt, Iterative Solution of Nonlinear Equations
in Several Variables, 13.3.4). The derivative grows with V, so where it is positive definite at the greatest
solution it is so at every iterate above. Hence:

- if the iterates settle, they settle on the high-voltage root, the only stable one (Jeeninga, De Persis and
van der Schaft, arXiv 2010.01076); a low root is never returned; - if an iterate has a derivative that is not
positive definite, or a voltage that is not above zero, no solution exists. On a tree that test is a sign:
elimination from the leaves meets a pivot at or below zero.

A falling sequence must do one or the other. At the very limit both roots meet, steps halve instead of
squaring, and rounding decides; there the mismatch left over is looked at, which places the limit to about one
part in 1e12.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import repeat
from operator import lt, mul, sub

from coaxwright.facts.physics.checks import not_negative, positive
from coaxwright.facts.physics.power_limit import limit_factor
from coaxwright.immutable import immutable
from coaxwright.portable import added

_MOST_SWEEPS = 200
_SETTLED = 1.0e-11
"""Volts still to come, as a share of the source's: 1e-10 V at 12 V, under the 1e-9 V that is promised."""
_MISMATCH = 1.0e-12
_LIMIT_TOLERANCE = 1.0e-10
_RETREAT = (1.0, 0.95, 0.5, 0.25)
"""Share of the way to a predicted limit that is tried after so many misses: predictions are 2 to 5 % too far.
"""


@immutable
class PowerTree:
    """A supply and the nodes it feeds; lists run over the nodes.

    `parents`: index of the node that feeds each node, -1 for the supply itself; any order. `ohms`: loop ohm
    (both conductors) of the run from there. `watts`, `amps`, `siemens`: the constant-power, constant-current
    and resistive load at each node. `source_volts` is the supply's no-load V, `source_ohm` its own
    resistance.
    """

    parents: Sequence[int]
    ohms: Sequence[float]
    watts: Sequence[float]
    amps: Sequence[float]
    siemens: Sequence[float]
    source_volts: float
    source_ohm: float = 0.0


@immutable
class Operation:
    """What a tree settles on. When `collapsed` there is no operating point: the sequences are empty, the rest
    nan.

    `volts`: V at each node; `branch_amps`: A through the run that feeds each node; `terminal_volts` and
    `source_amps`: at the supply; `run_watts`: W lost in all runs, without the supply's own resistance.
    """

    collapsed: bool
    volts: tuple[float, ...]
    branch_amps: tuple[float, ...]
    terminal_volts: float
    source_amps: float
    run_watts: float


_COLLAPSED = Operation(True, (), (), math.nan, math.nan, math.nan)


@dataclass(slots=True, eq=False, repr=False)
class _Network:
    """A checked tree with parents before children. Index -1, one past the nodes, is the supply's terminals.
    """

    order: Sequence[int]
    parents: Sequence[int]
    ohms: Sequence[float]
    watts: Sequence[float]
    amps: Sequence[float]
    siemens: Sequence[float]
    source_volts: float
    source_ohm: float
    leaves_first: list[tuple[int, int, float, float]]


def solve(tree: PowerTree) -> Operation:
    """The operating point of `tree`, to 1e-9 V (seven digits where two roots meet), or a collapsed one.

    A node whose load cannot be fed collapses the whole tree, as does constant current that leaves no volts.
    ValueError for lists of different length, figures below zero, a parent that does not exist, or a ring.
    """
    network = _arranged(tree)
    volts = _settle(network, _start(network))
    return _COLLAPSED if volts is None else _operation(network, volts)


def loading_margin(tree: PowerTree) -> float:
    """Largest factor on every load at once that `tree` can still feed; above 1 there is room, below 1 it
    collapses.

    inf when no constant power or current lies behind any resistance. Exact to about 1e-10: found directly
    (power_limit), or else bracketed between a factor that settles and one that certainly collapses.
    ValueError as `solve`.
    """
    network = _arranged(tree)
    high = _growth_bound(network)
    if math.isinf(high):
        return high
    loads = network.watts, network.amps, network.siemens
    direct = limit_factor(network.parents, network.ohms, loads, network.source_volts, network.source_ohm)
    return _bracketed(network, high) if direct is None else direct


def _bracketed(network: _Network, high: float) -> float:
    """The limit between factors that settle and factors that collapse; `high` is one that none can exceed."""
    if _settle(_scaled(network, high), _start(network)) is not None:
        return high
    return _bracketed_limit(network, high)


def _arranged(tree: PowerTree) -> _Network:
    """Check a tree and put its parents before its children."""
    _check_lists(tree)
    order = parents_first(tree.parents)
    parents, ohms, watts, amps, siemens = tree.parents, tree.ohms, tree.watts, tree.amps, tree.siemens
    if not isinstance(order, range):
        parents = _renumbered(parents, order)
        ohms, watts, amps, siemens = (
            [column[index] for index in order] for column in (ohms, watts, amps, siemens)
        )
    rows = list(zip(range(len(order)), parents, ohms, watts, strict=True))
    rows.reverse()
    return _Network(order, parents, ohms, watts, amps, siemens, tree.source_volts, tree.source_ohm, rows)


def _renumbered(parents: Sequence[int], order: Sequence[int]) -> list[int]:
    """Parents as positions within `order`, in that order; -1 stays."""
    place = [0] * len(order) + [-1]
    for position, index in enumerate(order):
        place[index] = position
    return [place[parents[index]] for index in order]


def _check_lists(tree: PowerTree) -> None:
    """Refuse (ValueError) lists of different length and impossible figures."""
    positive("source_volts", tree.source_volts)
    not_negative("source_ohm", tree.source_ohm)
    for name in ("ohms", "watts", "amps", "siemens"):
        values = getattr(tree, name)
        if len(values) != len(tree.parents):
            raise ValueError(f"{name} has {len(values)} entries for {len(tree.parents)} nodes")
        # A sum shows any entry that is infinite or not a number, at a fraction of the cost of asking each.
        if values and (min(values) < 0.0 or not math.isfinite(sum(values))):
            raise ValueError(f"{name} must be finite numbers of zero or more")


def parents_first(parents: Sequence[int]) -> Sequence[int]:
    """Node indices with every parent before its children; a range when they already stand so. ValueError on a
    ring."""
    total = len(parents)
    if not total:
        return range(0)
    if min(parents) < -1 or max(parents) >= total:
        raise ValueError(f"a parent must be -1 or one of the {total} nodes")
    if all(map(lt, parents, range(total))):
        return range(total)
    children: list[list[int]] = [[] for _ in range(total + 1)]
    for index, parent in enumerate(parents):
        children[parent].append(index)
    order = children[-1]
    for index in order:
        order.extend(children[index])
    if len(order) < total:
        raise ValueError("some nodes feed each other in a ring and never reach the supply")
    return order


def _start(network: _Network) -> list[float]:
    """Volts without any load, at every node and at the supply: above every solution."""
    return [network.source_volts] * (len(network.order) + 1)


def _scaled(network: _Network, factor: float) -> _Network:
    """The same network with every load multiplied."""
    watts, amps, siemens = (
        list(map(mul, values, repeat(factor))) for values in (network.watts, network.amps, network.siemens)
    )
    rows = list(zip(range(len(watts)), network.parents, network.ohms, watts, strict=True))
    rows.reverse()
    runs = (network.order, network.parents, network.ohms)
    return _Network(*runs, watts, amps, siemens, network.source_volts, network.source_ohm, rows)


def _settle(network: _Network, volts: list[float]) -> list[float] | None:
    """Newton's method down from `volts`, which must lie on or above every solution; None when there is none.
    """
    scale, before = network.source_volts, 0.0
    for _ in range(_MOST_SWEEPS):
        lower = _newton_step(network, volts)
        if lower is None or min(lower) <= 0.0:
            return volts if _mismatch(network, volts) <= _MISMATCH * scale else None
        step = max(map(sub, volts, lower))
        # Near a simple root each step is the square of the one before, so this is what is still to come.
        shrinkage = min(1.0, step / before) if before else 1.0
        if 4.0 * step * shrinkage * shrinkage <= _SETTLED * scale:
            return lower
        # Steps that stop shrinking are either on the way to collapse or rounding at the very limit.
        if before and step >= 0.9 * before and _mismatch(network, lower) <= _MISMATCH * scale:
            return lower
        volts, before = lower, step
    raise ArithmeticError("the power network neither settled nor collapsed")


def _newton_step(network: _Network, volts: list[float]) -> list[float] | None:
    """One Newton step; None when the linearised tree has no positive definite matrix.

    Each subtree is a current offset + slope * volts, seen from its own node, then through its run.
    """
    offset, slope = [*network.amps, 0.0], [*network.siemens, 0.0]
    for index, parent, ohm, watt in network.leaves_first:
        if watt:
            volt = volts[index]
            amp = watt / volt
            at_zero, per_volt = offset[index] + amp + amp, slope[index] - amp / volt
        else:
            at_zero, per_volt = offset[index], slope[index]
        pivot = 1.0 + per_volt * ohm
        if pivot <= 0.0:
            return None
        offset[index] = at_zero = at_zero / pivot
        slope[index] = per_volt = per_volt / pivot
        offset[parent] += at_zero
        slope[parent] += per_volt
    pivot = 1.0 + slope[-1] * network.source_ohm
    if pivot <= 0.0:
        return None
    terminal = (network.source_volts - offset[-1] * network.source_ohm) / pivot
    lower = [terminal] * len(volts)
    for index, (parent, ohm) in enumerate(zip(network.parents, network.ohms, strict=True)):
        volt = lower[parent]
        lower[index] = volt - ohm * (offset[index] + slope[index] * volt)
    return lower


def _branch_currents(network: _Network, volts: list[float]) -> list[float]:
    """A that each run carries, and last the supply's, when the loads see `volts`."""
    currents = [*network.amps, 0.0]
    siemens = network.siemens
    for index, parent, _, watt in network.leaves_first:
        volt = volts[index]
        currents[index] = current = currents[index] + watt / volt + siemens[index] * volt
        currents[parent] += current
    return currents


def _mismatch(network: _Network, volts: list[float]) -> float:
    """Largest V between `volts`, all above zero, and what the currents they cause would leave; 0 at a solution."""
    currents = _branch_currents(network, volts)
    implied = [network.source_volts - network.source_ohm * currents[-1]] * len(volts)
    for index, (parent, ohm) in enumerate(zip(network.parents, network.ohms, strict=True)):
        implied[index] = implied[parent] - ohm * currents[index]
    return max(abs(volt - other) for volt, other in zip(volts, implied, strict=True))


def _operation(network: _Network, volts: list[float]) -> Operation:
    """The settled volts as a result, in the caller's order of nodes."""
    currents = _branch_currents(network, volts)
    source_amps, terminal = currents.pop(), volts.pop()
    run_watts = added(map(mul, network.ohms, map(mul, currents, currents)))
    if not isinstance(network.order, range):
        volts, currents = _in_order(network.order, volts), _in_order(network.order, currents)
    return Operation(False, tuple(volts), tuple(currents), terminal, source_amps, run_watts)


def _in_order(order: Sequence[int], values: list[float]) -> list[float]:
    """Values of the arranged network put back in the order they were given in."""
    given = [0.0] * len(values)
    for position, index in enumerate(order):
        given[index] = values[position]
    return given


def _growth_bound(network: _Network) -> float:
    """A factor on all loads that no tree can exceed: each load alone, through its own path, sets one.

    Constant power: V0^2 / 4 R P. Constant current: V0 / R I. Further loads only lower the limit.
    """
    paths = [network.source_ohm] * (len(network.order) + 1)
    bound, source = math.inf, network.source_volts
    for index, (parent, ohm) in enumerate(zip(network.parents, network.ohms, strict=True)):
        paths[index] = path = paths[parent] + ohm
        if path * network.watts[index] > 0.0:
            bound = min(bound, source * source / (4.0 * path * network.watts[index]))
        if path * network.amps[index] > 0.0:
            bound = min(bound, source / (path * network.amps[index]))
    return bound


def _feasible_factor(network: _Network) -> float:
    """A factor on all loads that certainly settles: the fixed point of Ohm's law contracts within half the
    volts.

    That holds while no node's path loses more than the source's volts to 4 P / V0 + 2 I + 3 g V0.
    """
    source = network.source_volts
    loads = zip(network.watts, network.amps, network.siemens, strict=True)
    currents = [4.0 * watt / source + 2.0 * amp + 3.0 * siemens * source for watt, amp, siemens in loads]
    currents.append(0.0)
    for index, parent, _, _ in network.leaves_first:
        currents[parent] += currents[index]
    lost = [network.source_ohm * currents[-1]] * len(currents)
    for index, (parent, ohm) in enumerate(zip(network.parents, network.ohms, strict=True)):
        lost[index] = lost[parent] + ohm * currents[index]
    return source / max(lost)


def _bracketed_limit(network: _Network, high: float) -> float:
    """The largest factor that settles, below one (`high`) that collapses.

    Two measures that fall to zero at a collapse are drawn on as straight lines; a guess that collapses is
    taken back by a little, then by more, so that the bracket closes from both sides.
    """
    low, volts = 0.0, _start(network)
    seen = [(0.0, _slackness(_scaled(network, 0.0), network, volts), 1.0)]
    predicted, misses = _feasible_factor(network), 0
    for _ in range(_MOST_SWEEPS):
        if high <= low * (1.0 + _LIMIT_TOLERANCE):
            return low
        guess = _within(low + (predicted - low) * _RETREAT[min(misses, 3)], low, high)
        grown = _scaled(network, guess)
        # The volts at a lower factor lie above those at a higher one, so they are a lawful start.
        settled = _settle(grown, volts)
        if settled is None:
            high, misses = guess, misses + 1
            continue
        low, volts, misses = guess, settled, 0
        seen = [seen[-1], (guess, _slackness(grown, network, settled), min(settled) / network.source_volts)]
        predicted = _predicted_limit(seen)
    raise ArithmeticError("the limit of the power network was not found")


def _within(guess: float, low: float, high: float) -> float:
    """`guess`, kept a little inside the bracket; its middle when the guess is of no use."""
    least, most = low * (1.0 + _LIMIT_TOLERANCE / 2.0), high * (1.0 - _LIMIT_TOLERANCE / 2.0)
    if guess < low or guess > high:
        return (low + high) / 2.0
    return min(max(guess, least), most)


def _predicted_limit(seen: list[tuple[float, float, float]]) -> float:
    """Factor at which the first of two measures would reach zero on a straight line; inf when neither falls.
    """
    (before, *measures_before), (now, *measures_now) = seen
    guess = math.inf
    for measure_before, measure_now in zip(measures_before, measures_now, strict=True):
        if measure_now < measure_before:
            guess = min(guess, now + measure_now * (now - before) / (measure_before - measure_now))
    return guess


def _slackness(grown: _Network, network: _Network, volts: list[float]) -> float:
    """1 / (dV/df)^2 at the node whose volts fall fastest as the factor f on all loads grows.

    Where two roots meet the volts fall without bound, as 1 / sqrt(limit - f), so this falls to 0 in a
    straight line; for one run it is straight all the way. `grown` is `network` at f, and `volts` its
    solution.
    """
    offset, slope = [*_load_currents(network, volts), 0.0], [*grown.siemens, 0.0]
    for index, parent, ohm, watt in grown.leaves_first:
        per_volt = slope[index] - watt / (volts[index] * volts[index])
        pivot = 1.0 + per_volt * ohm
        if pivot <= 0.0:
            return 0.0
        offset[index], slope[index] = offset[index] / pivot, per_volt / pivot
        offset[parent] += offset[index]
        slope[parent] += slope[index]
    pivot = 1.0 + slope[-1] * grown.source_ohm
    if pivot <= 0.0:
        return 0.0
    falls = [-offset[-1] * grown.source_ohm / pivot] * len(volts)
    for index, (parent, ohm) in enumerate(zip(grown.parents, grown.ohms, strict=True)):
        falls[index] = falls[parent] - ohm * (offset[index] + slope[index] * falls[parent])
    return 1.0 / (min(falls) * min(falls))


def _load_currents(network: _Network, volts: list[float]) -> list[float]:
    """A that each node's own load draws at `volts`."""
    loads = zip(network.watts, network.amps, network.siemens, volts, strict=False)
    return [watt / volt + amp + siemens * volt for watt, amp, siemens, volt in loads]
