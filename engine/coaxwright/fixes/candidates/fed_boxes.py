"""Boxes that take power: an active balun at each end of a pair, an amplifier on the way, with their feeds.

A box is fed from a free output of a supply that gives what it takes, over a new run whose length nobody gave: at the camera
from the supply of the camera first. Which cable it is follows from what the site has of that use.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import product
from typing import Any, NamedTuple

from coaxwright.fixes.candidates.bench import CABLE, DEVICE, Bench, Candidate
from coaxwright.fixes.candidates.new_runs import cables_for, new_run, with_run
from coaxwright.fixes.patching import Operation


class Fitted(NamedTuple):
    """A box to be put on a way: its part, the place in the way as it is, its id, and the output that feeds it."""

    part: str
    place: int
    name: str
    port: str


def active_pairs(bench: Bench, camera: str) -> Iterator[Candidate]:
    """A sender at the camera and a receiver at the recorder, each fed, around a way of pair cable; boxes that are baluns
    now are left out.
    """
    model = bench.entry("cameras", camera)
    hops = [dict(each) for each in bench.written(("cameras", camera, "video", "over"))]
    bare = [hop for hop in hops if not _is_balun(bench, hop)]
    if not bare or any("cable" in hop and "coax" in bench.part(hop["cable"]).carries for hop in bare):
        return
    own = model.power.source.partition("/")[0] if model.power is not None else ""
    for sender, receiver in product(_fed(bench, "coax", "pair"), _fed(bench, "pair", "coax")):
        ports = [free_output(bench, sender, own, 0), free_output(bench, receiver, "", 1)]
        if None in ports:
            continue
        names = _names(bench, "balun", 2)
        boxes = [Fitted(sender, 0, names[0], str(ports[0])), Fitted(receiver, len(bare), names[1], str(ports[1]))]
        title = f"{sender} at the camera and {receiver} at the recorder of {camera}, fed from {ports[0]} and {ports[1]}"
        yield _laid(bench, camera, title, bare, boxes)


def coax_instead(bench: Bench, camera: str, cables: Sequence[str]) -> Iterator[Candidate]:
    """One of these coax cables in the place of all pair cable on a way, whose baluns are left out then."""
    hops = [dict(each) for each in bench.written(("cameras", camera, "video", "over"))]
    pairs = list(dict.fromkeys(hop["cable"] for hop in hops if _is_pair(bench, hop)))
    baluns = [hop["box"] for hop in hops if _is_balun(bench, hop)]
    if not baluns or not pairs:
        return
    others = [each.video for name, each in bench.site.cameras.items() if name != camera and each.video is not None]
    kept = {hop.box for way in others for hop in way.over or ()}
    removed = tuple(bench.removal(("boxes", name)) for name in baluns if name not in kept)
    for cable in cables:
        over = [_in_coax(hop, cable) if _is_pair(bench, hop) else hop for hop in hops if not _is_balun(bench, hop)]
        title = f"{cable} for the video of {camera}, in place of {', '.join(pairs)} and its baluns"
        yield Candidate(title, (bench.write(("cameras", camera, "video", "over"), over), *removed), CABLE)


def _in_coax(hop: dict[str, Any], cable: str) -> dict[str, Any]:
    """The same run in another cable, which lies in no jacket with others and has no pairs."""
    return {key: each for key, each in hop.items() if key not in ("sheath", "pairs")} | {"cable": cable}


def _is_pair(bench: Bench, hop: dict[str, Any]) -> bool:
    return "cable" in hop and "coax" not in bench.part(hop["cable"]).carries


def amplifiers(bench: Bench, camera: str) -> Iterator[Candidate]:
    """An amplifier that takes power, at the camera's end or between two pieces of the way."""
    hops = [dict(each) for each in bench.written(("cameras", camera, "video", "over"))]
    model = bench.entry("cameras", camera)
    own = model.power.source.partition("/")[0] if model.power is not None else ""
    for part in bench.catalogue.ids("box"):
        if bench.part(part).does != "amplifier" or bench.part(part).power is None or bench.part(part).retired:
            continue
        port = free_output(bench, part, own, 0)
        for place in range(len(hops)) if port is not None else ():
            where = "at the camera" if place == 0 else "on the way"
            fitted = [Fitted(part, place, _names(bench, "amplifier", 1)[0], str(port))]
            yield _laid(bench, camera, f"{part} {where} of {camera}, fed from {port}", hops, fitted)


def _is_balun(bench: Bench, hop: dict[str, Any]) -> bool:
    return "box" in hop and bench.part(bench.site.boxes[hop["box"]].part).does == "balun"


def _fed(bench: Bench, takes: str, gives: str) -> list[str]:
    """Active baluns that turn one cable into the other."""
    known = [(name, bench.part(name)) for name in bench.catalogue.ids("box")]
    return [
        name
        for name, part in known
        if part.does == "balun"
        and part.power is not None
        and not part.retired
        and (part.takes, part.gives) == (takes, gives)
    ]


def free_output(bench: Bench, part: str, first: str, skip: int) -> str | None:
    """A free output that gives what a part takes, of one supply first; `skip` leaves the first free ones to others."""
    takes = bench.part(part).power
    found = []
    for name in sorted(bench.site.supplies, key=lambda each: each != first):
        supply = bench.part(bench.site.supplies[name].part)
        if (
            takes is None
            or supply.gives not in takes.kind
            or (takes.volts is not None and abs(supply.volts - takes.volts) > 1.0)
        ):
            continue
        found += [f"{name}/{number}" for number in bench.free_outputs(name)]
    return found[min(skip, len(found) - 1)] if len(found) > skip else None


def _names(bench: Bench, stem: str, count: int) -> list[str]:
    first = bench.free_name(stem)
    base = first.rstrip("0123456789")
    return [f"{base}{int(first[len(base) :]) + offset}" for offset in range(count)]


def _laid(bench: Bench, camera: str, title: str, hops: list[dict[str, Any]], boxes: list[Fitted]) -> Candidate:
    cable = cables_for(bench, "power", camera)[0]
    lay = partial(_patch, bench, camera, hops, boxes, cable)
    return with_run(Candidate(f"{title} over new runs of {cable}", (), DEVICE), lay)


def _patch(
    bench: Bench, camera: str, hops: list[dict[str, Any]], boxes: list[Fitted], cable: str, length: str
) -> tuple[Operation, ...]:
    over: list[dict[str, Any]] = list(hops)
    for box in sorted(boxes, key=lambda each: -each.place):
        over.insert(box.place, {"box": box.name})
    made = {
        box.name: {"part": box.part, "power": {"from": box.port, "over": [new_run(bench, camera, cable, length)]}}
        for box in boxes
    }
    fitted = (
        [bench.write(("boxes", name), each) for name, each in made.items()]
        if bench.site.boxes
        else [bench.write(("boxes",), made)]
    )
    return (*fitted, bench.write(("cameras", camera, "video", "over"), over))
