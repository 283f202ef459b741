"""The point at which a DC power tree collapses as all its loads grow together, found directly by Newton's method.

Helper of power_network, whose docstring has the model. At the limit two roots meet: the currents balance,
F(V, f) = 0, and the linearised tree J = dF/dV lets one pattern of volts y fall freely, J y = 0. Both together are one
system in the volts V and the factor f on all loads (a minimally augmented system for a fold: Govaerts, Numerical
Methods for Bifurcations of Dynamical Equilibria, SIAM 2000; from memory). It is regular at the limit, so Newton's
method squares its error there, where solving the network itself only halves it.

Why the point found is the limit. J is symmetric. Elimination towards the node k whose volts are lowest has positive
pivots at all other nodes (tested at every step), so y is positive. P/U >= 2 P/V - P U/V^2 for every U > 0, hence
y F(U, f) >= 0 with equality only for U = V: no other solution exists at f. Solutions fall as the factor grows, so one
at a larger factor would lie below V, where y F > 0: there is none.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.immutable import immutable

_MOST_STEPS = 30
_SETTLED = 1.0e-12
"""Relative change of the factor by the last step; the error left is about its square."""
_FIRST_DROP = 0.42
"""Share of the volts lost at the weakest node where the search starts: a single run collapses at a half."""


@immutable
class _Tree:
    """A tree turned so that all branches lead to its weakest node; the supply is one branch among them.

    Lists run over the nodes and, last, the supply's terminals. `rows`: (node, the node it leads to, ohm), leaves first.
    `source_amps`, `source_siemens`: what the supply contributes at the node that it feeds through its first ohms.
    """

    rows: Sequence[tuple[int, int, float]]
    weakest: int
    watts: list[float]
    amps: list[float]
    siemens: list[float]
    source_amps: list[float]
    source_siemens: list[float]


@immutable
class _Linear:
    """Current into each branch as offset + slope V + growth df, with what changes the slopes.

    `own`: A/V of each load per unit of factor; `bend`: change of its slope with its volts.
    """

    offset: list[float]
    slope: list[float]
    growth: list[float]
    own: list[float]
    bend: list[float]


def limit_factor(
    parents: Sequence[int],
    ohms: Sequence[float],
    loads: tuple[Sequence[float], Sequence[float], Sequence[float]],
    source_volts: float,
    source_ohm: float,
) -> float | None:
    """The largest factor on all loads that has an operating point, to about 1e-12 of itself.

    `loads` are watts, amps and siemens by node; parents stand before their children, -1 is the supply. None where
    the method does not apply (no constant power, several branches on a source without resistance) or does not settle.
    """
    found = _turned(parents, ohms, loads, source_volts, source_ohm)
    if found is None:
        return None
    tree, volts, factor = found
    # Without load every pivot is 1: there is always a lawful point to go back towards.
    lawful, lawful_factor = [source_volts] * len(volts), 0.0
    for _ in range(_MOST_STEPS):
        linear = _eliminated(tree, volts, factor)
        if linear is None:
            volts, factor = _towards(volts, lawful, 0.5), 0.5 * (factor + lawful_factor)
            continue
        step = _step(tree, linear, volts, factor)
        if step is None:
            return None
        target, change = step
        share = _allowed(volts, target, factor, change)
        if share == 1.0 and abs(change) <= _SETTLED * factor:
            return factor + change
        lawful, lawful_factor = volts, factor
        volts, factor = target if share == 1.0 else _towards(volts, target, share), factor + share * change
    return None


def _towards(volts: list[float], target: list[float], share: float) -> list[float]:
    return [volt + share * (aimed - volt) for volt, aimed in zip(volts, target, strict=True)]


def _turned(
    parents: Sequence[int],
    ohms: Sequence[float],
    loads: tuple[Sequence[float], Sequence[float], Sequence[float]],
    source_volts: float,
    source_ohm: float,
) -> tuple[_Tree, list[float], float] | None:
    """The tree as this method needs it, and where to start: volts and factor."""
    roots = [node for node, parent in enumerate(parents) if parent < 0]
    if not any(loads[0]) or (len(roots) > 1 and not source_ohm):
        return None
    # Where the supply has resistance of its own, its terminals are one more node; else the first run takes that part.
    terminals = [0.0] if source_ohm else []
    top, first_ohm = (len(parents), source_ohm) if source_ohm else (roots[0], ohms[roots[0]])
    if not first_ohm:
        return None
    near = [top if parent < 0 else parent for parent in parents]
    watts, amps, siemens = ([*each, *terminals] for each in loads)
    drawn = zip(watts, amps, siemens, strict=True)
    currents = [watt / source_volts + amp + each * source_volts for watt, amp, each in drawn]
    drops = _drops(near, ohms, currents, (top, first_ohm))
    weakest = max(range(len(parents)), key=drops.__getitem__)
    fed = [0.0] * len(drops)
    fed[top] = 1.0 / first_ohm
    pushed = [-source_volts * each for each in fed]
    tree = _Tree(_rows(near, ohms, weakest, top), weakest, watts, amps, siemens, pushed, fed)
    scale = _FIRST_DROP * source_volts / drops[weakest]
    # Sagging volts draw more current, so the factor that belongs to these drops is lower by about as much.
    return tree, [source_volts - scale * drop for drop in drops], scale * (1.0 - _FIRST_DROP)


def _drops(near: Sequence[int], ohms: Sequence[float], currents: list[float], first: tuple[int, float]) -> list[float]:
    """V lost on the way to every node that draws these amps, whatever its volts."""
    top, first_ohm = first
    for node in range(len(near) - 1, -1, -1):
        if node != top:
            currents[near[node]] += currents[node]
    drops = [0.0] * len(currents)
    drops[top] = first_ohm * currents[top]
    for node, parent in enumerate(near):
        if node != top:
            drops[node] = drops[parent] + ohms[node] * currents[node]
    return drops


def _rows(near: Sequence[int], ohms: Sequence[float], weakest: int, top: int) -> list[tuple[int, int, float]]:
    """Every run as (from, to, ohm) in the direction of the weakest node, farthest first."""
    way = [weakest]
    while way[-1] != top:
        way.append(near[way[-1]])
    on_way = set(way)
    rows = [(node, near[node], ohms[node]) for node in range(len(near) - 1, -1, -1) if node not in on_way]
    rows += [(way[place], way[place - 1], ohms[way[place - 1]]) for place in range(len(way) - 1, 0, -1)]
    return rows


def _eliminated(tree: _Tree, volts: list[float], factor: float) -> _Linear | None:
    """The network linearised at volts and factor, every branch seen from its near end; None past the limit."""
    offset, slope = tree.source_amps.copy(), tree.source_siemens.copy()
    growth, own, bend = [0.0] * len(volts), [0.0] * len(volts), [0.0] * len(volts)
    for node, (watt, amp, siemens, volt) in enumerate(
        zip(tree.watts, tree.amps, tree.siemens, volts, strict=True)
    ):
        drawn = watt / volt
        own[node] = per_volt = siemens - drawn / volt
        bend[node] = 2.0 * factor * drawn / (volt * volt)
        offset[node] += factor * (drawn + drawn + amp)
        slope[node] += factor * per_volt
        growth[node] = drawn + amp + siemens * volt
    for node, near, ohm in tree.rows:
        pivot = 1.0 + slope[node] * ohm
        if pivot <= 0.0:
            return None
        offset[node] = at_zero = offset[node] / pivot
        slope[node] = per_volt = slope[node] / pivot
        growth[node] = per_factor = growth[node] / pivot
        offset[near] += at_zero
        slope[near] += per_volt
        growth[near] += per_factor
    return _Linear(offset, slope, growth, own, bend)


def _step(tree: _Tree, linear: _Linear, volts: list[float], factor: float) -> tuple[list[float], float] | None:
    """Volts that Newton's method aims at, and the change of the factor.

    Volts are constant + pattern u + growth df, u those of the weakest node. Two equations remain: its currents
    balance, and its slope, which changes by pattern^2 times the change of each load's own slope, becomes zero.
    """
    weakest = tree.weakest
    offset, slope, grown = linear.offset[weakest], linear.slope[weakest], linear.growth[weakest]
    constant, pattern, growth = ([0.0] * len(volts) for _ in range(3))
    pattern[weakest] = 1.0
    bend = linear.bend[weakest]
    rest, per_volt, per_factor = slope - bend * volts[weakest], bend, linear.own[weakest]
    for node, near, ohm in reversed(tree.rows):
        share = 1.0 - ohm * linear.slope[node]
        constant[node] = fixed = constant[near] * share - ohm * linear.offset[node]
        pattern[node] = moved = pattern[near] * share
        growth[node] = per_change = growth[near] * share - ohm * linear.growth[node]
        square = moved * moved
        bend = square * linear.bend[node]
        rest += bend * (fixed - volts[node])
        per_volt += bend * moved
        per_factor += square * linear.own[node] + bend * per_change
    determinant = slope * per_factor - grown * per_volt
    if determinant == 0.0:
        return None
    level = (grown * rest - offset * per_factor) / determinant
    change = (offset * per_volt - slope * rest) / determinant
    target = [a + b * level + c * change for a, b, c in zip(constant, pattern, growth, strict=True)]
    return target, change


def _allowed(volts: list[float], target: list[float], factor: float, change: float) -> float:
    """Share of a step that takes no more than two fifths off any volts, and keeps the factor within bounds."""
    share = 1.0
    if -change > 0.6 * factor:
        share = 0.6 * factor / -change
    elif change > 1.5 * factor:
        share = 1.5 * factor / change
    for volt, aimed in zip(volts, target, strict=True):
        if aimed < 0.6 * volt:
            share = min(share, 0.4 * volt / (volt - aimed))
    return share
