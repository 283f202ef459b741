"""A guided diagnosis as one page: a broken site, what the customer says, what can be measured, suspects that fall away.

The program puts a fault into a sound site, or the trainer names one for a site of his own; everything that a learner can
measure is computed beforehand, and the page needs no engine. The score is the time spent against that of the best course
found: the fewest minutes after which no more suspects are left than can be told apart.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Any

from coaxwright.checking import facts_of
from coaxwright.course.pages import scrolled, whole
from coaxwright.diagnosis.diagnosing import Diagnosis, diagnosis_of
from coaxwright.diagnosis.knowledge import WORKS, Knowledge, load_knowledge
from coaxwright.diagnosis.measuring import Bench, Spot, left_by
from coaxwright.diagnosis.observing import Measured, Reading, Seen, reading_of, shows
from coaxwright.diagnosis.suspects import Degree, Search, Suspect, judged
from coaxwright.diagnosis.telling import headline, reading
from coaxwright.diagnosis.trying import tried
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.rejudging import start
from coaxwright.immutable import immutable
from coaxwright.quiz.tables import Table
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.reading.suggest import did_you_mean
from coaxwright.rulebook.library import Rulebook
from coaxwright.show.markup import Markup, tag

LEAST_SUSPECTS = 3
MOST_TRIES = 60
MOST_SPOTS = 14
HINT, WRONG = 5, 20
"""Minutes that a hint and a wrong repair cost."""


@immutable
class Case:
    """A broken site: the diagnosis as it begins, the true suspect in one degree, and what every measurement shows."""

    diagnosis: Diagnosis
    true: Suspect
    degree: Degree
    shown: Mapping[Spot, Reading]

    @property
    def known(self) -> Knowledge:
        """What is known of causes."""
        return self.diagnosis.search.known

    def falls(self, spot: Spot) -> list[int]:
        """Places of the suspects that a measurement excludes."""
        suspects = [each.suspect for each in self.diagnosis.causes]
        left = {
            each.key for each in left_by(self.diagnosis.bench, suspects, [Measured(spot[1], spot[0], self.shown[spot])])
        }
        return [place for place, each in enumerate(suspects) if each.key not in left]


def make_case(loaded: LoadedSite, rulebook: Rulebook, seed: int, cause: str = "", symptom: str = "") -> Case:
    """A case on a site that is sound as drawn, of one cause or one symptom where it is named.

    Raises Refusal where none comes out, or a name is not known.
    """
    known, draw = load_knowledge(), random.Random(f"case/{seed}")
    if cause and cause not in known.causes:
        right = did_you_mean(cause, known.causes) or "`coaxwright diagnose --symptoms` tells of all"
        raise Refusal([Problem("case", f"there is no cause `{cause}`", right)])
    if symptom and symptom not in known.symptoms:
        right = did_you_mean(symptom, known.symptoms) or "`coaxwright diagnose --symptoms` tells of all"
        raise Refusal([Problem("case", f"there is no symptom `{symptom}`", right)])
    names = [cause] if cause else _causes(known, symptom)
    state = start(loaded, rulebook=rulebook)
    for _ in range(MOST_TRIES):
        case = _drawn(Search(known, state, ()), draw, draw.choice(names), symptom) if names else None
        if case is not None:
            return case
    raise Refusal(
        [Problem(loaded.file, "no fault here leaves several suspects to choose from", "try another seed, cause or symptom")]
    )


def _causes(known: Knowledge, symptom: str) -> list[str]:
    """Causes that can be put in: of a symptom those that lead to it."""
    rows = {row.cause for row in known.rows if row.symptom == symptom}
    return [name for name, each in known.causes.items() if each.tries and (name in rows or not symptom)]


def case_of_own(loaded: LoadedSite, broken: LoadedSite, rulebook: Rulebook, seed: int, symptom: str = "") -> Case:
    """A case of the trainer's own: the site as drawn, and the same with a fault put in by hand. Every reading is that of the
    broken site; what is right to name is whatever suspects are left when all is measured.

    Raises Refusal where nothing new shows on the broken site, no known cause explains it, or readings contradict all of them.
    """
    known, draw = load_knowledge(), random.Random(f"case/{seed}")
    bare = Search(known, start(loaded, rulebook=rulebook), ())
    degree = Degree(dict(broken.document.value), facts_of(broken))
    new = _new(bare, degree, symptom)
    if not new:
        what, right = "shows no symptom that the sound site does not", "put in a fault that a customer would notice"
        raise Refusal([Problem(broken.file, what, right)])
    found = diagnosis_of(Search(known, bare.state, (draw.choice(new), *_working(bare, degree))))
    suspects = [each.suspect for each in found.causes]
    shown = {spot: value for spot in found.bench.spots() if (value := _own_reading(found.bench, degree, spot)) is not None}
    left = left_by(found.bench, suspects, [Measured(at, name, value) for (name, at), value in shown.items()])
    if not left:
        what = "what would be measured here contradicts every known cause" if suspects else "no known cause explains this site"
        raise Refusal([Problem(broken.file, what, "`coaxwright diagnose --symptoms` tells of all causes")])
    return Case(found, left[0], degree, shown)


def _own_reading(bench: Bench, degree: Degree, spot: Spot) -> Reading | None:
    """What would be measured on a broken site; what no fact tells is left out, since nobody knows what was done there."""
    return None if bench.known.measurements[spot[0]].reads is None else reading_of(bench.known, degree.facts, *spot)


def _new(bare: Search, degree: Degree, symptom: str = "") -> list[Seen]:
    """What shows in a degree, and not as drawn: of one symptom where it is named."""
    asked = (seen for seen in _all_seen(bare) if symptom in ("", seen.symptom))
    return [
        seen for seen in asked if shows(bare.known, degree.facts, seen) and not shows(bare.known, bare.drawn.facts, seen)
    ]


def _drawn(bare: Search, draw: random.Random, name: str, symptom: str = "") -> Case | None:
    """One draw: a device, a degree, a symptom that it shows. None where fewer than three suspects explain it."""
    put = _put_in(bare, draw, name)
    if put is None:
        return None
    subject, degree = put
    new = _new(bare, degree, symptom)
    if not new:
        return None
    search = Search(bare.known, bare.state, (draw.choice(new), *_working(bare, degree)))
    found = diagnosis_of(search)
    true = next((each.suspect for each in found.causes if each.suspect.key == {(name, subject)}), None)
    if true is None or len(found.causes) < LEAST_SUSPECTS:
        return None
    return Case(found, true, degree, dict(_readings(found.bench, true, degree)))


def _put_in(bare: Search, draw: random.Random, name: str) -> tuple[str, Degree] | None:
    cause = bare.known.causes[name]
    sheets = [sheet.subject for sheet in bare.state.facts.by_kind(cause.about)]
    if not sheets:
        return None
    subject = draw.choice(sheets)
    values = [
        value
        for each in cause.tries
        for value in tried(each, bare.state.value, subject, bare.state.loaded, bare.state.facts)
    ]
    degree = judged(bare, draw.choice(values)) if values else None
    return (subject, degree) if degree is not None else None


def _all_seen(search: Search) -> Iterator[Seen]:
    for name, symptom in search.known.symptoms.items():
        if name != WORKS and symptom.when:
            yield from (Seen(sheet.subject, name) for sheet in search.state.facts.by_kind(symptom.about))


def _working(search: Search, degree: Degree) -> list[Seen]:
    """One camera that works, if any does: customers say so."""
    cameras = [Seen(sheet.subject, WORKS) for sheet in search.state.facts.by_kind("camera")]
    return [each for each in cameras if shows(search.known, degree.facts, each)][:1]


def _readings(bench: Bench, true: Suspect, degree: Degree) -> Iterator[tuple[Spot, Reading]]:
    """What can be measured: what tells suspects apart first, then what does not, up to a screenful."""
    for spot in bench.spots():
        value = bench.reading(true, degree, spot)
        if value is not None:
            yield spot, value


def best_course(case: Case) -> tuple[Spot, ...]:
    """The measurements of least time that leave as few suspects as all of them together do, found by search up to four."""
    falls = {spot: frozenset(case.falls(spot)) for spot in case.shown}
    goal = frozenset().union(*falls.values()) if falls else frozenset[int]()
    useful = [spot for spot in falls if falls[spot]]
    chosen = [
        each
        for size in range(5)
        for each in combinations(useful, size)
        if frozenset().union(*(falls[spot] for spot in each)) == goal
    ]
    return min(chosen, key=lambda each: (minutes(case, each), each), default=tuple(useful))


def minutes(case: Case, spots: Sequence[Spot]) -> float:
    """The time that measurements take."""
    return sum(case.known.measurements[name].minutes for name, _ in spots)


def case_page(case: Case) -> str:
    """The whole page."""
    site = case.diagnosis.search.state.site.site
    return whole(
        f"Case: {site}", [*told(case), site_table(case), *_work(case)], "case.js", data_case=json.dumps(case_data(case))
    )


def told(case: Case) -> Iterator[Markup]:
    """What the customer says, with a caution."""
    search = case.diagnosis.search
    lines = []
    for seen in search.seen:
        name = seen.subject.rpartition("/")[2]
        lines.append(f"{name}: {search.known.symptoms[seen.symptom].says}")
    yield tag("section", tag("h2", "What the customer says"), tag("ul", [tag("li", line) for line in lines]))
    yield tag(
        "p",
        "Nobody opens a supply or works at height in this case. On a real site such work is for competent persons "
        "under local wiring rules, and what is found needs review.",
        class_="caution",
    )


def site_table(case: Case) -> Markup:
    """The plan as drawn."""
    value = case.diagnosis.search.state.value
    rows = [
        (name, str(each.get("part", "")), _way(each.get("power"), "from"), _way(each.get("video"), "into"))
        for name, each in (value.get("cameras") or {}).items()
    ]
    supplies = [
        (name, str(each.get("part", "")), str(each.get("trim") or "as it comes"))
        for name, each in (value.get("supplies") or {}).items()
    ]
    return tag(
        "section",
        tag("h2", "The plan"),
        scrolled(
            Table("plan", "Cameras as drawn", ("camera", "model", "power", "video"), tuple(rows)), "cameras as drawn"
        ),
        scrolled(Table("plan", "Supplies as drawn", ("supply", "model", "trim"), tuple(supplies)), "supplies as drawn"),
    )


def _way(path: Mapping[str, Any] | None, end: str) -> str:
    if not path:
        return "none"
    runs = ", ".join(
        f"{hop.get('length', '?')} {hop.get('cable') or hop.get('box', '')}" for hop in path.get("over") or ()
    )
    return f"{path[end]} over {runs}" if runs else str(path[end])


def _work(case: Case) -> Iterator[Markup]:
    yield tag(
        "p", "Time spent: ", tag("b", "0", id="spent"), " minutes. A suspect falls only where every value it could give "
        "contradicts what was measured.", class_="note script", hidden=True,
    )  # fmt: skip
    measures = [tag("li", _measure(case, place, spot)) for place, spot in enumerate(offered(case))]
    yield tag("section", tag("h2", "What do you look at or measure next?"), tag("ul", measures, class_="options"))
    hint = tag("button", f"Hint (costs {HINT} minutes)", id="hint", type="button")
    yield tag("div", hint, tag("span", "", id="hinted", role="status"), class_="row script", hidden=True)
    suspects = [
        tag("li", _suspect(headline(each.suspect, case.known), place))
        for place, each in enumerate(case.diagnosis.causes)
    ]
    yield tag("section", tag("h2", "Suspects: which one is it?"), tag("ul", suspects, class_="options"))
    yield tag("div", "", class_="said", id="verdict", role="status", tabindex="-1")
    answer = tag("p", f"It is: {headline(case.true, case.known)}.")
    yield tag("details", tag("summary", "For those who read this without a script"), answer, class_="plain")


def _measure(case: Case, place: int, spot: Spot) -> list[Markup]:
    words = tag("b", case.known.measurements[spot[0]].says), f", {spot[1]} ({minutes(case, [spot]):g} min)"
    button = tag("button", words, class_="measure", type="button", data_spot=str(place))
    return [button, tag("div", "", class_="said", role="status")]


def _suspect(words: str, place: int) -> list[Markup]:
    button = tag("button", words, class_="suspect", type="button", data_suspect=str(place))
    return [button, tag("span", "", class_="quiet")]


def offered(case: Case) -> list[Spot]:
    """Measurements offered, in the order of the knowledge: all that exclude something, and others up to a screenful."""
    telling = [spot for spot in case.shown if case.falls(spot)]
    others = [spot for spot in case.shown if spot not in telling]
    chosen = set([*telling, *others][:MOST_SPOTS])
    return [spot for spot in case.shown if spot in chosen]


def case_data(case: Case) -> dict[str, Any]:
    """What the script needs. A learner who reads the source finds the answer there: it is an exercise, not an exam."""
    known, best = case.known, best_course(case)
    return {
        "spots": [
            {
                "says": reading(known, name, case.shown[name, subject]),
                "minutes": known.measurements[name].minutes,
                "how": known.measurements[name].how,
                "falls": case.falls((name, subject)),
            }
            for name, subject in offered(case)
        ],
        "true": [place for place, each in enumerate(case.diagnosis.causes) if each.suspect.key == case.true.key],
        "alike": _alike(case),
        "repairs": [
            " ".join(known.causes[each.cause].repair for each in told.suspect.members) for told in case.diagnosis.causes
        ],
        "costs": {"hint": HINT, "wrong": WRONG},
        "best": {
            "minutes": minutes(case, best),
            "says": [f"{known.measurements[name].says}, {at}" for name, at in best],
        },
    }


def _alike(case: Case) -> list[int]:
    """Suspects that no measurement here tells from the true one: naming one of them is right too, since one looks at both."""
    fallen = {place for spot in case.shown for place in case.falls(spot)}
    return [place for place in range(len(case.diagnosis.causes)) if place not in fallen]
