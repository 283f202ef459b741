"""Binds what a rectifier behind a cable is left of alternating current: the drops along the way, taken off in full."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coaxwright.facts.physics.rectifier import crest_volts
from coaxwright.facts.power.power_solving import Network, State
from coaxwright.facts.sheets import Feed


def bind_rectified(network: Network, states: Sequence[State], feeds: Mapping[int, Feed]) -> None:
    """Crest volts by night of each feed of an alternating network, by the index of its node; none on direct current."""
    if not network.alternating or not feeds:
        return
    volts = _crests(network, states)
    for index, feed in feeds.items():
        state = states[index]
        if state.volts_night is None:
            feed.lacks("volts_crest_night", *state.missing_night)
        elif volts is None:
            feed.lacks("volts_crest_night", *_missing(network, states))
        else:
            feed.volts_crest_night = volts[index] if state.volts_night else 0.0


def _missing(network: Network, states: Sequence[State]) -> tuple[str, ...]:
    """All that anybody on the network lacks: pulses add up on what is shared."""
    found = [*network.source_missing, *(each for one in network.ohms_missing for each in one)]
    return tuple(dict.fromkeys([*found, *(each for one in states for each in one.missing_night)]))


def _crests(network: Network, states: Sequence[State]) -> list[float] | None:
    """None where some current or resistance of the network is not known."""
    ohms = [ohm for ohm in network.ohms if ohm is not None]
    own = [state.amps_night if load is not None else 0.0 for load, state in zip(network.loads, states, strict=True)]
    amps = [each for each in own if each is not None]
    if network.source_ohm is None or len(ohms) < len(network.ohms) or len(amps) < len(own):
        return None
    return crest_volts(network.source_volts, network.source_ohm, network.parents, ohms, amps)
