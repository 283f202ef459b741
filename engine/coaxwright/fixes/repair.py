"""Finds a set of changes that clears every finding of a site, and says what stands in the way of one.

First a good set by steps: the best change for one finding after the other. Then the smallest (or cheapest) one is
looked for among all changes that the rules propose for the site as it is (`least_cost`). Both are bounded by a number
of trials; when the search ran to its end, the answer is the best of its kind, and otherwise it has a bound.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any, Literal

from coaxwright import pace
from coaxwright.findings import LEVELS
from coaxwright.fixes.branching import WORK
from coaxwright.fixes.candidates.bench import Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.comparing import Harm, Key
from coaxwright.fixes.costs import Cost
from coaxwright.fixes.cutting import Changes
from coaxwright.fixes.least_cost import Asked, LeastCost, requirements
from coaxwright.fixes.measuring import longest
from coaxwright.fixes.outcomes import cleared_how
from coaxwright.fixes.patching import Operation
from coaxwright.fixes.proving import TRIES, Proof, harm_words, proof_of, proofs_and_harmful, prove, standing, worse_by
from coaxwright.fixes.rejudging import SiteState, homes_of
from coaxwright.rulebook.judging import Judgement, margin

Prefer = Literal["fewest", "cheapest"]
BUDGET = 2000
"""Trials of a whole-site repair unless another budget is given."""
_RAN_OUT = "the budget of trials ran out before a change was found"
_NEAR = 4
"""Changes that improve a finding without clearing it, on top of which others are tried."""
_KEPT = 256
"""Trials whose edited sites are kept in memory (half a megabyte each on a site of thirty cameras)."""
_DEPTH = 3
"""Changes that are put together for one finding at most."""


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

    @property
    def patch(self) -> tuple[Operation, ...]:
        """All steps as one patch."""
        return tuple(operation for step in self.steps for operation in step.patch)


class Tried:
    """The last trials made, by the state that was edited and the edit, so that none is made twice."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._found: OrderedDict[tuple[int, str], tuple[SiteState, Proof | None]] = OrderedDict()

    def __contains__(self, trial: tuple[SiteState, Candidate]) -> bool:
        return self._key(*trial) in self._found

    def _key(self, state: SiteState, candidate: Candidate) -> tuple[int, str]:
        return id(state), repr(candidate.patch)  # the state is kept with the trial, so its id stays its own

    def proof(self, state: SiteState, candidate: Candidate, order: int) -> Proof | None:
        """What the change does; tried where it is not known."""
        key = self._key(state, candidate)
        if key in self._found:
            self._found.move_to_end(key)
            return self._found[key][1]
        proof = prove(state, candidate, order)
        self._found[key] = (state, proof)
        if len(self._found) > self._most:
            self._found.popitem(last=False)
        return proof


@dataclass
class Search:
    """A repair under way. `level` is the least level that has to be cleared."""

    start: SiteState
    level: str = "error"
    prefer: Prefer = "fewest"
    budget: int = BUDGET
    trials: int = 0
    stuck: dict[Key, str] = field(default_factory=dict)
    stage: float = math.inf
    """Trials by which what is done now has to end, so that some are left for what comes after."""
    _known: Tried = field(default_factory=lambda: Tried(_KEPT))

    def prove(self, state: SiteState, candidate: Candidate, order: int = 0) -> Proof | None:
        """What a change does to a state; one trial, unless it is known still."""
        if (state, candidate) not in self._known:
            self.count()
        return self._known.proof(state, candidate, order)

    @property
    def counted(self) -> tuple[str, ...]:
        """Levels that have to be cleared."""
        return LEVELS[: LEVELS.index(self.level) + 1]

    @property
    def spent(self) -> bool:
        """No further trial: as many as were given (for what is done now) were made, or the time is over."""
        return self.trials >= min(self.budget, self.stage) or pace.out_of_time()

    def count(self) -> None:
        """One trial more."""
        self.trials += 1
        pace.step("changes tried", self.trials, self.budget)

    def wanted(self, state: SiteState) -> dict[Key, Judgement]:
        """Findings that have to be cleared, by key, in order."""
        found: dict[Key, Judgement] = {}
        for part in state.parts.values():
            for judgement in part.judged.judgements:
                if judgement.kind == "fail":
                    found[judgement.rule.id, judgement.subject.subject] = judgement
        fails = standing(state, found.values()).fails
        return {key: found[key] for key in sorted(found) if fails.get(key) in self.counted}

    def run(self) -> Plan:
        """Find the plan."""
        steps = self._good()
        search = self._least_cost(steps)
        if search is not None and search.best is not None:
            steps, self.stuck = search.best, {}
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
        bound = None if unpriced or not math.isfinite(search.bound) else round(search.bound, 2)
        best = done and search.best is not None and search.ended and not unpriced
        conflict = tuple(search.conflict())
        known = replace(plan, best=best, bound=bound, prefer=self.prefer, conflict=conflict)
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

    def harmful(self, after: SiteState) -> tuple[Harm, ...]:
        """What is worse than on the site as it was, at a level that has to be cleared, or open."""
        return tuple(harm for harm in worse_by(self.start.to(after)) if harm.level in self.counted)

    def left(self, after: SiteState) -> list[Key]:
        """What had to be cleared and is not: it fails, is open, or lost its subject; and what fails newly."""
        still = self.wanted(after)
        opened = {key for part in after.parts.values() for key in _opened(part)}
        proof = self.start.to(after)
        gone = [
            key
            for key, judgement in self.wanted(self.start).items()
            if key not in still and (key in opened or not cleared_how(proof, key, judgement).named)
        ]
        return sorted([*still, *gone])

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

    # By steps.

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
        self.stage = math.inf
        return steps

    def _by_steps(self, by_count: bool) -> list[Candidate]:
        state, steps = self.start, list[Candidate]()
        while not self.spent:
            left = {key: each for key, each in self.wanted(state).items() if key not in self.stuck}
            if not left:
                break
            key, judgement = next(iter(left.items()))
            chosen = self._chosen(state, judgement, by_count)
            if not chosen:
                self.stuck[key] = self._why(state, judgement)
                continue
            steps += [proof.candidate for proof in chosen]
            state = chosen[-1].trial.after
        return steps

    def _chosen(self, state: SiteState, judgement: Judgement, by_count: bool) -> list[Proof]:
        """One change that clears a finding and leaves fewer than before; several together where none alone
        does, each of which brings the finding (or what came in its place) nearer to its limit.
        """
        goal = _Goal(self, state, judgement)
        ways: list[tuple[SiteState, list[Proof]]] = [(state, [])]
        for _ in range(_DEPTH):
            nearer: list[tuple[float, Any, list[Proof]]] = []
            for here, path in ways:
                finding = goal.left(here)
                if finding is None or self.spent:
                    continue
                tried = self._tried(here, finding)
                best = goal.best(tried, by_count)
                if best is not None:
                    return [*path, best]
                nearer += [(room, proof.rank, [*path, proof]) for room, proof in goal.nearer(tried, finding)]
            nearer.sort(key=lambda each: (-each[0], each[1]))
            ways = [(path[-1].trial.after, path) for _, _, path in nearer[:_NEAR]]
        return []

    def _tried(self, state: SiteState, judgement: Judgement) -> list[Proof]:
        found = []
        for order, candidate in enumerate(candidates(Bench(state), judgement)):
            if self.spent:
                break
            if candidate.hides:
                continue
            proof = self.prove(state, candidate, order)
            if proof is not None and not proof.gives_up:
                found.append(proof)
        return found

    def _why(self, state: SiteState, judgement: Judgement) -> str:
        """Why a finding is left: in words."""
        if self.spent:
            return _RAN_OUT if not pace.stopped() else f"{pace.STOPPED} before a change was found"
        found, harmful = proofs_and_harmful(state, judgement, TRIES)
        needs = [proof for proof in found if proof.gives_up]
        if needs:
            return f"nothing in the catalogue clears it; it goes away only if the need does: {needs[0].candidate.title}"
        if harmful:
            return f"what clears it harms elsewhere: `{harmful[0].candidate.title}` {harm_words(harmful[0].harms[0])}"
        words = [each["do"].replace("_", " ") for each in judgement.rule.plain.get("fixes", ())]
        if not words:
            return "its rule knows no change that would clear it"
        return (
            f"no change within the catalogue clears it, alone or with others; tried: {', '.join(dict.fromkeys(words))}"
        )

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
        asked = Asked(self._in_the_way, self._worth, self.count, lambda: self.spent)
        weights = [self._weight(each) for each in pool]
        search = LeastCost(Changes(self.start, pool), weights, needs, asked, WORK * self.budget)
        if steps and self._good_set(steps):
            search.best = steps
        search.run()
        return search

    def _in_the_way(self, after: SiteState) -> list[Key]:
        """What is left to clear, and what got worse, each once."""
        return list(dict.fromkeys((*self.left(after), *(harm.key for harm in self.harmful(after)))))

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
        return not self.left(after) and not self.harmful(after)

    def _worth(self, steps: list[Candidate]) -> tuple[Any, ...]:
        cost = self._applied(steps)[1].amount
        amount = math.inf if cost is None else cost
        edits, trouble = sum(len(step.patch) for step in steps), sum(map(_trouble, steps))
        by_number = (len(steps), amount, edits, trouble)
        return by_number if self.prefer == "fewest" else (amount, len(steps), edits, trouble)

    def _pool(self) -> list[Candidate]:
        """All changes proposed for the site as it is, each once."""
        found: dict[str, Candidate] = {}
        for judgement in self.wanted(self.start).values():
            for candidate in candidates(Bench(self.start), judgement):
                if not candidate.hides:
                    found.setdefault(repr(candidate.patch), candidate)
        return list(found.values())


class _Goal:
    """One finding to be cleared, with what may come in its place: a feed that no longer collapses may still
    have too little voltage, and a collapse may show at another camera of the same cables.
    """

    def __init__(self, search: Search, state: SiteState, judgement: Judgement) -> None:
        self.search = search
        self.key = (judgement.rule.id, judgement.subject.subject)
        self.topic = judgement.rule.topic
        self.homes = homes_of(state, judgement)
        self.known = self.search.wanted(state).keys()

    def left(self, state: SiteState) -> Judgement | None:
        """The finding, or the worst of those in its place; None where it is cleared for good."""
        found = self.search.wanted(state)
        if self.key in found:
            return found[self.key]
        instead = [
            each
            for key, each in found.items()
            if key not in self.known and each.rule.topic == self.topic and homes_of(state, each) & self.homes
        ]
        return min(instead, key=_room, default=None)

    def best(self, tried: list[Proof], by_count: bool) -> Proof | None:
        """The best change that clears it and leaves fewer findings than there were."""
        counted = [(len(self.search.wanted(proof.trial.after)), proof) for proof in tried]
        good = [
            each
            for each in counted
            if each[0] < len(self.known) and self.left(each[1].trial.after) is None and self._sound(each[1])
        ]
        if not good:
            return None
        return min(good, key=lambda each: (each[0], each[1].rank) if by_count else (each[1].rank, each[0]))[1]

    def _sound(self, proof: Proof) -> bool:
        """Whether what gets worse by it may be mended by a later step: nothing grave is open that was not at the
        start, and nothing is only out of sight.
        """
        counted = self.search.counted
        if any(level in counted and not proof.clears(key) for key, level in proof.lost.items()):
            return False
        return not any(harm.how == "open" for harm in self.search.harmful(proof.trial.after))

    def nearer(self, tried: list[Proof], judgement: Judgement) -> Iterator[tuple[float, Proof]]:
        """Changes that bring it nearer to its limit and break nothing of another topic, with the room then."""
        now = _room(judgement)
        for proof in tried:
            still = self.left(proof.trial.after)
            counted = [harm.key for harm in proof.harms if harm.level in self.search.counted]
            if still is not None and all(rule.startswith(f"{self.topic}/") for rule, _ in counted):
                room = _room(still)
                if math.isfinite(room) and (room > now or still.rule.id != judgement.rule.id):
                    yield room, proof


def _trouble(step: Candidate) -> int:
    """How much a change disturbs: a setting 1, a moved plug 2, a cable 3, a device 4, a new run 5."""
    return 5 if step.metres is not None else step.disruption + 1


def _opened(part: Any) -> Iterator[Key]:
    """What is open in a part of a site."""
    for judgement in part.judged.judgements:
        if judgement.kind == "open":
            yield judgement.rule.id, judgement.subject.subject


def _room(judgement: Judgement) -> float:
    """The margin of a finding; without end below where its rule states none."""
    room = margin(judgement)
    return -math.inf if room is None else room
