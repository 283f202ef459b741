"""What a trial of changes teaches: why they do not do, as cuts over all changes that are considered.

What stands in the way of a set is a judgement that was not cleared, or got worse. It has read some entries (`reads`), and stays
as it is under every other set that differs from this one only in changes that touch none of those: so every set that does has
another of the changes that do, or lacks one of those that were made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from coaxwright.fixes.branching import Cut, bits
from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.comparing import Key
from coaxwright.fixes.components import Entry
from coaxwright.fixes.patching import pointer_steps
from coaxwright.fixes.reads import Cone, Written, cone_of, written_names
from coaxwright.fixes.rejudging import SiteState, judgement_of
from coaxwright.rulebook.judging import Judgement

Place = tuple[str, ...]


class Learned(NamedTuple):
    """A cut with what it was learned from: the changes `made`, and the judgement in the way (None: the site was refused)."""

    cut: Cut
    made: int
    key: Key | None


@dataclass(frozen=True)
class Changes:
    """All changes that are considered for one site, numbered in their order."""

    start: SiteState
    pool: Sequence[Candidate]
    written: list[Written] = field(init=False)
    names: Mapping[Entry, frozenset[str]] = field(init=False)
    bars: list[int] = field(init=False)
    _reached: dict[Cone, int] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """What each writes, and which write the same."""
        object.__setattr__(self, "written", [Written(candidate) for candidate in self.pool])
        object.__setattr__(self, "names", written_names(self.start.value))
        object.__setattr__(self, "bars", _bars([places(candidate) for candidate in self.pool]))

    @property
    def all(self) -> int:
        """All of them as bits."""
        return (1 << len(self.pool)) - 1

    def of(self, made: int) -> list[Candidate]:
        """Changes by their bits, in order."""
        return [self.pool[bit.bit_length() - 1] for bit in bits(made)]

    def refused(self, made: int) -> Learned:
        """That these do not do as they are: they cannot be checked, or give up a need. One alone is not considered then."""
        alone = made.bit_count() == 1
        return Learned(Cut(made, 0 if alone else self.all & ~made), made, None)

    def learn(self, made: int, after: SiteState, left: Sequence[Key]) -> Iterator[Learned]:
        """A cut for each judgement that stands in the way after these changes."""
        found = {
            (judgement.rule.id, judgement.subject.subject): judgement
            for part in after.parts.values()
            for judgement in part.judged.judgements
        }
        for key in left:
            touching = self._touching(cone_of(after, found.get(key) or _any_judgement(after, key)), made)
            yield Learned(Cut(made & touching, touching & ~made), made, key)

    def _touching(self, cone: Cone, made: int) -> int:
        """Changes that may touch what was read, after those that were made."""
        mask = self._reached.get(cone)
        if mask is None:
            mask = self._reached[cone] = self._mask(cone, range(len(self.written)), self.names)
        moved: dict[Entry, frozenset[str]] = {}
        for bit in bits(made):
            change = self.written[bit.bit_length() - 1]
            for entry, _ in change.fields:
                moved[entry] = moved.get(entry, self.names.get(entry, frozenset())) | change.names
        again = [place for place, change in enumerate(self.written) if not mask >> place & 1 and change.entries & moved.keys()]
        return mask | self._mask(cone, again, moved)

    def _mask(self, cone: Cone, numbers: Sequence[int], names: Mapping[Entry, frozenset[str]]) -> int:
        return sum(1 << number for number in numbers if cone.reached_by(self.written[number], names))


def _any_judgement(state: SiteState, key: Key) -> Judgement | None:
    """How a rule judges what stands in the way without failing; None where there is no such subject any more."""
    rule = next((each for each in state.basis.rules if each.id == key[0]), None)
    return None if rule is None else judgement_of(state, rule, key[1])


def places(candidate: Candidate) -> frozenset[Place]:
    """Where a change writes; of what goes into a list or out of it, the list."""
    found = set()
    for operation in candidate.patch:
        path = pointer_steps(operation["path"])
        moves = operation["op"] != "replace" and path[-1:] and (path[-1] == "-" or path[-1].isdecimal())
        found.add(path[:-1] if moves else path)
    return frozenset(found)


def _bars(written: Sequence[frozenset[Place]]) -> list[int]:
    """For each change those that write the same place, or one within it or around it."""
    at: dict[Place, int] = {}
    within: dict[Place, int] = {}
    for number, each in enumerate(written):
        for path in each:
            at[path] = at.get(path, 0) | 1 << number
            for end in range(len(path)):
                within[path[:end]] = within.get(path[:end], 0) | 1 << number
    found = []
    for number, each in enumerate(written):
        mask = 0
        for path in each:
            mask |= within.get(path, 0)
            for end in range(len(path) + 1):
                mask |= at.get(path[:end], 0)
        found.append(mask & ~(1 << number))
    return found

