"""Candidates about devices: other parts, disks, a second recorder, boxes left out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from ipaddress import AddressValueError, IPv4Address
from typing import Any

from coaxwright.facts.sheets import Hop, Sheet
from coaxwright.fixes.candidates.bench import (
    DEVICE,
    DEVICE_GROUPS,
    MOVE,
    SETTING,
    Bench,
    Candidate,
    Want,
    entries_of,
)
from coaxwright.fixes.candidates.lines import chained
from coaxwright.fixes.candidates.networks import converters, way_onwards
from coaxwright.fixes.candidates.screens import screens_elsewhere
from coaxwright.fixes.components import Entry, named_elsewhere
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import Operation
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.common import VideoMode
from coaxwright.model.parts import Part
from coaxwright.model.site import CameraSet
from coaxwright.model.wiring_parts import SupplyPart


def change_part(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Every other part of that kind; settings that the new part does not have are dropped with the old.

    A camera that cannot take what feeds the old one, and a supply that gives another kind of current, are left out: they
    would clear this and that by not running, and a person sees at once that they do not fit. The rule about the kinds
    themselves looks at all.
    """
    for sheet in want.sheets:
        for group, name in _devices(bench, sheet):
            entry = bench.entry(group, name)
            if group == "cameras" and want.rule.startswith("view/"):
                yield from _lenses(bench, name, entry.part, {})
            for part in _others(bench, group, entry.part, want) if entry is not None else ():
                for made in _swapped(bench, group, name, part):
                    yield made
                    if group == "cameras" and want.rule.startswith("view/"):
                        yield from _lenses(bench, name, part, {made.title: made})


def _others(bench: Bench, group: str, own: str, want: Want) -> list[str]:
    """The parts that may come in place of one, in the order in which to try them."""
    found = bench.parts(_KINDS[group], own, want.prefer)
    if want.rule == ABOUT_KINDS:
        return found
    now = _currents(bench.part(own))
    return [part for part in found if not now or not (other := _currents(bench.part(part))) or now & other]


ABOUT_KINDS = "power/kinds-do-not-meet"


def _currents(part: Part) -> frozenset[str]:
    """Kinds of current that a supply gives or a camera takes; empty where that does not bind a choice."""
    if part.kind == "supply":
        return frozenset({part.gives})
    power = part.power if part.kind == "camera" else None
    return frozenset() if power is None else frozenset(power.kind.split("-or-"))


_KINDS = {group: kind for kind, group in DEVICE_GROUPS.items()}


def _devices(bench: Bench, sheet: Sheet) -> list[Entry]:
    """The devices that a sheet is about: of a port what has it, then what is plugged into it; of a way the box on it."""
    if sheet.kind == "hop":
        return [("boxes", str(sheet.known("name")))] if sheet.known("is_box") else []
    if sheet.kind == "network_port":
        return [_having(bench, str(sheet.known("device")))]
    if sheet.kind == "poe_source":
        return [_having(bench, str(sheet.known("name")))]
    if sheet.kind == "poe_port":
        return [_having(bench, sheet.known("source").name), entry_of(str(sheet.known("device")))]
    group = DEVICE_GROUPS.get(str(sheet.known("device")) if sheet.kind == "exposure" else sheet.kind)
    return [] if group is None else [(group, entry_of(sheet.subject)[1])]


def _lenses(bench: Bench, name: str, part: str, swapped: Mapping[str, Candidate]) -> Iterator[Candidate]:
    """Whole millimetres (and the ends) of a lens that can be set: of the camera that is there, or of the one in its place."""
    optics = bench.part(part).optics
    low, high = (None, None) if optics is None else (optics.focal_min, optics.focal_max)
    if low is None or high is None or low == high:
        return
    now = bench.entry("cameras", name).lens
    for focal in sorted({low, high, *(float(each) for each in range(math.ceil(low), math.floor(high) + 1))}):
        written = bench.write(("cameras", name, "lens", "focal"), focal)
        for title, made in swapped.items():
            yield replace(made, title=f"{title}, its lens set to {focal:g} mm", patch=(*made.patch, written))
        if not swapped and (now is None or now.focal != focal):
            yield Candidate(f"set the lens of {name} to {focal:g} mm", (written,), SETTING)


def _having(bench: Bench, name: str) -> Entry:
    return ("switches" if name in bench.site.switches else "recorders", name)


def _swapped(bench: Bench, group: str, name: str, part: str) -> Iterator[Candidate]:
    written = bench.written((group, name))
    patch: list[Operation] = [bench.write((group, name, "part"), part)]
    title = f"{part} for {name}, in place of {written['part']}"
    if group == "recorders" and not _has_settings(bench, name, part):
        patch.append(bench.removal((group, name, "set")))
    elif group == "supplies" and _out_of_range(bench.entry(group, name).trim, bench.part(part)):
        patch.append(bench.removal((group, name, "trim")))
    elif group == "cameras" and "set" in written and not _emits(bench.part(part), bench.entry(group, name).set):
        patch.append(bench.removal((group, name, "set")))
    yield Candidate(title, tuple(patch), DEVICE)


def _has_settings(bench: Bench, name: str, part: str) -> bool:
    made = bench.entry("recorders", name).set
    model = bench.part(part)
    known = {*model.settings, *(row.after for group in model.inputs for row in group.accepts)}
    return set(made) <= known


def _out_of_range(trim: float | None, part: SupplyPart) -> bool:
    if trim is None:
        return False
    low = part.volts if part.trim_min is None else part.trim_min
    high = part.volts if part.trim_max is None else part.trim_max
    return not low <= trim <= high


def _emits(part: CameraPart, switch: CameraSet) -> bool:
    for emits in (row for row in part.emits if row.only is None):
        families = (emits.family,) if isinstance(emits.family, str) else emits.family
        modes = (emits.mode,) if isinstance(emits.mode, VideoMode) else emits.mode
        if switch.family in (*families, None) and (switch.mode is None or switch.mode in modes):
            return True
    return False


def add_disk(bench: Bench, want: Want) -> Iterator[Candidate]:
    """More disks like those that are there, or first disks of any kind."""
    for name in entries_of(want.sheets, "recorder"):
        recorder = bench.entry("recorders", name)
        there = list(recorder.disks or ())
        bays = bench.part(recorder.part).bays
        room = max(0, (len(there) + 8 if bays is None else bays) - len(there))
        for disk in dict.fromkeys(there) if there else _disks(bench, want.prefer):
            for more in range(1, room + 1):
                written = bench.write(("recorders", name, "disks"), [*there, *[disk] * more])
                yield Candidate(
                    f"{more} more of {disk} in {name}" if there else f"{more} of {disk} in {name}", (written,), DEVICE
                )


def _disks(bench: Bench, prefer: str) -> list[str]:
    """Disks by capacity, by price first where that is preferred."""
    found = [name for name in bench.catalogue.ids("disk") if not bench.part(name).retired]
    if prefer == "cheapest":
        return sorted(
            found,
            key=lambda name: (bench.part(name).price is None, bench.part(name).price or 0.0, bench.part(name).capacity),
        )
    return sorted(found, key=lambda name: bench.part(name).capacity)


def change_disk(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Other disks, from one to as many as there are bays; as many as now first."""
    for name in entries_of(want.sheets, "recorder"):
        recorder = bench.entry("recorders", name)
        there = list(recorder.disks or ())
        bays = bench.part(recorder.part).bays or max(1, len(there))
        counts = sorted(range(1, bays + 1), key=lambda count: abs(count - len(there)))
        for count in counts:
            for disk in _disks(bench, ""):
                if [disk] * count != there:
                    written = bench.write(("recorders", name, "disks"), [disk] * count)
                    yield Candidate(f"{count} of {disk} in {name}, in place of what is there", (written,), DEVICE)


def add_recorder(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A second recorder beside the first, with the last part of its cameras and disks like the first one's."""
    for name in entries_of(want.sheets, "recorder"):
        recorder = bench.entry("recorders", name)
        cameras = bench.cameras_on(name)
        for part in [recorder.part, *bench.parts("recorder", recorder.part, "cheapest")]:
            for share in (4, 2):
                moved = cameras[len(cameras) - max(1, len(cameras) // share) :]
                channels = sorted({channel for group in bench.part(part).inputs for channel in group.channels})
                if cameras and len(moved) <= len(channels):
                    yield _second_recorder(bench, name, part, moved, channels)


def _second_recorder(bench: Bench, name: str, part: str, moved: list[str], channels: list[int]) -> Candidate:
    new = bench.free_name(name)
    first = bench.written(("recorders", name))
    written = {"part": part, **{key: first[key] for key in ("disks", "record", "place", "redundancy") if key in first}}
    patch = [bench.write(("recorders", new), written)]
    for camera, channel in zip(moved, channels, strict=False):
        patch.append(bench.write(("cameras", camera, "video", "into"), f"{new}/{channel}"))
    return Candidate(f"a second recorder {new} ({part}) beside {name} for {', '.join(moved)}", tuple(patch), DEVICE)


def change_path(bench: Bench, want: Want) -> Iterator[Candidate]:
    """A box or screen that no path names can go; a box on a way may sit elsewhere along the same cable."""
    for sheet in want.sheets:
        if sheet.kind in ("box", "monitor"):
            group, name = entry_of(sheet.subject)
            if not named_elsewhere(bench.value, (group, name)):
                yield Candidate(f"leave {name} out", (bench.removal((group, name)),), MOVE)
        elif sheet.kind == "hop":
            yield from _elsewhere(bench, sheet)
    yield from way_onwards(bench, want)
    yield from converters(bench, want)
    yield from screens_elsewhere(bench, want)
    yield from chained(bench, want)


def _elsewhere(bench: Bench, hop: Hop) -> Iterator[Candidate]:
    """A box between two pieces of one cable, moved along it in steps of an eighth of the whole; the middle first."""
    *way, index = hop.pointer
    assert isinstance(index, int), "a hop stands in a list"
    hops = bench.written(tuple(way))
    pieces = [_piece(bench, tuple(way), place) for place in (index - 1, index + 1)]
    if "box" not in hops[index] or None in pieces or pieces[0][0] != pieces[1][0]:  # type: ignore[index]
        return
    whole = pieces[0][1] + pieces[1][1]  # type: ignore[index]
    for eighths in (4, 5, 3, 6, 2, 7, 1):
        first = round(whole * eighths / 8.0, 1)
        patch = tuple(
            bench.write((*way, place, "length"), f"{metres:g} m")
            for place, metres in ((index - 1, first), (index + 1, round(whole - first, 3)))
        )
        yield Candidate(f"put {hops[index]['box']} {first:g} m along the {whole:g} m of cable", patch, MOVE)


def _piece(bench: Bench, way: tuple[Any, ...], place: int) -> tuple[str, float] | None:
    """Cable and length of a piece of a way; None where it is none, or its length is not known."""
    over = getattr(bench.entry(str(way[0]), str(way[1])), str(way[2])).over or ()
    hop = over[place] if 0 <= place < len(over) else None
    return None if hop is None or hop.cable is None or hop.length is None else (hop.cable, hop.length)


def change_address(bench: Bench, want: Want) -> Iterator[Candidate]:
    """The next address of the same net that no device has (IPv4; a net of 256 addresses is assumed)."""
    for sheet in want.sheets:
        group, name = entry_of(sheet.subject)
        written = str(getattr(bench.entry(group, name), "network_address", None) or "")
        for address in _free_addresses(bench, written):
            patch = (bench.write((group, name, "network_address"), address),)
            yield Candidate(f"give {name} the address {address}", patch, SETTING)


def _free_addresses(bench: Bench, near: str) -> list[str]:
    """Some free host addresses of the net of `near`, or of the first address on the site where that is none."""
    groups = ("recorders", "switches", "cameras")
    models = [each for group in groups for each in getattr(bench.site, group).values()]
    taken = [found for each in models if (found := _ipv4(getattr(each, "network_address", None))) is not None]
    own = _ipv4(near) or next(iter(taken), None)
    if own is None:
        return []
    net = int(own) // 256 * 256
    free = [IPv4Address(net + host) for host in range(2, 255) if IPv4Address(net + host) not in taken]
    return [str(address) for address in sorted(free, key=lambda each: (each < own, each))[:8]]


def _ipv4(text: str | None) -> IPv4Address | None:
    try:
        return IPv4Address((text or "").partition("/")[0])
    except AddressValueError:
        return None
