"""Sheets of the battery behind a supply, and of cameras through an evening on it."""

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
    chemistry: str = fact("What it is.", choices=("lead-acid", "lithium"))
    by_curve: bool = fact("Its capacity in the cold goes by a curve of its datasheet: stated, or of lithium.")
    evenings: list[Any] = fact("Cameras on it through an evening, where its volts meanwhile are stated.", many="evening")
    hours_tabled: float = fact("Hours by the table of its datasheet at that current, old and cold.", "h")
    hours: float = declared("battery", "hours")
    hours_most: float = declared("battery", "hours_most")
    wanted: float = fact("How long it is wanted to last.", "h")
    volts_end: float = fact("Terminal voltage when it is empty.", "V")
    charge_amps: float = declared("battery", "charge_amps")
    charger_amps: float = fact("Current that its charger gives at most.", "A")
    recharge_hours: float = declared("battery", "recharge_hours")
    recharge_wanted: float = fact("Time within which it is wanted back at the part that recharge times are stated for.", "h")


@sheet
class Evening(Sheet):
    """A camera on a battery whose datasheet says how its volts fall."""

    kind: ClassVar[str] = "evening"
    feed: Any = fact("The feed of the camera.", ref="feed")
    battery: Any = fact("The battery.", ref="battery")
    volts_needed: float = fact("Volts of the battery at which the camera gets its least; no less than its curve ends at.", "V")
    hours: float = fact("How long the camera gets its least volts, as the battery empties.", "h")
