"""Exactly what depends on an unknown stays open, tried by filling the unknown in with several values.

A node that was solved must come out the same with every value; a node that was left open must not. Circuit
theory; the rule has no other source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.facts.power.loads import Load
from coaxwright.facts.power.power_solving import Network, State, solve_network

KINDS = ("constant-power", "constant-current", "resistive")


def _load(kind: str, watts: float | None) -> Load:
    missing = () if watts is not None else ("watts",)
    return Load(kind, watts, watts, 12.0, None, missing, missing)


@st.composite
def networks(draw: Any) -> Network:
    """Up to seven nodes behind 12 V; some runs and loads not known, some runs without resistance."""
    count = draw(st.integers(1, 7))
    parents = [draw(st.integers(-1, index - 1)) for index in range(count)]
    ohms = [draw(st.sampled_from([None, 0.0, 0.05, 0.2, 0.3])) for _ in range(count)]
    loads: list[Load | None] = []
    for index in range(count):
        if index in parents:
            loads.append(None)
        else:
            loads.append(_load(draw(st.sampled_from(KINDS)), draw(st.sampled_from([None, 2.0, 3.0, 4.0]))))
    missing = [(f"ohms {index}",) if ohm is None else () for index, ohm in enumerate(ohms)]
    return Network(parents, ohms, missing, loads, 12.0, draw(st.sampled_from([0.0, 0.0, 0.1])))


def _filled(network: Network, ohm: float, watts: float) -> list[State]:
    """Solved with these values for all that is unknown."""
    loads = [each if each is None or each.night is not None else _load(each.kind, watts) for each in network.loads]
    ohms = [ohm if each is None else each for each in network.ohms]
    return solve_network(replace(network, ohms=ohms, ohms_missing=[()] * len(ohms), loads=loads))


@settings(max_examples=200, deadline=None)
@given(networks())
def test_open_is_what_depends_and_nothing_else(network: Network) -> None:
    found = solve_network(network)
    tried = [_filled(network, ohm, watts) for ohm, watts in ((0.03, 1.0), (0.11, 2.5), (0.31, 4.5))]
    assert all(state.volts_night for states in tried for state in states), "light loads never collapse"
    for index, state in enumerate(found):
        volts = [states[index].volts_night or 0.0 for states in tried]
        spread = max(volts) - min(volts)
        if state.volts_night is None:
            assert state.missing_night
            assert spread > 1e-7
        else:
            assert spread < 1e-7
            assert abs(state.volts_night - volts[0]) < 1e-7


@settings(max_examples=200, deadline=None)
@given(networks())
def test_laws_of_the_circuit(network: Network) -> None:
    """Ohm's law on every run, and every junction passes on what it gets."""
    states = _filled(network, 0.1, 3.0)
    ohms = [0.1 if each is None else each for each in network.ohms]
    inner = network.source_ohm or 0.0
    total = sum(s.amps_night or 0.0 for s, p in zip(states, network.parents, strict=True) if p < 0)
    for index, (parent, state) in enumerate(zip(network.parents, states, strict=True)):
        above = states[parent].volts_night if parent >= 0 else network.source_volts - inner * total
        assert state.volts_night is not None
        assert state.amps_night is not None
        assert above is not None
        assert abs(above - ohms[index] * state.amps_night - state.volts_night) < 1e-7
        below = [states[child] for child, its in enumerate(network.parents) if its == index]
        if below:
            assert abs(sum(each.amps_night or 0.0 for each in below) - state.amps_night) < 1e-7
