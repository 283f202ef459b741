"""Crest volts against a time-domain simulation of bridges with capacitors, on 200 random circuits.

Outside the project: the circuit equations themselves, stepped in time (Euler, 20 us) to their periodic state. Three loads of
constant power behind a shared trunk and a branch each, 24 V at 50 Hz, 70 to 150 uF for a watt (common practice), 0.7 V a diode.
A load does as well as on a stiff sine on which its capacitor falls as low between two pulses.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from coaxwright.facts.physics.rectifier import crest_volts
from coaxwright.facts.power.loads import Load
from coaxwright.facts.power.power_solving import Network, solve_network

COUNT, LOADS = 200, 3
DIODES, IN_DIODE, HERTZ, STEP = 1.4, 0.05, 50.0, 20e-6


def circuits(seed=5):
    """Trunk ohm, branch ohm, watts, farad of every circuit."""
    draw = np.random.default_rng(seed)
    trunk, branch = draw.uniform(0.0, 1.2, (COUNT, 1)), draw.uniform(0.1, 3.0, (COUNT, LOADS))
    watts = draw.uniform(2.0, 9.0, (COUNT, LOADS))
    return trunk, branch, watts, watts * draw.uniform(70e-6, 150e-6, (COUNT, LOADS))


def pulses(crest, bus, trunk, branch):
    """Amps into each capacitor when the source stands at `crest`: a linear network of those bridges that conduct."""
    active = crest > bus + DIODES
    for _ in range(LOADS + 1):
        both = active[:, :, None] & active[:, None, :]
        matrix = np.where(both, trunk[:, :, None], 0.0)
        matrix[:, range(LOADS), range(LOADS)] += np.where(active, branch + IN_DIODE, 1.0)
        amps = np.linalg.solve(matrix, np.where(active, crest - DIODES - bus, 0.0)[:, :, None])[:, :, 0]
        if (amps >= 0.0).all():
            return amps
        active &= amps > 0.0
    return np.maximum(amps, 0.0)


def least_bus(trunk, branch, watts, farad, volts=24.0, halves=14):
    """Least V of each capacitor in the last half cycle."""
    bus = np.full(watts.shape, volts * math.sqrt(2) * 0.85)
    steps = round(0.5 / HERTZ / STEP)
    for _ in range(halves):
        least = bus.copy()
        for step in range(steps):
            crest = volts * math.sqrt(2) * math.sin(math.pi * step / steps)
            bus = bus + STEP * (pulses(crest, bus, trunk, branch) - watts / bus) / farad
            least = np.minimum(least, bus)
    return least


def stiff_least(volts, watts, farad):
    """The same on a stiff sine: from the crest the power empties the capacitor, v^2 falling evenly, until the sine is back."""
    crest = volts * math.sqrt(2) - DIODES
    low, high = np.zeros_like(watts), np.full_like(watts, 0.5 / HERTZ)
    for _ in range(50):
        middle = (low + high) / 2
        left = np.sqrt(np.maximum(crest**2 - 2 * watts * middle / farad, 0.0))
        back = volts * math.sqrt(2) * np.abs(np.cos(2 * math.pi * HERTZ * middle)) - DIODES
        before = (left > back) | (middle < 0.25 / HERTZ)
        low, high = np.where(before, middle, low), np.where(before, high, middle)
    return np.sqrt(np.maximum(crest**2 - 2 * watts * low / farad, 0.0))


def equal_sine(least, watts, farad):
    low, high = np.full_like(least, 8.0), np.full_like(least, 26.0)
    for _ in range(40):
        middle = (low + high) / 2
        under = stiff_least(middle, watts, farad) < least
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return low


def engine(trunk, branch, watts):
    """Crest volts and RMS volts as the program works them out: junction first, then the three loads."""
    loads = [None, *(Load("constant-power", w, w, 24.0, None, (), ()) for w in watts)]
    ohms = [float(trunk[0]), *map(float, branch)]
    network = Network([-1, 0, 0, 0], ohms, [()] * 4, loads, 24.0, 0.0, (), True, 0.6)
    states = solve_network(network)
    amps = [0.0, *(state.amps_night for state in states[1:])]
    return crest_volts(24.0, 0.0, network.parents, ohms, amps)[1:], [state.volts_night for state in states[1:]]


@pytest.fixture(scope="module")
def compared():
    trunk, branch, watts, farad = circuits()
    truth = equal_sine(least_bus(trunk, branch, watts, farad), watts, farad)
    mine = [engine(trunk[i], branch[i], watts[i]) for i in range(COUNT)]
    crest, meter = (np.array([each[k] for each in mine]) for k in (0, 1))
    works = (truth > 18.0) & (meter > 0.0)
    return truth[works], crest[works], meter[works]


def test_the_crest_is_that_of_the_time_domain(compared):
    truth, crest, _ = compared
    assert len(truth) > 400
    assert (crest - truth).max() < 0.35
    assert (crest - truth).min() > -0.6
    assert abs(np.median(crest - truth)) < 0.1


def test_a_meter_promises_more(compared):
    """What was judged before: the RMS of the phasor, more than a volt too much on many a run."""
    truth, _, meter = compared
    assert ((meter - truth) > 0.5).mean() > 0.3
    assert (meter - truth).min() > -0.2


def test_published_circuit():
    """24 V, 4 ohm, 10 W, 1000 uF: a stiff sine of some 21.2 V, by time domain; 24 V less I R 21.2 V (common practice)."""
    one = np.full((1, LOADS), 10.0)
    branch, farad = np.full((1, LOADS), 4.0), np.full((1, LOADS), 1000e-6)
    least = least_bus(np.zeros((1, 1)), branch, one, farad)
    truth = equal_sine(least, one, farad)[0, 0]
    assert truth == pytest.approx(21.2, abs=0.25)
    crest, meter = engine([0.0], [4.0] * LOADS, [10.0] * LOADS)
    assert meter[0] > 21.6 * 1.02
    assert crest[0] == pytest.approx(truth, abs=0.35)
    assert crest[0] < 21.6


def test_trunk_currents_add_up():
    """By hand: 24 V; 1 ohm of trunk carries 0.5 A and 0.25 A, 0.75 V; 2 ohm and 4 ohm of branches 1 V each."""
    assert crest_volts(24.0, 0.0, [-1, 0, 0], [1.0, 2.0, 4.0], [0.0, 0.5, 0.25]) == pytest.approx([23.25, 22.25, 22.25])
    assert crest_volts(24.0, 1.0, [-1], [0.0], [2.0]) == [22.0]
    assert crest_volts(24.0, 0.0, [-1], [100.0], [1.0]) == [0.0]
