"""Supply trees against power-grid-model, an independent power-flow engine, on random trees.

A DC circuit is posed to it as a balanced three-phase one: line volts V0 sqrt 3, three times the power, no
reactance. COAXWRIGHT_FULL=1 runs 1,000 direct-current networks of mixed loads instead of 160, and 200 of
alternating current instead of 40.
"""

from __future__ import annotations

import math
import os
import random

import numpy as np
import pytest

from coaxwright.facts.physics.ac_network import AcTree, ac_loading_margin, solve_ac
from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve

grid = pytest.importorskip("power_grid_model")

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
POWER, IMPEDANCE, CURRENT = 0, 1, 2


def _table(component, size, **columns):
    array = grid.initialize_array("input", component, size)
    for name, values in columns.items():
        array[name] = values
    return array


def _rated(volt_amperes, amps, siemens, volts):
    """Three-phase VA at rated volts of every load, constant power first, then current, then impedance."""
    return 3 * np.concatenate([volt_amperes, np.array(amps) * volts, np.array(siemens) * volts * volts])


def oracle_volts(parents, impedances, watts, vars_, volts, source_impedance):
    """RMS phase volts at each node. `watts`, `vars_`: three-phase, per kind of load, at rated volts."""
    size = len(parents)
    nodes = _table("node", size + 2, id=range(size + 2), u_rated=volts * math.sqrt(3))
    ends = [
        (size + 1, size),
        *((size if parent < 0 else parent, index) for index, parent in enumerate(parents)),
    ]
    ohms = np.array([source_impedance, *impedances], dtype=complex)
    first = size + 2
    lines = _table(
        "line",
        size + 1,
        id=range(first, first + size + 1),
        from_node=[a for a, _ in ends],
        to_node=[b for _, b in ends],
    )
    for name, value in (
        ("from_status", 1),
        ("to_status", 1),
        ("r1", ohms.real),
        ("x1", ohms.imag),
        ("c1", 0),
        ("tan1", 0),
        ("i_n", 1e4),
    ):
        lines[name] = value
    first += size + 1
    kinds = np.repeat([POWER, CURRENT, IMPEDANCE], size)
    loads = _table(
        "sym_load",
        3 * size,
        id=range(first, first + 3 * size),
        node=np.tile(np.arange(size), 3),
        status=1,
        type=kinds,
        p_specified=watts,
        q_specified=vars_,
    )
    first += 3 * size
    source = _table("source", 1, id=first, node=size + 1, status=1, u_ref=1.0, sk=1e20)
    model = grid.PowerGridModel({"node": nodes, "line": lines, "sym_load": loads, "source": source})
    result = model.calculate_power_flow(error_tolerance=1e-12, max_iterations=100)
    return result["node"]["u_pu"][:size] * volts


def _random_tree(rng):
    size = rng.randint(1, 40)
    parents = [rng.randint(max(-1, index - 6), index - 1) for index in range(size)]
    ohms = [rng.uniform(0.005, 0.6) for _ in parents]
    watts = [rng.choice([0.0, rng.uniform(1, 12)]) for _ in parents]
    amps = [rng.choice([0.0, 0.0, rng.uniform(0.05, 0.8)]) for _ in parents]
    siemens = [rng.choice([0.0, 0.0, rng.uniform(0.002, 0.05)]) for _ in parents]
    watts[-1] += 1.0
    return parents, ohms, watts, amps, siemens


@pytest.mark.parametrize("batch", range(50 if FULL else 8))
def test_random_dc_trees(batch):
    """20 trees a batch, loaded to between 5 % and 85 % of their limit; agreement 1e-6 relative."""
    rng = random.Random(1000 + batch)
    for _ in range(20):
        parents, ohms, *loads = _random_tree(rng)
        volts, source_ohm = rng.choice([12.0, 13.8, 24.0, 48.0]), rng.choice([0.001, 0.05, 0.2])
        factor = rng.uniform(0.05, 0.85) * loading_margin(PowerTree(parents, ohms, *loads, volts, source_ohm))
        watts, amps, siemens = ([factor * load for load in column] for column in loads)
        result = solve(PowerTree(parents, ohms, watts, amps, siemens, volts, source_ohm))
        rated = _rated(watts, amps, siemens, volts)
        expected = oracle_volts(parents, ohms, rated, 0 * rated, volts, source_ohm)
        assert result.volts == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("batch", range(20 if FULL else 4))
def test_random_ac_trees(batch):
    """24 V AC, resistance and some reactance, lagging loads; up to 80 % of the limit; agreement 1e-6
    relative."""
    rng = random.Random(2000 + batch)
    for _ in range(10):
        parents, ohms, *loads = _random_tree(rng)
        ohms = [complex(ohm, rng.choice([0.0, 0.1 * ohm])) for ohm in ohms]
        cosines = [rng.choice([1.0, rng.uniform(0.5, 1.0)]) for _ in parents]
        factor = rng.uniform(0.05, 0.8) * ac_loading_margin(
            AcTree(parents, ohms, *loads, cosines, 24.0, 0.05)
        )
        volt_amperes, amps, siemens = (np.array([factor * load for load in column]) for column in loads)
        result = solve_ac(AcTree(parents, ohms, volt_amperes, amps, siemens, cosines, 24.0, 0.05))
        turns = np.array(cosines)
        sines = np.sqrt(1 - turns**2)
        watts = _rated(volt_amperes * turns, amps * turns, siemens, 24.0)
        vars_ = _rated(volt_amperes * sines, amps * sines, 0 * siemens, 24.0)
        expected = oracle_volts(parents, ohms, watts, vars_, 24.0, 0.05)
        assert result.volts == pytest.approx(expected, rel=1e-6)


def test_the_oracle_agrees_that_there_is_no_solution():
    """12 V, 4 ohm, 9.5 W: past V0^2 / 4R."""
    with pytest.raises(Exception, match=r"(?i)converge|diverge"):
        oracle_volts([-1], [4.0], 3 * np.array([9.5, 0, 0]), np.zeros(3), 12.0, 1e-9)
    assert solve(PowerTree([-1], [4.0], [9.5], [0.0], [0.0], 12.0)).collapsed
