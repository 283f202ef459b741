"""Proof of candidates: each is applied to a copy of the site and judged; only what was seen is told.

A change is shown as proven only when it was judged and

1. the finding that it is for passes then, or does not apply for a reason that can be named: never because a fact is
   missing, never because its subject is gone;
2. nothing got worse (`comparing`), save at a level below the one cleared; that is said in words, and ranks after
   all that harms nothing;
3. no stated need is given up (`giving_up`), unless it is labelled so and stands last;
4. what a person loses without a rule's asking is named (`settled_losses`).

`fix`, `fix --all`, `what-if`, the cases of rules and the quiz all prove by these.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from coaxwright import pace
from coaxwright.errors import Refusal
from coaxwright.findings import LEVELS, Fix, Worsened
from coaxwright.fixes.beginning import eased
from coaxwright.fixes.candidates.bench import MOVE, NEED, SETTING, Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.cautions import cautions_of
from coaxwright.fixes.comparing import Harm, Key, Stands, harms, is_below, standing_of
from coaxwright.fixes.components import GROUPS, Entry
from coaxwright.fixes.costs import Cost, cost_of_change
from coaxwright.fixes.giving_up import given_up
from coaxwright.fixes.measuring import longest
from coaxwright.fixes.outcomes import Cleared, cleared_how
from coaxwright.fixes.patching import PatchError, pointer_steps
from coaxwright.fixes.rejudging import SiteState, Trial, judgement_of
from coaxwright.fixes.settled_losses import losses_of, picture_kept
from coaxwright.immutable import immutable
from coaxwright.rulebook import judging
from coaxwright.rulebook.builtin import UNUSED
from coaxwright.rulebook.judging import Judgement

__all__ = ["TRIES", "Key", "Proof", "Standing", "fix_of", "proofs", "prove", "standing"]
TRIES = 400
"""Candidates tried for one finding unless another budget is given."""


@immutable
class Standing:
    """What does not pass in a part of a site: `fails` by key with their levels, and what is `open`.

    What is waived counts for neither.
    """

    fails: Mapping[Key, str]
    open: frozenset[Key]


def standing(state: SiteState, judgements: Iterable[Judgement]) -> Standing:
    """What these judgements come to under the site's levels and waivers."""
    return _counted(stands(state, judgements))


def _counted(found: Stands) -> Standing:
    fails = {key: each.level for key, each in found.items() if not each.opened and not each.waived}
    return Standing(fails, frozenset(key for key, each in found.items() if each.opened and not each.waived))


def stands(state: SiteState, judgements: Iterable[Judgement]) -> Stands:
    """How these judgements stand under the site's levels and waivers."""
    return standing_of(judgements, state.basis.settings.levels, waivers_in_force(state))


def waivers_in_force(state: SiteState) -> set[Key]:
    """Findings that somebody answers for on the day of the check."""
    today = state.basis.today
    waivers = state.basis.settings.waivers
    return {(rule, each.on) for _, rule, each in waivers if each.until is None or each.until >= today}


def _idle_waivers(trial: Trial, state: SiteState) -> dict[Key, str]:
    """Waivers of the touched components that match nothing in one state, but do in the other."""
    in_force = waivers_in_force(state)
    if not in_force:
        return {}
    used = [
        {(each.rule.id, each.subject.subject) for each in trial.judgements(one) if each.kind != "fault"}
        for one in (trial.before, trial.after)
    ]
    here = {(each.rule.id, each.subject.subject) for each in trial.judgements(state) if each.kind != "fault"}
    return {
        (UNUSED.id, f"waivers/{place}"): UNUSED.level
        for place, rule, waiver in state.basis.settings.waivers
        if (key := (rule, waiver.on)) in in_force and key in used[0] | used[1] and key not in here
    }


def worse_by(trial: Trial) -> tuple[Harm, ...]:
    """All that got worse by an edit, the gravest level first."""
    before, after = (stands(state, trial.judgements(state)) for state in (trial.before, trial.after))
    return eased(trial, harms(before, after), after)


@dataclass(frozen=True, eq=False)
class Proof:
    """What trying a change showed: the site before, and the site with the whole of the change."""

    candidate: Candidate
    trial: Trial
    before: Stands
    after: Stands
    cost: Cost
    order: int = 0

    @cached_property
    def harms(self) -> tuple[Harm, ...]:
        """All that got worse, the gravest level first."""
        return eased(self.trial, harms(self.before, self.after), self.after)

    @cached_property
    def gone(self) -> tuple[Key, ...]:
        """Findings that failed and neither fail nor are open any more, whatever became of them."""
        return tuple(sorted(key for key in _counted(self.before).fails if key not in self.after))

    @property
    def lost(self) -> Mapping[Key, str]:
        """The levels of findings that failed and neither fail nor are open any more."""
        return {key: self.before[key].level for key in self.gone}

    @cached_property
    def cleared(self) -> tuple[Key, ...]:
        """Findings that are cleared: they pass, or do not apply for a reason that can be named."""
        return tuple(each.key for each in self.how if each.named)

    @cached_property
    def how(self) -> tuple[Cleared, ...]:
        """How each finding went that is gone."""
        return tuple(cleared_how(self.trial, key, self.before[key].judgement) for key in self.gone)

    @cached_property
    def opened(self) -> tuple[Key, ...]:
        """What is open and was not."""
        return tuple(sorted(harm.key for harm in self.harms if harm.how == "open"))

    @cached_property
    def gives_up(self) -> tuple[str, ...]:
        """Stated needs that are dropped or lowered."""
        found = given_up(self.trial.before, self.trial.after)
        return found or ((self.candidate.title,) if self.candidate.disruption == NEED else ())

    @cached_property
    def loses(self) -> tuple[str, ...]:
        """What a person loses although no rule asks for it."""
        return losses_of(self.trial)

    @cached_property
    def picture(self) -> float:
        """The share of its recorded picture that is left to the camera which loses most of it."""
        return picture_kept(self.trial)

    def clears(self, key: Key) -> bool:
        """Whether the finding is cleared; asked of one alone, since the whole list takes longer."""
        if key in self.after or key not in self.before:
            return False
        return cleared_how(self.trial, key, self.before[key].judgement).named

    def holds(self, level: str) -> bool:
        """Whether it may be shown for a finding of that level: all that gets worse is below it."""
        return all(is_below(harm.level, level) for harm in self.harms)

    @cached_property
    def rank(self) -> tuple[Any, ...]:
        """Best first: gives up nothing, harms nothing, loses least, least cost, least disruption, fewest edits, order of
        the generator. How many lines of the file a change touches says little of the work on site, so it stands late.
        """
        harmed = tuple(sum(harm.level == level for harm in self.harms) for level in LEVELS)
        amount = math.inf if self.cost.amount is None else self.cost.amount
        return (
            self.candidate.hides or bool(self.gives_up),
            *harmed,
            len(self.loses),
            amount,
            self.candidate.disruption,
            len(self.candidate.patch),
            self.order,
        )


def prove(state: SiteState, candidate: Candidate, order: int = 0) -> Proof | None:
    """What a candidate does; None where the edited site cannot be checked."""
    try:
        trial = state.after(candidate.patch)
    except (Refusal, PatchError):
        return None
    return proof_of(trial, candidate, order)


def proof_of(trial: Trial, candidate: Candidate, order: int = 0) -> Proof:
    """What a trial of a candidate showed."""
    state = trial.before
    before, after = (stands(one, trial.judgements(one)) for one in (state, trial.after))
    cost = cost_of_change(state.site, trial.after.site, changed_entries(candidate), state.basis.loaded.catalogue)
    return Proof(candidate, trial, before, after, cost, order)


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


def level_of(state: SiteState, judgement: Judgement) -> str:
    """The level of a judgement on its site."""
    return str(state.basis.settings.level(judgement.rule))


def proofs(state: SiteState, judgement: Judgement, tries: int = TRIES) -> list[Proof]:
    """Candidates that are proven for a finding, best first; at most `tries` are tried."""
    return proofs_and_harmful(state, judgement, tries)[0]


def proofs_and_harmful(state: SiteState, judgement: Judgement, tries: int) -> tuple[list[Proof], list[Proof]]:
    """Candidates that are proven for a finding, and those that clear it but harm as much elsewhere; best first."""
    key, level = (judgement.rule.id, judgement.subject.subject), level_of(state, judgement)
    found: list[Proof] = []
    harmful: list[Proof] = []
    for order, candidate in enumerate(candidates(Bench(state), judgement)):
        if order >= tries or pace.out_of_time():
            break
        proof = prove(state, candidate, order)
        if proof is not None and proof.clears(key):
            (found if proof.holds(level) else harmful).append(proof)
    found.sort(key=lambda proof: proof.rank)
    harmful.sort(key=lambda proof: (sum(not is_below(harm.level, level) for harm in proof.harms), proof.order))
    return found, harmful


def shown(found: list[Proof], most: int) -> list[Proof]:
    """The best of each kind of change, best first; then others where there is room."""
    firsts: dict[str, Proof] = {}
    for proof in found:
        firsts.setdefault(proof.candidate.word, proof)
    fuller = list(_fuller(firsts, found))
    chosen = [*sorted(firsts.values(), key=lambda proof: proof.rank)[: max(1, most - len(fuller))], *fuller][:most]
    # A second address, input or trim of the same kind tells a person nothing; a second cable or device may.
    rest = [proof for proof in found if proof not in chosen and _may_repeat(proof.candidate)]
    return sorted([*chosen, *rest[: most - len(chosen)]], key=lambda proof: proof.rank)


MUCH_MORE = 1.5
"""Times as many picture elements as the best setting keeps, from which on another one is worth showing beside it."""


def _fuller(firsts: Mapping[str, Proof], found: Iterable[Proof]) -> Iterator[Proof]:
    """Of each kind of setting the one that keeps most of the picture, where the best keeps far less of it.

    What harms nothing stands first, even where it costs most of the picture: what costs less is shown beside it.
    """
    for word, first in firsts.items():
        if first.candidate.disruption == SETTING:
            most = max((each for each in found if each.candidate.word == word), key=lambda each: each.picture)
            if most.picture > MUCH_MORE * first.picture and bool(most.gives_up) == bool(first.gives_up):
                yield most


def _may_repeat(candidate: Candidate) -> bool:
    return candidate.disruption > MOVE and candidate.word != "larger_battery"


def measured(state: SiteState, proof: Proof, key: Key, level: str) -> Proof:
    """The same change proven up to a length, where it has a run whose length nobody gave."""
    if proof.candidate.lay is None:
        return proof
    known = {proof.candidate.title: proof}

    def holds(candidate: Candidate) -> bool:
        tried = prove(state, candidate, proof.order)
        if tried is not None:
            known[candidate.title] = tried
        return tried is not None and tried.clears(key) and tried.holds(level) and _no_more(tried, proof)

    candidate = longest(proof.candidate, holds)
    return known.get(candidate.title) or replace(proof, candidate=candidate)


def _no_more(proof: Proof, other: Proof) -> bool:
    """Whether a proof harms and gives up nothing that the other does not."""
    return {harm.key for harm in proof.harms} <= {harm.key for harm in other.harms} and proof.gives_up == other.gives_up


def fix_of(proof: Proof, judgement: Judgement) -> Fix:
    """A proof as it is told of a finding."""
    subject = judgement.subject.subject
    return replace(
        change_of(proof),
        stays_open=tuple(" on ".join(key) for key in _still_open(proof, subject)),
        margin=margin_after(proof.trial.after, judgement),
    )


def change_of(proof: Proof) -> Fix:
    """A proof as it is told of a change, whatever it is for."""
    after = proof.trial.after
    return Fix(
        title=proof.candidate.title,
        patch=proof.candidate.patch,
        cost=proof.cost.amount,
        currency=proof.cost.currency,
        clears=tuple(" on ".join(key) for key in proof.cleared),
        cleared_because=tuple(_because(proof)),
        harms=(*map(worsened, proof.harms), *_needless(proof)),
        stays_open=tuple(" on ".join(key) for key in proof.opened),
        gives_up=proof.gives_up,
        loses=proof.loses,
        hides=proof.candidate.disruption == NEED or bool(proof.gives_up),
        proven=True,
        up_to=proof.candidate.metres if proof.candidate.lay is None else None,
        cautions=cautions_of(after.site, after.basis.loaded.catalogue, proof.candidate.patch),
    )


def _because(proof: Proof) -> Iterator[str]:
    """Of each finding that does not apply any more, why not."""
    for each in proof.how:
        if each.reason:
            yield f"{' on '.join(each.key)}: {each.reason}"


def harm_words(harm: Harm) -> str:
    """What a change does to something else, as a phrase."""
    how = {"fails": "newly breaks", "open": "leaves unknown", "less-room": "makes worse"}[harm.how]
    unstated = f"; nobody states {' or '.join(harm.missing)}" if harm.missing else ""
    return f"{how} {' on '.join(harm.key)} ({harm.level}{unstated})"


def worsened(harm: Harm) -> Worsened:
    """A harm as it is told; no margin before where the judgement did not fail."""
    return Worsened(harm.rule, harm.subject, harm.level, harm.margin_before, harm.margin_after, harm.how, harm.missing)


def _needless(proof: Proof) -> Iterator[Worsened]:
    """Waivers that answer for nothing any more. Nothing got worse by that, so they are no harm; they are told with them."""
    before, after = (_idle_waivers(proof.trial, one) for one in (proof.trial.before, proof.trial.after))
    for key, level in sorted(after.items()):
        if key not in before:
            yield Worsened(*key, level, how="needless")


def _still_open(proof: Proof, subject: str) -> list[Key]:
    """What is open on the subject after the change, and what the change opened."""
    after = _counted(proof.after).open
    return sorted(key for key in after if key[1] == subject or key in proof.opened)


def margin_after(state: SiteState, judgement: Judgement) -> float | None:
    """The room that the rule leaves on this subject in another state; None where there is no such number."""
    now = judgement_of(state, judgement.rule, judgement.subject.subject)
    return None if now is None else judging.margin(now)
