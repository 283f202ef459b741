"""Sets of causes that explain what is seen: each cause is tried on the site in all its degrees, the engine judges what it
leads to, and the least sets of which each symptom has a cause are judged once more together.

Which devices can have to do with a symptom is asked of the graph of needs (`topology.needs`): what the cameras that show
it stand on, and nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field
from itertools import combinations, product
from typing import Any

from coaxwright import pace
from coaxwright.diagnosis.forms import Cause
from coaxwright.diagnosis.knowledge import WORKS, Knowledge, value_of
from coaxwright.diagnosis.observing import Seen, shows
from coaxwright.diagnosis.trying import Document, both, tried
from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.fixes.rejudging import SiteState
from coaxwright.immutable import immutable
from coaxwright.reading.site_reader import with_value
from coaxwright.topology.failures import Failures
from coaxwright.topology.wiring import build_topology

MOST_TOGETHER = 3
"""Causes in one set at most."""
MOST_WIDENED = 120
"""Sets that are tried where everything simpler is contradicted."""
MOST_JUDGED = 40
"""Degrees of a set that are judged at most."""


@immutable
class Degree:
    """One way in which a cause, or a set, may stand in the site: the document and the facts that follow from it."""

    value: Document
    facts: Facts


Shown = tuple[Degree, frozenset[int]]
"""A degree, and the places of what shows in it."""


@immutable
class Candidate:
    """A cause at a device, with the degrees in which it shows something of what is seen.

    `explains` are places in the list of what is seen. A cause that no edit shows has the site as drawn as its degree.
    """

    cause: str
    subject: str
    degrees: tuple[Shown, ...]
    explains: frozenset[int]


@immutable
class Suspect:
    """Causes that together explain all that is seen, and every degree in which they do. Empty: the site as drawn does."""

    members: tuple[Candidate, ...]
    degrees: tuple[Degree, ...]
    weight: float

    @property
    def key(self) -> frozenset[tuple[str, str]]:
        """Its causes, each with its device."""
        return frozenset((each.cause, each.subject) for each in self.members)


Touches = Callable[[Suspect], bool]
"""Whether a suspect changes something of what was measured."""


@immutable
class Search:
    """A site as drawn, what is known, and what is seen there. `memo`, `candidates` and `wider` hold what was worked out."""

    known: Knowledge
    state: SiteState
    seen: tuple[Seen, ...]
    memo: dict[Any, Any] = field(default_factory=dict)
    candidates: list[Candidate] = field(default_factory=list)
    wider: dict[frozenset[tuple[str, str]], Suspect | None] = field(default_factory=dict)

    @property
    def drawn(self) -> Degree:
        """The site as drawn."""
        return Degree(self.state.value, self.state.facts)

    @property
    def wanted(self) -> frozenset[int]:
        """Places of what has to be explained."""
        return frozenset(place for place, each in enumerate(self.seen) if each.symptom != WORKS)

    def shown(self, degree: Degree) -> frozenset[int]:
        """Places of what shows in a degree."""
        return frozenset(place for place, each in enumerate(self.seen) if shows(self.known, degree.facts, each))

    def allowed(self, shown: frozenset[int], drawn: frozenset[int]) -> bool:
        """Whether all that is said to work does; what does not on paper already tells nothing."""
        works = {place for place, each in enumerate(self.seen) if each.symptom == WORKS}
        return works & drawn <= shown


def suspects_of(search: Search) -> list[Suspect]:
    """All least sets of up to three causes that explain what is seen, the likeliest first."""
    drawn = search.shown(search.drawn)
    if search.wanted <= drawn:
        return [Suspect((), (search.drawn,), 1.0)]
    found = list[Suspect]()
    candidates = _all_candidates(search, drawn)
    for size in range(1, MOST_TOGETHER + 1):
        for chosen in combinations(candidates, size):
            if _lacking(chosen, search.wanted, drawn) or any(each.key <= _key(chosen) for each in found):
                continue
            suspect = _together(search, chosen, drawn)
            if suspect is not None:
                found.append(suspect)
    return sorted(found, key=lambda each: (-each.weight, sorted(each.key)))


def wider_suspects(search: Search, fallen: Sequence[Suspect], left: Sequence[Suspect], touches: Touches) -> list[Suspect]:
    """Sets that hold one of the fallen, which what was measured contradicts, and one cause more that by itself changes something
    of what was measured: what shows nothing of its own hides behind the first.

    No set that holds one of those left, and none larger than the smallest of them. The likeliest `MOST_WIDENED` are tried.
    """
    drawn, most = search.shown(search.drawn), min((len(each.members) for each in left), default=MOST_TOGETHER)
    bases = [each for each in fallen if len(each.members) < most]
    more = [each for each in _all_candidates(search, drawn) if touches(alone(each))] if bases else []
    sets = {_key(chosen): chosen for base in bases for each in more if len(chosen := _with(base, each)) > len(base.members)}
    new = [chosen for key, chosen in sets.items() if not any(each.key <= key for each in left)]
    likely = sorted(new, key=lambda chosen: (-_weight(search, chosen), sorted(_key(chosen))))[:MOST_WIDENED]
    return [each for chosen in likely if (each := _once(search, chosen, drawn)) is not None]


def alone(candidate: Candidate) -> Suspect:
    """A cause by itself, whether or not it explains all that is seen."""
    return Suspect((candidate,), tuple(degree for degree, _ in candidate.degrees), 1.0)


def _with(base: Suspect, more: Candidate) -> tuple[Candidate, ...]:
    known = (more.cause, more.subject) in base.key
    return base.members if known else (*base.members, more)


def _all_candidates(search: Search, drawn: frozenset[int]) -> list[Candidate]:
    """Every cause that explains something of what is seen, worked out once."""
    if not search.candidates:
        search.candidates.extend(each for each in _candidates(search, drawn) if each.explains - drawn)
    return search.candidates


def _once(search: Search, chosen: Sequence[Candidate], drawn: frozenset[int]) -> Suspect | None:
    key = _key(chosen)
    if key not in search.wider:
        search.wider[key] = _together(search, chosen, drawn)
    return search.wider[key]


def _key(chosen: Iterable[Candidate]) -> frozenset[tuple[str, str]]:
    return frozenset((each.cause, each.subject) for each in chosen)


def _lacking(chosen: Sequence[Candidate], wanted: frozenset[int], drawn: frozenset[int]) -> bool:
    """Whether a set leaves something out whatever the degree of each."""
    return not wanted - drawn <= frozenset().union(*(each.explains for each in chosen))


def _together(search: Search, chosen: Sequence[Candidate], drawn: frozenset[int]) -> Suspect | None:
    """The set as one suspect, where the engine finds all that is seen with it in the site."""
    told = frozenset().union(*(each.explains for each in chosen if not search.known.causes[each.cause].tries))
    kept = list[Degree]()
    for degree, shown in _degrees(search, chosen, search.wanted - told - drawn):
        if search.wanted <= shown | told and search.allowed(shown, drawn):
            kept.append(degree)
    return Suspect(tuple(chosen), tuple(kept), _weight(search, chosen)) if kept else None


def _weight(search: Search, chosen: Sequence[Candidate]) -> float:
    """How often the set is met against others: the product of the weights of its causes, each as a share of all."""
    return math.prod(search.known.causes[each.cause].weight / _whole(search.known) for each in chosen)


def _degrees(
    search: Search, chosen: Sequence[Candidate], needed: frozenset[int]
) -> Iterator[tuple[Degree, frozenset[int]]]:
    """The degrees of a set in which each thing that is needed shows with one of its causes by itself, with what shows."""
    for parts in product(*_thinned([each.degrees for each in chosen])):
        if not needed <= frozenset().union(*(shown for _, shown in parts)):
            continue
        if len(parts) == 1:
            yield parts[0]
        elif (degree := _joined(search, [each for each, _ in parts])) is not None:
            yield degree, search.shown(degree)


def _thinned(axes: Sequence[Sequence[Shown]]) -> list[list[Shown]]:
    """So many degrees of each cause that no more than `MOST_JUDGED` go together, spread over all of them, both ends kept."""
    left = [len(axis) for axis in axes]
    while math.prod(left) > MOST_JUDGED and max(left) > 2:
        left[left.index(max(left))] -= 1
    return [
        [axis[round(place * (len(axis) - 1) / max(1, many - 1))] for place in range(many)]
        for axis, many in zip(axes, left, strict=True)
    ]


def _whole(known: Knowledge) -> float:
    return sum(each.weight for each in known.causes.values())


def _joined(search: Search, parts: Sequence[Degree]) -> Degree | None:
    value = parts[0].value
    for part in parts[1:]:
        value = both(search.state.value, value, part.value)
    return judged(search, value)


def judged(search: Search, value: Document) -> Degree | None:
    """The site with a document in the place of its own; None where it makes no site."""
    try:
        site = with_value(search.state.loaded, dict(value))
        memo = search.memo if value.get("assume") == search.state.value.get("assume") else None
        return Degree(value, compute_facts(site, build_topology(site), memo))
    except Refusal:
        return None


def _candidates(search: Search, drawn: frozenset[int]) -> Iterator[Candidate]:
    """Every cause at every device that can have to do with what is seen."""
    near = devices_behind(search)
    for name, cause in pace.counted(list(search.known.causes.items()), "causes"):
        for subject in _places(search, cause, near):
            candidate = _tried(search, name, cause, subject) if cause.tries else _told(search, name, subject)
            if candidate.explains:
                yield candidate


def _tried(search: Search, name: str, cause: Cause, subject: str) -> Candidate:
    kept = list[tuple[Degree, frozenset[int]]]()
    for each in cause.tries:
        for value in tried(each, search.state.value, subject, search.state.loaded, search.state.facts):
            degree = judged(search, value)
            shown = search.shown(degree) if degree is not None else frozenset[int]()
            if degree is not None and shown & search.wanted:
                kept.append((degree, shown))
    by_rows = _by_rows(search, name, subject)
    if by_rows and not kept:
        return Candidate(name, subject, ((search.drawn, frozenset(by_rows)),), by_rows)
    explains = frozenset().union(*(shown for _, shown in kept)) & search.wanted
    return Candidate(name, subject, tuple(kept), explains)


def _told(search: Search, name: str, subject: str) -> Candidate:
    """A cause that no edit shows: what its rows say."""
    explains = _by_rows(search, name, subject)
    return Candidate(name, subject, ((search.drawn, search.shown(search.drawn)),), explains)


def _by_rows(search: Search, name: str, subject: str) -> frozenset[int]:
    """What rows say that a cause leads to, of symptoms that no fact tells, or where the cause cannot be tried."""
    rows = {row.symptom for row in search.known.rows_of(name)}
    tries = bool(search.known.causes[name].tries)
    return frozenset(
        place for place, each in enumerate(search.seen)
        if each.symptom in rows and subject in (each.subject, "site")
        and not (tries and search.known.symptoms[each.symptom].when)
    )  # fmt: skip


def _places(search: Search, cause: Cause, near: Sequence[str]) -> Iterator[str]:
    """Devices of that kind that can have to do with it."""
    for sheet in search.state.facts.by_kind(cause.about):
        subject = sheet.subject
        device = subject.rpartition("/")[0] if cause.about == "disk_group" else subject
        fits = cause.when is None or value_of(cause.when, cause.about, sheet) is True
        if fits and (subject == "site" or subject in near or device in near or cause.afar):
            yield subject


def devices_behind(search: Search) -> list[str]:
    """Everything that the subjects of what is seen stand on, and they themselves: cameras, and by the graph of needs
    outputs, supplies, junctions and recorders.
    """
    failures = Failures(search.state.site, build_topology(search.state.loaded).lists)
    found = dict.fromkeys(each.subject for each in search.seen)
    for each in search.seen:
        group, _, name = each.subject.partition("/")
        cameras = [name] if group == "cameras" else []
        if group in ("supplies", "recorders"):
            cameras = list(failures.lost_with(each.subject).dark)
            found.update(dict.fromkeys(f"cameras/{camera}" for camera in cameras))
        for camera in cameras:
            found.update(dict.fromkeys(sorted(failures.needs.before_recorder(camera))))
            recorder = failures.needs.recorder_of(camera)
            found.update({f"recorders/{recorder}": None} if recorder else {})
    return list(found)
