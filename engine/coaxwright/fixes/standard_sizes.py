"""Smallest standard sizes that hold: conductors and disks of the catalogue, tried from the smallest up.

A size holds where nothing is worse than now, and where all that hangs on the size (it reacts to some other) passes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from coaxwright import pace
from coaxwright.fixes.candidates.bench import Bench
from coaxwright.fixes.components import Entry, model_of
from coaxwright.fixes.patching import Patch
from coaxwright.fixes.reacting import both_sides, reacting, tried, worse
from coaxwright.fixes.rejudging import SiteState
from coaxwright.model.quantities import format_quantity
from coaxwright.model.wiring_parts import CablePart

Found = tuple[str, str, str, str]
"""Of what, the part, its size, the present part."""


def conductors(state: SiteState, entry: Entry, level: str) -> Iterator[Found]:
    """The thinnest conductor like the present one with which all of this feed holds."""
    power = getattr(model_of(state.site, entry), "power", None)
    runs = [(index, hop) for index, hop in enumerate(power.over or ()) if hop.cable] if power is not None else []
    if not runs:
        return
    bench = Bench(state)
    now = runs[0][1].cable
    sizes = like_conductors(bench, now)
    patches = [
        [bench.write((*entry, "power", "over", index, "cable"), cable) for index, _ in runs] for _, cable in sizes
    ]
    found = _smallest(state, patches, level)
    if found is not None:
        size, cable = sizes[found]
        yield "power conductor", cable, format_quantity(size, "mm2"), now


def like_conductors(bench: Bench, now: str) -> list[tuple[float, str]]:
    """Cables for power by size: of each size the one most like the present one."""
    found: dict[float, str] = {}
    names = [bench.catalogue.full_id(now), *bench.parts("cable", now)]
    present = bench.part(now)
    for name in names:
        part = bench.part(name)
        same = part.conductor is not None and present.conductor is not None and _kind(part) == _kind(present)
        if same and part.conductor.size is not None and "power" in part.carries:
            found.setdefault(part.conductor.size, name)
    return sorted(found.items())


def _kind(part: CablePart) -> tuple[Any, ...]:
    of = part.conductor
    return of and of.material, of and of.stranding, part.rated


def disks(state: SiteState, entry: Entry, level: str) -> Iterator[Found]:
    """The smallest disks, as many as there are, with which the recorder holds what it has to."""
    there = list(model_of(state.site, entry).disks or ())
    if not there:
        return
    bench = Bench(state)
    sizes = disk_sizes(bench, there)
    found = _smallest(state, [[bench.write((*entry, "disks"), [name] * len(there))] for name in sizes], level)
    if found is not None:
        size = format_quantity(bench.part(sizes[found]).capacity, "B")
        yield f"disks ({len(there)} of them)", sizes[found], size, there[0]


def disk_sizes(bench: Bench, there: Sequence[str]) -> list[str]:
    """Disks on sale of the class of those there, the smallest first."""
    present = bench.part(there[0])
    sizes = [name for name in bench.catalogue.ids("disk") if not bench.part(name).retired]
    sizes = [name for name in sizes if bench.part(name).continuous == present.continuous]
    return sorted(sizes, key=lambda each: (bench.part(each).capacity, each not in there, each))


def _smallest(state: SiteState, patches: Sequence[Patch], level: str) -> int | None:
    """The place of the first patch with which nothing is worse, and all that hangs on the size passes.

    What hangs on the size is known once all were tried: where the time is over before that, None.
    """
    trials = [tried(state, patch) for patch in patches if not pace.out_of_time()]
    if pace.stopped():
        return None
    sides = [None if trial is None else both_sides(trial, level) for trial in trials]
    hanging = {key for each in sides if each is not None for key in reacting(*each)}
    for place, each in enumerate(sides):
        if each is not None and not worse(*each) and not hanging & each[1].keys():
            return place
    return None
