"""Second opinion on volts: the nodal equations of the whole tree, solved by simple repetition.

Conductances in a full matrix, its inverse once, and then V = Z (source - I - P / V) again and again from the no-load
voltages. Every entry of Z is at least zero, so the voltages only fall, and settle on the greatest solution where there
is one; where there is none they reach zero. Nothing here is clever, and nothing is shared with the engine.
"""

from __future__ import annotations

import numpy as np

MOST = 60_000


class Tree:
    """Nodes with parents before children; `ohms` from the parent, loads (watts, amps, siemens) at each."""

    def __init__(self, parents, ohms, loads, source, inner):
        self.count, self.source = len(parents), source
        self.at = []
        size = 1  # electrical node 0 is behind the inner resistance of the source, or the source itself
        self.fixed = inner == 0.0
        edges = []
        for parent, ohm in zip(parents, ohms, strict=True):
            up = 0 if parent < 0 else self.at[parent]
            if ohm == 0.0:
                self.at.append(up)
                continue
            self.at.append(size)
            edges.append((up, size, 1.0 / ohm))
            size += 1
        self.edges, self.size, self.inner = edges, size, inner
        self.loads = np.zeros((size, 3))
        for place, load in zip(self.at, loads, strict=True):
            self.loads[place] += load

    def settle(self, factor=1.0):
        """Volts of every node with all loads times `factor`; None where there is no operating point."""
        watts, amps, siemens = (factor * self.loads).T
        matrix = np.diag(siemens).astype(float)
        feed = np.zeros(self.size)
        for up, down, conductance in self.edges:
            matrix[up, up] += conductance
            matrix[down, down] += conductance
            matrix[up, down] -= conductance
            matrix[down, up] -= conductance
        if self.fixed:
            if self.size == 1:
                return np.array([self.source] * self.count)
            feed = -matrix[1:, 0] * self.source
            inverse = np.linalg.inv(matrix[1:, 1:])
            watts, amps = watts[1:], amps[1:]
        else:
            matrix[0, 0] += 1.0 / self.inner
            feed[0] = self.source / self.inner
            inverse = np.linalg.inv(matrix)
        volts = np.full(len(feed), self.source)
        for _ in range(MOST):
            new = inverse @ (feed - amps - watts / volts)
            if (new <= 0.0).any():
                return None
            done = np.abs(new - volts).max() < 1e-12 * self.source
            volts = new
            if done:
                break
        else:
            raise TooNear
        full = np.concatenate([[self.source], volts]) if self.fixed else volts
        return np.array([full[place] for place in self.at])

    def margin(self):
        """Greatest factor on all loads that still has an operating point, to 1 part in 1,000; inf for none."""
        low, high = 0.0, 1.0
        while self._works(high):
            low, high = high, high * 2
            if high > 1e7:
                return float("inf")
        while high - low > 2e-4 * high:
            middle = (low + high) / 2
            low, high = (middle, high) if self._works(middle) else (low, middle)
        return (low + high) / 2

    def _works(self, factor):
        try:
            return self.settle(factor) is not None
        except TooNear:
            return False


class TooNear(Exception):
    """So near to the limit that repetition takes too long: nothing is said."""


def flow(parents, volts, loads):
    """Amps that reach each node: its own load and all below."""
    amps = [0.0] * len(parents)
    for index in reversed(range(len(parents))):
        watts, constant, siemens = loads[index]
        amps[index] += watts / volts[index] + constant + siemens * volts[index]
        if parents[index] >= 0:
            amps[parents[index]] += amps[index]
    return amps
