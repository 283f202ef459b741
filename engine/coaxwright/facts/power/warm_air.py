"""What warm air leaves of a supply and of the devices in its outputs.

The air is what is written for the place of the supply, else the warmest of the environmental class of its setting. A
curve in the part goes before the tables. Needs review by a licensed electrician: nothing here says that a device suits.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import pairwise

from coaxwright.facts.context import Context
from coaxwright.facts.sheets import Output, Supply
from coaxwright.model.site import Place
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.reading.tables import load_table

Points = Sequence[tuple[float, float]]
_UNAFFECTED = ("electronic", "none")
"""What protects an output and is held by the supply's own curve, if by any."""


def share_at(points: Points, degc: float) -> float | None:
    """Share left at so many °C: straight lines between points, the first below them, None beyond the last."""
    if degc <= points[0][0]:
        return points[0][1]
    for (low, before), (high, after) in pairwise(points):
        if degc <= high:
            return before + (after - before) * (degc - low) / (high - low)
    return None


def bind_warm_supply(context: Context, supply: Supply, part: SupplyPart, place: Place | None) -> None:
    """The air around a supply and what it leaves of its current; that of a cabinet is known when all in it is solved."""
    air = None if place is None else place.ambient_max
    if air is None and place is not None and place.cabinet is not None:
        return
    if air is None and place is not None and place.setting is not None:
        air = context.ledger.take(f"environment-{place.setting}")[1]
    if air is None:
        for field in ("air", "share_warm"):
            supply.lacks(field, *(f"{supply.subject}/place/{each}" for each in ("ambient_max", "setting")))
        return
    warm_supply(context, supply, part, air)


def warm_supply(context: Context, supply: Supply, part: SupplyPart, air: float) -> None:
    """What air of so many °C leaves of a supply's current."""
    supply.air = air
    if part.derating is None:
        context.ledger.take("supply-derating")
    left = share_at(_table("supply-derating", None) if part.derating is None else part.derating, air)
    if left is None:
        supply.lacks("share_warm", f"parts/{supply.part}/derating")
    else:
        supply.share_warm = left


def bind_warm_output(context: Context, output: Output) -> None:
    """What the air around the supply leaves of the device in an output."""
    place = context.loaded.site.supplies[output.supply.name].place
    if output.supply.known("air") is None and place is not None and place.cabinet and place.ambient_max is None:
        return
    warm_output(context, output)


def warm_output(context: Context, output: Output) -> None:
    """The same once the air of the supply is known, or known not to be."""
    protection, air = output.known("protection"), output.supply.known("air")
    if protection in _UNAFFECTED:
        output.share_warm = 1.0
        return
    if protection is None or air is None:
        lacking = output.missing("protection") if protection is None else ()
        output.lacks("share_warm", *lacking, *(output.supply.missing("air") if air is None else ()))
        return
    context.ledger.take("device-derating")
    left = share_at(_table("device-derating", protection), air)
    if left is None:
        output.lacks("share_warm", f"parts/{output.supply.part}/output_protection")
    else:
        output.share_warm = left


@cache
def _table(name: str, protection: str | None) -> Points:
    rows = load_table(name).rows
    return tuple((row["air"], row["share"]) for row in rows if protection is None or row["protection"] == protection)


def opens_at(protection: str) -> float:
    """Times its rating at which a device opens for certain; for `none` no current does."""
    return float("inf") if protection == "none" else float(load_table("device-opening").row(protection)["times"])
