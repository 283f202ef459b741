"""Finds a set of changes that clears every finding of a site, and says what stands in the way of one.

First a good set by steps: the best change for one finding after the other. Then the smallest (or cheapest) one is
looked for among all changes that the rules propose for the site as it is (`least_cost`). Both are bounded by a number
of trials; when the search ran to its end, the answer is the best of its kind, and otherwise it has a bound.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from coaxwright.fixes.branching import WORK
from coaxwright.fixes.candidates.bench import Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.comparing import Harm, Key
from coaxwright.fixes.costs import Cost
from coaxwright.fixes.cutting import Changes
from coaxwright.fixes.giving_up import given_up
from coaxwright.fixes.least_cost import Asked, LeastCost, requirements
from coaxwright.fixes.measuring import longest
from coaxwright.fixes.patching import Operation
from coaxwright.fixes.polishing import Polishing
from coaxwright.fixes.proving import Proof, harm_words, proof_of, worse_by
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.stepping import RAN_OUT, Prefer, few
from coaxwright.rulebook.judging import Judgement

_ALONE = 150
"""Trials in which it is shown of one finding that no set clears it."""
_SHOWN = 3
"""Findings of which that is tried."""


@dataclass(frozen=True)
class Plan:
    """The result: `steps` in order, what is left, how many trials it took.

    `best` says that no smaller (or cheaper) set exists among the changes that were considered; `bound` is the least
    number of changes (with `cheapest` the least cost) that any such set has, None where that is not known. `in_the_way`
    tells for each finding that is left why, `dropped` what was taken out again because it made something else worse.
    `proof` is of the whole set against the site as it was; None where there is no step. `considered` is how many changes
    any set may be of, `unpriced` how many of them have no known price where the least cost was looked for; `conflict` are the
    fewest findings that no set of them clears together, where that was shown.
    """

    steps: tuple[Candidate, ...]
    after: SiteState
    cost: Cost
    in_the_way: tuple[tuple[Key, str], ...]
    trials: int
    best: bool
    bound: float | None = None
    dropped: tuple[tuple[Candidate, Harm], ...] = ()
    proof: Proof | None = None
    considered: int = 0
    unpriced: int = 0
    conflict: tuple[Key, ...] = ()
    prefer: Prefer = "fewest"
    search: LeastCost | None = field(default=None, repr=False, compare=False)

    @property
    def patch(self) -> tuple[Operation, ...]:
        """All steps as one patch."""
        return tuple(operation for step in self.steps for operation in step.patch)


@dataclass
class Search(Polishing):
    """A whole-site repair. `level` is the least level that has to be cleared."""

    hopeless: frozenset[Key] | None = None
    """Findings that no set clears, once that was looked for."""

    def run(self) -> Plan:
        """Find the plan."""
        steps = self._good()
        search = self._least_cost(steps)
        if search is not None and search.best is not None:
            steps, self.stuck = search.best, {}
        elif search is not None:
            steps = self._rest(search, steps)
        steps = self._polished(steps) if steps else steps
        steps, dropped = self._harmless(steps)
        steps = self._measured(steps)
        after, cost = self._applied(steps)
        left = self.left(after)
        reasons = tuple((key, self._reason(key, after, dropped)) for key in left)
        proof = self._whole(steps, after, cost) if steps else None
        done = not left and not dropped
        plan = Plan(tuple(steps), after, cost, reasons, self.trials, done and not steps, None, dropped, proof)
        return plan if search is None else self._told(plan, search, done)

    def _told(self, plan: Plan, search: LeastCost, done: bool) -> Plan:
        """The plan with what the search for the best showed."""
        pool = search.changes.pool
        unpriced = 0 if self.prefer == "fewest" else sum(self._price(each) is None for each in pool)
        bound = None if unpriced or not math.isfinite(search.bound) else round(float(search.bound), 2)
        best = done and search.best is not None and search.ended and not unpriced
        hopeless = self._hopeless(search, [key for key, _ in plan.in_the_way])
        conflict = tuple(sorted(hopeless))[:1] or tuple(search.conflict())
        known = replace(plan, best=best, bound=bound, prefer=self.prefer, conflict=conflict, search=search)
        return replace(known, considered=len(pool), unpriced=unpriced)

    def _reason(self, key: Key, after: SiteState, dropped: Sequence[tuple[Candidate, Harm]]) -> str:
        """Why a finding is left, in words."""
        if key in self.stuck:
            return self.stuck[key]
        if dropped:
            step, harm = dropped[0]
            return f"what would clear it was taken out again: `{step.title}` {harm_words(harm)}"
        judgement = self.wanted(after).get(key)
        return "nobody can judge it any more" if judgement is None else self._why(after, judgement)

    # The proof of the whole set.

    def _whole(self, steps: Sequence[Candidate], after: SiteState, cost: Cost) -> Proof:
        """The proof of the whole set against the site as it was."""
        patch = tuple(operation for step in steps for operation in step.patch)
        everything = Candidate("", patch, max(step.disruption for step in steps))
        proof = proof_of(self.start.to(after), everything)
        return replace(proof, cost=cost)

    def _harmless(self, steps: list[Candidate]) -> tuple[list[Candidate], tuple[tuple[Candidate, Harm], ...]]:
        """The steps without those that make something worse than it was, dropped one by one: first the one without
        which least is worse, of equals the last.
        """
        dropped: list[tuple[Candidate, Harm]] = []
        worse = self.harmful(self._applied(steps)[0])
        while worse and steps:
            ways = [way for step in reversed(steps) if (way := self._without(steps, step)) is not None]
            _, step, fewer, less = min(ways, key=lambda way: way[0])
            harm = next((each for each in worse if each not in less), worse[0])
            dropped.append((step, harm))
            steps, worse = fewer, less
        return steps, tuple(dropped)

    def _measured(self, steps: list[Candidate]) -> list[Candidate]:
        """Each step with a new run proven up to a length, the whole set with it."""
        after = self._applied(steps)[0]
        known = {*self.left(after), *(harm.key for harm in worse_by(self.start.to(after)))}
        for place, step in enumerate(steps):
            if step.lay is not None:
                rest = steps[:place], steps[place + 1 :]
                steps = [*rest[0], longest(step, partial(self._holds, rest, known)), *rest[1]]
        return steps

    def _holds(self, rest: tuple[list[Candidate], list[Candidate]], known: set[Key], step: Candidate) -> bool:
        """Whether a step of another length leaves and harms nothing more than is known."""
        try:
            after = self._applied([*rest[0], step, *rest[1]])[0]
        except ValueError:
            return False
        return known.issuperset(self.left(after)) and known.issuperset(
            harm.key for harm in worse_by(self.start.to(after))
        )

    def _without(
        self, steps: list[Candidate], step: Candidate
    ) -> tuple[tuple[int, int], Candidate, list[Candidate], tuple[Harm, ...]] | None:
        fewer = [each for each in steps if each is not step]
        try:
            after = self._applied(fewer)[0]
        except ValueError:
            return None
        worse = self.harmful(after)
        return (len(worse), len(self.left(after))), step, fewer, worse

    def _good(self) -> list[Candidate]:
        """The better of two ways: the best change for each finding, or the change that clears most at once."""
        ways = []
        for by_count in (False, True):
            self.stuck, self.stage = {}, self.trials + self.budget // 3
            steps = self._pruned(self._by_steps(by_count))
            after = self._applied(steps)[0]
            left = len(self.left(after)) + len(self.harmful(after))
            ways.append(((left, *self._worth(steps)), steps, self.stuck))
        _, steps, self.stuck = min(ways, key=lambda way: way[0])
        after = self._applied(steps)[0]
        if any(self.stuck.get(key, RAN_OUT) == RAN_OUT for key in self.wanted(after)):  # its trials were used up
            self.stuck, self.stage = {}, self.budget * 3 // 4
            steps = self._pruned(self._by_steps(False, steps))
        self.stage = math.inf
        return steps

    def _pruned(self, steps: list[Candidate]) -> list[Candidate]:
        """Without the steps that the others make needless."""
        after = self._applied(steps)[0]
        left = len(self.left(after)) + len(self.harmful(after))
        for step in list(steps):
            fewer = [each for each in steps if each is not step]
            if self.spent:
                break
            try:
                after = self._applied(fewer)[0]
            except ValueError:
                continue
            if len(self.left(after)) + len(self.harmful(after)) <= left:
                steps = fewer
        return steps

    def _applied(self, steps: Sequence[Candidate]) -> tuple[SiteState, Cost]:
        state, amount, currency = self.start, 0.0, None
        for step in steps:
            proof = self.prove(state, step)
            if proof is None:
                raise ValueError("these steps do not go together")
            state = proof.trial.after
            amount += math.nan if proof.cost.amount is None else proof.cost.amount
            currency = currency or proof.cost.currency
        return state, Cost(None if math.isnan(amount) else round(amount, 2), currency)

    # Smaller or cheaper.

    def _least_cost(self, steps: list[Candidate]) -> LeastCost | None:
        """The best set that branch and bound finds, with its bound; None where nothing has to be cleared."""
        if not self.wanted(self.start):
            return None
        pool = self._pool()
        known = {repr(candidate.patch) for candidate in pool}
        pool += [step for step in steps if repr(step.patch) not in known]
        by_patch = {repr(candidate.patch): candidate for candidate in pool}
        own = [by_patch[repr(step.patch)] for step in steps]
        needs = list(requirements(own, pool, lambda step: self.prove(self.start, step) is not None))
        asked = Asked(self._in_the_way, self._keeps, self._worth, self.tried, lambda: self.spent)
        weights = [self._weight(each) for each in pool]
        search = LeastCost(Changes(self.start, pool), weights, needs, asked, WORK * self.budget)
        if steps and self._good_set(steps):
            search.best = steps
        else:
            self.stage = self.budget * 4 // 5  # the rest is for what stands in the way
        search.run()
        self.stage = math.inf
        return search

    def _rest(self, search: LeastCost, steps: list[Candidate]) -> list[Candidate]:
        """The best set for all but what no set clears; the steps where none is found.

        What cannot be cleared must not keep the others from what suits them best together.
        """
        hopeless = self._hopeless(search, self.left(self._applied(steps)[0]))
        if not hopeless:
            return steps
        asked = Asked(partial(self._in_the_way, excused=hopeless), self._keeps, self._worth, self.tried, lambda: self.spent)
        rest = LeastCost(search.changes, search.weights, search.needs, asked, WORK * self.budget)
        if steps and not self._in_the_way(self._applied(steps)[0], hopeless):
            rest.best = steps
        rest.run()
        if rest.best is None:
            return steps
        self.stuck = {key: reason for key, reason in self.stuck.items() if key in hopeless}
        return rest.best

    def _hopeless(self, search: LeastCost, left: Sequence[Key]) -> frozenset[Key]:
        """Findings of these that no set clears without harm, each shown by itself in a few trials."""
        if self.hopeless is None:
            wanted = self.wanted(self.start)
            self.hopeless = frozenset(
                key for key in [key for key in left if key in wanted][:_SHOWN] if self._no_set(search, wanted[key])
            )
        return self.hopeless

    def _no_set(self, search: LeastCost, judgement: Judgement) -> bool:
        """Whether the search for a set that clears one finding ends without any."""
        left = partial(self._left_of, self.start, judgement)
        asked = Asked(left, self._keeps, few, self.tried, self._end_of(_ALONE))
        one = LeastCost(search.changes, search.weights, search.needs, asked, WORK * _ALONE)
        one.run()
        return one.ended and one.best is None

    def _keeps(self, after: SiteState) -> bool:
        """Whether a state has every need that the site as it was states."""
        return not given_up(self.start, after)

    def _in_the_way(self, after: SiteState, excused: frozenset[Key] = frozenset()) -> list[Key]:
        """What is left to clear, without what is excused, and what got worse, each once."""
        left = [key for key in self.left(after) if key not in excused]
        return list(dict.fromkeys((*left, *(harm.key for harm in self.harmful(after)))))

    def _weight(self, candidate: Candidate) -> float:
        """What a change adds to a set at least: one change, or its price; nothing where that is not known."""
        return 1.0 if self.prefer == "fewest" else self._price(candidate) or 0.0

    def _price(self, candidate: Candidate) -> float | None:
        """What a change costs; None where a price or the length of a run is not known."""
        if candidate.lay is not None:
            return None
        proof = self.prove(self.start, candidate)
        return None if proof is None else proof.cost.amount

    def _good_set(self, steps: list[Candidate]) -> bool:
        """Whether a set keeps the promise as a whole."""
        after = self._applied(steps)[0]
        return not self.left(after) and not self.harmful(after) and self._keeps(after)

    def _worth(self, steps: list[Candidate]) -> tuple[Any, ...]:
        """How good a set is, the less the better."""
        after, cost = self._applied(steps)
        return self.worth(steps, cost.amount, self.start.to(after))

    def _pool(self) -> list[Candidate]:
        """All changes proposed for the site as it is, each once."""
        found: dict[str, Candidate] = {}
        for judgement in self.wanted(self.start).values():
            for candidate in candidates(Bench(self.start), judgement):
                if not candidate.hides:
                    found.setdefault(repr(candidate.patch), candidate)
        return list(found.values())
