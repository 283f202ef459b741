"""What all sheets are made from: the site as checked, its numbered cables, its prices and what is assumed for ordering."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from coaxwright.checking import SiteFacts, facts_of
from coaxwright.facts.binding import Facts
from coaxwright.findings import SiteReport
from coaxwright.handover.numbering import Cable, numbered
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.schedules.runs import Line, Quantities, lines_of, quantities

WASTE = 0.10
"""Cable ordered beyond what is drawn where no price file says: ends, bends, offcuts (common practice, from memory)."""
DRUM = 100.0
"""Metres on a drum where neither a price file nor the call says (common practice, from memory)."""


class Plan:
    """One site with its report. `drum` is the length of drums in metres, where the call gives one."""

    def __init__(self, loaded: LoadedSite, report: SiteReport, drum: float | None = None) -> None:
        self.loaded, self.report, self.drum = loaded, report, drum
        self.facts: Facts = report.facts.sheets if isinstance(report.facts, SiteFacts) else facts_of(loaded)

    @cached_property
    def lines(self) -> list[Line]:
        """Every line of cable."""
        return lines_of(self.loaded.site, self.facts.context.topology.lists)

    @cached_property
    def cables(self) -> list[Cable]:
        """Every cable with its number."""
        return numbered(self.lines)

    @cached_property
    def quantities(self) -> Quantities:
        """Pieces and metres of the whole."""
        return quantities(self.loaded.site, self.lines, self.loaded.catalogue)

    @cached_property
    def waste(self) -> tuple[float, bool]:
        """Share of cable ordered beyond what is drawn, and whether somebody stated it."""
        stated = [each.entries.waste for each in self.loaded.prices.sources if each.entries.waste is not None]
        return (max(stated), True) if stated else (WASTE, False)

    def ordered(self, metres: float) -> int:
        """Whole metres to order for what is drawn."""
        return int(-(-round(metres * (1.0 + self.waste[0]), 6) // 1))

    def drum_of(self, cable: str) -> tuple[float, bool]:
        """Metres on a drum of a cable, and whether somebody stated it."""
        priced = self.loaded.prices.price(self.loaded.catalogue.full_id(cable))
        if priced is not None and priced[0].drum is not None:
            return priced[0].drum, True
        return (DRUM, False) if self.drum is None else (self.drum, True)

    def kind_words(self, cable: str) -> str:
        """A cable as it is called on a sheet: the id without the word for a generic part."""
        return self.loaded.catalogue.full_id(cable).removeprefix("generic/")

    def numbers_of(self, subject: str, use: str) -> list[str]:
        """The numbers of the cables of a device for a use."""
        return [each.number for each in self.cables if each.subject == subject and each.use == use]

    def known(self, subject: str, kind: str, name: str) -> Any:
        """A fact, or None where it is not known."""
        sheet = self.facts.sheet(subject, kind)
        return None if sheet is None else sheet.known(name)
