"""What does not pass on a site, and what of it reacts to an edit: only that hangs on what the edit moves.

A judgement reacts when it comes to something else, or leaves another margin, compares other values or asks for
something else. A finding that no value of a number moves is not that number's business.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.fixes.patching import Patch, PatchError
from coaxwright.fixes.proving import LEVELS, Key, waivers_in_force
from coaxwright.fixes.rejudging import SiteState, Trial
from coaxwright.immutable import immutable
from coaxwright.rulebook.judging import Judgement, margin, values

SLACK = 1e-6
"""A margin that falls by no more than this is no worse."""


@immutable
class Reading:
    """A judgement that does not pass: what it came to, at what level, and what it was made of."""

    kind: str
    level: str
    waived: bool
    margin: float | None
    values: Mapping[str, Any]
    missing: tuple[str, ...]


Readings = dict[Key, Reading]


def readings(state: SiteState, judgements: Iterable[Judgement], level: str) -> Readings:
    """What does not pass among these judgements, of rules of at least that level on this site."""
    waived, counted = waivers_in_force(state), LEVELS[: LEVELS.index(level) + 1]
    found: Readings = {}
    for each in judgements:
        key = (each.rule.id, each.subject.subject)
        own = state.basis.settings.level(each.rule)
        if own in counted:
            found[key] = Reading(each.kind, own, key in waived, margin(each), values(each), each.missing)
    return found


def both_sides(trial: Trial, level: str) -> tuple[Readings, Readings]:
    """What does not pass before and after, in the components that were judged again."""
    before, after = (readings(state, trial.judgements(state), level) for state in (trial.before, trial.after))
    return before, after


def tried(state: SiteState, patch: Patch) -> Trial | None:
    """An edit tried; None where it is refused."""
    try:
        return state.after(patch)
    except (Refusal, PatchError):
        return None


def reacting(before: Readings, after: Readings) -> set[Key]:
    """What did not pass before and is not the same after."""
    return {key for key, each in before.items() if after.get(key) != each}


def worse(before: Readings, after: Readings) -> set[Key]:
    """What fails or is open after, and was better before: passed, did not apply, was open and fails now, failed by
    less, or failed and is open now (which mends nothing).
    """
    return {key for key, each in after.items() if not each.waived and _is_worse(before.get(key), each)}


def _is_worse(was: Reading | None, now: Reading) -> bool:
    if was is None or was.kind != now.kind:
        return True
    return was.margin is not None and now.margin is not None and now.margin < was.margin - SLACK
