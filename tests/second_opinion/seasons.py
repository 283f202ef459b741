"""Second opinion on one power network by day and by night: what is known of every node where pieces are missing.

Branches that meet only at a source without resistance do not depend on each other; all that shares a resistance does.
"""

from __future__ import annotations

import math

from . import volts

NEAR = 3e-3
"""So near to collapse (share of the limit) that the naive solver is not asked."""
FIELDS = [
    "volts_day", "volts_night", "amps_day", "amps_night", "collapsed", "collapsed_by_day", "collapsed_by_night",
    "margin_night", "margin_least",
]  # fmt: skip


def summed(values):
    values = list(values)
    return None if None in values else sum(values)


class Seasons:
    """Volts and amps of the nodes of one supply, as far as known.

    `loads`: (kind, watts by day, by night, rated volts, power factor) or None at a junction. `source`: volts, ohm (None
    where not known). `near` tells that some solution lies too near to its limit to be compared.
    """

    def __init__(self, parents, ohms, loads, source, *, alternating=False, asked_at=None):
        self.parents, self.ohms, self.loads, self.alternating = parents, ohms, loads, alternating
        self.source, self.inner = source
        self.asked_at = self.source if asked_at is None else asked_at
        self.states = [dict.fromkeys(FIELDS) for _ in parents]
        self.margins = [[] for _ in parents]
        self.sure, self.near, self.gone = True, False, False
        for group in self._groups():
            for night in (0, 1):
                self._solve(group, night)
        for state, margins in zip(self.states, self.margins, strict=True):
            self._both(state, margins)

    @staticmethod
    def _both(state, margins):
        """What follows from both seasons together."""
        seasons = [state["collapsed_by_day"], state["collapsed_by_night"]]
        state["collapsed"] = True if True in seasons else None if None in seasons else False
        if margins and (state["collapsed"] or (state["collapsed"] is False and state["margin_night"] is not None)):
            state["margin_least"] = min(margins)

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
        season, found, limit = ("day", "night")[night], None, None
        try:
            found = tree.settle()
        except volts.TooNear:
            self.near = True
        more_by_day = any(self.loads[i] and (self.loads[i][1] or 0) > (self.loads[i][2] or 0) for i in group if i not in beyond)
        wanted = found is None or (sure and (night or more_by_day))
        if wanted or self.alternating:
            limit, _ = tree.limit()
            self.near = self.near or abs(limit - 1) < NEAR
            if limit > 1 and found is None:
                self.near = True
        self.gone = self.gone or found is None
        amps = volts.flow(above, found, triples) if found is not None else None
        if found is None:
            amps = self._asked(above, triples)
        for at, index in enumerate(group):
            if index in beyond:
                continue
            state = self.states[index]
            state[f"volts_{season}"] = 0.0 if found is None else abs(found[at])
            state[f"amps_{season}"] = None if amps is None else amps[at]
            state[f"collapsed_by_{season}"] = found is None
            if wanted:
                self.margins[index].append(limit)
            if night:
                state["margin_night"] = limit if wanted else None

    def _asked(self, above, triples):
        """What the watts stated take at the volts of the supply, as magnitudes: what is asked of it."""
        volt = self.asked_at
        amps = [abs(watts) / volt + abs(constant) + siemens * volt for watts, constant, siemens in triples]
        for at in reversed(range(len(amps))):
            if above[at] >= 0:
                amps[above[at]] += amps[at]
        return amps

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
        state.update({f"volts_{season}": self.source, "collapsed_by_day": False, "collapsed_by_night": False})
        state["margin_night"] = float("inf")
        self.margins[index].append(float("inf"))
        load = self.loads[index]
        if load is None:
            below = [self.states[i][f"amps_{season}"] for i, parent in enumerate(self.parents) if parent == index]
            state[f"amps_{season}"] = summed(below)
        elif load[1 + night] is not None:
            watts, amps, siemens = map(abs, self._drawn(load, night))
            state[f"amps_{season}"] = watts / self.source + amps + siemens * self.source

    def supply(self):
        """Whether anything collapses, the least margin by night, and that of what works; None where not known."""
        collapsed = [each["collapsed"] for each in self.states]
        margins = [each["margin_night"] for each in self.states]
        told = all(None not in (each["collapsed_by_day"], each["collapsed_by_night"]) for each in self.states)
        sure = self.sure and None not in margins
        working = [each["margin_least"] for each in self.states if each["collapsed"] is False]
        return (
            True if True in collapsed else False if told else None,
            min([math.inf, *margins]) if sure else None,
            min([math.inf, *working]) if sure and told else None,
        )

    def group_of(self, index):
        """All that depends on a node."""
        return next(group for group in self._groups() if index in group)
