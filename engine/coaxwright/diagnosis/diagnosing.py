"""A diagnosis of a site: what explains what is seen, what was ruled out, and what to measure next."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from coaxwright.diagnosis.knowledge import load_knowledge
from coaxwright.diagnosis.measuring import Bench, Step, chances, left_or_wider, steps
from coaxwright.diagnosis.observing import Measured, read_measured, read_seen
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


@immutable
class Explained:
    """A suspect as it is told: how likely against the others, the edit that puts it in, and what rules then find."""

    suspect: Suspect
    chance: float
    patch: tuple[Change, ...]
    finds: tuple[Finding, ...]


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
    return Explained(suspect, chance, patch, tuple(each for each in new if _near(search, suspect, each)))


def _key(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.subject, finding.kind


def _near(search: Search, suspect: Suspect, finding: Finding) -> bool:
    """Of the site as drawn, what is found of the subjects of what is seen; of an edit, all that is new and fails, notes apart."""
    if suspect.members:
        return finding.kind == "fail" and finding.level != "note"
    subjects = {each.subject for each in search.seen}
    return finding.kind == "fail" and any(finding.subject == each or finding.subject.startswith(f"{each}/") for each in subjects)


