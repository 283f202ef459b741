"""The battery behind a supply: how long it lasts, what it still gives the farthest camera, how soon it is full.

Planning arithmetic. Batteries hurt people: siting, ventilation and fusing are for a competent person.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from coaxwright.facts.context import Context
from coaxwright.facts.physics.battery import COLDEST, battery_volts, recharge_hours, standby_hours, usable_capacity
from coaxwright.facts.power.power_solving import Network, solve_network, total_amps
from coaxwright.facts.sheets import Battery, Feed, Sheet, Supply
from coaxwright.model.site import Supply as SupplyModel
from coaxwright.model.wiring_parts import SupplyPart

AC_REASON = "(a battery behind a supply of alternating current is not computed)"


def bind_battery(
    context: Context, supply: Supply, model: SupplyModel, network: Network, feeds: Mapping[int, Feed]
) -> Battery | None:
    """The battery of a supply, with the volts that it leaves at each camera; None where there is none.

    Two more solutions of the network: at nominal volts for the current, at the volts of an empty battery for
    what is left at the cameras. `feeds` by the index of their node.
    """
    if not supply.has_battery:
        return None
    sheet, part = Battery(), context.part(supply.part)
    sheet.subject, sheet.pointer = f"{supply.subject}/battery", ("supplies", supply.name)
    sheet.supply, supply.battery = supply, sheet
    if supply.known("autonomy_wanted") is None:
        sheet.lacks("wanted", *supply.missing("autonomy_wanted"))
    else:
        sheet.wanted = supply.autonomy_wanted
    _temperature(context, sheet, model)
    _usable(context, sheet, model, part)
    _discharge(context, sheet, part, network, feeds)
    _recharge(context, sheet, part)
    return sheet


def _temperature(context: Context, sheet: Battery, model: SupplyModel) -> None:
    """The coldest air at the supply: written, or that of the environmental class of its setting."""
    place, subject = model.place, sheet.supply.subject
    coldest = None if place is None else place.ambient_min
    if coldest is None and place is not None and place.setting is not None:
        coldest = context.ledger.take(f"environment-{place.setting}")[0]
    if coldest is None:
        sheet.lacks("temperature", f"{subject}/place/ambient_min")
    else:
        sheet.temperature = coldest
    if place is None or place.ambient_max is None:
        sheet.lacks("temperature_max", f"{subject}/place/ambient_max")
    else:
        sheet.temperature_max = place.ambient_max


def _usable(context: Context, sheet: Battery, model: SupplyModel, part: SupplyPart) -> None:
    """Capacity when new, and what is left of it at the end of its life in the cold."""
    own = model.battery is not None
    capacity, hours = (model.battery, model.battery_hours) if own else (part.battery, part.battery_hours)
    sheet.rated_hours = context.ledger.take("battery-rated-hours") if hours is None else hours
    if capacity is None:
        sheet.lacks("capacity", f"{sheet.supply.subject}/battery")
        sheet.lacks("usable", f"{sheet.supply.subject}/battery")
        return
    sheet.capacity = capacity
    if sheet.known("temperature") is None:
        sheet.lacks("usable", *sheet.missing("temperature"))
        return
    context.ledger.take("battery-cold-loss")
    remaining = context.ledger.take("battery-remaining")
    frozen = sheet.temperature < COLDEST
    sheet.usable = 0.0 if frozen else usable_capacity(capacity, remaining, sheet.temperature)


def _discharge(
    context: Context, sheet: Battery, part: SupplyPart, network: Network, feeds: Mapping[int, Feed]
) -> None:
    """Current and duration, and the volts at the cameras when the battery is nearly empty."""
    if part.gives == "ac":
        own = ((sheet, field) for field in ("amps", "hours", "hours_most"))
        for owner, field in (*own, *((feed, "volts_battery") for feed in feeds.values())):
            owner.lacks(field, f"{sheet.supply.subject} {AC_REASON}")
        return
    end = part.battery_volts_end
    nominal = battery_volts(part.volts)
    sheet.volts_end = nominal * context.ledger.take("battery-end") if end is None else end
    emptied = solve_network(replace(network, source_volts=sheet.volts_end, stated_volts=None))
    for index, feed in feeds.items():
        volts = emptied[index].volts_night
        if volts is None:
            feed.lacks("volts_battery", *emptied[index].missing_night)
        else:
            feed.volts_battery = volts
    states = solve_network(replace(network, source_volts=nominal, stated_volts=None))
    roots = [state for state, parent in zip(states, network.parents, strict=True) if parent < 0]
    amps, missing = total_amps(roots, True)
    if amps is None:
        sheet.lacks("amps", *missing)
    else:
        sheet.amps = amps
    _hours(context, sheet, amps, missing)


def _hours(context: Context, sheet: Battery, amps: float | None, missing: tuple[str, ...]) -> None:
    """How long it lasts: no more than usable capacity over the current, less at currents above the rated one."""
    lacking = (*missing, *(() if sheet.known("usable") is not None else sheet.missing("usable")))
    if amps is None or lacking:
        for field in ("hours", "hours_most"):
            sheet.lacks(field, *lacking)
        return
    sheet.hours_most = 0.0 if not sheet.usable else sheet.usable / amps if amps else math.inf
    sheet.hours = sheet.hours_most
    if 0.0 < sheet.hours_most < sheet.rated_hours:
        exponent = context.ledger.take("peukert-exponent")
        sheet.hours = standby_hours(sheet.usable, sheet.rated_hours, amps, exponent)


def _recharge(context: Context, sheet: Battery, part: SupplyPart) -> None:
    """Hours to put back the share that recharge times are stated for, with what charger and loads leave."""
    supply = sheet.supply
    if part.charge_amps is None:
        sheet.lacks("charger_amps", f"parts/{supply.part}/charge_amps")
        sheet.lacks("charge_amps", f"parts/{supply.part}/charge_amps")
    else:
        sheet.charger_amps = part.charge_amps
    _lack_unknown(sheet, supply, ("amps_max", "amps_night"), "charge_amps")
    if None not in (sheet.known("charger_amps"), supply.known("amps_max"), supply.known("amps_night")):
        sheet.charge_amps = max(0.0, min(sheet.charger_amps, supply.amps_max - supply.amps_night))
    _lack_unknown(sheet, sheet, ("charge_amps", "usable"), "recharge_hours")
    if None not in (sheet.known("charge_amps"), sheet.known("usable")):
        take = context.ledger.take
        share = sheet.usable * take("recharge-share")
        sheet.recharge_hours = recharge_hours(share, sheet.charge_amps, 0.0, take("charge-efficiency"))


def _lack_unknown(sheet: Battery, of: Sheet, names: Sequence[str], field: str) -> None:
    """Name under `field` what the unknown ones of some fields of another sheet lack."""
    for name in names:
        if of.known(name) is None:
            sheet.lacks(field, *of.missing(name))
