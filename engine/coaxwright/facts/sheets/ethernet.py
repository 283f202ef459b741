"""Sheets of power over Ethernet: what gives it, and each port in use."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet


@sheet
class PoeSource(Sheet):
    """A switch or recorder whose network ports power something."""

    kind: ClassVar[str] = "poe_source"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    ports: int = fact("Ports that give power.")
    ports_used: int = declared("poe_source", "ports_used")
    watts_max: float = fact("Power for all its ports together.", "W")
    watts_allotted: float = declared("poe_source", "watts_allotted")
    watts_night: float = declared("poe_source", "watts_night")
    members: list[Any] = fact("Its ports in use.", many="poe_port")


@sheet
class PoePort(Sheet):
    """One network port that powers something."""

    kind: ClassVar[str] = "poe_port"
    source: Any = fact("What gives the power.", ref="poe_source")
    number: int = fact("Port number.")
    exists: bool = declared("poe_port", "exists")
    devices: int = fact("Devices joined to this port.")
    device: str = fact("Subject of the device on it (the first where there are several).")
    name: str = fact("Id of that device.")
    takes_poe: bool = fact("The device, or a converter on its cable, takes power over Ethernet.")
    device_class: int = fact("Class of the device.")
    port_class: int = fact("Highest class that the port gives.")
    watts_allotted: float = fact("Power set aside for the class of the device.", "W")
    watts_port: float = fact("Power of the highest class that the port gives.", "W")
    watts_class: float = fact("Power that the class of the device lets it draw.", "W")
    watts_day: float = fact("Power that the device draws by day.", "W")
    watts_night: float = fact("Power that the device draws by night.", "W")
    watts_given: float = declared("poe_port", "watts_given")
    pairs: int = fact("Pairs that the cable has (the fewest of its runs).")
    pairs_needed: int = fact("Pairs over which the class is powered.")
    metres: float = fact("Length of the cable.", "m")
    ohms: float = fact("Loop resistance of the powered pairs.", "ohm")
    ohms_max: float = fact("Greatest loop resistance for the class.", "ohm")
    volts: float = fact("Least voltage at the port.", "V")
    bunched: bool = fact("Its cable lies in a bunch of more than one powered cable.")
    amps_pair: float = declared("poe_port", "amps_pair")
    bundle_rise: float = declared("poe_port", "bundle_rise")
    volts_night: float = declared("poe_port", "volts_night")
    volts_min: float = fact("Least voltage at which a device of that class has to work.", "V")
