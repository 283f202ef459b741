"""Proves what a rule's cases claim of its fixes: that a change of the named word clears the finding of the case."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.fixes.candidates.bench import Bench, Candidate
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.proving import TRIES, prove
from coaxwright.fixes.rejudging import SiteState, judgement_of, start
from coaxwright.model.rules import Case
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.library import LoadedRule, Rulebook


def claim_problems(rulebook: Rulebook, rule: LoadedRule, case: Case, loaded: LoadedSite) -> list[str]:
    """What does not hold of `fixed_by` and `clears` on the site of a case; nothing where all does.

    Every failing subject of the case has to be cleared by some change of the word `fixed_by.do`, applied to a copy
    and judged again, and with it every rule that `clears` names.
    """
    word = (case.fixed_by or {}).get("do", "")
    if not case.fails:
        return ["`fixed_by` needs a failing subject"]
    state = start(loaded, rulebook=rulebook)
    return [
        f"no change `{word}` clears {', '.join(sorted({rule.id, *case.clears}))} on {expected.on}"
        for expected in case.fails
        if not _cleared(state, judgement_of(state, rule, expected.on), word, {rule.id, *case.clears})
    ]


def _cleared(state: SiteState, judgement: Judgement | None, word: str, rules: set[str]) -> bool:
    """Whether some change of that word clears the judgement, and all `rules` somewhere with it."""
    if judgement is None:
        return False
    key = (judgement.rule.id, judgement.subject.subject)
    for candidate in _of_word(state, judgement, word):
        proof = prove(state, candidate)
        if proof is not None and proof.clears(key) and rules <= {name for name, _ in proof.cleared}:
            return True
    return False


def _of_word(state: SiteState, judgement: Judgement, word: str) -> Iterator[Candidate]:
    """Candidates of one word, as many as a fix would try."""
    for order, candidate in enumerate(candidates(Bench(state), judgement)):
        if order >= TRIES:
            return
        if candidate.word == word:
            yield candidate
