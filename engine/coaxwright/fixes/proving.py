"""Proof of candidates: each is applied to a copy of the site and judged; only what was seen is told.

A fix clears a finding when the rule that failed on that subject passes or no longer applies there; a finding
that becomes open is not cleared. What a fix newly breaks is told of each fix, and ranks it below those that
break nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.findings import Fix
from coaxwright.fixes.candidates.bench import NEED, Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.components import GROUPS, Entry
from coaxwright.fixes.costs import Cost, cost_of_change
from coaxwright.fixes.patching import PatchError, pointer_steps
from coaxwright.fixes.rejudging import SiteState, Trial, judgement_of
from coaxwright.immutable import immutable
from coaxwright.rulebook import judging
from coaxwright.rulebook.builtin import UNUSED
from coaxwright.rulebook.judging import Judgement

Key = tuple[str, str]
"""Rule id and subject path: what a finding is known by."""
LEVELS = ("error", "warning", "note")
TRIES = 400
"""Candidates tried for one finding unless another budget is given."""


@immutable
class Standing:
    """What does not pass in a part of a site: `fails` by key with their levels, and what is `open`.

    What is waived counts for neither.
    """

    fails: Mapping[Key, str]
    open: frozenset[Key]


@immutable
class Proof:
    """What trying a candidate showed. `cleared`, `introduced` and `opened` are findings."""

    candidate: Candidate
    trial: Trial
    cleared: tuple[Key, ...]
    introduced: Mapping[Key, str]
    opened: tuple[Key, ...]
    cost: Cost
    order: int

    @property
    def rank(self) -> tuple[Any, ...]:
        """Best first: mends, breaks nothing, fewest edits, least cost, least disruption, order of the generator."""
        broken = tuple(sum(level == each for each in self.introduced.values()) for level in LEVELS)
        amount = math.inf if self.cost.amount is None else self.cost.amount
        return (
            self.candidate.hides,
            *broken[:2],
            len(self.opened) > 0,
            len(self.candidate.patch),
            amount,
            self.candidate.disruption,
            broken[2],
            self.order,
        )


def standing(state: SiteState, judgements: Iterable[Judgement]) -> Standing:
    """What these judgements come to under the site's levels and waivers."""
    waived = waivers_in_force(state)
    fails: dict[Key, str] = {}
    opened = set()
    for judgement in judgements:
        key = (judgement.rule.id, judgement.subject.subject)
        if key in waived:
            continue
        if judgement.kind == "open":
            opened.add(key)
        else:
            fails[key] = state.basis.settings.level(judgement.rule)
    return Standing(fails, frozenset(opened))


def waivers_in_force(state: SiteState) -> set[Key]:
    """Findings that somebody answers for on the day of the check."""
    today = state.basis.today
    waivers = state.basis.settings.waivers
    return {(rule, each.on) for _, rule, each in waivers if each.until is None or each.until >= today}


def difference(trial: Trial) -> tuple[Standing, Standing]:
    """What stood before and what stands after in the components that were judged again; waivers that no longer
    answer for anything among it.
    """
    before, after = (standing(state, trial.judgements(state)) for state in (trial.before, trial.after))
    idle = [_idle_waivers(trial, state) for state in (trial.before, trial.after)]
    return (
        Standing({**before.fails, **idle[0]}, before.open),
        Standing({**after.fails, **idle[1]}, after.open),
    )


def _idle_waivers(trial: Trial, state: SiteState) -> dict[Key, str]:
    """Waivers of the touched components that match nothing in one state, but do in the other."""
    used = [
        {(each.rule.id, each.subject.subject) for each in trial.judgements(one) if each.kind != "fault"}
        for one in (trial.before, trial.after)
    ]
    here = {(each.rule.id, each.subject.subject) for each in trial.judgements(state) if each.kind != "fault"}
    in_force = waivers_in_force(state)
    return {
        (UNUSED.id, f"waivers/{place}"): UNUSED.level
        for place, rule, waiver in state.basis.settings.waivers
        if (key := (rule, waiver.on)) in in_force and key in used[0] | used[1] and key not in here
    }


def prove(state: SiteState, candidate: Candidate, order: int = 0) -> Proof | None:
    """What a candidate does; None where the edited site cannot be checked."""
    try:
        trial = state.after(candidate.patch)
    except (Refusal, PatchError):
        return None
    before, after = difference(trial)
    cleared = tuple(sorted(key for key in before.fails if key not in after.fails and key not in after.open))
    introduced = {key: level for key, level in sorted(after.fails.items()) if key not in before.fails}
    opened = tuple(sorted(after.open - before.open))
    changed = changed_entries(candidate)
    cost = cost_of_change(state.site, trial.after.site, changed, state.basis.loaded.catalogue)
    return Proof(candidate, trial, cleared, introduced, opened, cost, order)


def changed_entries(candidate: Candidate) -> set[Entry]:
    """Entries that a candidate's patch goes into."""
    found: set[Entry] = set()
    for operation in candidate.patch:
        steps = pointer_steps(operation["path"])
        if steps[0] in GROUPS and len(steps) > 1:
            found.add((steps[0], steps[1]))
        elif steps[0] in GROUPS:
            found |= {(steps[0], name) for name in operation.get("value", {})}
    return found


def proofs(state: SiteState, judgement: Judgement, tries: int = TRIES) -> list[Proof]:
    """Candidates that clear a finding, best first; at most `tries` are tried."""
    key = (judgement.rule.id, judgement.subject.subject)
    found = []
    for order, candidate in enumerate(candidates(Bench(state), judgement)):
        if order >= tries:
            break
        proof = prove(state, candidate, order)
        if proof is not None and key in proof.cleared:
            found.append(proof)
    return sorted(found, key=lambda proof: proof.rank)


def shown(found: list[Proof], most: int) -> list[Proof]:
    """The best of each kind of change, best first; then others where there is room. What breaks as much as it
    mends is left out while something better is there.
    """
    sound = [proof for proof in found if "error" not in proof.introduced.values()] or found
    firsts: dict[str, Proof] = {}
    for proof in sound:
        firsts.setdefault(proof.candidate.word, proof)
    chosen = sorted(firsts.values(), key=lambda proof: proof.rank)[:most]
    rest = [proof for proof in sound if proof not in chosen]
    return sorted([*chosen, *rest[: most - len(chosen)]], key=lambda proof: proof.rank)


def fix_of(proof: Proof, judgement: Judgement) -> Fix:
    """A proof as it is told of a finding."""
    subject = judgement.subject.subject
    return Fix(
        title=proof.candidate.title,
        patch=proof.candidate.patch,
        cost=proof.cost.amount,
        currency=proof.cost.currency,
        clears=tuple(" on ".join(key) for key in proof.cleared),
        introduces=tuple(f"{' on '.join(key)} ({level})" for key, level in proof.introduced.items()),
        stays_open=tuple(" on ".join(key) for key in _still_open(proof, subject)),
        margin=margin_after(proof.trial.after, judgement),
        hides=proof.candidate.disruption == NEED,
        proven=True,
    )


def _still_open(proof: Proof, subject: str) -> Iterator[Key]:
    """What is open on the subject after the change, and what the change opened."""
    _, after = difference(proof.trial)
    yield from sorted(key for key in after.open if key[1] == subject or key in proof.opened)


def margin_after(state: SiteState, judgement: Judgement) -> float | None:
    """The room that the rule leaves on this subject in another state; None where there is no such number."""
    now = judgement_of(state, judgement.rule, judgement.subject.subject)
    return None if now is None else judging.margin(now)
