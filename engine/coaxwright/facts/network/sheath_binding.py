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
    """The sheet of one jacket; `uses` are the runs that name it, as path and place in it."""
    sheet = Sheath()
    path, index = uses[0]
    sheet.subject, sheet.pointer, sheet.name = f"sheaths/{name}", (*path.pointer, "over", index), name
    parts = list(dict.fromkeys((path.hops or ())[at].cable or "" for path, at in uses))
    sheet.cable, sheet.cables = parts[0], len(parts)
    part = context.part(parts[0])
    for field_name, value in (("pairs", part.pairs), ("screened", part.screened)):
        if value is None:
            lack(sheet, (field_name,), (f"parts/{parts[0]}/{field_name}",))
        else:
            setattr(sheet, field_name, value)
    sheet.pairs_used = sum(pairs_of(*use) for use in uses)
    sheet.uses = ", ".join(f"{path.use} of {path.owner} ({pairs_of(path, at)})" for path, at in uses)
    sheet.pictures = sum(path.use == "video" for path, _ in uses)
    sheet.powers = sum(path.use == "power" for path, _ in uses)
    _bind_current(sheet, context, uses)
    return sheet


def pairs_of(path: CablePath, index: int) -> int:
    """Pairs that one run takes: what is written, four of a network, one otherwise."""
    hop = (path.hops or ())[index]
    return PAIRS_OF_NETWORK if path.use == "network" else hop.pairs or 1


def _bind_current(sheet: Sheath, context: Context, uses: Uses) -> None:
    """Whether one of the power runs comes from a supply of alternating current."""
    supplies = context.loaded.site.supplies
    kinds = []
    for path, _ in uses:
        if path.use == "power" and path.target is not None and path.target.device in supplies:
            kinds.append(context.part(supplies[path.target.device].part).gives)
    sheet.alternating = "ac" in kinds
