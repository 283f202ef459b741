"""What a site is built of: every line of cable with its two ends, and how many pieces and metres that comes to.

One cable that carries two things is counted once: power over the network cable of its own device, and pairs that share
one jacket.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.site import Hop, Site
from coaxwright.reading.catalogue import Catalogue
from coaxwright.topology.cable_numbers import laid_ways
from coaxwright.topology.records import CablePath, Lists, Pointer


@immutable
class Line:
    """One way over cable: whose it is, for what, to which port as written, and its pieces.

    `known` is false where nobody wrote what it runs over. `also_power` says that the same cable feeds its device.
    """

    subject: str
    use: str
    pointer: Pointer
    target: str
    hops: tuple[Hop, ...]
    known: bool = True
    also_power: bool = False


@immutable
class Quantities:
    """Pieces by part, metres by cable, and how many runs of a cable have no length; ids are whole ones."""

    pieces: Counter[str]
    metres: dict[str, float]
    unknown: Counter[str]


def lines_of(site: Site, lists: Lists) -> list[Line]:
    """Every line of cable that somebody has to lay, in the order of the site file; none over the coax of another."""
    carried = {path.subject for path in lists.paths if lists.is_network_cable(path)}
    return [
        Line(
            path.subject, path.use, path.pointer, target_of(site, path), path.hops or (), path.hops is not None,
            path.use == "network" and path.subject in carried,
        )
        for path in laid_ways(lists)
    ]  # fmt: skip


def target_of(site: Site, path: CablePath) -> str:
    """The port at the far end, as the site file writes it; empty where it names none."""
    entry: Any = site
    for step in path.pointer:
        entry = entry[step] if isinstance(entry, dict) else getattr(entry, str(step))
    return str(getattr(entry, "into", None) or getattr(entry, "source", None) or "")


def quantities(site: Site, lines: Iterable[Line], catalogue: Catalogue) -> Quantities:
    """All that has to be there: devices, disks, pickups, and cable by the metre as drawn."""
    metres: dict[str, float] = {}
    unknown = Counter[str]()
    for cable, length in _laid(lines):
        name = catalogue.full_id(cable)
        metres[name] = metres.get(name, 0.0) + (length or 0.0)
        unknown[name] += length is None
    return Quantities(Counter(map(catalogue.full_id, _named(site))), metres, unknown)


def _laid(lines: Iterable[Line]) -> Iterator[tuple[str, float | None]]:
    """Cable and length of each run; of pairs in one jacket the longest alone."""
    jackets: dict[tuple[str, str], float | None] = {}
    for line in lines:
        for hop in line.hops:
            if hop.cable is None:
                continue
            if hop.sheath is None:
                yield hop.cable, hop.metres
                continue
            key, before = (hop.sheath, hop.cable), jackets.get((hop.sheath, hop.cable))
            jackets[key] = hop.metres if before is None else max(before, hop.metres or before)
    for (_, cable), length in jackets.items():
        yield cable, length


def _named(site: Site) -> Iterator[str]:
    """Parts that are counted by the piece."""
    for group in (site.cameras, site.recorders, site.supplies, site.boxes, site.switches, site.monitors):
        for entry in group.values():
            yield entry.part
    for recorder in site.recorders.values():
        yield from recorder.disks or ()
    for camera in site.cameras.values():
        if camera.sound is not None and camera.sound.pickup:
            yield camera.sound.pickup
