"""How far each number of a subject can move before a rule fails, found by judging the site again and again.

How things stand comes first: what fails, and what is open, of all that hangs on the number. Then the number is
looked at on a grid of written values, the present one among them, and halved in between; nothing is assumed
about how a rule depends on it. What is told holds for every value that was tried, and a range ends at the first
one at which a judgement is worse than now.

Within a time limit (`pace`) the search stops with what it has: an end that was being looked for says so (`stopped`),
and a number of which not even the present value was judged whole is left out: `not_looked_into` names those.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.comparing import Key, Stands, Stood
from coaxwright.fixes.numbers import Number, numbers_of, without_lent
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Patch
from coaxwright.fixes.reacting import asking, both_sides, reacting, tried, worse
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.silences import Silences
from coaxwright.fixes.standard_sizes import conductors, disks
from coaxwright.reading.suggest import did_you_mean

GRID = 24
"""Values looked at on each side before halving."""


@dataclass(frozen=True)
class End:
    """One end of the range of a number that holds now: the last value that holds and the first that does not
    (None where all that was tried hold), with the rules that fail first and those that are open first. `again` is a
    value beyond at which all holds again.

    Of a number that fails now: the first value that holds (None where none was found), its neighbour that still
    fails, and in `beyond` how far it holds from there.

    `stopped`: the time was over before the two were a step apart (or before any value that fails was met).
    """

    holds: float | None
    fails: float | None
    rules: tuple[Key, ...]
    again: float | None = None
    opens: tuple[Key, ...] = ()
    beyond: End | None = None
    stopped: bool = False


@dataclass(frozen=True)
class Limit:
    """The range of one number. `now` names the rules that fail at the value as written, `open_now` those that
    cannot be judged there, `waived_now` those that fail and that somebody answers for: all that hang on the number.

    `silent_now` names those that are not judged while another rule fails, each with that rule.
    """


    number: Number
    now: tuple[Key, ...]
    down: End
    up: End
    open_now: tuple[Key, ...] = ()
    waived_now: tuple[Key, ...] = ()
    silent_now: Mapping[Key, str] = field(default_factory=dict)

    @property
    def stands(self) -> str:
        """`fails`, `open` (a fact is missing, or another rule that fails leaves nothing to ask) or `holds`."""
        return "fails" if self.now else "open" if self.open_now or self.silent_now else "holds"


@dataclass(frozen=True)
class Smallest:
    """The smallest standard size that holds: what it is of, the part, its size, and the present part's."""

    name: str
    part: str
    size: str
    now: str


def limits_of(
    state: SiteState, subject: str, level: str = "error", names: Sequence[str] = ()
) -> tuple[list[Limit], list[Smallest]]:
    """Ranges of all numbers of a subject, and smallest standard sizes; of the numbers that `names` names, those alone.

    Raises Refusal for no such subject, and no such number.
    """
    found = ranges_of(state, named(state, subject, names), level)
    return found, [] if names else list(smallest_sizes(state, subject, level))


def ranges_of(state: SiteState, numbers: Sequence[Number], level: str) -> list[Limit]:
    """The ranges of these numbers; those that the time was over for are missing."""
    parts = state.basis.loaded.catalogue.parts
    there = set(parts)
    silences = Silences(state, level)
    try:
        found = [_limit(state, number, level, silences) for number in pace.counted(numbers, "numbers looked into")]
    finally:
        for name in set(parts) - there:
            del parts[name]
    return [each for each in found if each is not None]


def named(state: SiteState, subject: str, names: Sequence[str]) -> list[Number]:
    """The numbers of a subject that are named, all where none is. Raises Refusal for a name that none of them has."""
    numbers = list(numbers_of(state, subject))
    known = [number.name for number in numbers]
    for name in names:
        if name not in known:
            right = did_you_mean(name, known) or f"its numbers: {', '.join(known) or 'none'}"
            raise Refusal([Problem(state.basis.loaded.file, f"{subject} writes no number `{name}`", right)])
    return [number for number in numbers if number.name in names or not names]


def not_looked_into(
    state: SiteState, subject: str, found: Iterable[Limit], names: Sequence[str] = ()
) -> list[Number]:
    """Numbers of a subject (those named alone) of which a search that was stopped by time tells nothing."""
    told = {limit.number.path for limit in found}
    return [number for number in named(state, subject, names) if number.path not in told]


def _limit(state: SiteState, number: Number, level: str, silences: Silences) -> Limit | None:
    """The range of one number; None where the time was over before it was known how it stands."""
    walk = None if pace.out_of_time() else _Walk(state, number, level, silences)
    return walk.limit() if walk is not None and walk.stood else None


Broken = tuple[tuple[Key, ...], tuple[Key, ...]]
"""What fails and what is open at a value: both empty where it holds."""


class _Walk:
    """The search for both ends of one number."""

    def __init__(self, state: SiteState, number: Number, level: str, silences: Silences) -> None:
        self.state, self.number, self.level, self.silences = state, number, level, silences
        self._sides: dict[str, tuple[Stands, Stands] | None] = {}
        self.standing = self._standing()
        self.stood = not pace.stopped()
        self.now = self._of("fail", "fault")
        self.silent_now = self._silent()
        self.open_now = self._of("open")

    def limit(self) -> Limit:
        """How it stands, and both ends; from a value that fails already, where it begins to hold."""
        waived = tuple(sorted(key for key, each in self.standing.items() if each.waived))
        down, up = self._end(self.number.least), self._end(self.number.most)
        return Limit(self.number, self.now, down, up, self.open_now, waived, self.silent_now)

    def _silent(self) -> Mapping[Key, str]:
        """What another rule keeps from being judged, of all that the number moves at its far ends.

        Where that rule fails by the number itself, a value that mends it lets the rest be judged: that is looked at anyway.
        """
        far = [values[-1] for end in (self.number.least, self.number.most) if (values := self._values(end))]
        trials = (tried(self.state, self.number.patch(self.state, value)) for value in far)
        found = self.silences.moved(trial.after for trial in trials if trial is not None)
        own = {rule for rule, _ in self.now}
        return {key: by for key, by in found.items() if by not in own}

    def _of(self, *kinds: str) -> tuple[Key, ...]:
        return tuple(
            sorted(key for key, each in self.standing.items() if each.judgement.kind in kinds and not each.waived)
        )

    def _standing(self) -> Stands:
        """What does not pass now and hangs on the number: it reacts when the number moves or is left out."""
        number = self.number
        sides = [self._tried(number.left_out(self.state))]
        values = [value for far in (number.least, number.most) for value in self._values(far)]
        sides += [self._at(value) for value in values if not pace.out_of_time()]
        found: dict[Key, Stood] = {}
        for before, after in (each for each in sides if each is not None):
            found.update((key, before[key]) for key in reacting(before, after))
        return found

    def _tried(self, patch: Patch) -> tuple[Stands, Stands] | None:
        trial = tried(self.state, patch)
        if trial is None:
            return None
        before, after = both_sides(trial, self.level)
        return before, {key: asking(each, _of_part(each)) for key, each in after.items()}

    def _at(self, value: float) -> tuple[Stands, Stands] | None:
        """What does not pass now and at another value; None where that is refused."""
        key = str(self.number.written(value))
        if key not in self._sides:
            self._sides[key] = self._tried(self.number.patch(self.state, value))
        return self._sides[key]

    def broken(self, value: float) -> Broken | None:
        """What is worse at this value than now; of what fails now, what is not mended. None: refused."""
        if value == self.number.value:
            return self.now, ()
        sides = self._at(value)
        if sides is None:
            return None
        before, after = sides
        bad = worse(before, after) | {key for key in self.now if key in after}
        fails = sorted(key for key in bad if not after[key].opened)
        return tuple(fails), tuple(sorted(bad.difference(fails)))

    def holds(self, value: float) -> bool:
        """Whether nothing is worse there, and all that fails now is mended."""
        return self.broken(value) == ((), ())

    def _end(self, far: float) -> End:
        """The end of the range on one side."""
        values = self._values(far)
        return self._mended(values) if self.now else self._last(self.number.value, values)

    def _last(self, start: float, values: list[float]) -> End:
        """How far it holds, from a value that does."""
        last = start
        for place, value in enumerate(values):
            if pace.out_of_time():
                return End(last, None, (), stopped=True)
            if self.broken(value) is None:
                break
            if not self.holds(value):
                holds, fails = self._halved(last, value, lambda middle: not self.holds(middle))
                further = itertools.takewhile(lambda _: not pace.out_of_time(), values[place + 1 :])
                again = next((each for each in further if self.holds(each)), None)
                rules, opens = self.broken(fails) or ((), ())
                return End(holds, fails, rules, again, opens, stopped=self._cut(holds, fails))
            last = value
        return End(last, None, ())

    def _mended(self, values: list[float]) -> End:
        """From where on it holds, and how far then; the last value that fails stands beside it."""
        last = self.number.value
        for place, value in enumerate(values):
            if pace.out_of_time():
                return End(None, None, self.now, stopped=True)
            if self.broken(value) is None:
                break
            if self.holds(value):
                fails, holds = self._halved(last, value, self.holds)
                beyond = self._last(value, values[place + 1 :])
                return End(holds, fails, (), beyond=beyond, stopped=self._cut(holds, fails))
            last = value
        return End(None, None, self.now)

    def _values(self, far: float) -> list[float]:
        """Whole steps from the present value to the far end, close together near it."""
        number, now = self.number, self.number.value
        rounded = dict.fromkeys(number.rounded(value) for value in _between(now, far))
        return [value for value in rounded if (value - now) * (far - now) > 0]

    def _halved(self, near: float, far: float, changed: Callable[[float], bool]) -> tuple[float, float]:
        """Two neighbouring steps between which the answer changes; `near` keeps it, at `far` it has changed.

        Once the time is over they are as near to each other as it got.
        """
        while self._apart(near, far) and not pace.out_of_time():
            middle = self.number.rounded((near + far) / 2)
            if not min(near, far) < middle < max(near, far):
                break
            near, far = (near, middle) if changed(middle) else (middle, far)
        return near, far

    def _apart(self, one: float, other: float) -> bool:
        """Whether there is a step between two values."""
        return abs(other - one) > self.number.step * 1.001

    def _cut(self, one: float, other: float) -> bool:
        """Whether the time was over before these two were a step apart."""
        return bool(pace.stopped()) and self._apart(one, other)


def _of_part(each: Stood) -> tuple[str, ...]:
    """What a judgement asks for, where a part that was lent stands for the part itself."""
    return tuple(map(without_lent, each.judgement.missing))


def _between(start: float, far: float) -> list[float]:
    """Values from the present one to the far end, close together near it: each step 1.3 times the one before."""
    gap, found = (far - start), list[float]()
    if not gap:
        return []
    share = 1.0 / 1.3**GRID
    while share < 1.0:
        found.append(start + gap * share)
        share *= 1.3
    return [*found, far]


def smallest_sizes(state: SiteState, subject: str, level: str) -> Iterator[Smallest]:
    """The thinnest conductor for a camera's or junction's power, and the smallest disks of a recorder."""
    entry = entry_of(subject)
    if entry[0] in ("cameras", "junctions"):
        yield from (Smallest(*found) for found in conductors(state, entry, level))
    elif entry[0] == "recorders":
        yield from (Smallest(*found) for found in disks(state, entry, level))


__all__ = ["End", "Limit", "Number", "Smallest", "limits_of", "named", "not_looked_into", "numbers_of", "ranges_of",
           "smallest_sizes"]
