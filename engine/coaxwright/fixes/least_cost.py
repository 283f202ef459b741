"""The cheapest set of changes that clears a site: what branch and bound chooses is tried by the engine, until a choice does.

A choice that does not do teaches cuts (`cutting`), which the next choices keep to. When a choice does, no set of the changes
considered costs less than the bound. Where no choice is left, no set clears everything: the fewest findings whose cuts alone
leave none are the conflict.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from coaxwright.errors import Refusal
from coaxwright.fixes.branching import Branching, Cut, Node, contradiction
from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.comparing import Key
from coaxwright.fixes.cutting import Changes, Learned
from coaxwright.fixes.patching import PatchError
from coaxwright.fixes.rejudging import SiteState

TIES = 60
"""Sets as good as the best that are tried besides, for the one that is cheaper or disturbs less."""
_CLOSE = 1e-6


class Asked(NamedTuple):
    """What a search asks of its site: what stands in the way in a state, how good a set is; one trial more; whether to stop."""

    left: Callable[[SiteState], list[Key]]
    keeps: Callable[[SiteState], bool]
    """Whether a state gives up no need. A change that does by itself is not considered."""
    worth: Callable[[list[Candidate]], tuple[float, ...]]
    tried: Callable[[], None]
    spent: Callable[[], bool]


@dataclass
class LeastCost:
    """One search over numbered changes. `weights` are what each adds to the first number of `worth`."""

    changes: Changes
    weights: Sequence[float]
    needs: Sequence[int]
    asked: Asked
    work: int
    ties: int = TIES
    known: Callable[[Candidate], SiteState | None] = lambda _: None
    """The site with one change alone, where that was tried already: it is no trial more."""
    best: list[Candidate] | None = None
    learned: list[Learned] = field(default_factory=list)
    tree: Branching = field(init=False)
    ended: bool = False
    """No choice is left that may be better than the best."""

    def __post_init__(self) -> None:
        """The tree over no cuts yet."""
        self.tree = Branching(self.weights, self.changes.bars, self.needs, self.work)

    @property
    def bound(self) -> float:
        """No set that clears everything has a smaller first number of `worth`."""
        return min(self.tree.bound, self._least)

    @property
    def _least(self) -> float:
        return math.inf if self.best is None else self.asked.worth(self.best)[0]

    def run(self) -> None:
        """Look until nothing better can be, or until it has to stop."""
        ties, root = self.ties, self.tree.chosen()
        if root is not None and not self._does(root):
            self.tree.again(root)
        while not self.asked.spent():
            least = self._least
            node = self.tree.chosen(least + _CLOSE if ties > 0 else least - _CLOSE)
            if node is None:
                self.ended = not self.tree.over
                return
            ties -= node.bound >= least - _CLOSE
            if not self._does(node):
                self.tree.again(node)

    def _does(self, node: Node) -> bool:
        """Whether a choice clears everything; where it does not, what it teaches is learned."""
        made = node.chosen
        chosen = self.changes.of(made)
        after = self.known(chosen[0]) if len(chosen) == 1 else None
        if made and after is None:
            self.asked.tried()
        after = after or self._after(chosen)
        left = self.asked.left(after) if after is not None else []
        if after is not None and not left and self.asked.keeps(after):
            if self.best is None or self.asked.worth(chosen) < self.asked.worth(self.best):
                self.best = chosen
            return True
        new = list(self.changes.learn(made, after, left)) if after is not None and left else [self.changes.refused(made)]
        self.learned += new
        self.tree.learn(each.cut for each in new)
        return False

    def _after(self, chosen: list[Candidate]) -> SiteState | None:
        """The site with these changes; None where it cannot be checked."""
        patch = [operation for candidate in chosen for operation in candidate.patch]
        if not patch:
            return self.changes.start
        try:
            return self.changes.start.after(patch).after
        except (Refusal, PatchError):
            return None

    def conflict(self) -> list[Key]:
        """The fewest findings that no choice clears together, where the search ended without any that clears all."""
        if not self.ended or self.best is not None:
            return []
        groups: dict[Key | None, list[Cut]] = {}
        for each in self.learned:
            groups.setdefault(each.key, []).append(each.cut)
        keys = [key for key in groups if key is not None]
        shared = groups.get(None, [])
        places = contradiction([[*shared, *groups[key]] for key in keys], self.changes.bars, self.needs, self.work)
        return [keys[place] for place in places]


def requirements(steps: Sequence[Candidate], pool: Sequence[Candidate], alone: Callable[[Candidate], bool]) -> Iterator[int]:
    """For each change of the pool those that have to go with it: a later step of a plan that cannot be made by itself needs the
    steps before it.
    """
    bit = {id(candidate): 1 << number for number, candidate in enumerate(pool)}
    before, found = 0, {}
    for step in steps:
        found[id(step)] = 0 if alone(step) else before
        before |= bit[id(step)]
    yield from (found.get(id(candidate), 0) for candidate in pool)
