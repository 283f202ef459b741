"""Volts and currents of a low-voltage AC supply (24 V AC) that feeds a tree of runs, loads with a power
factor.

Everything is steady RMS at one frequency, as complex numbers. DC: see power_network; one load on one run has
the closed form in single_run. Not for meshes, harmonics, or several sources in parallel.

Why the answer is the operating point. For light loads the map of Ohm's law contracts within half of the
source's volts, so exactly one solution lies there (Banach), and it is the one that grows out of the unloaded
tree. Heavier loads are followed up from no load in steps, each settled by Newton's method from the one
before; a step is refused and halved unless it settles at once and every determinant met in elimination from
the leaves stays above zero, which it does until two solutions meet. When no step is possible any more before
all of the load is on, the tree collapses.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from coaxwright.facts.physics.checks import not_negative, positive
from coaxwright.facts.physics.power_network import parents_first
from coaxwright.immutable import immutable
from coaxwright.portable import size

_SETTLED = 1.0e-11
_MOST_SWEEPS = 12
_LONGEST_STEP = 0.1
"""Largest change of any node's volts in one step of the loading, as a share of the source's."""
_SHORTEST_STEP = 1.0e-11


@immutable
class AcTree:
    """A supply and the nodes it feeds; lists run over the nodes.

    `parents`: index of the node that feeds each node, -1 for the supply; any order. `ohms`: loop impedance of
    the run from there, a float for plain resistance or a complex R + jX. `volt_amperes`: constant VA; `amps`:
    constant current; both at the node's `power_factors`, lagging. `siemens`: resistive load (a heater).
    `source_volts` is the supply's RMS volts off load, `source_ohm` its own impedance.
    """

    parents: Sequence[int]
    ohms: Sequence[complex]
    volt_amperes: Sequence[float]
    amps: Sequence[float]
    siemens: Sequence[float]
    power_factors: Sequence[float]
    source_volts: float
    source_ohm: complex = 0.0


@immutable
class AcOperation:
    """What a tree settles on, RMS. When `collapsed` the sequences are empty and the rest nan.

    `volts` and `branch_amps` are magnitudes at each node and in the run that feeds it; `terminal_volts`,
    `source_amps` at the supply; `source_volt_amperes` what its winding gives; `run_watts` W lost in all runs.
    """

    collapsed: bool
    volts: tuple[float, ...]
    branch_amps: tuple[float, ...]
    terminal_volts: float
    source_amps: float
    source_volt_amperes: float
    run_watts: float


_COLLAPSED = AcOperation(True, (), (), math.nan, math.nan, math.nan, math.nan)


@dataclass(slots=True, eq=False, repr=False)
class _Row:
    """One node, in an order with parents first: `index` in it, `conjugate` is that of the constant VA."""

    index: int
    parent: int
    ohm: complex
    conjugate: complex
    phasor: complex
    siemens: float


@dataclass(slots=True, eq=False, repr=False)
class _AcNetwork:
    """A checked tree. `rows` has parents first; volts are lists one longer, whose last entry is the supply.
    """

    order: Sequence[int]
    rows: list[_Row]
    source_volts: float
    source_ohm: complex


def solve_ac(tree: AcTree) -> AcOperation:
    """The operating point of `tree` to 1e-9 V, or a collapsed one.

    ValueError for lists of different length, impossible figures, a parent that does not exist, or a ring.
    """
    network = _arranged(tree)
    reached, volts = _follow(network, 1.0)
    return _operation(network, volts) if reached >= 1.0 else _COLLAPSED


def ac_loading_margin(tree: AcTree) -> float:
    """Largest factor on every load at once that `tree` can still feed, to about 1e-9; inf when nothing limits
    it."""
    network = _arranged(tree)
    contracting = _contracting_factor(network)
    if math.isinf(contracting) or not any(row.conjugate or row.phasor for row in network.rows):
        return math.inf
    # Growing loads by 10 at a time keeps the steps in proportion to a limit that is not known beforehand.
    target = 10.0 * contracting
    reached, _ = _follow(network, target)
    while reached >= target and math.isfinite(target):
        target *= 10.0
        reached, _ = _follow(network, target)
    return reached


def _arranged(tree: AcTree) -> _AcNetwork:
    """Check a tree and put its parents before its children."""
    _check_lists(tree)
    order = parents_first(tree.parents)
    place = [0] * len(order) + [-1]
    for position, index in enumerate(order):
        place[index] = position
    rows = []
    for position, index in enumerate(order):
        cosine = tree.power_factors[index]
        turned = complex(cosine, -math.sqrt(1.0 - cosine * cosine))
        loads = (tree.volt_amperes[index] * turned, tree.amps[index] * turned, tree.siemens[index])
        rows.append(_Row(position, place[tree.parents[index]], complex(tree.ohms[index]), *loads))
    return _AcNetwork(order, rows, tree.source_volts, complex(tree.source_ohm))


def _check_lists(tree: AcTree) -> None:
    """Refuse (ValueError) lists of different length and impossible figures."""
    positive("source_volts", tree.source_volts)
    for name in ("ohms", "volt_amperes", "amps", "siemens", "power_factors"):
        if len(getattr(tree, name)) != len(tree.parents):
            raise ValueError(f"{name} has {len(getattr(tree, name))} entries for {len(tree.parents)} nodes")
    for ohm in (*tree.ohms, tree.source_ohm):
        not_negative("resistance of an impedance", complex(ohm).real)
        not_negative("reactance of an impedance", complex(ohm).imag)
    for loads in (tree.volt_amperes, tree.amps, tree.siemens):
        for load in loads:
            not_negative("load", load)
    if not all(0.0 < cosine <= 1.0 for cosine in tree.power_factors):
        raise ValueError("power_factors must be above 0 and at most 1")


def _contracting_factor(network: _AcNetwork) -> float:
    """A factor on all loads below which exactly one solution has every node above half of the source's volts.

    V0 / max over nodes of (sum along the path of |Z| * (4 S / V0 + 2 I + 3 g V0 of all that hangs on it)).
    """
    source = network.source_volts
    currents = [0.0] * (len(network.rows) + 1)
    for row in reversed(network.rows):
        own = 4.0 * size(row.conjugate) / source + 2.0 * size(row.phasor) + 3.0 * row.siemens * source
        currents[row.index] += own
        currents[row.parent] += currents[row.index]
    lost = [size(network.source_ohm) * currents[-1]] * len(currents)
    for row in network.rows:
        lost[row.index] = lost[row.parent] + size(row.ohm) * currents[row.index]
    worst = max(lost)
    return source / worst if worst else math.inf


def _follow(network: _AcNetwork, target: float) -> tuple[float, list[complex]]:
    """Load the tree from nothing towards `target` times its loads: the factor reached, and the volts there.
    """
    volts = [complex(network.source_volts)] * (len(network.rows) + 1)
    certain = _contracting_factor(network) * 0.999
    reached = min(target, certain)
    settled = _settle(network, volts, reached)
    if settled is None:
        reached = 0.0
    else:
        volts = settled
    step = max(reached, target * 1.0e-3)
    while reached < target and step > _SHORTEST_STEP * max(reached, target * 1.0e-3):
        trial = min(target, reached + step)
        settled = _settle(network, volts, trial)
        if settled is None or _change(volts, settled) > _LONGEST_STEP * network.source_volts:
            step /= 2.0
            continue
        volts, reached, step = settled, trial, step * 1.5
    return reached, volts


def _change(volts: list[complex], others: list[complex]) -> float:
    """Largest difference between two sets of volts."""
    return max(size(volt - other) for volt, other in zip(volts, others, strict=True))


def _settle(network: _AcNetwork, volts: list[complex], factor: float) -> list[complex] | None:
    """Newton's method from `volts` at `factor` times the loads; None unless it settles soon."""
    before = 0.0
    for _ in range(_MOST_SWEEPS):
        closer = _newton_step(network, volts, factor)
        if closer is None or min(map(size, closer)) <= 1.0e-9 * network.source_volts:
            return None
        step = _change(volts, closer)
        if step > network.source_volts:
            return None
        shrinkage = min(1.0, step / before) if before else 1.0
        volts, before = closer, step
        if 4.0 * step * shrinkage * shrinkage <= _SETTLED * network.source_volts:
            # The determinants seen so far belong to the volts before this step: look once more.
            return volts if _newton_step(network, volts, factor) is not None else None
    return None


def _newton_step(network: _AcNetwork, volts: list[complex], factor: float) -> list[complex] | None:
    """One Newton step; None when a determinant is not above zero.

    The current into a subtree is offset + slope V + mirror conj(V), seen from its node, then through its run.
    """
    nodes = len(volts)
    offset, slope, mirror = [0j] * nodes, [0j] * nodes, [0j] * nodes
    for row in reversed(network.rows):
        index, parent = row.index, row.parent
        own = _linearised(row, volts[index], factor)
        seen = (offset[index] + own[0], slope[index] + own[1], mirror[index] + own[2])
        through = _through(seen, row.ohm)
        if through is None:
            return None
        offset[index], slope[index], mirror[index] = through
        offset[parent] += through[0]
        slope[parent] += through[1]
        mirror[parent] += through[2]
    total = _through((offset[-1], slope[-1], mirror[-1]), network.source_ohm)
    if total is None:
        return None
    source = complex(network.source_volts)
    supplied = total[0] + total[1] * source + total[2] * source.conjugate()
    closer = [source - network.source_ohm * supplied] * nodes
    for row in network.rows:
        index, volt = row.index, closer[row.parent]
        current = offset[index] + slope[index] * volt + mirror[index] * volt.conjugate()
        closer[index] = volt - row.ohm * current
    return closer


def _linearised(row: _Row, volt: complex, factor: float) -> tuple[complex, complex, complex]:
    """Offset, slope and mirror of one node's load near `volt`.

    Constant VA draws conj(S) / conj(V); constant current draws a current of fixed size that turns with V.
    """
    conjugate = volt.conjugate()
    volts = size(volt)
    constant_power = factor * row.conjugate / conjugate
    half_current = factor * row.phasor / (2.0 * volts)
    mirror = -constant_power / conjugate - half_current * volt / conjugate
    return 2.0 * (constant_power + half_current * volt), half_current + factor * row.siemens, mirror


def _through(seen: tuple[complex, complex, complex], ohm: complex) -> tuple[complex, complex, complex] | None:
    """The same subtree seen from the other end of `ohm`; None when its determinant is not above zero."""
    offset, slope, mirror = seen
    direct, turned = 1.0 + slope * ohm, mirror * ohm.conjugate()
    determinant = (direct * direct.conjugate() - turned * turned.conjugate()).real
    if determinant <= 0.0:
        return None
    back, turned = direct.conjugate() / determinant, turned / determinant
    return (
        back * offset - turned * offset.conjugate(),
        back * slope - turned * mirror.conjugate(),
        back * mirror - turned * slope.conjugate(),
    )


def _operation(network: _AcNetwork, volts: list[complex]) -> AcOperation:
    """The settled volts as a result, in the caller's order of nodes."""
    currents = [0j] * len(volts)
    for row in reversed(network.rows):
        volt = volts[row.index]
        own = row.conjugate / volt.conjugate() + row.phasor * volt / size(volt) + row.siemens * volt
        currents[row.index] += own
        currents[row.parent] += currents[row.index]
    node_volts, node_amps = [0.0] * len(network.rows), [0.0] * len(network.rows)
    run_watts = 0.0
    for row in network.rows:
        given = network.order[row.index]
        node_volts[given], node_amps[given] = size(volts[row.index]), size(currents[row.index])
        run_watts += row.ohm.real * (node_amps[given] * node_amps[given])
    supplied = size(currents[-1])
    volt_amperes = supplied * network.source_volts
    return AcOperation(
        False, tuple(node_volts), tuple(node_amps), size(volts[-1]), supplied, volt_amperes, run_watts
    )
