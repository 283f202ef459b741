"""What would be measured under each suspect, which suspects a reading leaves, and what to measure next.

The next measurement is the one that is expected to tell most for its time: the information that its reading gives about
which suspect it is, in bits, over its minutes and the way there (Lindley 1956; Shannon's entropy). Readings within what a
meter can tell apart count as one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from coaxwright.diagnosis.knowledge import Knowledge
from coaxwright.diagnosis.observing import SITE, Measured, Reading, agree, reading_of
from coaxwright.diagnosis.suspects import Degree, Search, Suspect, devices_behind, wider_suspects
from coaxwright.immutable import immutable

Spot = tuple[str, str]
"""A measurement and where it is made."""
NOT_KNOWN = "?"
ON_THE_WAY = 5.0
"""Minutes that go with every measurement: getting there, making ready, writing it down (common practice, from memory). Without
them many quick looks that tell little would come first: more measurements, and more time in the end.
"""


@immutable
class Predicted:
    """What a measurement shows under a suspect: every reading that its degrees give, each once; None is not known."""

    readings: tuple[Reading | None, ...]

    @property
    def ends(self) -> tuple[Reading, Reading] | None:
        """The least and the greatest of figures, or the one word; None where nothing is known or words differ."""
        known = [each for each in self.readings if each is not None]
        if not known or len(known) < len(self.readings):
            return None
        figures = [each for each in known if not isinstance(each, str)]
        if len(figures) == len(known):
            return min(figures), max(figures)
        return (known[0], known[0]) if len(set(known)) == 1 else None


@immutable
class Step:
    """A measurement that is worth making: what it is expected to tell, and what each suspect leads to expect."""

    spot: Spot
    bits: float
    minutes: float
    predicted: tuple[Predicted, ...]

    @property
    def worth(self) -> float:
        """Bits a minute, the way there and the writing down included."""
        return self.bits / (self.minutes + ON_THE_WAY)


class Bench:
    """Predicts readings for the suspects of a search; each reading is worked out once."""

    def __init__(self, search: Search) -> None:
        self.search, self.known = search, search.known
        self._drawn: dict[Spot, Reading | None] = {}
        self._read: dict[tuple[int, Spot], Reading | None] = {}

    def spots(self) -> list[Spot]:
        """Every measurement at every device that what is seen stands on; at a recorder, where something is seen of one:
        what it keeps and writes changes with every camera, and tells little of any.
        """
        facts, near = self.search.state.facts, [*devices_behind(self.search), SITE]
        at_recorders = any(each.subject.startswith("recorders/") for each in self.search.seen)
        return [
            (name, subject) for name, each in self.known.measurements.items() for subject in near
            if facts.sheet(subject, each.about) is not None and self.readable((name, subject))
            and (at_recorders or each.about != "recorder")
        ]  # fmt: skip

    def readable(self, spot: Spot) -> bool:
        """Whether something is known of what it shows on the site as drawn."""
        return self.drawn(spot) is not None

    def drawn(self, spot: Spot) -> Reading | None:
        """What it shows on the site as drawn."""
        if spot not in self._drawn:
            usual = self.known.measurements[spot[0]].usual
            fact = reading_of(self.known, self.search.state.facts, *spot)
            self._drawn[spot] = usual if fact is None else fact
        return self._drawn[spot]

    def predicted(self, suspect: Suspect, spot: Spot) -> Predicted:
        """What it shows under a suspect, in every degree."""
        found = dict.fromkeys(self.reading(suspect, degree, spot) for degree in suspect.degrees)
        return Predicted(tuple(found))

    def reading(self, suspect: Suspect, degree: Degree, spot: Spot) -> Reading | None:
        """What it shows in one degree of a suspect."""
        name, subject = spot
        for each in suspect.members:
            told = self.known.causes[each.cause].shows.get(name)
            if told is not None and each.subject in (subject, SITE):
                return told
        if self.known.measurements[name].reads is None:
            return self._usual(suspect, spot)
        key = id(degree.facts), spot
        if key not in self._read:
            self._read[key] = reading_of(self.known, degree.facts, name, subject)
        return self._read[key]

    def _usual(self, suspect: Suspect, spot: Spot) -> Reading | None:
        """What no fact tells is as usual away from the suspect's device; at it nobody knows what a tried cause does."""
        touched = any(each.subject in (spot[1], SITE) for each in suspect.members if self.known.causes[each.cause].tries)
        return None if touched or not suspect.members else self.drawn(spot)


def left_by(bench: Bench, suspects: Sequence[Suspect], measured: Iterable[Measured]) -> list[Suspect]:
    """Suspects of which some degree agrees with all that was measured, each with those degrees alone.

    A suspect falls only where every reading that it could give contradicts what was measured. The ends of a range
    stand for all between them: a cause can be there in any degree.
    """
    left = list(suspects)
    for each in measured:
        spot = each.measurement, each.subject
        left = [cut for suspect in left if (cut := _agreeing(bench, suspect, spot, each.reading)) is not None]
    return left


def left_or_wider(bench: Bench, suspects: Sequence[Suspect], measured: Sequence[Measured]) -> list[Suspect]:
    """What `left_by` leaves, and sets of one cause more in the place of those that fell: all least sets that explain what is seen
    and do not contradict what was measured, as long as no smaller one is left.
    """
    left = left_by(bench, suspects, measured)
    kept, spots = {each.key for each in left}, [(each.measurement, each.subject) for each in measured]
    fallen = [each for each in suspects if each.key not in kept]

    def touches(suspect: Suspect) -> bool:
        return any(_differs(bench, suspect, spot) for spot in spots)

    more = left_by(bench, wider_suspects(bench.search, fallen, left, touches), measured) if fallen else []
    return sorted([*left, *more], key=lambda each: (-each.weight, sorted(each.key))) if more else left


def _differs(bench: Bench, suspect: Suspect, spot: Spot) -> bool:
    """Whether some degree of a suspect shows there what the site as drawn does not."""
    measurement, drawn = bench.known.measurements[spot[0]], bench.drawn(spot)
    readings = bench.predicted(suspect, spot).readings
    return any(each is None or not agree(measurement, each, drawn) for each in readings)


def _agreeing(bench: Bench, suspect: Suspect, spot: Spot, reading: Reading) -> Suspect | None:
    measurement = bench.known.measurements[spot[0]]
    kept = [each for each in suspect.degrees if agree(measurement, bench.reading(suspect, each, spot), reading)]
    if not kept and between(bench.predicted(suspect, spot), reading):
        kept = list(_nearest(bench, suspect, spot, reading))
    return Suspect(suspect.members, tuple(kept), suspect.weight) if kept else None


def between(predicted: Predicted, reading: Reading) -> bool:
    """Whether a figure lies within what is predicted."""
    ends = predicted.ends
    if ends is None or isinstance(reading, str) or isinstance(ends[0], str) or isinstance(ends[1], str):
        return False
    return ends[0] <= reading <= ends[1]


def _nearest(bench: Bench, suspect: Suspect, spot: Spot, reading: Reading) -> Iterator[Degree]:
    """The degrees on both sides of a figure: all that show one of the two nearest, since in a set of causes many degrees of one
    go with the same figure of another.
    """
    figures = [(value, each) for each in suspect.degrees if isinstance(value := bench.reading(suspect, each, spot), float)]
    if isinstance(reading, str):
        return
    below = max(value for value, _ in figures if value <= reading)
    above = min(value for value, _ in figures if value >= reading)
    measurement = bench.known.measurements[spot[0]]
    for value, each in figures:
        if agree(measurement, value, below) or agree(measurement, value, above):
            yield each


def chances(suspects: Sequence[Suspect]) -> list[float]:
    """How likely each suspect is against the others, by weight; they sum to 1."""
    whole = sum(each.weight for each in suspects)
    return [each.weight / whole for each in suspects]


def steps(bench: Bench, suspects: Sequence[Suspect], done: Iterable[Spot] = ()) -> list[Step]:
    """Measurements that can tell suspects apart, the most bits for their time first; none where one suspect is left."""
    if len(suspects) < 2:
        return []
    made, likely = set(done), chances(suspects)
    found = list[Step]()
    for spot in bench.spots():
        if spot in made:
            continue
        predicted = tuple(bench.predicted(each, spot) for each in suspects)
        bits = information(bench.known, spot[0], likely, predicted)
        if bits > 1e-6:
            found.append(Step(spot, bits, bench.known.measurements[spot[0]].minutes, predicted))
    return sorted(found, key=lambda each: (-each.worth, each.spot))


def information(known: Knowledge, name: str, likely: Sequence[float], predicted: Sequence[Predicted]) -> float:
    """Expected information about the suspect, bits: H(suspect) - E[H(suspect | reading)].

    A suspect's degrees count alike; what is not known of it is spread over all readings as the others give them.
    """
    bins = _bins(known, name, predicted)
    if len(bins) < 2:
        return 0.0
    shares = [_shares(known, name, bins, each) for each in predicted]
    sure = [(chance, share) for chance, share in zip(likely, shares, strict=True) if share is not None]
    whole = sum(chance for chance, _ in sure)
    if not whole:
        return 0.0
    usual = [sum(chance * share[place] for chance, share in sure) / whole for place in range(len(bins))]
    full = [share if share is not None else usual for share in shares]
    gained = 0.0
    for place, total in enumerate(usual):
        for chance, share in zip(likely, full, strict=True):
            if share[place] > 0:
                gained += chance * share[place] * math.log2(share[place] / total)
    return max(0.0, gained)


def _bins(known: Knowledge, name: str, predicted: Sequence[Predicted]) -> list[Reading]:
    """Readings that can be told apart, in order: each stands for those within a meter's reach of it."""
    found = {value for each in predicted for value in each.readings if value is not None}
    bins = list[Reading]()
    for value in sorted(found, key=lambda each: (isinstance(each, str), each if not isinstance(each, str) else 0.0, str(each))):
        if not bins or not agree(known.measurements[name], bins[-1], value):
            bins.append(value)
    return bins


def _shares(known: Knowledge, name: str, bins: Sequence[Reading], predicted: Predicted) -> list[float] | None:
    """How a suspect's readings fall on the bins; None where one of them is not known."""
    counts = [0.0] * len(bins)
    for value in predicted.readings:
        if value is None:
            return None
        counts[_place(known, name, bins, value)] += 1.0
    return [count / len(predicted.readings) for count in counts]


def _place(known: Knowledge, name: str, bins: Sequence[Reading], value: Reading) -> int:
    """The last bin that does not lie beyond the value; of words the same one."""
    if isinstance(value, str):
        return bins.index(value)
    return max(place for place, each in enumerate(bins) if not isinstance(each, str) and each <= value + 1e-9)


