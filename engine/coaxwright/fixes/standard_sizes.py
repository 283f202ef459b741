"""Smallest standard sizes that hold: conductors and disks of the catalogue, tried from the smallest up."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.fixes.candidates.bench import Bench
from coaxwright.fixes.components import Entry, model_of
from coaxwright.fixes.patching import Patch
from coaxwright.fixes.proving import LEVELS, difference
from coaxwright.fixes.rejudging import SiteState
from coaxwright.model.quantities import format_quantity

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
    for size, cable in _like(bench, now):
        patch = [bench.write((*entry, "power", "over", index, "cable"), cable) for index, _ in runs]
        if _holds(state, patch, level, f"{entry[0]}/{entry[1]}"):
            yield "power conductor", cable, format_quantity(size, "mm2"), now
            return


def _like(bench: Bench, now: str) -> list[tuple[float, str]]:
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


def _kind(part: Any) -> tuple[Any, ...]:
    return part.conductor.material, part.conductor.stranding, part.rated


def disks(state: SiteState, entry: Entry, level: str) -> Iterator[Found]:
    """The smallest disks, as many as there are, with which the recorder holds what it has to."""
    there = list(model_of(state.site, entry).disks or ())
    if not there:
        return
    bench = Bench(state)
    present = bench.part(there[0])
    sizes = [name for name in bench.catalogue.ids("disk") if not bench.part(name).retired]
    sizes = [name for name in sizes if bench.part(name).continuous == present.continuous]
    for name in sorted(sizes, key=lambda each: (bench.part(each).capacity, each not in there, each)):
        patch = [bench.write((*entry, "disks"), [name] * len(there))]
        if _holds(state, patch, level, f"{entry[0]}/{entry[1]}"):
            size = format_quantity(bench.part(name).capacity, "B")
            yield f"disks ({len(there)} of them)", name, size, there[0]
            return


def _holds(state: SiteState, patch: Patch, level: str, subject: str) -> bool:
    """Whether a patch breaks nothing new, and leaves nothing failing or newly open on the subject by it."""
    try:
        before, after = difference(state.after(patch))
    except Refusal:
        return False
    counted = LEVELS[: LEVELS.index(level) + 1]
    fails = {key for key, each in after.fails.items() if each in counted}
    own = {key for key in fails if key[1] == subject or key[1].startswith(f"{subject}/")}
    related = {key for key in own if key[0].partition("/")[0] in ("power", "storage")}
    return not (fails - before.fails.keys()) and not related and not (after.open - before.open)
