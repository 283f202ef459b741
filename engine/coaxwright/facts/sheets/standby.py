"""Sheets of what runs without mains beside the cameras: recorders, switches, boxes, screens, and UPS."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet

FED_BY = ("mains", "ups", "battery", "port")


@sheet
class Standby(Sheet):
    """A device other than a camera that has to run as long without mains as what depends on it."""

    kind: ClassVar[str] = "standby"
    device: str = fact("What it is.", choices=("recorder", "switch", "box", "monitor", "supply"))
    name: str = fact("Its id in the site file.")
    wanted: float = fact("Longest time without mains that is wanted of what depends on it.", "h")
    fed_by: str = fact("What feeds it in the end: mains, a UPS, the battery of a supply, a network port.", choices=FED_BY)
    ups: Any = fact("The UPS that feeds it.", ref="ups")
    battery: Any = fact("The battery that feeds it.", ref="battery")
    hours: float = fact("How long it runs without mains.", "h")


@sheet
class Ups(Sheet):
    """An uninterruptible supply, with the load of all that is plugged into it."""

    kind: ClassVar[str] = "ups"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    loads: int = fact("Devices that are plugged into it.")
    watts: float = fact("Power that they draw from it by night.", "W")
    watts_max: float = fact("Largest load.", "W")
    volt_amps_max: float = fact("Largest load in volt-amperes.", "VA")
    volt_amps: float = fact("Apparent power of that load.", "VA")
    watts_headroom: float = declared("ups", "watts_headroom")
    hours: float = fact("How long it lasts at that load, by the table of its part.", "h")
    wanted: float = fact("How long it is wanted to last.", "h")
    temperature_max: float = fact("Warmest air that its datasheet allows.", "degC")
    ambient_max: float = fact("Warmest air where it stands.", "degC")
