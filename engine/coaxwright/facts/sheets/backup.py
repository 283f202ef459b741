"""Sheet of the battery behind a supply."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet


@sheet
class Battery(Sheet):
    """The battery behind one supply, discharged by the loads of the night."""

    kind: ClassVar[str] = "battery"
    supply: Any = fact("The supply.", ref="supply")
    capacity: float = fact("Capacity when new, at its rated hours.", "Ah")
    rated_hours: float = fact("Hours of discharge for which the capacity is stated.", "h")
    usable: float = declared("battery", "usable")
    temperature: float = fact("Coldest air where it stands.", "degC")
    temperature_max: float = fact("Warmest air where it stands, where that is written.", "degC")
    amps: float = fact("Current by night while it feeds the loads, at its nominal voltage.", "A")
    hours: float = declared("battery", "hours")
    hours_most: float = declared("battery", "hours_most")
    wanted: float = fact("How long it is wanted to last.", "h")
    volts_end: float = fact("Terminal voltage when it is empty.", "V")
    charge_amps: float = declared("battery", "charge_amps")
    charger_amps: float = fact("Current that its charger gives at most.", "A")
    recharge_hours: float = declared("battery", "recharge_hours")
