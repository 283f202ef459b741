"""The battery behind a supply: what is stated of it, its current, and what it still gives the farthest camera.

How long it lasts and how soon it is full is declared in `rules/facts/battery.yaml`.
Planning arithmetic. Batteries hurt people: siting, ventilation and fusing are for a competent person.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.physics.battery import battery_volts, runtime_hours
from coaxwright.facts.power.evening import evenings
from coaxwright.facts.power.power_solving import Network, solve_network, total_amps
from coaxwright.facts.power.warm_air import share_at
from coaxwright.facts.sheets import Battery, Feed, Supply
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
    _cold(context, sheet, part)
    _capacity(context, sheet, model, part)
    _discharge(context, sheet, part, network, feeds)
    if part.charge_amps is None:
        sheet.lacks("charger_amps", f"parts/{supply.part}/charge_amps")
    else:
        sheet.charger_amps = part.charge_amps
    sheet.put("recharge_wanted", model.recharge, f"{supply.subject}/recharge")
    fill("battery", [sheet], context.ledger)
    rates = model.battery_rates if model.battery is not None else part.battery_rates
    if not rates:
        sheet.lacks("hours_tabled", f"{supply.subject}/battery_rates")
    else:
        _tabled(sheet, [(row.amps, row.hours) for row in rates])
    sheet.evenings = []
    if part.battery_curve is not None and part.gives == "dc":
        sheet.evenings = [*evenings(sheet, part.battery_curve, network, feeds)]
    return sheet


def _tabled(sheet: Battery, rates: list[tuple[float, float]]) -> None:
    """Hours by the table of a new battery, at the current that is as hard on it as the own one on what is left of it."""
    amps, usable, capacity, most = (sheet.known(each) for each in ("amps", "usable", "capacity", "hours_most"))
    if amps is None or not usable or not capacity or most is None:
        return
    alike = amps * capacity / usable
    sheet.steps = (alike, rates)
    hours = most if alike < min(row[0] for row in rates) else runtime_hours(rates, alike)
    if hours is None:
        del sheet.hours
        sheet.lacks("hours", f"{sheet.supply.subject}/battery_rates")
    else:
        sheet.hours_tabled = min(most, hours)
        fill("battery", [sheet])


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


def _cold(context: Context, sheet: Battery, part: SupplyPart) -> None:
    """What it is, and the share of its capacity in the cold where its datasheet has a curve.

    Of lithium none is taken for granted below 25 °C; of a lead-acid battery IEEE 485 tells.
    """
    sheet.chemistry = part.battery_kind or "lead-acid"
    sheet.by_curve = sheet.chemistry == "lithium" or part.battery_cold is not None
    degrees, share = sheet.known("temperature"), None
    if degrees is not None and part.battery_cold is not None:
        points = part.battery_cold
        share = share_at(points, min(degrees, points[-1][0])) if degrees >= points[0][0] else None
    elif degrees is not None and sheet.chemistry == "lithium" and degrees >= 25.0:  # rated at 25 °C: common practice
        share = 1.0
    sheet.put("cold_share", share, f"parts/{sheet.supply.part}/battery_cold")


def _capacity(context: Context, sheet: Battery, model: SupplyModel, part: SupplyPart) -> None:
    """Capacity when new."""
    own = model.battery is not None
    capacity, hours = (model.battery, model.battery_hours) if own else (part.battery, part.battery_hours)
    sheet.rated_hours = context.ledger.take("battery-rated-hours") if hours is None else hours
    if capacity is None:
        sheet.lacks("capacity", f"{sheet.supply.subject}/battery")
    else:
        sheet.capacity = capacity


def _discharge(
    context: Context, sheet: Battery, part: SupplyPart, network: Network, feeds: Mapping[int, Feed]
) -> None:
    """The current, and the volts at the cameras when the battery is nearly empty."""
    if part.gives == "ac":
        reason = f"{sheet.supply.subject} {AC_REASON}"
        sheet.lacks("amps", reason)
        for feed in feeds.values():
            feed.lacks("volts_battery", reason)
        return
    end = part.battery_volts_end
    if end is None and sheet.chemistry == "lithium":
        sheet.lacks("volts_end", f"parts/{sheet.supply.part}/battery_volts_end")
        for feed in feeds.values():
            feed.lacks("volts_battery", f"parts/{sheet.supply.part}/battery_volts_end")
    else:
        _emptied(context, sheet, part, network, feeds)
    nominal = battery_volts(part.volts)
    states = solve_network(replace(network, source_volts=nominal, stated_volts=None))
    roots = [state for state, parent in zip(states, network.parents, strict=True) if parent < 0]
    amps, missing = total_amps(roots, True)
    if amps is None:
        sheet.lacks("amps", *missing)
    else:
        sheet.amps = amps


def _emptied(
    context: Context, sheet: Battery, part: SupplyPart, network: Network, feeds: Mapping[int, Feed]
) -> None:
    """The volts at the cameras when the battery is nearly empty."""
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
