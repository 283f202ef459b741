"""A diagnosis of a site: what explains what is seen, what was ruled out, and what to measure next."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from coaxwright.diagnosis.knowledge import checked, load_knowledge
from coaxwright.diagnosis.measuring import Bench, Step, chances, left_or_wider, steps
from coaxwright.diagnosis.observing import Measured, Seen, read_measured, read_seen
from coaxwright.diagnosis.suspects import Search, Suspect, suspects_of
from coaxwright.diagnosis.trying import Change, changes
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Finding
from coaxwright.fixes.rejudging import start
from coaxwright.immutable import immutable
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.rulebook.library import Rulebook

MOST_STEPS = 5
"""Measurements told of."""
COMMON = frozenset({"has_power", "has_video"})
"""Facts that nearly every symptom asks first: where they hold, they bring none."""


@immutable
class Explained:
    """A suspect as it is told: how likely against the others, the edit that puts it in, and what rules then find.

    `beside`: of the site as drawn, what fails there too and reads nothing that the symptoms read.
    """

    suspect: Suspect
    chance: float
    patch: tuple[Change, ...]
    finds: tuple[Finding, ...]
    beside: tuple[Finding, ...] = ()


@immutable
class Diagnosis:
    """What could be wrong. `bench` predicts; `excluded` are suspects that what was measured contradicts."""

    search: Search
    bench: Bench
    measured: tuple[Measured, ...]
    causes: tuple[Explained, ...]
    excluded: tuple[Suspect, ...]
    next: tuple[Step, ...]

    @property
    def drawn(self) -> bool:
        """Whether the site as drawn already shows what is seen."""
        return any(not each.suspect.members for each in self.causes)

    @property
    def stop(self) -> bool:
        """Whether work ends until an electrician has been."""
        return any(self.search.known.symptoms[each.symptom].stop for each in self.search.seen)


def diagnose(
    loaded: LoadedSite, seen: Sequence[str], measured: Sequence[str] = (), *,
    rulebook: Rulebook | None = None, today: datetime.date | None = None,
) -> Diagnosis:  # fmt: skip
    """What could cause what is seen on a site, in words such as `cameras/yard: no picture at night`.

    Raises Refusal where a symptom, a measurement or a subject is not known, or the site cannot be judged.
    """
    known, state = load_knowledge(), start(loaded, rulebook=rulebook, today=today)
    if not seen:
        raise Refusal([Problem("what was called", "nothing was seen", "--seen 'cameras/yard: no picture at night'")])
    subjects = state.facts.subjects()
    search = Search(known, state, tuple(dict.fromkeys(read_seen(each, known, subjects) for each in seen)))
    return diagnosis_of(search, tuple(read_measured(each, known, subjects) for each in measured))


def diagnosis_of(search: Search, measured: tuple[Measured, ...] = ()) -> Diagnosis:
    """The diagnosis of a search after some measurements."""
    bench, suspects = Bench(search), suspects_of(search)
    left = left_or_wider(bench, suspects, measured)
    kept = {each.key for each in left}
    told = [_explained(search, suspect, chance) for suspect, chance in zip(left, chances(left), strict=True)]
    done = [(each.measurement, each.subject) for each in measured]
    excluded = tuple(each for each in suspects if each.key not in kept)
    return Diagnosis(search, bench, measured, tuple(told), excluded, tuple(steps(bench, left, done)[:MOST_STEPS]))


def _explained(search: Search, suspect: Suspect, chance: float) -> Explained:
    first = suspect.degrees[0]
    patch = tuple(changes(search.state.value, first.value))
    before = {_key(each) for each in search.state.report().findings}
    found = search.state.with_value(dict(first.value)).after.report().findings
    new = found if not suspect.members else [each for each in found if _key(each) not in before]
    near = [each for each in new if _near(search, suspect, each)]
    brings = near if suspect.members else [each for each in near if _brings(search, each)]
    return Explained(suspect, chance, patch, tuple(brings), tuple(each for each in near if each not in brings))


def _brings(search: Search, finding: Finding) -> bool:
    """Whether a rule judges by a fact by which something of what is seen shows."""
    rule = search.state.basis.rulebook.by_id.get(finding.rule)
    if rule is None:
        return True
    reads = {path[-1] for each in (rule.require, rule.when) if each is not None for path in each.paths}
    return any(reads & _told_by(search, each) for each in search.seen)


def _told_by(search: Search, seen: Seen) -> set[str]:
    """Names of the facts that tell a symptom; of those that nearly all ask first, the ones that do not hold here."""
    symptom = search.known.symptoms[seen.symptom]
    sheet = search.state.facts.sheet(seen.subject, symptom.about)
    if symptom.when is None or sheet is None:
        return set()
    names = {path[-1] for path in checked(symptom.when, symptom.about).paths}
    return {each for each in names if each not in COMMON or sheet.known(each) is False}


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.subject, finding.kind


def _near(search: Search, suspect: Suspect, finding: Finding) -> bool:
    """Of the site as drawn, what is found of the subjects of what is seen; of an edit, all that is new and fails, notes apart."""
    if suspect.members:
        return finding.kind == "fail" and finding.level != "note"
    subjects = {each.subject for each in search.seen}
    return finding.kind == "fail" and any(finding.subject == each or finding.subject.startswith(f"{each}/") for each in subjects)


