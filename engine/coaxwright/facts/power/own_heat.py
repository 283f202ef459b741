"""How far the current of a run warms its conductors beyond what their assumed temperature allows for.

The assumed temperature of a conductor is the reference air and 10 K for sun, ceilings, bundles and its own current;
what the current adds beyond those is counted. A run whose conductor temperature is written is as warm as that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from coaxwright.facts.physics.conductor_heat import PVC_LIMIT, REFERENCE_AIR, current_rise, thermal_amps
from coaxwright.facts.power.cable_ohms import ConductorOhms, temperature_factor
from coaxwright.facts.power.power_solving import Network, State, solve_network
from coaxwright.model.site import Hop
from coaxwright.model.wiring_parts import Conductor
from coaxwright.portable import added
from coaxwright.reading.tables import load_table

ALLOWED = 10.0
"""K above reference air in the assumed temperature of a conductor (common practice: table assumptions)."""

_NEVER = 0.4
"""Share of the current to 70 °C up to which no conductor of 70 °C or less rises by more than is allowed for: 0.16 of
40 K, times what resistance has grown (IEC 60364-5-52 annex D form)."""

_SETTLED = 1e-7
"""K within which the temperatures of two rounds agree: far below what moves a printed figure (common practice)."""
_ROUNDS = 60


class HeatedRun(NamedTuple):
    """A run that its own current may heat: loop ohm at `degc`, the coefficient of its metal in 1/K, and the current
    of all its pairs that would bring it from 30 to 70 °C.
    """

    ohms: float
    degc: float
    alpha: float
    amps: float

    def extra(self, amps: float) -> float:
        """K beyond what is allowed for, at `amps`; no further than the limit of PVC."""
        if amps <= _NEVER * self.amps and self.degc <= PVC_LIMIT:
            return 0.0
        rise = current_rise(amps, self.amps, self.degc - ALLOWED, alpha=self.alpha)
        return max(0.0, min(rise, PVC_LIMIT - REFERENCE_AIR) - ALLOWED)

    def ohms_at(self, extra: float) -> float:
        """Loop ohm when it is so many K warmer."""
        return self.ohms * (1.0 + self.alpha * extra / temperature_factor(self.alpha, self.degc))


def heated_run(
    hop: Hop, figures: ConductorOhms, ohms: float | None, degc: float, full: float | None
) -> HeatedRun | None:
    """The run as far as its own heat goes, `full` being `full_amps` of its conductors; None where its temperature is
    written or too little is known of it.
    """
    if hop.temperature is not None or ohms is None or full is None:
        return None
    return HeatedRun(ohms, degc, figures.alpha, full * (hop.pairs or 1))


def full_amps(conductor: Conductor | None) -> float | None:
    """Current that brings one conductor from 30 to 70 °C; None where its size is not stated."""
    if conductor is None or conductor.size is None:
        return None
    metal = load_table("conductor-materials").row(conductor.material or "copper")
    return thermal_amps(conductor.size, metal["factor"])


def lasting_amps(
    volts_day: float | None, amps_day: float | None, volts_night: float | None, amps_night: float | None
) -> float:
    """The greater current of day and night, as far as they are known; where no working voltage exists none lasts."""
    day = amps_day if volts_day else None
    night = amps_night if volts_night else None
    return max(day or 0.0, night or 0.0)


def solve_heated(network: Network, runs: Sequence[Sequence[HeatedRun]]) -> tuple[Network, list[State], list[list[float]]]:
    """The network with its conductors as warm as their own currents make them, its states, and the K beyond what is
    allowed for, of every run of every node.

    Rounds of solving until the temperatures stand. Warmer conductors only lower the volts, so the rounds rise to the
    first solution; the greater current of day and night counts for both.
    """
    states = solve_network(network)
    extra = [[0.0] * len(each) for each in runs]
    cold = list(network.ohms)
    for _ in range(_ROUNDS):
        new = _warmer(runs, extra, states)
        if _same(new, extra):
            break
        extra = new
        ohms = [
            None if ohm is None else ohm + added(run.ohms_at(k) - run.ohms for run, k in zip(mine, kelvin, strict=True))
            for ohm, mine, kelvin in zip(cold, runs, extra, strict=True)
        ]
        network = replace(network, ohms=ohms)
        states = solve_network(network)
    return network, states, extra


def _warmer(
    runs: Sequence[Sequence[HeatedRun]], extra: Sequence[Sequence[float]], states: Sequence[State]
) -> list[list[float]]:
    """K beyond what is allowed for at the currents of these states, never less than before."""
    found: list[list[float]] = []
    for mine, before, state in zip(runs, extra, states, strict=True):
        amps = lasting_amps(state.volts_day, state.amps_day, state.volts_night, state.amps_night)
        found.append([max(kelvin, run.extra(amps)) for run, kelvin in zip(mine, before, strict=True)])
    return found


def _same(one: Sequence[Sequence[float]], other: Sequence[Sequence[float]]) -> bool:
    pairs = zip(one, other, strict=True)
    return all(abs(a - b) < _SETTLED for mine, theirs in pairs for a, b in zip(mine, theirs, strict=True))
