"""Supply trees against ngspice, a circuit simulator (Debian package), on 20 random networks of mixed loads.

A constant-power load is a source of P / V amperes, and then a circuit has several solutions: without a hint the
simulator lands on the low-voltage one, which no real supply holds. `.nodeset` starts every node at the source's
voltage, from where it finds the operating point. Skipped where ngspice is not installed.
"""

from __future__ import annotations

import random
import re
import shutil
import subprocess

import pytest

from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve

NGSPICE = shutil.which("ngspice")
pytestmark = pytest.mark.skipif(NGSPICE is None, reason="ngspice is not installed (apt-get install ngspice)")


def deck(tree, hint=True):
    """The tree as a circuit; node n0 is the source's terminal, n1 ... the tree's nodes."""
    lines = ["* supply tree", f"V0 src 0 {tree.source_volts!r}", f"R0 src n0 {max(tree.source_ohm, 1e-9)!r}"]
    for index, (parent, ohm) in enumerate(zip(tree.parents, tree.ohms, strict=True), 1):
        lines.append(f"R{index} n{parent + 1} n{index} {ohm!r}")
        watts, amps, siemens = tree.watts[index - 1], tree.amps[index - 1], tree.siemens[index - 1]
        if watts:
            lines.append(f"B{index} n{index} 0 I={watts!r}/V(n{index})")
        if amps:
            lines.append(f"I{index} n{index} 0 {amps!r}")
        if siemens:
            lines.append(f"RL{index} n{index} 0 {1 / siemens!r}")
    nodes = range(len(tree.parents) + 1)
    if hint:
        lines.append(".nodeset " + " ".join(f"v(n{node})={tree.source_volts!r}" for node in nodes))
    lines += [".options reltol=1e-10 abstol=1e-14 vntol=1e-12 gmin=1e-15 itl1=1000", ".control", "set numdgt=14", "op"]
    lines += [f"print v(n{node})" for node in nodes]
    return "\n".join([*lines, "quit", ".endc", ".end", ""])


def spice_volts(tree, tmp_path, hint=True):
    """V at every node of the tree, in its order."""
    path = tmp_path / "tree.cir"
    path.write_text(deck(tree, hint))
    done = subprocess.run([NGSPICE, "-b", str(path)], capture_output=True, text=True, timeout=600, check=False)
    found = {int(node): float(value) for node, value in re.findall(r"v\(n(\d+)\) = (\S+)", done.stdout)}
    assert len(found) == len(tree.parents) + 1, done.stdout + done.stderr
    return [found[index] for index in range(1, len(found))]


def _random_tree(rng):
    size = rng.randint(2, 15)
    parents = [rng.randint(max(-1, index - 4), index - 1) for index in range(size)]
    ohms = [rng.uniform(0.02, 0.6) for _ in parents]
    watts = [rng.choice([0.0, rng.uniform(2, 12)]) for _ in parents]
    amps = [rng.choice([0.0, rng.uniform(0.05, 0.8)]) for _ in parents]
    siemens = [rng.choice([0.0, rng.uniform(0.002, 0.05)]) for _ in parents]
    watts[-1] += 2.0
    volts, source_ohm = rng.choice([12.0, 13.8, 24.0]), rng.choice([0.01, 0.1])
    factor = rng.uniform(0.2, 0.85) * loading_margin(PowerTree(parents, ohms, watts, amps, siemens, volts, source_ohm))
    loads = ([factor * load for load in column] for column in (watts, amps, siemens))
    return PowerTree(parents, ohms, *loads, volts, source_ohm)


@pytest.mark.parametrize("seed", range(20))
def test_twenty_random_networks(seed, tmp_path):
    tree = _random_tree(random.Random(7000 + seed))
    assert solve(tree).volts == pytest.approx(spice_volts(tree, tmp_path), rel=1e-6)


def test_without_the_hint_it_may_find_the_low_root(tmp_path):
    """12 V, 4 ohm, 8 W: V^2 - 12 V + 32 = 0 has 8 V and 4 V (circuit theory). With the hint it is 8 V, ours always."""
    tree = PowerTree([-1], [4.0], [8.0], [0.0], [0.0], 12.0)
    assert solve(tree).volts[0] == pytest.approx(8.0)
    assert spice_volts(tree, tmp_path)[0] == pytest.approx(8.0, rel=1e-7)
    assert min(abs(spice_volts(tree, tmp_path, hint=False)[0] - root) for root in (8.0, 4.0)) < 1e-6
