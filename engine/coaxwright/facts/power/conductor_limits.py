"""What a conductor may carry where it lies, and the greatest protective device before it.

The part's own word goes first; else table `conductor-currents` by size, made smaller for the metal, warm air, bunches
and thermal insulation. Whether a cable and the device before it go together needs review by a licensed electrician.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from coaxwright.facts.physics.conductor_heat import IN_INSULATION, air_factor, metal_factor
from coaxwright.model.site import Hop
from coaxwright.model.wiring_parts import CablePart, Conductor
from coaxwright.reading.tables import Row, load_table

_GAUGE_TOLERANCE = 0.003
"""A cross-section within 0.3 % of a row's is that row's (ASTM B258, rounded as printed)."""

_COLUMNS = {"conduit": "conduit", "clipped": "clipped", "free-air": "free_air", "insulation": "clipped"}
STATED = "as its maker states"


class Limits(NamedTuple):
    """Greatest current and greatest protective device of one conductor (None where not known), in A.

    `basis` says where they are from, `terms` are the figure at 30 °C and its factors with a word each, `assumed` tells
    that the table spoke, `missing` the fields of the part that would supply them.
    """

    amps: float | None
    device: float | None
    basis: str
    terms: tuple[tuple[float, str], ...]
    assumed: bool
    missing: tuple[str, ...]


def conductor_limits(part: CablePart, hop: Hop, air: float) -> Limits:
    """Limits of each conductor of a run in air of that many °C."""
    conductor = part.conductor
    if conductor is None:
        return _unknown("conductor")
    if conductor.amps is not None:
        return Limits(conductor.amps, conductor.amps, STATED, ((conductor.amps, STATED),), False, ())
    lacking = [name for name in ("size", "material") if getattr(conductor, name) is None]
    if lacking:
        return _unknown("conductor/amps", *(f"conductor/{name}" for name in lacking))
    row = current_row(conductor.size or 0.0)
    if row is None:
        return _unknown("conductor/amps")
    bunched = hop.bunched or 1
    if bunched > _most_bunched(row["gauge"], part.paired):
        return _unknown("conductor/amps")
    return _from_row(row, conductor, hop, air, part.paired and bunched > 1)


@cache
def _most_bunched(gauge: int | None, paired: bool) -> int:
    """The largest bunch of which a table tells, for a conductor of that gauge, if it is one."""
    if paired and gauge in _bundled():
        return max(int(each["cables_up_to"]) for each in load_table("pair-bundles").rows if each["gauge"] == gauge)
    return max(int(each["circuits"]) for each in load_table("conductor-bunching").rows)


@cache
def _bundled() -> frozenset[int]:
    """Gauges of which the table of bundles tells."""
    return frozenset(row["gauge"] for row in load_table("pair-bundles").rows)


def _in_bundle(row: Row, hop: Hop) -> list[tuple[float, str]]:
    """The figure of a conductor of pairs in a bundle of so many cables, and what thermal insulation leaves of it."""
    rows = (each for each in load_table("pair-bundles").rows if each["gauge"] == row["gauge"])
    amps = next(each["amps"] for each in rows if each["cables_up_to"] >= (hop.bunched or 1))
    terms = [(amps, f"{row['gauge']} AWG in a bundle of {hop.bunched} cables at 30 degC")]
    return [*terms, (IN_INSULATION, "surrounded by insulation")] if hop.laid == "insulation" else terms


def _unknown(*missing: str) -> Limits:
    return Limits(None, None, "", (), False, missing)


@cache
def current_row(size: float) -> Row | None:
    """The row of the largest size that is not above `size` mm2; None under the smallest."""
    fitting = [row for row in load_table("conductor-currents").rows if row["size"] <= size * (1.0 + _GAUGE_TOLERANCE)]
    return max(fitting, key=lambda row: float(row["size"]), default=None)


def _from_row(row: Row, conductor: Conductor, hop: Hop, air: float, bundle: bool) -> Limits:
    bundle = bundle and row["gauge"] in _bundled()
    terms = _in_bundle(row, hop) if bundle else list(_laid(row, hop))
    metal = load_table("conductor-materials").row(conductor.material)
    share = metal_factor(metal["factor"])
    if share < 1.0:
        terms.append((share, conductor.material or ""))
    terms.append((_air(row["insulation"], air), f"{air:g} degC around it"))
    if not bundle and hop.bunched is not None and hop.bunched > 1:
        terms.append((_bunched(row, hop.bunched), f"{hop.bunched} circuits bunched"))
    carried = 1.0
    for factor, _ in terms:
        carried *= factor
    device = _device(row, conductor.material, share)
    lasting = carried if row["continuous"] is None else min(carried, row["continuous"] * share)
    return Limits(
        lasting, carried if device is None else min(carried, device), row["source"], tuple(terms), True, ()
    )  # fmt: skip


def _laid(row: Row, hop: Hop) -> list[tuple[float, str]]:
    """The figure at 30 °C as the run is laid, and what thermal insulation leaves of it."""
    column = _COLUMNS.get(hop.laid or "", "amps")
    figure = row["amps"] if row[column] is None else row[column]
    terms = [(figure, f"{row['size']:g} mm2 at 30 degC")]
    return [*terms, (IN_INSULATION, "surrounded by insulation")] if hop.laid == "insulation" else terms


def _device(row: Row, material: str | None, share: float) -> float | None:
    """Greatest device that a code names for that size, or None."""
    if material == "copper-clad-aluminium" and row["device_clad"] is not None:
        return float(row["device_clad"])
    return None if row["device"] is None else float(row["device"]) * share


def _air(insulation: float, air: float) -> float:
    return air_factor(_air_points(insulation), air)


@cache
def _air_points(insulation: float) -> tuple[tuple[float, float], ...]:
    rows = load_table("conductor-air").rows
    return tuple((row["air"], row["factor"]) for row in rows if row["insulation"] == insulation)


def _bunched(row: Row, circuits: int) -> float:
    """Factor of the least number of circuits in the table that is not below `circuits`."""
    column = "factor" if row["gauge"] is None else "factor_gauge"
    rows = load_table("conductor-bunching").rows
    return float(next(each[column] for each in rows if each["circuits"] >= circuits))
