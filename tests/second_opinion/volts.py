"""Second opinion on volts: the nodal equations of the whole tree as a full matrix, direct or alternating current.

The operating point comes by simple repetition, V = Z (source - I(V)), from the no-load voltages. Direct current: every
entry of Z is at least zero, so the voltages only fall, and settle on the greatest solution where there is one; where
there is none they reach zero. Alternating current: the same with complex voltages and half steps. The limit of the
loading is halved in between a factor that still settles and one that does not; next to it repetition is slow, so
there the whole matrix is solved at every step (Newton). Nothing here is clever, and nothing is shared with the engine.
"""

from __future__ import annotations

import numpy as np

MOST = 6_000
NONE = 1e7
"""A factor that no network of these sites reaches unless nothing limits it."""


class TooNear(Exception):
    """So near to the limit that repetition takes too long: nothing is said."""


class Tree:
    """Nodes with parents before children; `ohms` from the parent, loads (watts or volt-amperes, amps, siemens) at each.

    On alternating current the first two of a load are complex: what is drawn with the phase of its volts taken as zero.
    """

    def __init__(self, parents, ohms, loads, source, inner, *, alternating=False):
        self.count, self.source = len(parents), source
        self.kind = complex if alternating else float
        self.at = []
        size = 1  # electrical node 0 is behind the inner resistance of the source, or the source itself
        edges = []
        for parent, ohm in zip(parents, ohms, strict=True):
            up = 0 if parent < 0 else self.at[parent]
            if ohm == 0.0:
                self.at.append(up)
                continue
            self.at.append(size)
            edges.append((up, size, 1.0 / ohm))
            size += 1
        drawn = np.zeros((size, 3), dtype=self.kind)
        for place, load in zip(self.at, loads, strict=True):
            drawn[place] += load
        matrix = np.zeros((size, size))
        for up, down, conductance in edges:
            matrix[up, up] += conductance
            matrix[down, down] += conductance
            matrix[up, down] -= conductance
            matrix[down, up] -= conductance
        self.fixed = inner == 0.0
        first = 1 if self.fixed else 0
        feed = -matrix[first:, 0] * source if self.fixed else np.zeros(size)
        if not self.fixed:
            matrix[0, 0] += 1.0 / inner
            feed[0] = source / inner
        self.matrix, self.feed = matrix[first:, first:], feed
        self.watts, self.amps, self.siemens = drawn[first:].T
        self.idle = np.full(len(feed), source, dtype=self.kind)

    def full(self, volts):
        """Volts of the caller's nodes."""
        every = np.concatenate([[self.source], volts]) if self.fixed else volts
        return [self.kind(every[place]) for place in self.at]

    def settle(self):
        """Volts of every node; None where there is no operating point."""
        if not len(self.feed):
            return self.full(self.idle)
        inverse = np.linalg.inv(self.matrix + np.diag(self.siemens.real))
        pushed = inverse @ self.feed
        volts, alternating = self.idle, self.kind is complex
        for _ in range(MOST):
            new = pushed - inverse @ self.drawn(volts)
            if alternating:
                new = (new + volts) / 2
                lost = abs(new).min() < 1e-6 * self.source
            else:
                lost = new.min() <= 0.0
            if lost:
                return None
            done = abs(new - volts).max() < 1e-12 * self.source
            volts = new
            if done:
                return self.full(volts)
        if alternating:
            return None
        raise TooNear

    def drawn(self, volts):
        """Amps of constant power and constant current at these volts."""
        if self.kind is float:
            return self.watts / volts + self.amps
        return self.watts / volts.conjugate() + self.amps * volts / abs(volts)

    def limit(self, fine=1e-7):
        """Greatest factor on all loads that still has an operating point, and the volts just below it.

        `fine` is how near it is sought: to the last digits where currents there are asked for.
        """
        if not len(self.feed) or not (self.watts.any() or self.amps.any()):
            return float("inf"), None
        low, high, found = 0.0, 1.0, self.idle
        while (volts := self.near(found, high)) is not None:
            low, found, high = high, volts, high * 2
            if high > NONE:
                return float("inf"), None
        if self.kind is complex:
            return self._below(*self._followed(low, found, fine))
        while high - low > fine * high:
            middle = (low + high) / 2
            volts = self.near(found, middle)
            if volts is None:
                high = middle
            else:
                low, found = middle, volts
        return self._below(low, found)

    def _below(self, limit, found):
        """The limit, and the volts 1 part in 10^9 below it, or, where that cannot be told, the last that settled."""
        last = self.near(found, limit * (1 - 1e-9))
        return limit, self.full(found if last is None else last)

    def _followed(self, low, found, fine):
        """The load raised step by step: a step that does not settle is halved, for it may only have been too long."""
        step = max(low, 0.5) / 4
        while step > fine * max(low, 1e-3):
            volts = self._complex(found, low + step)
            if volts is None:
                step /= 2
            else:
                low, found, step = low + step, volts, step * 1.4
        return low, found

    def near(self, volts, factor):
        """Newton from the volts of a lesser load: all fall, or there is nothing there. In steps where that is far."""
        if self.kind is float:
            return self._real(volts, factor)
        return self._complex(volts, factor)

    def _real(self, volts, factor):
        loaded = self.matrix + factor * np.diag(self.siemens)
        for _ in range(60):
            off = loaded @ volts - self.feed + factor * (self.watts / volts + self.amps)
            try:
                step = np.linalg.solve(loaded - factor * np.diag(self.watts / volts**2), off)
            except np.linalg.LinAlgError:
                return None
            new = volts - step
            if new.min() <= 0.0 or step.min() < -1e-7 * self.source:
                return None
            if abs(step).max() < 1e-10 * self.source:
                return new
            volts = new
        return None

    def _complex(self, volts, factor):
        """Real and imaginary parts as unknowns of their own; a change too large to trust counts as none."""
        start, count = volts, len(volts)
        for _ in range(40):
            size, back = abs(volts), volts.conjugate()
            own = factor * (self.watts / back + self.amps * volts / size + self.siemens * volts)
            off = self.matrix @ volts + own - self.feed
            plain = factor * (self.amps / (2 * size) + self.siemens)
            turned = factor * (-self.watts / back**2 - self.amps * volts * volts / (2 * size**3))
            whole = np.zeros((2 * count, 2 * count))
            whole[:count, :count] = self.matrix + np.diag((plain + turned).real)
            whole[:count, count:] = np.diag((turned - plain).imag)
            whole[count:, :count] = np.diag((plain + turned).imag)
            whole[count:, count:] = self.matrix + np.diag((plain - turned).real)
            try:
                step = np.linalg.solve(whole, np.concatenate([off.real, off.imag]))
            except np.linalg.LinAlgError:
                return None
            volts = volts - (step[:count] + 1j * step[count:])
            if abs(volts).min() < 1e-9 * self.source or abs(volts - start).max() > 0.05 * self.source:
                return None
            if abs(step).max() < 1e-10 * self.source:
                return volts
        return None


def flow(parents, volts, loads, factor=1.0):
    """Amps that reach each node: its own load and all below, as magnitudes."""
    amps = [0.0] * len(parents)
    for index in reversed(range(len(parents))):
        watts, constant, siemens = loads[index]
        volt = volts[index]
        if isinstance(volt, complex):
            own = watts / volt.conjugate() + constant * volt / abs(volt) + siemens * volt
        else:
            own = watts / volt + constant + siemens * volt
        amps[index] += factor * own
        if parents[index] >= 0:
            amps[parents[index]] += amps[index]
    return [abs(each) for each in amps]
