"""Schedules worked out for people: cables, power, disks and a bill of materials. They are never read back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets import Sheet
from coaxwright.model.site import Hop
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.schedules.exporting import Schedule
from coaxwright.schedules.runs import Line, lines_of, quantities

HEADINGS = (
    ("Cables", ("of", "use", "piece", "to", "cable or box", "length (m)", "lies")),
    (
        "Power",
        (
            "device",
            "fed from",
            "by day (W)",
            "by night (W)",
            "by night (A)",
            "volts by day",
            "volts by night",
            "least volts",
        ),
    ),
    ("Disks", ("recorder", "disk", "part", "capacity (TB)", "days held", "days wanted")),
    ("Bill of materials", ("part", "what", "kind", "count", "length (m)", "price", "total", "currency")),
)
_Row = tuple[str | float, ...]


def derived_schedules(loaded: LoadedSite, facts: Facts) -> list[Schedule]:
    """Sheets of cables, power, disks and materials."""
    lines = lines_of(loaded.site, facts.context.topology.lists)
    made = (_cables(lines), _power(loaded, facts), _disks(loaded, facts), _materials(loaded, lines))
    return [Schedule(name, headings, tuple(rows)) for (name, headings), rows in zip(HEADINGS, made, strict=True)]


def _cables(lines: Iterable[Line]) -> Iterator[_Row]:
    """Every piece of every line; of power over the network cable the line stands once."""
    for line in lines:
        yield from _pieces(line.subject.partition("/")[2], line.use, line.target, line.hops)


def _pieces(name: str, use: str, target: str, hops: tuple[Hop, ...]) -> Iterator[_Row]:
    for place, hop in enumerate(hops, 1):
        what = hop.cable or (f"box {hop.box}" if hop.box else "not said")
        yield (name, use, place, target, what, "" if hop.metres is None else round(hop.metres, 2), hop.setting or "")


def _power(loaded: LoadedSite, facts: Facts) -> Iterator[_Row]:
    for feed in facts.by_kind("feed"):
        owner = feed.subject.rpartition("/")[2]
        camera = loaded.site.cameras.get(owner)
        source = camera.power.source if camera is not None and camera.power is not None else ""
        sheet = facts.sheet(feed.subject, "camera")
        values = [_known(sheet, "watts_day", 1), _known(sheet, "watts_night", 1), _known(feed, "amps_night", 3)]
        volts = [_known(feed, "volts_day", 2), _known(feed, "volts_night", 2), _known(sheet, "volts_min", 2)]
        yield (owner, source, *values, *volts)


def _known(sheet: Sheet | None, name: str, digits: int) -> str | float:
    value = None if sheet is None else sheet.known(name)
    return "not known" if value is None else round(float(value), digits)


def _disks(loaded: LoadedSite, facts: Facts) -> Iterator[_Row]:
    for name, recorder in loaded.site.recorders.items():
        group = facts.sheet(f"recorders/{name}/disks", "disk_group")
        held, wanted = _known(group, "days", 1), _known(group, "days_wanted", 1)
        for place, disk in enumerate(recorder.disks or (), 1):
            capacity = round(loaded.catalogue.part(disk).capacity / 1e12, 3)
            yield (name, place, disk, capacity, held, wanted)


def _materials(loaded: LoadedSite, lines: Iterable[Line]) -> Iterator[_Row]:
    """Every part with its count, or its length where it comes by the metre; prices as the catalogue states them."""
    catalogue = loaded.catalogue
    found = quantities(loaded.site, lines, catalogue)
    counts, metres, unknown = found.pieces, found.metres, found.unknown
    for name in sorted(counts):
        part = catalogue.part(name)
        total = "" if part.price is None else round(part.price * counts[name], 2)
        yield (
            name,
            part.title or "",
            part.kind,
            counts[name],
            "",
            _price(part.price),
            total,
            _currency(catalogue, name),
        )
    for name in sorted(metres):
        part = catalogue.part(name)
        length = round(metres[name], 1)
        more = f"{part.title or ''} (and {unknown[name]} runs without a length)" if unknown[name] else part.title or ""
        yield (name, more, part.kind, "", length, "", "", "")


def _price(value: float | None) -> str | float:
    return "not stated" if value is None else value


def _currency(catalogue: Catalogue, name: str) -> str:
    files = (source.entries.currency for source in catalogue.sources if name in source.entries.parts)
    return catalogue.part(name).currency or next((each for each in files if each), "")
