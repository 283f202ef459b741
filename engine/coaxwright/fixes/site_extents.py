"""What a report shows of how far numbers may move: of each supply the run with least volts to spare, by conductor; the
longest way of coax for its reach, by cable; the days asked of a recorder, by disks. Each range by judging the site again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from coaxwright.findings import Extent
from coaxwright.fixes.against import extents, limits_of_rows
from coaxwright.fixes.candidates.bench import Bench
from coaxwright.fixes.components import Entry, model_of
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.standard_sizes import disk_sizes, like_conductors
from coaxwright.model.wiring_parts import CablePart

CABLES = 6
"""Values shown beside a number at most: the present one and its neighbours in size."""


def extents_of(state: SiteState) -> Iterator[Extent]:
    """One extent for each supply, one for coax, one for a recorder's disks, where the site writes the numbers."""
    bench = Bench(state)
    for camera in _least_volts(state):
        sizes = like_conductors(bench, _cable(state, camera, "power"))
        yield from _beside_cable(state, camera, "power", [name for _, name in sizes])
    for camera in _least_reach(state):
        yield from _beside_cable(state, camera, "video", _coax_like(bench, _cable(state, camera, "video")))
    yield from _beside_disks(state, bench)


def _ending(found: Iterable[Extent]) -> Iterator[Extent]:
    """Those of which some row has an end: a number that nothing can judge shows nothing."""
    for each in found:
        if any(not span.further_up or not span.further_down for row in each.rows for span in row.stretches):
            yield each


def _beside_cable(state: SiteState, camera: Entry, use: str, cables: Sequence[str]) -> Iterator[Extent]:
    path = "/".join((*camera, use, "over", "0", "cable"))
    near = _around(list(cables), _cable(state, camera, use))
    if len(near) > 1:
        rows = limits_of_rows(state, "/".join(camera), [path], [(name,) for name in near], [f"{use} length"])
        yield from _ending(extents("/".join(camera), [path], rows))


def _around(names: list[str], now: str) -> list[str]:
    """The present value with its neighbours, in the order given."""
    place = names.index(now) if now in names else 0
    first = max(0, min(place - CABLES // 2, len(names) - CABLES))
    return names[first : first + CABLES]


def _single(state: SiteState, camera: Entry, use: str) -> bool:
    """Whether the way is one run with a cable and a length as the site file writes them."""
    way = getattr(model_of(state.site, camera), use, None)
    hops = list(way.over or ()) if way is not None else []
    return len(hops) == 1 and hops[0].cable is not None and hops[0].length is not None and hops[0].metres == hops[0].length


def _cable(state: SiteState, camera: Entry, use: str) -> str:
    hop = getattr(model_of(state.site, camera), use).over[0]
    return str(state.basis.loaded.catalogue.full_id(hop.cable))


def _least_volts(state: SiteState) -> list[Entry]:
    """Of each supply the camera with the least volts above what it needs, where one run brings them."""
    found: dict[str, tuple[float, Entry]] = {}
    feeds: list[Any] = list(state.facts.by_kind("feed"))
    for feed in feeds:
        camera, source = entry_of(feed.load.subject), feed.known("source")
        volts, least = feed.known("volts_night"), feed.load.known("volts_min")
        if source is None or volts is None or least is None or camera[0] != "cameras" or not _single(state, camera, "power"):
            continue
        spare = (volts - least, camera)
        found[source.subject] = min(found.get(source.subject, spare), spare)
    return [camera for _, camera in found.values()]


def _least_reach(state: SiteState) -> list[Entry]:
    """The camera whose coax uses most of its reach."""
    ways = []
    links: list[Any] = list(state.facts.by_kind("link"))
    for link in links:
        loss, limit = link.known("loss"), link.known("loss_limit")
        camera = entry_of(link.camera.subject)
        if loss is not None and limit and _single(state, camera, "video"):
            ways.append((loss / limit, camera))
    return [max(ways)[1]] if ways else []


def _coax_like(bench: Bench, now: str) -> list[str]:
    """Cables of the same use, metal and rating, those with most loss first."""
    present = bench.part(now)
    if present.impedance is None:
        return []
    names = dict.fromkeys([now, *bench.parts("cable", now)])
    like = [name for name in names if _coax_kind(bench.part(name)) == _coax_kind(present)]
    return sorted(like, key=lambda name: -_loss(bench.part(name)))


def _coax_kind(part: CablePart) -> tuple[Any, ...]:
    return part.carries, part.impedance, part.rated, part.centre, part.braid, part.attenuation is None


def _loss(part: CablePart) -> float:
    return float(part.attenuation[-1][1]) if part.attenuation else 0.0


def _beside_disks(state: SiteState, bench: Bench) -> Iterator[Extent]:
    """The days that the site asks for beside as many disks of other sizes, where one recorder keeps them."""
    holding = [name for name, each in state.site.recorders.items() if each.disks]
    if len(holding) != 1 or "retention" not in state.value:
        return
    there = list(state.site.recorders[holding[0]].disks or ())
    path = f"recorders/{holding[0]}/disks"
    sizes: dict[float, str] = {bench.part(there[0]).capacity: there[0]}
    for name in disk_sizes(bench, there):
        sizes.setdefault(bench.part(name).capacity, name)
    near = _around([sizes[each] for each in sorted(sizes)], there[0])
    rows = limits_of_rows(state, "site", [path], [([name] * len(there),) for name in near], ["retention"])
    yield from _ending(extents("site", [path], rows))
