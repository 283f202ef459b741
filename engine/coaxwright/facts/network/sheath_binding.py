"""One jacket of several pairs: what runs in it, how many pairs that takes, and what disturbs what."""

from __future__ import annotations

from coaxwright.facts.context import Context
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.sheets import Sheath
from coaxwright.topology.records import CablePath

PAIRS_OF_NETWORK = 4
"""Pairs that a network channel takes: all four of a category cable (ISO/IEC 11801; IEEE 802.3 clause 40)."""
Uses = list[tuple[CablePath, int]]


def bind_sheath(context: Context, name: str, uses: Uses) -> Sheath:
    """The sheet of one jacket; `uses` are the runs that name it, as path and place in it.

    A coax is one pair of centre and braid; power over the coax of its own picture takes none beside.
    """
    sheet = Sheath()
    path, index = uses[0]
    sheet.subject, sheet.pointer, sheet.name = f"sheaths/{name}", (*path.pointer, "over", index), name
    parts = list(dict.fromkeys((path.hops or ())[at].cable or "" for path, at in uses))
    sheet.cable, sheet.cables = parts[0], len(parts)
    part = context.part(parts[0])
    coax = "coax" in part.carries
    for field_name, value in (("pairs", part.pairs or (1 if coax else None)), ("screened", part.screened)):
        if value is None:
            lack(sheet, (field_name,), (f"parts/{parts[0]}/{field_name}",))
        else:
            setattr(sheet, field_name, value)
    pictures = [path.owner for path, _ in uses if path.use == "video"]
    beside = pictures if coax else []
    taken = [
        (0 if path.use == "power" and path.owner in beside else pairs_of(path, at), f"{path.use} of {path.owner}")
        for path, at in uses
    ]
    sheet.pairs_used = sum(pairs for pairs, _ in taken)
    sheet.uses = ", ".join(f"{what} ({pairs})" for pairs, what in taken)
    powers = [path.owner for path, _ in uses if path.use == "power"]
    sheet.pictures, sheet.powers = len(pictures), len(powers)
    sheet.steps = {"pairs_used": taken, "pictures": pictures, "powers": powers, "cables": parts}
    _bind_current(sheet, context, uses)
    return sheet


def pairs_of(path: CablePath, index: int) -> int:
    """Pairs that one run takes: what is written, four of a network, one otherwise."""
    hop = (path.hops or ())[index]
    return PAIRS_OF_NETWORK if path.use == "network" else hop.pairs or 1


def _bind_current(sheet: Sheath, context: Context, uses: Uses) -> None:
    """Whether one of the power runs, through junctions too, comes from a supply of alternating current."""
    roots = dict.fromkeys(_root(context, path) for path, _ in uses if path.use == "power")
    supplies = context.loaded.site.supplies
    kinds = {root: context.part(supplies[root].part).gives for root in roots if root in supplies}
    sheet.steps["alternating"] = [f"{root} gives {kind}" for root, kind in kinds.items()]
    lone = [root for root in roots if root in context.loaded.site.junctions]
    if lone and "ac" not in kinds.values():
        lack(sheet, ("alternating",), tuple(f"junctions/{root}/power" for root in lone))
    else:
        sheet.alternating = "ac" in kinds.values()


def _root(context: Context, path: CablePath) -> str:
    """The device at the root of a path of power; a junction where that names no source. Rings have been refused."""
    device = "" if path.target is None else path.target.device
    feeds = context.topology.lists.device_power
    while ("junction", device) in feeds and device in context.loaded.site.junctions:
        target = feeds["junction", device].target
        device = "" if target is None else target.device
    return device
