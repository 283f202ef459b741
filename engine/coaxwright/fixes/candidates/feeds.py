"""Candidates about power: other outputs and supplies, trims, more supplies, runs of one's own, junctions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Any

from coaxwright.facts.binding import SUPPLY
from coaxwright.facts.power.supply_sheets import on_mains
from coaxwright.facts.sheets import Feed, Junction, Output, Sheet, Supply
from coaxwright.fixes.candidates.bench import CABLE, DEVICE, MOVE, SETTING, Bench, Candidate, Want, entries_of
from coaxwright.fixes.candidates.networks import moved_ports
from coaxwright.fixes.candidates.new_runs import cables_for, moved, new_run, with_run
from coaxwright.fixes.components import Entry
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Operation
from coaxwright.model.wiring_parts import SupplyPart

STEP = 0.1
"""Trims are tried in steps of a tenth of a volt: what a person can set with a meter (common practice)."""


def raise_trim(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Higher trims within the range, the least first."""
    yield from _trims(bench, want, 1)


def lower_trim(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Lower trims within the range, the nearest first."""
    yield from _trims(bench, want, -1)


def _trims(bench: Bench, want: Want, sign: int) -> Iterator[Candidate]:
    for name in entries_of(want.sheets, "supply"):
        supply = bench.entry("supplies", name)
        part = bench.part(supply.part)
        now = on_mains(supply, part)[0 if sign > 0 else 1]
        for volts in evenly(bench, name, now, trims(part, now, sign)):
            written = bench.write(("supplies", name, "trim"), f"{volts:g} V")
            word = "raise" if sign > 0 else "lower"
            yield Candidate(f"{word} the trim of {name} to {volts:g} V", (written,), SETTING)


def evenly(bench: Bench, supply: str, now: float, volts: list[float]) -> list[float]:
    """First the trim that leaves most room to every camera of the supply at once, below and above; then the nearest first.

    What a camera sees is taken to move with the trim by as much; the proof judges what it really sees.
    """
    part = bench.state.parts.get((SUPPLY, supply))
    feeds: list[Any] = list(part.by_kind("feed")) if part is not None else []
    rooms = [pair for feed in feeds for pair in _rooms(feed)]
    if len(volts) < 2 or not rooms:
        return volts
    best = max(volts, key=lambda each: (min(room + sign * (each - now) for room, sign in rooms), -abs(each - now)))
    return [best, *(each for each in volts if each != best)]


def _rooms(feed: Feed) -> Iterator[tuple[float, int]]:
    """Volts to its least and to its greatest voltage, with the sign of what a higher trim does to them."""
    now, idle = feed.known("volts_night"), feed.known("volts_idle")
    least, most = feed.load.known("volts_min"), feed.load.known("volts_max")
    if now and least is not None:
        yield now - least, 1
    if idle is not None and most is not None:
        yield most - idle, -1


def trims(part: SupplyPart, now: float, sign: int) -> list[float]:
    """Trims in steps of 0.1 V from the present one to the end of the range, nearest first."""
    if part.trim_min is None or part.trim_max is None:
        return []
    low, high = math.ceil(part.trim_min / STEP - 1e-9), math.floor(part.trim_max / STEP + 1e-9)
    steps = [step for step in range(low, high + 1) if (step * STEP - now) * sign > 1e-9]
    return [round(step * STEP, 1) for step in (steps if sign > 0 else reversed(steps))]


def move_feed(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Free outputs, those of the same supply first; of an output all but one; unused devices left out."""
    yield from moved_ports(bench, want)
    for sheet in want.sheets:
        for entry in _fed(bench, sheet):
            yield from _moves(bench, entry)
        if sheet.kind == "output":
            yield from _spread(bench, sheet)
        if sheet.kind in ("supply", "junction"):
            yield from _left_out(bench, sheet)


def _fed(bench: Bench, sheet: Any) -> list[Entry]:
    """Entries whose feed is meant."""
    if sheet.kind == "feed":
        return [("cameras", sheet.load.name)]
    if sheet.kind in ("camera", "junction", "box", "device_feed"):
        return [entry_of(sheet.subject)]
    if sheet.kind == "supply":
        ports = sorted(port for port in bench.outputs_used if port[0] == sheet.name)
        return [entry for _, number in reversed(ports) for entry in bench.power_owners(f"{sheet.name}/{number}")]
    if sheet.kind == "area":
        return [entry_of(camera.subject) for camera in sheet.cameras]
    if sheet.kind == "output":
        return bench.power_owners(f"{sheet.supply.name}/{sheet.number}")
    return []


def _source(bench: Bench, entry: Entry) -> str:
    power = bench.entry(*entry).power
    return power.source if power is not None else ""


def _moves(bench: Bench, entry: Entry) -> Iterator[Candidate]:
    now = _source(bench, entry)
    own = now.partition("/")[0]
    for supply in sorted(bench.site.supplies, key=lambda each: each != own):
        for number in bench.free_outputs(supply):
            port = f"{supply}/{number}"
            title = f"feed {entry[1]} from {port}"
            if not now:
                yield from _first_feeds(bench, entry, port, title)
                continue
            made = Candidate(title, (_to(bench, entry, port),), MOVE)
            yield made if supply == own else moved(made, bench, (*entry, "power"), made.patch[0])
    if now:
        yield from _other_junctions(bench, entry, now)


def _other_junctions(bench: Bench, entry: Entry, now: str) -> Iterator[Candidate]:
    """Every other junction that is fed and does not hang behind this device itself."""
    for junction, model in bench.site.junctions.items():
        if junction != now and model.power is not None and entry not in _behind(bench, junction):
            made = Candidate(f"feed {entry[1]} from {junction}", (_to(bench, entry, junction),), MOVE)
            yield moved(made, bench, (*entry, "power"), made.patch[0])


def _behind(bench: Bench, junction: str) -> list[Entry]:
    """A junction and those that it hangs on, back to the supply."""
    chain: list[Entry] = []
    while junction in bench.site.junctions and ("junctions", junction) not in chain:
        chain.append(("junctions", junction))
        power = bench.site.junctions[junction].power
        junction = power.source if power is not None else ""
    return chain


def _first_feeds(bench: Bench, entry: Entry, port: str, title: str) -> Iterator[Candidate]:
    """A run of each cable that would do, where there was none."""
    camera = entry[1] if entry[0] == "cameras" else ""
    for cable in cables_for(bench, "power", camera):
        lay = partial(_first_feed, bench, entry, port, cable)
        yield with_run(Candidate(f"{title} over a new run of {cable}", (), CABLE), lay)


def _first_feed(bench: Bench, entry: Entry, port: str, cable: str, length: str) -> tuple[Operation, ...]:
    camera = entry[1] if entry[0] == "cameras" else ""
    return (bench.write((*entry, "power"), {"from": port, "over": [new_run(bench, camera, cable, length)]}),)


def _to(bench: Bench, entry: Entry, port: str) -> Operation:
    path = (*entry, "power")
    return bench.write((*path, "from"), port) if _source(bench, entry) else bench.write(path, {"from": port})


def _spread(bench: Bench, output: Output) -> Iterator[Candidate]:
    """All but the first of what hangs on one output, each to a free output of the same supply."""
    name = output.supply.name
    extra = bench.power_owners(f"{name}/{output.number}")[1:]
    free = bench.free_outputs(name)
    if len(extra) > 1 and len(free) >= len(extra):
        patch = tuple(_to(bench, entry, f"{name}/{number}") for entry, number in zip(extra, free, strict=False))
        yield Candidate(f"feed {', '.join(entry[1] for entry in extra)} from free outputs of {name}", patch, MOVE)


def _left_out(bench: Bench, sheet: Junction | Supply) -> Iterator[Candidate]:
    group, name = entry_of(sheet.subject)
    used = (
        bench.power_owners(name) if group == "junctions" else [each for each in bench.outputs_used if each[0] == name]
    )
    if not used:
        yield Candidate(f"leave {name} out", (bench.removal((group, name)),), DEVICE)


def split_feed(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Cameras that share a trunk get runs of their own, of the length that they have now; farthest first."""
    for sheet in want.sheets:
        if sheet.kind == "junction":
            yield from _past_junction(bench, sheet)
        feeds = _shared_feeds(bench, sheet)
        supply = _supply_of(sheet)
        free = bench.free_outputs(supply) if supply else []
        patch: list[Operation] = []
        for feed, number in zip(feeds, free, strict=False):
            patch.append(_own_run(bench, feed, f"{supply}/{number}"))
            names = ", ".join(each.load.name for each in feeds[: len(patch)])
            yield Candidate(f"runs of their own along the same way for {names}", tuple(patch), CABLE)
        if free:
            yield from _split_trunk(bench, sheet, f"{supply}/{free[0]}")
        for feed in feeds[1:] if free else ():
            title = f"a run of its own along the same way for {feed.load.name}"
            yield Candidate(title, (_own_run(bench, feed, f"{supply}/{free[0]}"),), CABLE)


def _past_junction(bench: Bench, sheet: Junction) -> Iterator[Candidate]:
    """Each device on a junction over a new run of its own to a free output of the supply; the last first."""
    own = _supply_of(sheet)
    free = bench.free_outputs(own) if own in bench.site.supplies else []
    for entry in reversed(bench.power_owners(sheet.name)) if free else ():
        port, camera = f"{own}/{free[0]}", entry[1] if entry[0] == "cameras" else ""
        for cable in cables_for(bench, "power", camera):
            lay = partial(_first_feed, bench, entry, port, cable)
            yield with_run(Candidate(f"feed {entry[1]} from {port} over a new run of {cable}", (), CABLE), lay)


def _split_trunk(bench: Bench, sheet: Sheet, port: str) -> Iterator[Candidate]:
    """A second trunk along the same way to one junction, which takes all behind it with it; the middle first."""
    part = bench.state.parts.get((SUPPLY, _supply_of(sheet)))
    junctions: list[Any] = list(part.by_kind("junction")) if part is not None else []
    behind = [each for each in junctions if each.known("depth") and each.known("metres_total") is not None]
    for junction in sorted(behind, key=lambda each: abs(each.depth - len(behind) / 2)):
        path = ("junctions", junction.name, "power")
        hops = bench.written(path).get("over") or [{}]
        cables = [hop["cable"] for hop in hops if "cable" in hop]
        if cables:
            run = {"cable": cables[0], "length": f"{junction.metres_total:g} m"}
            title = (
                f"a second trunk from {port} along the same way to {junction.name} ({run['length']} of {run['cable']})"
            )
            yield Candidate(title, (bench.write(path, {"from": port, "over": [run]}),), CABLE)


def _supply_of(sheet: Sheet) -> str:
    for field in ("source", "supply"):
        if sheet.known(field) is not None:
            return str(sheet.known(field).name)
    return str(sheet.known("name")) if sheet.kind == "supply" else ""


def _shared_feeds(bench: Bench, sheet: Sheet) -> list[Any]:
    """Feeds below junctions that hang where the sheet's load hangs, with their length known; farthest first."""
    part = bench.state.parts.get((SUPPLY, _supply_of(sheet)))
    feeds: list[Any] = list(part.by_kind("feed")) if part is not None else []
    found = [
        feed
        for feed in feeds
        if all(feed.known(name) is not None for name in ("junction", "metres_total", "cable"))
        and (sheet.kind == "supply" or _output(feed) == _output(sheet))
    ]
    return sorted(found, key=lambda feed: -float(feed.metres_total))


def _output(sheet: Sheet) -> str:
    output = sheet if sheet.kind == "output" else sheet.known("output")
    return str(output.subject) if output is not None else ""


def _own_run(bench: Bench, feed: Feed, port: str) -> Operation:
    run = {"cable": feed.cable, "length": f"{feed.metres_total:g} m"}
    return bench.write(("cameras", feed.load.name, "power"), {"from": port, "over": [run]})


def add_supply(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A second supply beside the first, with the last part of what the first one feeds."""
    for name in entries_of(want.sheets, "supply"):
        supply = bench.entry("supplies", name)
        ports = sorted({port for port in bench.outputs_used if port[0] == name})
        owners = [(entry, number) for _, number in ports for entry in bench.power_owners(f"{name}/{number}")]
        for part in [supply.part, *bench.parts("supply", supply.part, want.prefer or "cheapest")]:
            if bench.part(part).gives != bench.part(supply.part).gives:
                continue
            for share in (2, 3, 4):
                moved = owners[len(owners) - len(owners) // share :]
                if moved and len(moved) <= (bench.part(part).outputs or 0):
                    yield _second_supply(bench, name, part, [entry for entry, _ in moved])


def _second_supply(bench: Bench, name: str, part: str, moved: list[Entry]) -> Candidate:
    new = bench.free_name(name)
    written = {"part": part, **{key: each for key, each in bench.written(("supplies", name)).items() if key == "place"}}
    patch = [bench.write(("supplies", new), written)]
    patch += [_to(bench, entry, f"{new}/{number}") for number, entry in enumerate(moved, 1)]
    title = f"a second supply {new} ({part}) beside {name} for {', '.join(entry[1] for entry in moved)}"
    return Candidate(title, tuple(patch), DEVICE)


def add_junction(bench: Bench, want: Want) -> Iterator[Candidate]:
    """One cable leaves the output, to a junction beside it that takes the others; 1 m between is assumed."""
    for sheet in want.sheets:
        port = f"{sheet.supply.name}/{sheet.number}"
        owners = bench.power_owners(port)
        cables = [hop.cable for entry in owners for hop in bench.entry(*entry).power.over or () if hop.cable]
        if len(owners) < 2 or not cables:
            continue
        new = bench.free_name("jb")
        for cable in dict.fromkeys([*cables, *bench.parts("cable", cables[0])]):
            if "power" not in bench.part(cable).carries:
                continue
            trunk = {"power": {"from": port, "over": [{"cable": cable, "length": "1 m"}]}}
            first = (
                bench.write(("junctions", new), trunk)
                if bench.site.junctions
                else bench.write(("junctions",), {new: trunk})
            )
            patch = (first, *(_to(bench, entry, new) for entry in owners))
            yield Candidate(f"a junction {new} behind {port}, 1 m of {cable} between", patch, DEVICE)


def plug_into_ups(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Move the mains plug of a device, or of what feeds it, to a UPS of the site."""
    for sheet in want.sheets:
        group, name = entry_of(sheet.subject)
        entry = bench.entry(group, name)
        for unit in bench.site.ups:
            if getattr(entry, "power", None) is None and entry.mains != unit:
                yield Candidate(f"plug {name} into {unit}", (bench.write((group, name, "mains"), unit),), MOVE)


BATTERIES = (7.0, 12.0, 17.0, 24.0, 38.0, 65.0, 80.0, 100.0, 120.0, 150.0, 200.0, 250.0)
"""Ampere-hours in which stand-by batteries are sold (common practice)."""


def larger_battery(bench: Bench, want: Want) -> Iterator[Candidate]:
    """More ampere-hours behind the same supply, the next size first."""
    for name in entries_of(want.sheets, "supply"):
        now = bench.entry("supplies", name).battery or bench.part(bench.entry("supplies", name).part).battery
        for size in BATTERIES:
            if now is not None and size > now:
                written = bench.write(("supplies", name, "battery"), f"{size:g} Ah")
                yield Candidate(f"a battery of {size:g} Ah behind {name}, in place of {now:g} Ah", (written,), DEVICE)
