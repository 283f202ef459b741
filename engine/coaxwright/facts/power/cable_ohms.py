"""Resistance of cable runs and boxes that carry power, from what their parts state.

Not here: what flows through them, and whether a cable may be used so.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from coaxwright.facts.physics.conductors import ohm_per_metre
from coaxwright.model.measured import MEASURED_AT, MeasuredRun
from coaxwright.model.site import Hop
from coaxwright.model.wiring_parts import BoxPart, CablePart, Conductor
from coaxwright.reading.tables import Row, load_table
from coaxwright.topology.records import Pointer

_GAUGE_TOLERANCE = 0.003
"""A cross-section within 0.3 % of a gauge's is that gauge: `18 AWG` and `0.823 mm2` are the same wire (ASTM B258,
rounded as printed)."""


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

    A size in neither table is resistivity over area (IEC 60028). Other metals than copper: times the factor
    of table `conductor-materials`.
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


def coax_ohms(cable: CablePart) -> ConductorOhms:
    """Centre and braid of a coax that carries power, as one conductor of half their sum: ohm/m at 20 °C, and their common 1/K.

    Circuit theory: both in series make the loop. The braid's metal is its part's; copper where it does not say.
    """
    centre, braid = conductor_ohms(cable), cable.braid_resistance
    missing = (*centre.missing, *(("braid_resistance",) if braid is None else ()))
    if centre.ohm_per_m is None or braid is None:
        return ConductorOhms(None, centre.alpha, "", missing)
    metal = load_table("conductor-materials").row(cable.braid or "copper")
    loop = centre.ohm_per_m + braid
    alpha = (centre.ohm_per_m * centre.alpha + braid * metal["temperature_coefficient"]) / loop
    return ConductorOhms(loop / 2.0, alpha, f"half of centre and braid together; centre: {centre.source}", ())


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


def temperature_factor(alpha: float, degc: float) -> float:
    """How many times the resistance at 20 degC a conductor has: 1 + alpha (t - 20)."""
    return 1.0 + alpha * (degc - 20.0)


def hop_ohms(hop: Hop, figures: ConductorOhms, degc: float, pointer: Pointer) -> HopOhms:
    """Loop resistance of one run: 2 x length x ohm/m x (1 + alpha (t - 20)) / pairs."""
    measured = hop.measured
    if measured is not None and measured.loop is not None:
        return HopOhms(measured.loop * since_measured(measured, figures, degc), degc, ())
    length, ohm_per_m = hop.metres, figures.ohm_per_m
    if length is None or ohm_per_m is None:
        missing = tuple(f"parts/{hop.cable}/{name}" for name in figures.missing)
        here = ("/".join(map(str, (*pointer, "length"))),) if length is None else ()
        return HopOhms(None, degc, here + missing)
    ohms = 2.0 * length * ohm_per_m * temperature_factor(figures.alpha, degc)
    return HopOhms(ohms / hop.pairs if hop.pairs else ohms, degc, ())


def since_measured(measured: MeasuredRun, figures: ConductorOhms, degc: float) -> float:
    """How many times what was measured a loop has at another temperature; copper's coefficient where the metal is unknown."""
    alpha = figures.alpha or float(load_table("conductor-materials").row("copper")["temperature_coefficient"])
    then = MEASURED_AT if measured.temperature is None else measured.temperature
    return temperature_factor(alpha, degc) / temperature_factor(alpha, then)


def box_ohms(part_id: str, part: BoxPart) -> HopOhms:
    """Series resistance of a box that power passes."""
    missing = () if part.resistance is not None else (f"parts/{part_id}/resistance",)
    return HopOhms(part.resistance, None, missing)
