"""Better steps in the places of a set: of the settings that would do as well, the one with which more can be cleared or kept.

Steps are chosen one after the other, so an early one may bar a later: a camera that was switched to the family without sound
over the coax has none to be taken there. After the search for the best set each step that is a setting or a moved plug is
weighed against the others that the same finding proposes, and what can be cleared then is. So sets are found too that are as
good for the search and that it had no time to look at.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coaxwright.fixes.candidates.bench import MOVE, Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.giving_up import given_up
from coaxwright.fixes.rejudging import Trial
from coaxwright.fixes.settled_losses import picture_lost
from coaxwright.fixes.stepping import RAN_OUT, Stepping, trouble

_PASSES = 2
_EXCHANGES = 150
"""Trials in which steps are exchanged."""


@dataclass
class Polishing(Stepping):
    """A repair under way whose steps can be exchanged."""

    def _polished(self, steps: list[Candidate]) -> list[Candidate]:
        """The set with better settings, and with what can be cleared with them; the same where none is better."""
        self.stage = self.trials + _EXCHANGES
        for _ in range(_PASSES):
            known, self.stuck = self.stuck, {}
            better = self._by_steps(by_count=False, steps=self._swapped(steps))
            if self._stand(better) >= self._stand(steps):
                self.stuck = known
                break
            steps, self.stuck = better, {key: why for key, why in self.stuck.items() if why != RAN_OUT}
        self.stage = math.inf
        return steps

    def _swapped(self, steps: list[Candidate]) -> list[Candidate]:
        now = self._stand(steps)
        for place in range(len(steps)):
            for other in self._instead(steps[place]):
                if self.spent:
                    return steps
                changed = [*steps[:place], other, *steps[place + 1 :]]
                stand = self._stand(changed)
                if stand < now:
                    steps, now = changed, stand
        return steps

    def _instead(self, step: Candidate) -> Iterator[Candidate]:
        """Settings and moved plugs that some finding proposes together with a step, and that disturb no more."""
        found: dict[str, Candidate] = {}
        for judgement in self.wanted(self.start).values():
            proposed = [each for each in candidates(Bench(self.start), judgement) if not each.hides]
            if any(each.patch == step.patch for each in proposed):
                found |= {repr(each.patch): each for each in proposed if each.patch != step.patch}
        yield from (each for each in found.values() if each.disruption <= MOVE and trouble(each) <= trouble(step))

    def _stand(self, steps: Sequence[Candidate]) -> tuple[float, ...]:
        """How a set stands, the less the better: what is left and what is worse, then as `worth`. Without end where it cannot be
        made, or gives up a need.
        """
        patch = tuple(operation for step in steps for operation in step.patch)
        proof = self.prove(self.start, Candidate("", patch, max((step.disruption for step in steps), default=0)))
        if proof is None or given_up(self.start, proof.trial.after):
            return (math.inf,)
        after, cost = proof.trial.after, proof.cost.amount
        open_ends = len(self.left(after)) + len(self.harmful(after))
        return open_ends, *self.worth(steps, cost, proof.trial)

    def worth(self, steps: Sequence[Candidate], cost: float | None, trial: Trial) -> tuple[float, ...]:
        """How good a set is, the less the better: how many changes, money (the other way round where the cheapest is wanted),
        then recorded pictures that are lost, edits, and disruption.
        """
        amount = math.inf if cost is None else cost
        first = (len(steps), amount) if self.prefer == "fewest" else (amount, len(steps))
        edits, troubles = sum(len(step.patch) for step in steps), sum(map(trouble, steps))
        return *first, round(picture_lost(trial), 2), edits, troubles
