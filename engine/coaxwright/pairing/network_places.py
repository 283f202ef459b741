"""Network cameras of a set on the recorders of a choice: which have a place, and which inputs are given up for them.

First those that cost nothing on any of the recorders, then those that cost inputs, where each costs fewest; the highest
inputs go first, as in a site (docs/how-facts-are-computed.md). What a recorder does not state gives no place and is told.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.immutable import immutable
from coaxwright.model.recorder_parts import RecorderPart


@immutable
class NetworkPlaces:
    """`placed` of the network cameras have a place, `left` have none; `given_up` are inputs, by the place of their recorder.

    `unknown` are places of recorders that do not state what is needed to tell.
    """

    placed: int = 0
    left: int = 0
    given_up: tuple[frozenset[int], ...] = ()
    unknown: tuple[int, ...] = ()


def network_places(parts: Sequence[RecorderPart], inputs: Sequence[Sequence[int]], cameras: int) -> NetworkPlaces:
    """Places for so many network cameras; `inputs` are the numbers of the coax inputs of each recorder."""
    rest, costs, unknown = cameras, [0] * len(parts), []
    for place, part in enumerate(parts):
        free = part.network.cameras if part.network is not None else None
        if free is None and rest:
            unknown.append(place)
        rest -= min(rest, free or 0)
    for place in sorted(range(len(parts)), key=lambda each: (_each(parts[each]), each)):
        room = _beyond(parts[place], len(inputs[place]))
        if room is None and rest and place not in unknown:
            unknown.append(place)
        taken = min(rest, room or 0)
        costs[place], rest = taken * _each(parts[place]), rest - taken
    given_up = tuple(frozenset(sorted(numbers, reverse=True)[:cost]) for numbers, cost in zip(inputs, costs, strict=True))
    return NetworkPlaces(cameras - rest, rest, given_up, tuple(sorted(unknown)))


def _each(part: RecorderPart) -> int:
    """Inputs given up for one network camera."""
    stated = part.network.inputs_each if part.network is not None else None
    return 1 if stated is None else stated


def _beyond(part: RecorderPart, inputs: int) -> int | None:
    """Network cameras beyond those that cost nothing; None where the part does not state the most."""
    network = part.network
    if network is None or network.cameras is None or network.cameras_max is None:
        return None
    room = max(0, network.cameras_max - network.cameras)
    return min(room, inputs // _each(part)) if _each(part) else room
