"""Sheet of the battery behind a supply."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, fact, sheet


@sheet
class Battery(Sheet):
    """The battery behind one supply, discharged by the loads of the night."""

    kind: ClassVar[str] = "battery"
    supply: Any = fact("The supply.", ref="supply")
    capacity: float = fact("Capacity when new, at its rated hours.", "Ah")
    rated_hours: float = fact("Hours of discharge for which the capacity is stated.", "h")
    usable: float = fact("Capacity at the end of its life in the coldest air where it stands.", "Ah")
    temperature: float = fact("Coldest air where it stands.", "degC")
    temperature_max: float = fact("Warmest air where it stands, where that is written.", "degC")
    amps: float = fact("Current by night while it feeds the loads, at its nominal voltage.", "A")
    hours: float = fact("How long it lasts at that current.", "h")
    hours_most: float = fact("Usable capacity over that current: what it never outlasts.", "h")
    wanted: float = fact("How long it is wanted to last.", "h")
    volts_end: float = fact("Terminal voltage when it is empty.", "V")
    charge_amps: float = fact("Current left to charge it: the charger's, or what the loads leave of the supply.", "A")
    charger_amps: float = fact("Current that its charger gives at most.", "A")
    recharge_hours: float = fact("How long it takes to fill it again while the loads run.", "h")
