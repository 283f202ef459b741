"""What a change of a site costs in parts, as far as prices are stated. Prices of cable are for a metre.

Nothing has been bought yet when a site is checked, so a part that is replaced saves its price.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Set
from typing import NamedTuple

from coaxwright.fixes.components import GROUPS, Entry, model_of, ways_of
from coaxwright.model.common import Strict
from coaxwright.model.site import Hop, Site
from coaxwright.reading.catalogue import Catalogue


class Cost(NamedTuple):
    """An amount, None where a price is missing or currencies differ, and its currency where one is stated."""

    amount: float | None
    currency: str | None = None


def cost_of_change(before: Site, after: Site, changed: Collection[Entry], catalogue: Catalogue) -> Cost:
    """What the changed entries cost more than before; negative where they cost less."""
    bill: Counter[str] = Counter()
    for entry in changed:
        if _battery(before, entry) != _battery(after, entry):
            return Cost(None)
        for site, sign in ((after, 1.0), (before, -1.0)):
            model = model_of(site, entry)
            if not _count(bill, _parts(model) if model is not None else (), sign, catalogue):
                return Cost(None)
    jackets = {hop.sheath for entry in changed for site in (before, after) for hop in _runs(model_of(site, entry)) if hop.sheath}
    for site, sign in ((after, 1.0), (before, -1.0)) if jackets else ():
        if not _count(bill, _jackets(site, jackets), sign, catalogue):
            return Cost(None)
    return _total({part: count for part, count in bill.items() if abs(count) > 1e-9}, catalogue)


def _count(bill: Counter[str], parts: Iterable[tuple[str, float | None]], sign: float, catalogue: Catalogue) -> bool:
    """Put parts on the bill; whether the number of each is known."""
    for part, count in parts:
        if count is None:
            return False
        bill[catalogue.full_id(part)] += sign * count  # type: ignore[assignment]
    return True


def _jackets(site: Site, names: Set[str]) -> Iterable[tuple[str, float | None]]:
    """The cable of each jacket, once: the longest of the runs that share it."""
    found: dict[tuple[str, str], list[float | None]] = {}
    for model in (model for group in GROUPS for model in getattr(site, group).values()):
        for hop in _runs(model):
            if hop.sheath in names:
                found.setdefault((str(hop.sheath), str(hop.cable)), []).append(hop.metres)
    for (_, cable), lengths in found.items():
        yield cable, None if None in lengths else max(lengths)  # type: ignore[type-var]


def _runs(model: Strict | None) -> Iterator[Hop]:
    """Runs of cable of an entry."""
    ways = () if model is None else ways_of(model)
    yield from (hop for way in ways for hop in way.over or () if hop.cable is not None)


def _battery(site: Site, entry: Entry) -> float | None:
    """Ampere-hours written for an entry; a battery is no part, so its price is not known."""
    return getattr(model_of(site, entry), "battery", None)


def _parts(model: Strict) -> Iterable[tuple[str, float | None]]:
    """Parts of an entry with their number, cable in metres (None where the length is not known)."""
    for field in ("part",):
        if getattr(model, field, None) is not None:
            yield getattr(model, field), 1.0
    for disk in getattr(model, "disks", None) or ():
        yield disk, 1.0
    pickup = getattr(getattr(model, "sound", None), "pickup", None)
    if pickup is not None:
        yield pickup, 1.0
    yield from ((str(hop.cable), hop.metres) for hop in _runs(model) if not hop.sheath)


def _total(bill: Mapping[str, float], catalogue: Catalogue) -> Cost:
    amount, currencies = 0.0, set()
    for name, count in bill.items():
        part = catalogue.part(name)
        if part.price is None:
            return Cost(None)
        amount += part.price * count
        currencies.add(currency_of(name, catalogue))
    if len(currencies) > 1:
        return Cost(None)
    return Cost(round(amount, 2), next(iter(currencies), None))


def currency_of(name: str, catalogue: Catalogue) -> str | None:
    """The currency of a part's price: its own, otherwise that of its file; None where neither states one."""
    part = catalogue.part(name)
    if part.currency is not None:
        return str(part.currency)
    source = catalogue.source_of(name)
    return None if source is None else source.entries.currency
