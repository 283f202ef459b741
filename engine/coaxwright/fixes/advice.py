"""What to do about the findings of a site: proven fixes for each, or the reason why there are none."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

from coaxwright import pace
from coaxwright.checking import load_rulebook
from coaxwright.findings import LEVELS, Finding, Fix, Report, SiteReport, TextEdit
from coaxwright.fixes.candidates.bench import Bench
from coaxwright.fixes.candidates.words import candidates, to_be_bought, to_be_done
from coaxwright.fixes.patching import PatchError
from coaxwright.fixes.proving import (
    TRIES,
    Proof,
    fix_of,
    harm_words,
    level_of,
    measured,
    proof_of,
    proofs_and_harmful,
    shown,
)
from coaxwright.fixes.rejudging import SiteState, start
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.site_reader import read_site
from coaxwright.rulebook.cautions import joined
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.suggestions import suggestions

SHOWN = 3
"""Fixes shown for one finding."""


@dataclass(frozen=True)
class Advice:
    """One finding with its proven fixes, best first; `why` says why there is none."""

    finding: Finding
    fixes: tuple[Fix, ...]
    why: str
    best: Proof | None = None


def advise(
    state: SiteState, *, level: str = "error", on: str = "", tries: int = TRIES, most: int = SHOWN
) -> Iterator[Advice]:
    """Advice on every finding of at least that level (and on that subject or rule, where `on` names one).

    `tries` candidates are tried for each finding at most.
    """
    judgements = failing(state)
    for finding in pace.counted(state.report().findings, "findings looked into"):
        judgement = judgements.get(finding.key)
        if judgement is None or finding.kind != "fail" or finding.waived or not _counts(finding, level):
            continue
        if on in ("", finding.subject, finding.rule):
            yield advice_on(state, finding, judgement, tries, most)


def _counts(finding: Finding, level: str) -> bool:
    return LEVELS.index(finding.level) <= LEVELS.index(level)


def failing(state: SiteState) -> dict[tuple[str, str], Judgement]:
    """Every failed judgement of a site, by rule and subject."""
    return {
        (judgement.rule.id, judgement.subject.subject): judgement
        for part in state.parts.values()
        for judgement in part.judged.judgements
        if judgement.kind == "fail"
    }


def advice_on(state: SiteState, finding: Finding, judgement: Judgement, tries: int, most: int) -> Advice:
    """Advice on one finding."""
    found, harmful = proofs_and_harmful(state, judgement, tries)
    key, level = finding.key, level_of(state, judgement)
    chosen = [measured(state, proof, key, level) for proof in shown(found, most)]
    fixes = tuple(fix_of(proof, judgement) for proof in chosen)
    why = "" if fixes else why_none(state, judgement, tries, harmful)
    finding = replace(finding, caution=joined(finding.caution, [care.name for fix in fixes for care in fix.cautions]))
    return Advice(finding, fixes, why, chosen[0] if chosen else None)


def why_none(state: SiteState, judgement: Judgement, tries: int, harmful: Sequence[Proof] = ()) -> str:
    """Why no fix is shown for a finding, in words. `harmful` are changes that clear it and harm as much elsewhere."""
    if pace.stopped():
        return f"{pace.STOPPED} before a change was found (`--time-limit`)"
    words = dict.fromkeys(each["do"].replace("_", " ") for each, _ in suggestions(judgement))
    if not words:
        return "nothing to be changed: its rule tells something to be known"
    if harmful:
        best = harmful[0]
        many = (
            f"each of the {len(harmful)} changes that clear it harms"
            if harmful[1:]
            else "the one change that clears it harms"
        )
        return f"{many} something else as much: `{best.candidate.title}` {harm_words(best.harms[0])}"
    if next(islice(candidates(Bench(state), judgement), tries, None), None) is not None:
        return f"none of the first {tries} changes tried clears it, and there are more (`--budget`)"
    left = {
        "not among the parts that the site knows": to_be_bought(Bench(state), judgement),
        "left to a person": to_be_done(Bench(state), judgement),
    }
    what = "".join(f"; {where}: {', or '.join(told)}" for where, told in left.items() if told)
    return f"no single change within the catalogue clears it; tried: {', '.join(words)}{what}"


def with_fixes(
    report: Report, rule_folders: Sequence[Path], tries: int, today: datetime.date | None = None, prices: Sequence[Path] = ()
) -> Report:
    """The report with proven fixes in place of those that rules declare; the site files are read again, with these price
    files where they name none.
    """
    rulebook = load_rulebook(rule_folders)
    sites = tuple(
        _fixed(site, start(read_site(site.file, prices=prices), rulebook=rulebook, today=today), tries) for site in report.sites
    )
    return replace(report, sites=sites)


def _fixed(site: SiteReport, state: SiteState, tries: int) -> SiteReport:
    proven = {each.finding.key: each for each in advise(state, level="note", tries=tries)}
    findings = tuple(
        replace(finding, fixes=tuple(with_edit(state, fix) for fix in each.fixes), caution=each.finding.caution)
        if (each := proven.get(finding.key)) else finding
        for finding in site.findings
    )
    return replace(site, findings=findings)


def with_edit(state: SiteState, fix: Fix) -> Fix:
    """The change with its edit of the file's text; as it was where the layout cannot be edited in place."""
    old = state.basis.loaded.document.text
    try:
        new = edited(state.basis.loaded.document, fix.patch).text
    except PatchError:
        return fix
    start = _alike(old, new)
    tail = _alike(old[start:][::-1], new[start:][::-1])
    return replace(fix, edit=TextEdit(start, len(old) - tail, new[start : len(new) - tail]))


def _alike(one: str, other: str) -> int:
    """How many characters two texts begin with alike."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((place for place, (mine, theirs) in pairs if mine != theirs), min(len(one), len(other)))


def best_of_each(state: SiteState, *, level: str, on: str, tries: int) -> tuple[list[Proof], list[Advice]]:
    """The best fix of every finding in turn, each proven on the site as changed so far, and what has none.

    A fix that harms anything of that level, against the site as it was too, or gives up a need is left to the person.
    """
    taken: list[Proof] = []
    left: dict[tuple[str, str], Advice] = {}
    now = state
    while True:
        advice = next(
            (each for each in advise(now, level=level, on=on, tries=tries) if each.finding.key not in left), None
        )
        if advice is None:
            return taken, list(left.values())
        best = advice.best
        if best is None or best.gives_up or _harms(state, best, level):
            left[advice.finding.key] = advice
        else:
            taken.append(best)
            now = best.trial.after


def _harms(start: SiteState, proof: Proof, level: str) -> bool:
    """Whether something of that level is worse than before, or than on the site as it was."""
    counted = LEVELS[: LEVELS.index(level) + 1]
    whole = proof_of(start.to(proof.trial.after), proof.candidate)
    return any(harm.level in counted for harm in (*proof.harms, *whole.harms))
