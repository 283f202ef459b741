"""A repair under way: what has to be cleared, what was tried, and steps: the best change for one finding after the other."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Literal

from coaxwright import pace
from coaxwright.findings import LEVELS
from coaxwright.fixes.branching import WORK
from coaxwright.fixes.candidates.bench import Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.comparing import Harm, Key
from coaxwright.fixes.cutting import Changes
from coaxwright.fixes.giving_up import given_up
from coaxwright.fixes.least_cost import Asked, LeastCost
from coaxwright.fixes.outcomes import cleared_how
from coaxwright.fixes.parts_of_facts import Part
from coaxwright.fixes.proving import TRIES, Proof, harm_words, proofs_and_harmful, prove, standing, worse_by
from coaxwright.fixes.rejudging import SiteState, homes_of
from coaxwright.rulebook.judging import Judgement, margin

Prefer = Literal["fewest", "cheapest"]
BUDGET = 2000
"""Trials of a whole-site repair unless another budget is given."""
RAN_OUT = "the budget of trials ran out before a change was found"
_NEAR = 4
"""Changes that improve a finding without clearing it, on top of which others are tried."""
_BESIDE = 2
"""Of these, changes that clear it and break something else, which another may mend."""
_KEPT = 256
"""Trials whose edited sites are kept in memory (half a megabyte each on a site of thirty cameras)."""
_TOGETHER = 120
"""Trials in which several changes that each leave one finding as it is are put together."""
_TIES = 6
"""Sets as good as the one found of these that are tried besides."""
_DEPTH = 3
"""Changes that are put together for one finding at most."""


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

    def after(self, state: SiteState, candidate: Candidate) -> SiteState | None:
        """The edited site of a trial that is known still; None for any other."""
        proof = self._found.get(self._key(state, candidate), (state, None))[1]
        return None if proof is None else proof.trial.after


@dataclass
class Stepping:
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
    _both: dict[tuple[int, Key], tuple[SiteState, dict[bool, list[Proof]]]] = field(default_factory=dict)
    """What was chosen for a finding of a state, by count and not: the second way begins as the first did, at no trial."""

    def prove(self, state: SiteState, candidate: Candidate, order: int = 0) -> Proof | None:
        """What a change does to a state; one trial, unless it is known still."""
        if (state, candidate) not in self._known:
            self.tried()
        return self._known.proof(state, candidate, order)

    @property
    def counted(self) -> tuple[str, ...]:
        """Levels that have to be cleared."""
        return LEVELS[: LEVELS.index(self.level) + 1]

    @property
    def spent(self) -> bool:
        """No further trial: as many as were given (for what is done now) were made, or the time is over."""
        return self.trials >= min(self.budget, self.stage) or pace.out_of_time()

    def tried(self) -> None:
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

    def _by_steps(self, by_count: bool, steps: Sequence[Candidate] = ()) -> list[Candidate]:
        """Changes for one finding after the other, on top of some."""
        state, steps = self.start, list(steps)
        if steps:
            state = state.after(tuple(operation for step in steps for operation in step.patch)).after
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
        """The change (or changes) chosen for a finding, by count or not: both are known once one was looked for."""
        key = id(state), (judgement.rule.id, judgement.subject.subject)
        if key not in self._both:
            found = self._chosen_both(state, judgement)
            if self.spent:
                return found[by_count]
            self._both[key] = state, found  # the state is kept with them, so its id stays its own
        return self._both[key][1][by_count]

    def _chosen_both(self, state: SiteState, judgement: Judgement) -> dict[bool, list[Proof]]:
        """One change that clears a finding and leaves fewer than before; several together where none alone
        does, each of which brings the finding (or what came in its place) nearer to its limit. Where none brings it
        nearer, several that are proposed for it are put together first: two cameras on one input that is not there.
        """
        goal, together = _Goal(self, state, judgement), None
        ways: list[tuple[SiteState, list[Proof]]] = [(state, [])]
        for depth in range(_DEPTH):
            nearer: list[tuple[float, Any, list[Proof]]] = []
            for here, path in ways:
                finding = goal.left(here) or goal.brought(here)
                if finding is None or self.spent:
                    continue
                tried = self._tried(here, finding)
                best = {by_count: goal.best(tried, by_count) for by_count in (False, True)}
                if None not in best.values():
                    return {by_count: [*path, proof] for by_count, proof in best.items() if proof is not None}
                nearer += [(room, proof.rank, [*path, proof]) for room, proof in goal.nearer(tried, finding)]
            if depth == 0 and all(room == -math.inf for room, _, _ in nearer):
                together = self._together(state, judgement)
                if together:
                    return dict.fromkeys((False, True), together)
            nearer.sort(key=lambda each: (-each[0], each[1]))
            beside = [each for each in nearer if each[0] == -math.inf][:_BESIDE]
            chosen = [*[each for each in nearer if each[0] > -math.inf][: _NEAR - len(beside)], *beside]
            ways = [(path[-1].trial.after, path) for _, _, path in chosen]
        return dict.fromkeys((False, True), [] if together == [] else self._together(state, judgement))

    def _together(self, state: SiteState, judgement: Judgement) -> list[Proof]:
        """The fewest changes proposed for one finding that clear it together and make nothing grave worse."""
        pool = [each for each in candidates(Bench(state), judgement) if not each.hides]
        left, keeps = partial(self._left_of, state, judgement), lambda after: not given_up(state, after)
        known = partial(self._known.after, state)
        asked = Asked(left, keeps, few, self.tried, self._end_of(_TOGETHER))
        search = LeastCost(Changes(state, pool), [1.0] * len(pool), [0] * len(pool), asked, WORK * _TOGETHER, _TIES, known)
        search.run()
        path: list[Proof] = []
        for step in search.best or ():
            proof = self.prove(path[-1].trial.after if path else state, step)
            if proof is None:
                return []
            path.append(proof)
        return path

    def _left_of(self, state: SiteState, judgement: Judgement, after: SiteState) -> list[Key]:
        """A finding, where it is not cleared, and what is worse than in that state at a level that has to be cleared."""
        key, trial = (judgement.rule.id, judgement.subject.subject), state.to(after)
        worse = [harm.key for harm in worse_by(trial) if harm.level in self.counted]
        known = {*self.wanted(after), *(each for part in after.parts.values() for each in _opened(part))}
        stays = key in known or not cleared_how(trial, key, judgement).named
        return list(dict.fromkeys(([key] if stays else []) + worse))

    def _end_of(self, trials: int) -> Callable[[], bool]:
        """Whether so many trials from now are made, or all."""
        end = self.trials + trials
        return lambda: self.trials >= end or self.spent

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
            return RAN_OUT if not pace.stopped() else f"{pace.STOPPED} before a change was found"
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


class _Goal:
    """One finding to be cleared, with what may come in its place: a feed that no longer collapses may still
    have too little voltage, and a collapse may show at another camera of the same cables.
    """

    def __init__(self, search: Stepping, state: SiteState, judgement: Judgement) -> None:
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

    def brought(self, state: SiteState) -> Judgement | None:
        """The worst of what fails on the way and did not when it began, whatever its topic."""
        return min((each for key, each in self.search.wanted(state).items() if key not in self.known), key=_room, default=None)

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

    def _is_beside(self, proof: Proof) -> bool:
        after = proof.trial.after
        return self.left(after) is None and len(self.search.wanted(after)) <= len(self.known) and self._sound(proof)

    def nearer(self, tried: list[Proof], judgement: Judgement) -> Iterator[tuple[float, Proof]]:
        """Changes that bring it nearer to its limit and break nothing of another topic, with the room then; and those that
        clear it and break something else, with none.
        """
        now = _room(judgement)
        for proof in tried:
            if self._is_beside(proof):
                yield -math.inf, proof
                continue
            still = self.left(proof.trial.after)
            counted = [harm.key for harm in proof.harms if harm.level in self.search.counted]
            if still is not None and all(rule.startswith(f"{self.topic}/") for rule, _ in counted):
                room = _room(still)
                if math.isfinite(room) and (room > now or still.rule.id != judgement.rule.id):
                    yield room, proof


def few(steps: Sequence[Candidate]) -> tuple[float, ...]:
    """How good a few steps are: how many, and how much they disturb."""
    return len(steps), sum(map(trouble, steps))


def trouble(step: Candidate) -> int:
    """How much a change disturbs: a setting 1, a moved plug 2, a cable 3, a device 4, a new run 5."""
    return 5 if step.metres is not None else step.disruption + 1


def _opened(part: Part) -> Iterator[Key]:
    """What is open in a part of a site."""
    for judgement in part.judged.judgements:
        if judgement.kind == "open":
            yield judgement.rule.id, judgement.subject.subject


def _room(judgement: Judgement) -> float:
    """The margin of a finding; without end below where its rule states none."""
    room = margin(judgement)
    return -math.inf if room is None else room
