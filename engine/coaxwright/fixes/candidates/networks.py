"""Candidates about network ways: free ports, a switch half-way, converters over coax, a way onwards for a switch.

A channel of twisted pair ends at 100 m (ISO/IEC 11801), so what lengthens a way is a device on it, never a better cable.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from coaxwright.facts.sheets import Sheet
from coaxwright.fixes.candidates.bench import CABLE, DEVICE, MOVE, Bench, Candidate, Steps, Want, hops_of
from coaxwright.fixes.candidates.new_runs import new_run, relaid, with_run
from coaxwright.fixes.components import Entry
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Operation

LONGEST = 90.0
"""Metres of cable in one channel; cords take the other ten (ISO/IEC 11801)."""
_COAX = ("rg59-copper", "rg59-copper-outdoor")


def owners_at(bench: Bench, port: str) -> list[Entry]:
    """Cameras and switches whose network way leads into a port or whose power comes from it, cameras first."""
    cameras = [
        ("cameras", name)
        for name, each in bench.site.cameras.items()
        if (each.network and each.network.into == port) or (each.power and each.power.source == port)
    ]
    return cameras + [("switches", name) for name, each in bench.site.switches.items() if each.into == port]


def free_ports(bench: Bench, device: str, powered: bool) -> list[str]:
    """Network ports of a device that nothing names; with `powered` only such as give power."""
    used = {each.network.into for each in bench.site.cameras.values() if each.network}
    used |= {each.power.source for each in bench.site.cameras.values() if each.power}
    used |= {each.into for each in bench.site.switches.values() if each.into}
    return [port for port in _ports(bench, device, powered) if port not in used]


def _ports(bench: Bench, device: str, powered: bool) -> list[str]:
    if device in bench.site.switches:
        part = bench.part(bench.site.switches[device].part)
        own = bench.site.switches[device].into
        return [
            f"{device}/{number}" for number in range(1, (part.poe_ports if powered else part.ports - bool(own)) + 1)
        ]
    side = bench.part(bench.site.recorders[device].part).network if device in bench.site.recorders else None
    if side is None:
        return []
    fed = [f"{device}/poe{number}" for number in range(1, (side.poe_ports or 0) + 1)]
    return fed if powered else [*(f"{device}/net{number}" for number in range(1, (side.ports or 0) + 1)), *fed]


def moved_ports(bench: Bench, want: Want) -> Iterator[Candidate]:
    """What is joined to a port, each to a free port: of the same device first, then of another where its cable reaches."""
    for sheet in want.sheets:
        if sheet.kind in ("network_port", "poe_port"):
            port = _port_of(bench, sheet)
            owners = owners_at(bench, port)
            for entry in owners[1:] or owners:
                yield from _to_free(bench, entry, port)


def _port_of(bench: Bench, sheet: Sheet) -> str:
    device = sheet.known("device") if sheet.kind == "network_port" else sheet.known("source").name
    number = sheet.known("number")
    numbered = (f"{device}/{word}{number}" for word in ("", "net", "poe"))
    if sheet.kind == "poe_port" and device in bench.site.recorders:
        return f"{device}/poe{number}"
    return next((port for port in numbered if owners_at(bench, port)), f"{device}/{number}")


def _to_free(bench: Bench, entry: Entry, now: str) -> Iterator[Candidate]:
    device = now.partition("/")[0]
    fed = entry[0] == "cameras" and _fed_here(bench, entry, now)
    others = [*bench.site.switches, *bench.site.recorders]
    for other in sorted(others, key=lambda each: each != device):
        for port in free_ports(bench, other, fed) if other != entry[1] else ():
            where = "" if other == device else ", where its cable reaches that far"
            yield Candidate(
                f"move the network cable of {entry[1]} to {port}{where}", _into(bench, entry, now, port), MOVE
            )


def _fed_here(bench: Bench, entry: Entry, port: str) -> bool:
    power = bench.entry(*entry).power
    return power is not None and power.source == port


def _into(bench: Bench, entry: Entry, now: str, port: str) -> tuple[Operation, ...]:
    """The way, and the power that comes over it, into another port."""
    if entry[0] == "switches":
        return (bench.write((*entry, "into"), port),)
    network = bench.entry(*entry).network
    way = [bench.write((*entry, "network", "into"), port)] if network is not None and network.into == now else []
    feed = [bench.write((*entry, "power", "from"), port)] if _fed_here(bench, entry, now) else []
    return (*way, *feed)


def switch_on_the_way(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A switch half-way: the cable is cut there, and power for the camera comes from the switch."""
    for sheet in want.sheets:
        for entry in _on_way(bench, sheet):
            for part in _switches(
                bench, powered=entry[0] == "cameras" and _fed_here(bench, entry, _port(bench, entry))
            ):
                yield from _half_way(bench, entry, part)


def _on_way(bench: Bench, sheet: Sheet) -> list[Entry]:
    if sheet.kind == "network_path":
        return [entry_of(sheet.subject)]
    return []


def _port(bench: Bench, entry: Entry) -> str:
    model = bench.entry(*entry)
    way = model if entry[0] == "switches" else model.network
    return str(way.into or "") if way is not None else ""


def _switches(bench: Bench, powered: bool) -> list[str]:
    """Switches still sold with a port for the camera, with power on it where it needs that: the cheapest first."""
    known = [(name, bench.part(name)) for name in bench.catalogue.ids("switch")]
    fit = [
        (name, part) for name, part in known if not part.retired and part.ports >= 2 and (part.poe_ports or not powered)
    ]
    return [name for name, part in sorted(fit, key=lambda each: (each[1].price is None, each[1].price or 0.0, each[0]))]


def _half_way(bench: Bench, entry: Entry, part: str) -> Iterator[Candidate]:
    if entry[0] == "switches":
        return
    path: Steps = (*entry, "network", "over")
    lengths = [hop.length for hop in bench.entry(*entry).network.over or ()]
    known = [length for length in lengths if length is not None]
    if not known or len(known) != len(lengths):
        return
    whole, port, new = sum(known), _port(bench, entry), bench.free_name("sw")
    near = round(min(whole / 2.0, LONGEST), 1)
    first, rest = _cut([dict(each) for each in bench.written(path)], known, near)
    switch = {"part": part, "into": port, "over": rest, **_standing(bench, entry)}
    patch = [_added(bench, "switches", new, switch), bench.write(path, first), *_into(bench, entry, port, f"{new}/1")]
    if _fed_here(bench, entry, port) and bench.entry(*entry).power.over:
        patch.append(bench.write((*entry, "power", "over"), first))
    yield Candidate(
        f"a switch {new} ({part}) {near:g} m from {entry[1]} on its {whole:g} m of cable", tuple(patch), DEVICE
    )


def _cut(hops: list[dict[str, Any]], lengths: list[float], near: float) -> tuple[list[Any], list[Any]]:
    """The pieces of a way up to so many metres, and those beyond; the piece between is cut."""
    first: list[dict[str, Any]] = []
    for place, (hop, length) in enumerate(zip(hops, lengths, strict=True)):
        if length >= near:
            cut = {**hop, "length": f"{near:g} m"}, {**hop, "length": f"{round(length - near, 3):g} m"}
            return [*first, cut[0]], [*([cut[1]] if length > near else []), *hops[place + 1 :]]
        first.append(hop)
        near = round(near - length, 3)
    return first, []


def _standing(bench: Bench, entry: Entry) -> dict[str, Any]:
    """Where the switch stands: as the camera does, nearer nobody has said."""
    place = bench.entry(*entry).place
    return {} if place is None or place.setting is None else {"place": {"setting": place.setting}}


def _added(bench: Bench, group: str, name: str, written: object) -> Operation:
    there = getattr(bench.site, group)
    return bench.write((group, name), written) if there else bench.write((group,), {name: written})


def converters(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Network over coax between two converters: around the coax that lies there, or in place of a pair that is too long."""
    for sheet in want.sheets:
        for entry in _on_way(bench, sheet):
            path: Steps = (*entry, "over") if entry[0] == "switches" else (*entry, "network", "over")
            if not hops_of(bench, path[:-1]):
                continue
            for part in _converters(bench):
                yield from _converted(bench, entry, path, part)


def _converters(bench: Bench) -> list[str]:
    return [
        name
        for name in bench.catalogue.ids("box")
        if bench.part(name).does == "converter" and not bench.part(name).retired
    ]


def _converted(bench: Bench, entry: Entry, path: Steps, part: str) -> Iterator[Candidate]:
    hops = [dict(each) for each in bench.written(path)]
    coax = [place for place, hop in enumerate(hops) if "cable" in hop and "coax" in bench.part(hop["cable"]).carries]
    names = _two_names(bench)
    if not coax:
        lying = [place for place, hop in enumerate(hops) if "cable" in hop]
        for cable in (each for each in _COAX if bench.catalogue.has(each)):
            swapped = [{**relaid(hop), "cable": cable} if place in lying else hop for place, hop in enumerate(hops)]
            over = [{"box": names[0]}, *swapped, {"box": names[1]}]
            title = f"{part} at both ends of {entry[1]}, and {cable} in place of its network cable"
            yield Candidate(title, (_boxes(bench, names, part), bench.write(path, over)), DEVICE)
        return
    over = [
        *hops[: coax[0]],
        {"box": names[0]},
        *hops[coax[0] : coax[-1] + 1],
        {"box": names[1]},
        *hops[coax[-1] + 1 :],
    ]
    yield Candidate(
        f"{part} at both ends of the coax of {entry[1]}", (_boxes(bench, names, part), bench.write(path, over)), DEVICE
    )


def _two_names(bench: Bench) -> tuple[str, str]:
    first = bench.free_name("converter")
    stem = first.rstrip("0123456789")
    return first, f"{stem}{int(first[len(stem) :]) + 1}"


def _boxes(bench: Bench, names: tuple[str, str], part: str) -> Operation:
    made = {name: {"part": part} for name in names}
    if not bench.site.boxes:
        return bench.write(("boxes",), made)
    return bench.write(("boxes",), {**bench.value["boxes"], **made})


def way_onwards(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A cable from a switch to a free port of a recorder, or of another switch."""
    for sheet in want.sheets:
        if sheet.kind != "switch":
            continue
        entry = entry_of(sheet.subject)
        for device in (*bench.site.recorders, *bench.site.switches):
            if device != entry[1] and not _behind(bench, device, entry[1]):
                for port in free_ports(bench, device, powered=False)[:1]:
                    for cable in (each for each in ("cat5e", "cat5e-outdoor") if bench.catalogue.has(each)):
                        lay = partial(_onwards, bench, entry, port, cable)
                        yield with_run(
                            Candidate(f"join {entry[1]} to {port} over a new run of {cable}", (), CABLE), lay
                        )


def _behind(bench: Bench, device: str, switch: str) -> bool:
    """Whether a switch hangs, directly or not, behind that one."""
    seen: set[str] = set()
    while device in bench.site.switches and device not in seen:
        seen.add(device)
        device = (bench.site.switches[device].into or "").partition("/")[0]
        if device == switch:
            return True
    return False


def _onwards(bench: Bench, entry: Entry, port: str, cable: str, length: str) -> tuple[Operation, ...]:
    return bench.write((*entry, "into"), port), bench.write((*entry, "over"), [new_run(bench, "", cable, length)])
