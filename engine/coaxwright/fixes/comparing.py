"""Whether one judged state of a site is worse than another: the one comparison behind every proven change.

Both sides are all judgements that did not pass, by rule and subject; a rule and subject that neither side holds
passed or did not apply. Worse is

- a fail where nothing failed before (it passed, did not apply, was open, or the subject is new);
- an open judgement where there was none. It has the level of its rule: what nobody can judge is no mended fault
  (`beginning` has the one exception);
- a fail that failed before, with less room or at a higher level.

Better is never set against worse: each harm stands on its own. A waiver that is no longer needed is no harm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from coaxwright.findings import LEVELS
from coaxwright.immutable import immutable
from coaxwright.rulebook import judging
from coaxwright.rulebook.judging import Judgement

Key = tuple[str, str]
"""Rule id and subject path: what a finding is known by."""
LESS_ROOM = 1e-6
"""A margin has to fall by more than this to count: below it, two orders of the same sums differ."""


@dataclass(eq=False)
class Stood:
    """One judgement that did not pass, as it stands on a site: its level there, and whether somebody waived it."""

    judgement: Judgement
    level: str
    waived: bool = False

    @property
    def opened(self) -> bool:
        """Whether a fact is missing, so that nobody knows."""
        return self.judgement.kind == "open"

    @cached_property
    def margin(self) -> float | None:
        """The room left as a share; None where its rule states none."""
        return judging.margin(self.judgement)


@immutable
class Harm:
    """One thing that got worse: `fails` newly, is `open` newly, or has less room than before (`less-room`).

    `missing` is what is to be stated where it counts a level lower (`beginning`).
    """

    how: Literal["fails", "open", "less-room"]
    rule: str
    subject: str
    level: str
    margin_before: float | None = None
    margin_after: float | None = None
    missing: tuple[str, ...] = ()

    @property
    def key(self) -> Key:
        """Rule and subject."""
        return self.rule, self.subject


Stands = Mapping[Key, Stood]


def standing_of(judgements: Iterable[Judgement], levels: Mapping[str, str], waived: Iterable[Key] = ()) -> Stands:
    """Judgements that did not pass by key. `levels` are those that differ from the rule's own."""
    answered = frozenset(waived)
    return {
        (key := (each.rule.id, each.subject.subject)): Stood(
            each, levels.get(each.rule.id, each.rule.level), key in answered
        )
        for each in judgements
        if each.kind in ("fail", "open", "fault")
    }


def harms(before: Stands, after: Stands) -> Iterator[Harm]:
    """All that got worse from one state to the other, worst level first."""
    found = [harm for key, now in after.items() if (harm := _harm(key, before.get(key), now)) is not None]
    return iter(sorted(found, key=lambda harm: (LEVELS.index(harm.level), harm.rule, harm.subject)))


def _harm(key: Key, was: Stood | None, now: Stood) -> Harm | None:
    if now.opened:
        return Harm("open", *key, now.level) if was is None or not was.opened else None
    if was is None or was.opened or (was.waived and not now.waived):
        return None if now.waived else Harm("fails", *key, now.level)
    return Harm("less-room", *key, now.level, was.margin, now.margin) if _has_less_room(was, now) else None


def _has_less_room(was: Stood, now: Stood) -> bool:
    """Whether a finding that failed before fails worse: at a higher level, or by more."""
    if LEVELS.index(now.level) < LEVELS.index(was.level):
        return True
    return was.margin is not None and now.margin is not None and was.margin - now.margin > LESS_ROOM


def is_below(level: str, other: str) -> bool:
    """Whether a level is less grave than another: a note than a warning, that than an error."""
    return LEVELS.index(level) > LEVELS.index(other)


def gravest(levels: Iterable[str]) -> str | None:
    """The gravest of some levels; None of none."""
    return min(levels, key=LEVELS.index, default=None)
