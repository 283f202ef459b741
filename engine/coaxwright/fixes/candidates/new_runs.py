"""Runs that a change needs and whose length nobody has given: which cable, and a candidate for each length.

A candidate with such a run is tried at the least length that is of use; `measuring` works out how long the run may
be before something gets worse. Nothing here knows whether the devices stand that near: that is told as a condition.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from coaxwright.fixes.candidates.bench import Bench, Candidate, Steps
from coaxwright.fixes.patching import Operation

LEAST = 5.0
"""Metres of a new run that are tried first: a shorter run is of no use on most sites (common practice)."""
Lay = Callable[[str], tuple[Operation, ...]]
_USUAL = {
    "power": ("dc-1.5mm2", "dc-1.5mm2-outdoor", "dc-4mm2", "dc-4mm2-outdoor"),
    "video": ("rg59-copper", "rg59-copper-outdoor"),
    "control": ("cat5e", "cat5e-outdoor"),
    "sound": ("line-screened-0.22mm2", "cat5e-outdoor"),
}
"""Generic cables laid for each use where the site has none of its own (common practice)."""
_CABLES = 3


def with_run(candidate: Candidate, lay: Lay, metres: float = LEAST) -> Candidate:
    """A candidate whose patch depends on the length of a new run (`lay` makes it), at so many metres."""
    return replace(candidate, patch=lay(f"{metres:g} m"), lay=lay, metres=metres)


def at_most(candidate: Candidate, metres: float) -> Candidate:
    """The same candidate proven up to a length: the title says so, and the run is written with that length."""
    lay = candidate.lay
    if lay is None:
        return candidate
    title = f"{candidate.title}, if its run is at most {metres:g} m"
    return replace(candidate, title=title, patch=lay(f"{metres:g} m"), lay=None, metres=metres)


def cables_for(bench: Bench, use: str, camera: str = "") -> list[str]:
    """Cables for a new run: those that the site has most of for that use, then the usual generic ones; where the
    camera stands outdoors such as may lie there.
    """
    used = Counter(name for group in ("cameras", "junctions", "recorders") for name in _laid(bench, group, use))
    outdoor = camera and _setting(bench, camera) not in (None, "indoor")
    names = [*(name for name, _ in used.most_common()), *_USUAL[use]]
    known = [name for name in dict.fromkeys(names) if name in used or bench.catalogue.has(name)]
    fit = [name for name in known if not outdoor or bench.part(name).rated in ("outdoor", "burial")]
    return (fit or known)[:_CABLES]


def _laid(bench: Bench, group: str, use: str) -> Iterator[str]:
    for model in getattr(bench.site, group).values():
        way = getattr(model, use, None)
        yield from (hop.cable for hop in (way.over or () if way is not None else ()) if hop.cable is not None)


def _setting(bench: Bench, camera: str) -> str | None:
    place = bench.entry("cameras", camera).place
    return place.setting if place is not None else None


def moved(candidate: Candidate, bench: Bench, way: Steps, port: Operation) -> Candidate:
    """A candidate that plugs a way in at another device: its last piece of cable may have to be longer or shorter."""
    model = getattr(bench.entry(str(way[0]), str(way[1])), str(way[2]))
    over = model.over or ()
    places = [place for place, hop in enumerate(over) if hop.cable is not None]
    now = over[places[-1]].length if places else None
    if now is None:
        return replace(candidate, title=f"{candidate.title}, where its cable reaches that far")
    path = (*way, "over", places[-1], "length")
    written = f"{now:g} m"
    return with_run(candidate, lambda length: (port,) if length == written else (port, bench.write(path, length)), now)


def new_run(bench: Bench, camera: str, cable: str, length: str) -> dict[str, Any]:
    """A new run as the site file writes it; it lies where the camera stands, as far as that is known."""
    setting = _setting(bench, camera) if camera else None
    return {"cable": cable, "length": length, **({"setting": setting} if setting else {})}


def relaid(hop: Mapping[str, Any]) -> dict[str, Any]:
    """A run as written, for another cable on its way: of what was measured only the length is still true."""
    kept = dict(hop)
    measured = kept.pop("measured", None) or {}
    still = {name: value for name, value in measured.items() if name not in _OF_THE_CABLE}
    return kept | ({"measured": still} if "length" in still else {})


_OF_THE_CABLE = frozenset({"loop", "loss", "loss_at", "temperature"})
"""What is measured of a cable, and not of the way that it takes."""
