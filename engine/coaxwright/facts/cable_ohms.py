"""Resistance of cable runs and boxes that carry power, from what their parts state.

Not here: what flows through them, and whether a cable may be used so.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

from coaxwright.facts.physics.conductors import ohm_per_metre
from coaxwright.model.site import Hop
from coaxwright.model.wiring_parts import CablePart, Conductor
from coaxwright.reading.tables import Row, load_table
from coaxwright.topology.records import Pointer

_GAUGE_TOLERANCE = 0.003
"""A cross-section within 0.3 % of a gauge's is that gauge: `18 AWG` and `0.823 mm2` are the same wire."""


class ConductorOhms(NamedTuple):
    """One conductor of a cable: ohm/m at 20 °C (None where not known), 1/K, and where the figure is from.

    `missing` lists the part's fields that would supply it, relative to the part.
    """

    ohm_per_m: float | None
    alpha: float
    source: str
    missing: tuple[str, ...]


class HopOhms(NamedTuple):
    """Loop resistance of one piece of a path in ohm (None where not known) and what would supply it."""

    ohms: float | None
    temperature: float | None
    missing: tuple[str, ...]


def conductor_ohms(cable: CablePart) -> ConductorOhms:
    """Resistance of each of the two conductors: stated by the part, else IEC 60228, else the wire gauge.

    A size in neither table is resistivity over area (IEC 60028). Other metals than copper: times the factor of
    table `conductor-materials`.
    """
    conductor = cable.conductor
    if conductor is None:
        return ConductorOhms(None, 0.0, "", ("conductor",))
    metal = load_table("conductor-materials").get(conductor.material or "copper")
    assert metal is not None, "the model and the table name the same metals"
    alpha = metal["temperature_coefficient"]
    if conductor.resistance is not None:
        return ConductorOhms(conductor.resistance, alpha, cable.source, ())
    wanted = {"size": conductor.size, "material": conductor.material, "stranding": conductor.stranding}
    missing = tuple(f"conductor/{name}" for name, value in wanted.items() if value is None)
    if missing:
        return ConductorOhms(None, alpha, "", missing)
    copper, source = _copper_ohms(conductor)
    if conductor.material != "copper":
        source = f"{source}; times {metal['factor']:g} for {conductor.material}: {metal['source']}"
    return ConductorOhms(copper * metal["factor"], alpha, source, ())


def _copper_ohms(conductor: Conductor) -> tuple[float, str]:
    """Ohm/m of copper of that size and stranding at 20 °C, and the source."""
    size, stranding = conductor.size or 0.0, conductor.stranding
    row = load_table("conductors-iec60228").get(size, stranding)
    if row is not None:
        return row["resistance"], f"{row['source']}, class {row['class']}"
    gauge = _gauge(size)
    if gauge is not None:
        column = "solid" if stranding == "solid" else "stranded"
        return gauge[column], f"{gauge['gauge']} AWG {column}: {gauge['source']}"
    lay = 1.0 if stranding == "solid" else _lay_factor()
    return ohm_per_metre(size) * lay, "resistivity over area, 100 % IACS copper: IEC 60028:1925"


def _gauge(size: float) -> Row | None:
    rows = load_table("wire-awg").rows
    return next((row for row in rows if abs(row["area"] - size) <= _GAUGE_TOLERANCE * size), None)


@cache
def _lay_factor() -> float:
    """How much longer strands are than the conductor, as the gauge table has it."""
    row = load_table("wire-awg").rows[0]
    return float(row["stranded"] / row["solid"])


class PathOhms:
    """Resistance of the hops of power paths, one cable part looked at once.

    `part` finds a catalogue entry, `assumed_temperature` gives the conductor temperature where a hop has none (and
    counts that), `boxes` maps box ids to part ids.
    """

    __slots__ = ("_assumed_temperature", "_boxes", "_cables", "_part")

    def __init__(
        self, part: Callable[[str], Any], assumed_temperature: Callable[[], float], boxes: Callable[[str], str]
    ) -> None:
        self._part = part
        self._assumed_temperature = assumed_temperature
        self._boxes = boxes
        self._cables: dict[str, ConductorOhms] = {}

    def cable(self, identifier: str) -> ConductorOhms:
        """Conductor figures of a cable part."""
        known = self._cables.get(identifier)
        if known is None:
            known = self._cables[identifier] = conductor_ohms(self._part(identifier))
        return known

    def hop(self, hop: Hop, pointer: Pointer) -> HopOhms:
        """Loop resistance of one hop: 2 x length x ohm/m x temperature factor / pairs, or that of a box."""
        if hop.cable is None:
            return self._box(hop.box or "")
        ohm_per_m, alpha, _, lacking = self._cables.get(hop.cable) or self.cable(hop.cable)
        length, degc = hop.length, hop.temperature
        if degc is None:
            degc = self._assumed_temperature()
        if length is None or ohm_per_m is None:
            missing = tuple(f"parts/{hop.cable}/{field}" for field in lacking)
            here = ("/".join(map(str, (*pointer, "length"))),) if length is None else ()
            return HopOhms(None, degc, here + missing)
        ohms = 2.0 * length * ohm_per_m * (1.0 + alpha * (degc - 20.0))
        return HopOhms(ohms / hop.pairs if hop.pairs else ohms, degc, ())

    def _box(self, box: str) -> HopOhms:
        identifier = self._boxes(box)
        ohms = self._part(identifier).resistance
        return HopOhms(ohms, None, () if ohms is not None else (f"parts/{identifier}/resistance",))
