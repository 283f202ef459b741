"""What the pieces of a way do at the frequency and in the family of the picture: boxes and pair cable.

Called for ways with boxes or pairs on them; a way of plain coax has nothing to tell here.
"""

from __future__ import annotations

from coaxwright.facts.picture.path_binding import Way
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.facts.sheets import Hop, Link
from coaxwright.model.wiring_parts import BoxPart
from coaxwright.portable import added
from coaxwright.reading.tables import load_table


def bind_pieces(link: Link, way: Way, memory: SignalCache, joint: float) -> None:
    """Fill frequency, family, overload and reach of every box and pair run on the way of a link.

    `joint` is the dB of the joint where one run meets the next.
    """
    before, open_before = list[tuple[float, str]](), list[str]()
    was_run = False
    for hop in way.hops:
        if was_run and hop.is_run:
            before.append((joint, "joint"))
        was_run = hop.is_run
        if hop.is_box:
            _bind_frequency(hop, link)
            part: BoxPart = memory.part_of(hop.part)
            _bind_box(hop, link, part)
            if part.does == "amplifier":
                _bind_before(hop, part, before, open_before)
        elif hop.medium in ("pair", "network"):
            _bind_frequency(hop, link)
            _bind_category(hop, memory)
        loss = hop.known("loss")
        if loss is None:
            open_before += hop.missing("loss")
        else:
            before.append((loss, hop.name))


def _bind_frequency(hop: Hop, link: Link) -> None:
    if link.known("top_frequency") is None:
        hop.lacks("top_frequency", *link.missing("top_frequency"))
    else:
        hop.top_frequency = link.top_frequency


def _bind_box(hop: Hop, link: Link, part: BoxPart) -> None:
    """What the maker states: highest frequency, families, longest way. What is not stated is no limit."""
    if part.frequency_max is not None:
        hop.frequency_max = part.frequency_max
    if part.families is not None:
        hop.families = ", ".join(family.upper() for family in part.families)
        family = link.known("family")
        if family is None:
            for name in ("family", "family_passed"):
                hop.lacks(name, *link.missing("family"))
        else:
            hop.family, hop.family_passed = family.upper(), family in part.families
    if part.reach is not None:
        hop.reach = part.reach
        if link.known("metres") is None:
            hop.lacks("path_metres", *link.missing("metres"))
        else:
            hop.path_metres = link.metres


def _bind_before(hop: Hop, part: BoxPart, before: list[tuple[float, str]], open_before: list[str]) -> None:
    """How much the way before an amplifier takes away, against what it needs so as not to be overloaded."""
    if part.gain_max_input is None:
        hop.lacks("loss_before_least", f"parts/{hop.part}/gain_max_input")
    else:
        hop.loss_before_least = part.gain_max_input
    if open_before:
        hop.lacks("loss_before", *open_before)
    else:
        hop.steps = tuple(before)
        hop.loss_before = float(added(loss for loss, _ in before))


def _bind_category(hop: Hop, memory: SignalCache) -> None:
    category = memory.part_of(hop.part).category
    if category is None:
        for name in ("category", "frequency_max", "frequency_covered"):
            hop.lacks(name, f"parts/{hop.part}/category")
        return
    hop.category = category
    hop.frequency_max = load_table("pair-categories").row(category)["frequency_max"]
    if hop.known("top_frequency") is None:
        hop.lacks("frequency_covered", *hop.missing("top_frequency"))
    else:
        hop.frequency_covered = hop.top_frequency <= hop.frequency_max
