"""What does not pass on a site, and what of it reacts to an edit: only that hangs on what the edit moves.

A judgement reacts when it comes to something else, or leaves another margin, compares other values or asks for
something else. A finding that no value of a number moves is not that number's business. What is worse than before is
for `comparing` to say.
"""

from __future__ import annotations

from dataclasses import replace

from coaxwright.errors import Refusal
from coaxwright.findings import LEVELS
from coaxwright.fixes.comparing import Key, Stands, Stood, harms
from coaxwright.fixes.patching import Patch, PatchError
from coaxwright.fixes.proving import stands
from coaxwright.fixes.rejudging import SiteState, Trial
from coaxwright.rulebook.judging import values


def tried(state: SiteState, patch: Patch) -> Trial | None:
    """An edit tried; None where it is refused."""
    try:
        return state.after(patch)
    except (Refusal, PatchError):
        return None


def both_sides(trial: Trial, level: str) -> tuple[Stands, Stands]:
    """What does not pass before and after, of rules of at least that level, in the components judged again."""
    counted = LEVELS[: LEVELS.index(level) + 1]
    before, after = (
        {key: each for key, each in stands(state, trial.judgements(state)).items() if each.level in counted}
        for state in (trial.before, trial.after)
    )
    return before, after


def reacting(before: Stands, after: Stands) -> set[Key]:
    """What did not pass before and is not the same after."""
    return {key for key, each in before.items() if key not in after or _made_of(after[key]) != _made_of(each)}


def _made_of(each: Stood) -> tuple[object, ...]:
    judgement = each.judgement
    return judgement.kind, each.level, each.waived, each.margin, values(judgement), judgement.missing


def asking(each: Stood, missing: tuple[str, ...]) -> Stood:
    """The same judgement asking for these facts."""
    return Stood(replace(each.judgement, missing=missing), each.level, each.waived)


def worse(before: Stands, after: Stands) -> set[Key]:
    """What is worse after."""
    return {harm.key for harm in harms(before, after)}
