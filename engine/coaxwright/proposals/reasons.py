"""Why each thing of a system is what it is, in a sentence or two: for the comments of the file and for JSON."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright.proposals.feeding import Source
from coaxwright.proposals.searching import Proposal, System
from coaxwright.proposals.shopping import Shop

_MOST = 3


def reasons(proposal: Proposal, system: System) -> dict[tuple[str, str], tuple[str, ...]]:
    """Lines by group and name."""
    shop = Shop(proposal.wishes.loaded.catalogue)
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for name in system.laid.groups["recorders"]:
        found["recorders", name] = tuple(_recorder(name, system, shop))
    for name in system.laid.groups["supplies"]:
        found["supplies", name] = tuple(_supply(name, system, shop))
    for wish in proposal.wishes.cameras:
        found["cameras", wish.name] = tuple(_camera(wish.name, proposal, system, shop))
    return found


def _on(name: str, system: System, use: str, key: str) -> list[str]:
    cameras = system.laid.groups["cameras"]
    return [camera for camera, entry in cameras.items() if entry[use][key].partition("/")[0] == name]


def _recorder(name: str, system: System, shop: Shop) -> Iterator[str]:
    part = shop.part(system.laid.groups["recorders"][name]["part"])
    inputs = len({channel for group in part.inputs for channel in group.channels})
    yield f"{len(_on(name, system, 'video', 'into'))} of {inputs} inputs are used."
    for sheet in system.state.facts.of(f"recorders/{name}/disks"):
        if sheet.kind == "disk_group" and sheet.known("needed") and sheet.known("usable"):
            needed, usable = sheet.known("needed"), sheet.known("usable")
            yield (f"{needed / 1e12:.2f} TB are needed for {sheet.known('days_wanted'):g} days; "
                   f"the disks keep {usable / 1e12:.2f} TB.")  # fmt: skip


def _supply(name: str, system: System, shop: Shop) -> Iterator[str]:
    part = shop.part(system.laid.groups["supplies"][name]["part"])
    yield f"{len(_on(name, system, 'power', 'from'))} of {part.outputs} outputs are used."
    sheet = system.state.facts.sheet(f"supplies/{name}", "supply")
    amps = sheet.known("amps_night") if sheet is not None else None
    if amps is not None:
        yield f"It gives {amps:.2f} A of {part.amps:g} A at night."
    source = system.laid.stands[name].what
    if isinstance(source, Source) and source.trim is not None:
        yield f"Set to {source.trim:g} V for its longest runs."


def _camera(name: str, proposal: Proposal, system: System, shop: Shop) -> Iterator[str]:
    choice = system.plan.choices[name]
    camera, price = choice.picture.kind.camera, shop.price(choice.picture.kind.camera)
    yield f"{camera}: {_wanted(proposal, name)}"
    cheaper = [(other, rule) for other, rule in _set_aside(proposal.refused[name]).items() if shop.price(other) < price]
    if cheaper:
        told = ", ".join(f"{other} ({rule})" for other, rule in cheaper[:_MOST])
        more = f" and {len(cheaper) - _MOST} more" if len(cheaper) > _MOST else ""
        yield f"Cheaper ones do not do: {told}{more}."
    picture, feed = choice.picture, choice.feed
    yield (f"{picture.metres:g} m of {picture.way.title} to {picture.position}, "
           f"{feed.metres:g} m of {feed.way.title} to {system.laid.stands[_source(name, system)].position}: "
           "the cheapest that hold.")  # fmt: skip


def _source(name: str, system: System) -> str:
    return str(system.laid.groups["cameras"][name]["power"]["from"].partition("/")[0])


def _set_aside(refused: Mapping[str, str]) -> dict[str, str]:
    """Camera parts with the rule against them; ways left out."""
    return {part: rule for part, rule in refused.items() if " over " not in part and rule}


def _wanted(proposal: Proposal, name: str) -> str:
    """What it is there for, in words."""
    wants: Mapping[str, Any] = proposal.loaded_wants(name)
    said = []
    if "see" in wants:
        said.append(f"{wants['see']}{' at ' + str(wants['at']) if 'at' in wants else ''}")
    if wants.get("night"):
        said.append("by night")
    said += [word for key, word in _WORDS.items() if wants.get(key)]
    if "rate" in wants:
        said.append(str(wants["rate"]))
    return f"does {', '.join(said)}." if said else "does what is wanted."


_WORDS = {"colour_night": "colour by night", "sound": "sound", "talk_back": "talk-back", "control": "control",
          "firmware": "firmware over coax", "sorted_motion": "sorted motion", "full_width": "full width"}  # fmt: skip
