"""How each wish may be fed: by an output of which supply, at which trim, over which cable, judged as a small system."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.proposals.options import as_key, camera_entry, holds, laid, warnings
from coaxwright.proposals.probing import Probe, Prober
from coaxwright.proposals.shopping import Shop, Way
from coaxwright.proposals.wishes import Wish

RAISED = 1.067
"""A second trim that is tried besides the nominal voltage: 12.8 V of 12 V, common practice for long runs."""
_MOST_APART = 0.35
"""Share by which nominal voltages may differ for a camera and a supply to be tried together."""


@immutable
class Source:
    """A supply part at a trim (None: as it comes)."""

    part: str
    trim: float | None = None


@immutable
class Feed:
    """The way over which a camera is fed from a source, with its price and the amperes that the supply gives for it."""

    source: Source
    way: Way
    metres: float
    price: float
    amps: float


class Feeds:
    """Options of the power's side; every question is judged once."""

    def __init__(self, prober: Prober, shop: Shop) -> None:
        self.prober, self.shop = prober, shop
        self._known: dict[tuple[str, str, Source, float], Feed | None] = {}
        self.refused: dict[str, list[Probe]] = {}

    def sources(self) -> list[Source]:
        """Every supply that may be bought, as it comes and at a higher trim."""
        return [each for name in self.shop.supplies for each in self._trims(name)]

    def _trims(self, name: str) -> Iterator[Source]:
        part = self.shop.part(name)
        yield Source(name)
        raised = round(part.volts * RAISED, 1)
        if part.trim_min is not None and part.trim_max is not None and part.trim_min <= raised <= part.trim_max:
            yield Source(name, raised)

    def learn(self, asked: Sequence[tuple[Wish, str, Source, str]]) -> None:
        """Judge all that is not known yet; the position is the last of each."""
        work: dict[Any, Any] = {}
        for wish, camera, source, position in asked:
            key = self._key(wish, camera, source, position)
            if key in self._known or key in work:
                continue
            if not self._could(camera, source):
                self._known[key] = None
                continue
            metres = wish.distances[position]
            ways = sorted(self.shop.power_cables, key=lambda way: (way.price(metres), way.title))
            work[key] = (wish, camera, source, position, iter(ways))
        self._by_rounds(work)

    def _by_rounds(self, work: dict[Any, Any]) -> None:
        """The cheapest cable of each that is left, then the next one."""
        while work and not self.prober.spent:
            trying = {key: way for key, each in work.items() if (way := next(each[4], None)) is not None}
            for key in work.keys() - trying.keys():
                self._known[key] = None
            probes = [self._probe(work[key], way) for key, way in trying.items()]
            outcomes = self.prober.outcomes(probes, of_power)
            left = dict[Any, Any]()
            for (key, way), probe, outcome in zip(trying.items(), probes, outcomes, strict=False):
                wish, _, source, position, _ = work[key]
                if holds(outcome) and not warnings(outcome):
                    metres = wish.distances[position]
                    amps = max(outcome.figures.get("amps_night", 0.0), outcome.figures.get("amps_day", 0.0))
                    self._known[key] = Feed(source, way, metres, way.price(metres), amps)
                else:
                    self.refused.setdefault(wish.alike, []).append(probe)
                    left[key] = work[key]
            work = left

    def of(self, wish: Wish, camera: str, source: Source, position: str) -> Feed | None:
        """The cheapest feed that holds; None where none does."""
        return self._known.get(self._key(wish, camera, source, position))

    def _key(self, wish: Wish, camera: str, source: Source, position: str) -> tuple[str, str, Source, float]:
        places = as_key([wish.entry.get("place"), self.prober.wishes.positions[position]])
        return places, camera, source, wish.distances[position]

    def _could(self, camera: str, source: Source) -> bool:
        power, supply = self.shop.part(camera).power, self.shop.part(source.part)
        if power is None or power.kind == "poe":
            return False
        kinds = ("dc", "ac") if power.kind == "dc-or-ac" else (power.kind,)
        apart = abs(supply.volts - power.volts) / power.volts if power.volts else 0.0
        return supply.gives in kinds and apart <= _MOST_APART

    def _probe(self, asked: tuple[Any, ...], way: Way) -> Probe:
        wish, camera, source, position, _ = asked
        hops, _ = laid(way, wish.distances[position])
        entry = {**camera_entry(wish, camera, {}), "power": {"from": "s#/1", "over": hops}}
        entry.pop("label", None)
        return Probe(entry, None, supply_entry(source, self.prober.wishes.positions[position]))


def supply_entry(source: Source, place: Mapping[str, Any]) -> dict[str, Any]:
    """A supply as a site file says it."""
    entry: dict[str, Any] = {"part": source.part}
    if source.trim is not None:
        entry["trim"] = f"{source.trim:g} V"
    return {**entry, "place": dict(place)} if place else entry


def of_power(rule: str, subject: str) -> bool:
    """Whether a judgement counts for a feed; where a camera stands counts for its picture, where its feed runs here."""
    topic = rule.partition("/")[0]
    if not subject.startswith("cameras/"):
        return topic in ("power", "place")
    return topic in ("power", "cable") or (topic == "place" and "power" in subject.split("/")[2:3])
