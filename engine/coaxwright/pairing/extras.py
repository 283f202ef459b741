"""What a counter is asked besides the picture: how far on the usual cables, and what power the camera needs."""

from __future__ import annotations

from dataclasses import replace

from coaxwright.checking import facts_of
from coaxwright.fixes.costs import currency_of
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.pairing.small_sites import CAMERA, Question, load_value, pair_value
from coaxwright.reading.catalogue import Catalogue

USUAL = ("rg59-copper", "rg6-copper", "rg11-copper")
"""Video coax that is found in buildings; `-outdoor` and `-burial` sheaths lose the same."""
PROBE = "100 m"
"""Length of the run that reach is worked out from: loss grows with length, so any length gives the same reach."""


@immutable
class Reach:
    """How far a cable carries the settled mode, in m; None with what is lacking."""

    cable: str
    metres: float | None
    top_frequency: float | None
    lacking: tuple[str, ...]


@immutable
class Power:
    """What the camera's datasheet asks for, in base units; None where it says nothing."""

    kind: str | None
    volts: float | None
    volts_min: float | None
    volts_max: float | None
    watts_day: float | None
    watts_night: float | None

    @property
    def amps(self) -> tuple[float | None, float | None]:
        """Current by day and by night at the nominal voltage."""
        day, night = (
            watts / self.volts if watts is not None and self.volts else None
            for watts in (self.watts_day, self.watts_night)
        )
        return day, night


@immutable
class Sold:
    """What a person buying a part asks first: is it still sold, and for how much (None: no price stated).

    `since` is the day from which it is not, `successor` what its maker names in its place, `price_date` the day of
    the price, `tiers` pieces with the price of one of so many.
    """

    part: str
    retired: bool
    price: float | None
    currency: str | None
    since: str | None = None
    successor: str | None = None
    price_date: str | None = None
    tiers: tuple[tuple[int, float], ...] = ()
    warranty_years: float | None = None


def sold(catalogue: Catalogue, name: str) -> Sold:
    """Whether a part is still sold, and its price."""
    part = catalogue.part(name)
    currency = None if part.price is None else currency_of(name, catalogue)
    tiers = tuple(sorted((each.pieces, each.price) for each in part.price_tiers))
    since, after, day = part.retired_since, part.successor, part.price_date
    return Sold(name, part.retired, part.price, currency, since, after, day, tiers, part.warranty_years)


def needs(part: CameraPart) -> Power:
    """What a camera part says of its power."""
    names = ("kind", "volts", "volts_min", "volts_max", "watts_day", "watts_night")
    return Power(*(getattr(part.power, name, None) for name in names))


def reaches(catalogue: Catalogue, camera: str, recorder: str, question: Question, number: int) -> tuple[Reach, ...]:
    """Reach on the cable asked about, or on the usual ones."""
    cables = (question.cable,) if question.cable else USUAL
    return tuple(_reach(catalogue, camera, recorder, question, number, cable) for cable in cables)


def _reach(catalogue: Catalogue, camera: str, recorder: str, question: Question, number: int, cable: str) -> Reach:
    asked = replace(question, cable=cable, length=PROBE)
    link = facts_of(load_value(pair_value(camera, recorder, asked, [number]), catalogue)).sheet(
        f"cameras/{CAMERA}", "link"
    )
    if link is None:
        return Reach(cable, None, None, ())
    metres = link.known("reach")
    lacking = () if metres is not None else link.missing("reach")
    return Reach(cable, metres, link.known("top_frequency"), lacking)
