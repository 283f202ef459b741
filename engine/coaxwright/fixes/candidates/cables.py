"""Candidates about cables: other cables, other conductors, one run instead of several, boxes on the way."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from coaxwright.facts.sheets import Sheath, Sheet
from coaxwright.fixes.candidates.bench import CABLE, DEVICE, Bench, Candidate, Steps, Want, cameras_of, hops_of
from coaxwright.fixes.candidates.fed_boxes import active_pairs, amplifiers, coax_instead
from coaxwright.fixes.candidates.networks import converters, switch_on_the_way
from coaxwright.fixes.candidates.new_runs import relaid
from coaxwright.fixes.candidates.over_coax import other_coax
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.model.site import Hop
from coaxwright.model.wiring_parts import CablePart

_CARRIES = {
    "video": ("coax", "pair"),
    "power": ("power", "pair"),
    "sound": ("line", "pair"),
    "control": ("pair", "network"),
    "network": ("network",),
    "sheath": ("pair", "network"),
}


def change_cable(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Another cable on the way that is meant: a run, all runs of a way, or the trunks of a supply."""
    for sheet in want.sheets:
        if sheet.kind in ("run", "laying"):
            yield from _on_hops(bench, sheet.use, [tuple(sheet.pointer)], entry_of(sheet.owner)[1])
        elif sheet.kind == "hop":
            yield from _on_hops(bench, str(sheet.pointer[2]), [tuple(sheet.pointer)], str(sheet.pointer[1]))
        elif sheet.kind in _WAYS:
            yield from _on_way(bench, sheet)
        elif sheet.kind in ("link", "feed"):
            use = "video" if sheet.kind == "link" else "power"
            (name,) = cameras_of([sheet])
            if sheet.kind == "feed" and sheet.known("over_coax"):
                yield from other_coax(bench, name)
                continue
            runs = hops_of(bench, ("cameras", name, use))
            yield from _on_hops(bench, use, runs, name, thicker=use == "power")
            if sheet.kind == "link" and runs:
                yield from coax_instead(bench, name, _coax(bench, str(bench.written((*runs[0], "cable")))))
            if use == "power" and sheet.known("junction") is not None:
                yield from _trunks(bench, sheet.junction.name)
        elif sheet.kind == "supply":
            for name in bench.site.junctions:
                yield from _on_hops(bench, "power", hops_of(bench, ("junctions", name, "power")), name, thicker=True)
            for port in sorted(each for each in bench.outputs_used if each[0] == sheet.name):
                for group, name in bench.power_owners(f"{port[0]}/{port[1]}"):
                    if group != "junctions":
                        yield from _on_hops(bench, "power", hops_of(bench, (group, name, "power")), name, thicker=True)


def _on_way(bench: Bench, sheet: Sheet) -> Iterator[Candidate]:
    """The power of a device, or a network way; what lies in one jacket together."""
    if sheet.kind == "sheath":
        assert isinstance(sheet, Sheath), "only the sheets of jackets are of that kind"
        yield from _in_jacket(bench, sheet)
        return
    group, name = entry_of(str(sheet.known("device")) if sheet.kind == "poe_port" else sheet.subject)
    use = _WAYS[sheet.kind]
    if sheet.kind == "poe_port":
        yield from _on_hops(bench, "network", hops_of(bench, (group, name, "power")), name)
    way: Steps = (group, name) if group == "switches" else (group, name, use)
    yield from _on_hops(bench, use, hops_of(bench, way), name, thicker=use == "power")


_WAYS = {"device_feed": "power", "network_path": "network", "poe_port": "network", "sheath": ""}


def _in_jacket(bench: Bench, sheet: Sheath) -> Iterator[Candidate]:
    """Another cable for all runs of one jacket: one with more pairs."""
    paths = [
        (group, name, use, "over", place)
        for group in ("cameras", "recorders", "junctions", "boxes")
        for name, model in getattr(bench.site, group).items()
        for use in ("video", "network", "power", "sound", "control")
        for place, hop in enumerate(getattr(getattr(model, use, None), "over", None) or ())
        if hop.sheath == sheet.name
    ]
    if paths:
        yield from _on_hops(bench, "sheath", list(paths), f"the jacket {sheet.name}")


def _on_hops(bench: Bench, use: str, paths: list[Steps], owner: str, *, thicker: bool = False) -> Iterator[Candidate]:
    """Every cable for that use (or the nearest of each thicker size) on all of these runs; then on each alone."""
    if not paths:
        return
    now = [bench.written((*path, "cable")) for path in paths]
    for cable in _thicker(bench, use, now) if thicker else _cables(bench, use, now[0]):
        changed = [path for path, name in zip(paths, now, strict=True) if bench.catalogue.full_id(name) != cable]
        patch = tuple(step for path in changed for step in _laid_anew(bench, path, cable))
        if patch:
            yield Candidate(f"{cable} for the {use} of {owner}, in place of {now[0]}", patch, CABLE)
    if len(paths) > 1 and not owner.startswith("the "):
        for path in paths:
            yield from _on_hops(bench, use, [path], f"{owner} (piece {int(path[-1]) + 1})", thicker=thicker)


def _laid_anew(bench: Bench, path: Steps, cable: str) -> Iterator[Any]:
    """Another cable on the same way: of what was measured only its length is still true."""
    yield bench.write((*path, "cable"), cable)
    hop = bench.written(path)
    kept = relaid(hop)
    if kept.get("measured") != hop.get("measured"):
        there = "measured" in kept
        yield bench.write((*path, "measured"), kept["measured"]) if there else bench.removal((*path, "measured"))


def _thicker(bench: Bench, use: str, now: list[str]) -> list[str]:
    """Of each conductor size above the smallest of these, the cable most like the present one."""
    sizes = [size for name in now if (size := _size(bench.part(name))) is not None]
    found: dict[float, str] = {}
    for cable in _cables(bench, use, now[0]):
        size = _size(bench.part(cable))
        if size is not None and size > min(sizes, default=0.0):
            found.setdefault(size, cable)
    return [found[size] for size in sorted(found)]


def _size(cable: CablePart) -> float | None:
    return cable.conductor.size if cable.conductor is not None else None


def _cables(bench: Bench, use: str, now: str) -> list[str]:
    """Cables that carry what the use needs: like the present one first, then by size of the conductor."""
    memo = bench.state.basis.facts.context.memo
    key = ("fixes.cables", use, bench.catalogue.full_id(now))
    if key not in memo:
        carries = set(_CARRIES.get(use, ()))
        found = [name for name in bench.parts("cable", now) if carries & set(bench.part(name).carries)]
        memo[key] = sorted(found, key=lambda name: _strangeness(bench.part(name), bench.part(now)))
    known: list[str] = memo[key]
    return known


def _coax(bench: Bench, now: str) -> list[str]:
    """Coax cables for video, those nearest to the rating of the present cable first."""
    return [name for name in _cables(bench, "video", now) if "coax" in bench.part(name).carries]


def _strangeness(cable: CablePart, now: CablePart) -> tuple[Any, ...]:
    """How far a cable is from the present one: what it carries, sheath, make-up; then its size."""
    one, other = cable.conductor, now.conductor
    same = [
        set(cable.carries) == set(now.carries),
        cable.rated == now.rated,
        (one and one.material) == (other and other.material),
        (one and one.stranding) == (other and other.stranding),
        cable.centre == now.centre,
        cable.impedance == now.impedance,
    ]
    return same.count(False), (one.size if one is not None and one.size is not None else 0.0)


def _trunks(bench: Bench, junction: str) -> Iterator[Candidate]:
    """Another cable on each trunk back to the supply, and on all of them."""
    chain = _chain(bench, junction)
    for name in chain:
        yield from _on_hops(bench, "power", hops_of(bench, ("junctions", name, "power")), name, thicker=True)
    every = [path for name in chain for path in hops_of(bench, ("junctions", name, "power"))]
    if len(chain) > 1:
        yield from _on_hops(bench, "power", every, f"the trunk of {chain[-1]}", thicker=True)


def _chain(bench: Bench, junction: str) -> list[str]:
    """Junctions from this one back to the supply."""
    chain: list[str] = []
    while junction in bench.site.junctions and junction not in chain:
        chain.append(junction)
        power = bench.site.junctions[junction].power
        junction = power.source if power is not None else ""
    return chain


def shorten_run(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A switch half-way of a network way; one unbroken cable over the same length of coax; where a nearer device stands
    nobody has written.
    """
    yield from switch_on_the_way(bench, want)
    for name in cameras_of(want.sheets):
        path = ("cameras", name, "video", "over")
        camera = bench.entry("cameras", name)
        hops: tuple[Hop, ...] = (camera.video.over or ()) if camera.video is not None else ()
        lengths = [hop.metres for hop in hops if hop.cable is not None]
        if (len(hops) == 1 and not hops[0].joints) or not hops or None in lengths:
            continue
        metres = f"{sum(length for length in lengths if length is not None):g} m"
        for cable in dict.fromkeys(hop.cable for hop in hops if hop.cable is not None):
            first = next(dict(bench.written((*path, index))) for index, hop in enumerate(hops) if hop.cable == cable)
            kept = {key: each for key, each in first.items() if key not in ("joints", "measured")}
            run = kept | {"cable": cable, "length": metres}
            title = f"one unbroken run of {metres} {cable} from {name}"
            yield Candidate(title, (bench.write(path, [run]),), CABLE)


def add_box(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A box at each place of the way; baluns at every change of cable at once; active ones with their feeds; on a network
    way converters.
    """
    yield from converters(bench, want)
    for name in cameras_of(want.sheets):
        camera = bench.entry("cameras", name)
        hops: tuple[Hop, ...] = (camera.video.over or ()) if camera.video is not None else ()
        if not hops:
            continue
        for part in (name for name in bench.catalogue.ids("box") if not bench.part(name).retired):
            changes = _changes(bench, hops)
            places = [[place] for place in range(len(hops) + 1)]
            both = [[0, *changes], [*changes, len(hops)], [0, len(hops)], changes]
            for chosen in [*places, *(each for each in both if len(each) > 1)]:
                yield _with_boxes(bench, name, part, chosen, len(hops))
        yield from active_pairs(bench, name)
        yield from amplifiers(bench, name)


def _changes(bench: Bench, hops: tuple[Hop, ...]) -> list[int]:
    """Places where coax meets pair cable."""
    media = ["coax" if hop.cable and "coax" in bench.part(hop.cable).carries else "pair" for hop in hops]
    ends, place = [], 0
    for _, group in groupby(media):
        place += len(list(group))
        ends.append(place)
    return ends[:-1]


def _with_boxes(bench: Bench, camera: str, part: str, places: list[int], length: int) -> Candidate:
    """The way of a camera with new boxes of one part at these places, counted in the present hops."""
    stem = bench.part(part).does
    patch = []
    first = bench.free_name(stem)
    number = int(first[len(stem) :])
    names = [f"{stem}{number + offset}" for offset in range(len(places))]
    if bench.site.boxes:
        patch += [bench.write(("boxes", name), {"part": part}) for name in names]
    else:
        patch.append(bench.write(("boxes",), {name: {"part": part} for name in names}))
    over = ("cameras", camera, "video", "over")
    hops = list(bench.written(over))
    for place, name in sorted(zip(places, names, strict=True), reverse=True):
        hops.insert(place, {"box": name})
    patch.append(bench.write(over, hops))
    where = " and ".join(
        "at the camera" if place == 0 else "at the recorder" if place == length else "on the way" for place in places
    )
    return Candidate(f"{part} {where} of {camera}", tuple(patch), DEVICE)
