"""What may be bought: the parts of a catalogue that are sold and priced, by kind and the cheapest first.

Where no part of a kind has a price, those without one are taken, and no sum is told as if it were whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.costs import currency_of
from coaxwright.immutable import immutable
from coaxwright.reading.catalogue import Catalogue

USABLE = 0.8
"""Share of a supply's rating that is planned at most at first: the usual one for continuous load (common practice)."""


@immutable
class Way:
    """What lies between a camera and where it goes: hops without lengths (`{box: PART}` or `{cable: ID}`)."""

    hops: tuple[tuple[str, str], ...]
    fixed: float
    per_metre: float
    title: str

    def price(self, metres: float) -> float:
        """What it costs over a length in metres, in the catalogue's currency."""
        return self.fixed + self.per_metre * metres


class Shop:
    """The parts of a catalogue that may be bought."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.unpriced_kinds: set[str] = set()

    def part(self, name: str) -> Any:
        """The catalogue entry of that id."""
        return self.catalogue.part(name)

    def price(self, name: str) -> float:
        """The price of one piece, of a cable of one metre; 0 where none is stated."""
        return float(self.part(name).price or 0.0)

    @cached_property
    def currency(self) -> str | None:
        """The one currency of all prices. Raises Refusal where there are several."""
        ids = [name for name in self.catalogue.ids() if self.part(name).price is not None]
        found = sorted({each for name in ids if (each := currency_of(name, self.catalogue)) is not None})
        if len(found) > 1:
            what = f"prices are in {' and '.join(found)}"
            raise Refusal([Problem("catalogue", what, "a proposal needs all prices in one currency")])
        return found[0] if found else None

    def sold(self, kind: str, needed: Callable[[Any], bool] | None = None) -> list[str]:
        """Ids of a kind that are sold, priced and fit for the need, the cheapest first; all where none has a price."""
        ids = self._all(kind, needed)
        priced = [name for name in ids if self.part(name).price is not None]
        if ids and not priced:
            self.unpriced_kinds.add(kind)
        return priced or ids

    def _all(self, kind: str, needed: Callable[[Any], bool] | None = None) -> list[str]:
        """The same with and without price, those that have one first."""
        ids = [name for name in self.catalogue.ids(kind) if not self.part(name).retired]
        ids = [name for name in ids if needed is None or needed(self.part(name))]
        return sorted(ids, key=lambda name: (self.part(name).price is None, self.price(name), name))

    @cached_property
    def recorders(self) -> list[str]:
        """Recorders."""
        return self.sold("recorder")

    @cached_property
    def cameras(self) -> list[str]:
        """Cameras that send a picture over coax."""
        return self.sold("camera", lambda part: bool(part.emits))

    @cached_property
    def supplies(self) -> list[str]:
        """Supplies that state what they give."""
        return self.sold("supply", lambda part: part.amps is not None and part.outputs is not None)

    @cached_property
    def disks(self) -> list[str]:
        """Disks that are rated to run all the time; all where none is."""
        return self.sold("disk", lambda part: part.continuous is True) or self.sold("disk")

    @cached_property
    def power_cables(self) -> list[Way]:
        """Ways of power, the cheapest for each metre first."""
        names = self._all("cable", lambda part: "power" in part.carries)
        return self._priced([Way((("cable", name),), 0.0, self.price(name), name) for name in names], "power cable")

    @cached_property
    def picture_ways(self) -> list[Way]:
        """Ways of the picture: a coax, or a pair between two baluns; each also with an isolator before the recorder, a
        coax also with a surge arrester at each end, and with both.
        """
        plain = self._priced([*self._coax(), *self._pairs()], "cable for pictures")
        arrested = list(self._arrested(plain))
        return [*plain, *self._isolated(plain), *arrested, *self._isolated(arrested)]

    def _priced(self, ways: list[Way], what: str) -> list[Way]:
        """Ways of which every piece has a price; all where there is none such."""
        found = [way for way in ways if all(self.part(name).price is not None for _, name in way.hops)]
        if ways and not found:
            self.unpriced_kinds.add(what)
        return found or ways

    def _coax(self) -> Iterator[Way]:
        for name in self._all("cable", lambda part: "coax" in part.carries):
            yield Way((("cable", name),), 0.0, self.price(name), name)

    def _pairs(self) -> Iterator[Way]:
        baluns = self._all("box", lambda part: part.does == "balun" and part.either_way and part.power is None)
        for name in self._all("cable", lambda part: "pair" in part.carries) if baluns else ():
            balun = baluns[0]
            hops = (("box", balun), ("cable", name), ("box", balun))
            yield Way(hops, 2 * self.price(balun), self.price(name), f"{name} between two baluns")

    def _isolated(self, plain: Iterable[Way]) -> Iterator[Way]:
        isolators = self._all("box", lambda part: part.does == "isolator" and part.power is None)
        for way in plain if isolators else ():
            box = isolators[0]
            yield Way((*way.hops, ("box", box)), way.fixed + self.price(box), way.per_metre, f"{way.title}, isolator")

    def _arrested(self, plain: Iterable[Way]) -> Iterator[Way]:
        arresters = self._all("box", lambda part: part.does == "arrester" and part.power is None)
        coax = [way for way in plain if all(what == "cable" for what, _ in way.hops)]
        for way in coax if arresters else ():
            box, twice = ("box", arresters[0]), way.fixed + 2 * self.price(arresters[0])
            yield Way((box, *way.hops, box), twice, way.per_metre, f"{way.title}, an arrester at each end")
