"""Second opinion on one power network by day and by night: what is known of every node where pieces are missing.

Branches that meet only at a source without resistance do not depend on each other; all that shares a resistance does.
"""

from __future__ import annotations

import math
from itertools import pairwise

from . import volts

NEAR = 3e-3
"""So near to collapse (share of the limit) that the naive solver is not asked."""
FIELDS = ["volts_day", "volts_night", "amps_day", "amps_night", "collapsed", "margin_night"]


def summed(values):
    values = list(values)
    return None if None in values else sum(values)


class Seasons:
    """Volts and amps of the nodes of one supply, as far as known.

    `loads`: (kind, watts by day, by night, rated volts, power factor) or None at a junction. `source`: volts, ohm (None
    where not known). `near` tells that some solution lies too near to its limit to be compared.
    """

    def __init__(self, parents, ohms, loads, source, *, alternating=False):
        self.parents, self.ohms, self.loads, self.alternating = parents, ohms, loads, alternating
        self.source, self.inner = source
        self.states = [dict.fromkeys(FIELDS) for _ in parents]
        self.sure, self.near, self.gone = True, False, False
        for group in self._groups():
            for night in (0, 1):
                self._solve(group, night)
        self.near = self.near or self._alike()

    def _alike(self):
        """Two networks of one supply with one margin, and no twins: whether a rule counts them as one hangs on the last bit."""
        found = []
        for group in self._groups():
            margins = [self.states[i]["margin_night"] for i in group if self.states[i]["collapsed"]]
            if margins:
                found.append((margins[0], str([(self.ohms[i], self.loads[i]) for i in group])))
        alike = (pair for pair in pairwise(sorted(found)) if abs(pair[0][0] - pair[1][0]) < 1e-6 * pair[1][0])
        return any(one[1] != other[1] for one, other in alike)

    def _groups(self):
        """Branches that depend on each other: all behind an inner resistance; else one for each first run."""
        if self.inner != 0.0:
            return [list(range(len(self.parents)))] if self.parents else []
        root = []
        for index, parent in enumerate(self.parents):
            above = root[parent] if parent >= 0 else None
            root.append(above if above is not None else None if self.ohms[index] == 0 else index)
        at_source = [index for index, each in enumerate(root) if each is None]
        behind = [[i for i, each in enumerate(root) if each == one] for one in dict.fromkeys(root) if one is not None]
        return [*behind, *([index] for index in reversed(at_source))]

    def _solve(self, group, night):
        first = group[0]
        if self.inner == 0.0 and len(group) == 1 and self.ohms[first] == 0 and self._at_source(first):
            self._right_there(first, night)
            return
        lacking = self.inner is None or any(
            self.ohms[i] is None or (self.loads[i] and self.loads[i][1 + night] is None) for i in group
        )
        beyond = self._beyond(group) if lacking else set()
        if lacking:
            self.sure = False if night else self.sure
            self._currents(group, night)
            if not self._apart(group, beyond, night):
                return
        place = {index: at for at, index in enumerate(group)}
        triples = [self._drawn(self.loads[i], night) for i in group]
        above = [place.get(self.parents[i], -1) for i in group]
        for index in group:  # what lies behind an unknown resistance draws its constant current where the branch leaves
            if index in beyond:
                at = index
                while at in beyond:
                    at = self.parents[at]
                triples.append((0.0, triples[place[index]][1], 0.0))
                above.append(place.get(at, -1))
                triples[place[index]], above[place[index]] = (0.0, 0.0, 0.0), -1
        lengths = [0.0 if i in beyond else self.ohms[i] for i in group] + [0.0] * (len(above) - len(group))
        tree = volts.Tree(above, lengths, triples, self.source, self.inner, alternating=self.alternating)
        self._put(group, beyond, tree, above, triples, night, sure=not lacking)

    def _at_source(self, index):
        while index >= 0 and self.ohms[index] == 0:
            index = self.parents[index]
        return index < 0

    def _put(self, group, beyond, tree, above, triples, night, *, sure):
        season, found, limit, last = ("day", "night")[night], None, None, None
        try:
            found = tree.settle()
        except volts.TooNear:
            self.near = True
        if found is None or (night and sure) or self.alternating:
            limit, last = tree.limit(1e-11 if found is None else 1e-7)
            self.near = self.near or abs(limit - 1) < NEAR
            if limit > 1 and found is None:
                self.near = True
        self.gone = self.gone or found is None
        amps = volts.flow(above, found, triples) if found is not None else None
        if found is None and last is not None:
            amps = volts.flow(above, last, triples, limit * (1 - 1e-9))
        for at, index in enumerate(group):
            if index in beyond:
                continue
            state = self.states[index]
            state[f"volts_{season}"] = 0.0 if found is None else abs(found[at])
            state[f"amps_{season}"] = None if amps is None else amps[at]
            if night:
                state.update(collapsed=found is None, margin_night=limit if sure or found is None else None)

    def _drawn(self, load, night):
        """Watts (or what they take on alternating current), amps and siemens of a load."""
        if load is None or load[1 + night] is None:
            return 0.0, 0.0, 0.0
        kind, watts, rated, factor = load[0], load[1 + night], load[3], load[4]
        turn = complex(factor, -math.sqrt(1 - factor * factor)) / factor if self.alternating else 1.0
        if kind == "constant-current":
            return 0.0, watts / rated * turn, 0.0
        if kind == "resistive":
            return 0.0, 0.0, watts / rated**2
        return watts * turn, 0.0, 0.0

    def _beyond(self, group):
        found = set()
        for index in group:
            if self.ohms[index] is None or self.parents[index] in found:
                found.add(index)
        return found

    def _currents(self, group, night):
        """A constant-current load draws its current whatever the volts."""
        for index in group:
            load = self.loads[index]
            if load and load[0] == "constant-current" and load[1 + night] is not None:
                self.states[index][f"amps_{('day', 'night')[night]}"] = abs(self._drawn(load, night)[1])

    def _apart(self, group, beyond, night):
        """Only resistances are missing, and behind them lie constant direct currents alone."""
        if self.inner is None or self.alternating:
            return False
        for index in group:
            load = self.loads[index]
            if load is None:
                continue
            if load[1 + night] is None or (index in beyond and load[1 + night] and load[0] != "constant-current"):
                return False
        return True

    def _right_there(self, index, night):
        """A node without resistance before it: the volts of the source."""
        season, state = ("day", "night")[night], self.states[index]
        state.update({f"volts_{season}": self.source, "collapsed": False, "margin_night": float("inf")})
        load = self.loads[index]
        if load is None:
            below = [self.states[i][f"amps_{season}"] for i, parent in enumerate(self.parents) if parent == index]
            state[f"amps_{season}"] = summed(below)
        elif load[1 + night] is not None:
            watts, amps, siemens = map(abs, self._drawn(load, night))
            state[f"amps_{season}"] = watts / self.source + amps + siemens * self.source

    def supply(self):
        """Whether anything collapses, and the least margin; None where not known."""
        collapsed = [each["collapsed"] for each in self.states]
        margins = [each["margin_night"] for each in self.states]
        sure = self.sure and None not in margins
        some = True in collapsed
        return (True if some else False if sure else None), (min([float("inf"), *margins]) if sure else None)
