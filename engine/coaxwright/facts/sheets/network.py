"""Sheets of the network: switches, the ports in use, the ways of cable to them, and addresses."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet


@sheet
class Switch(Sheet):
    """One network switch."""

    kind: ClassVar[str] = "switch"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    ports: int = fact("Ports that it has, uplink ports included.")
    ports_used: int = fact("Ports in use, with the one of its own way onwards.")
    ports_spare: int = declared("switch", "ports_spare")
    has_uplink: bool = fact("A way onwards, to another switch or to a recorder, is drawn.")
    cameras: int = fact("Network cameras behind it, through other switches too.")
    load: float = fact("Bit rate of all cameras behind it.", "bit/s")
    uplink_rate: float = fact("Rate of its way onwards.", "bit/s")


@sheet
class NetworkPort(Sheet):
    """One network port that something is joined to."""

    kind: ClassVar[str] = "network_port"
    device: str = fact("Id of the switch or recorder that has it.")
    part: str = fact("Catalogue id of that device.")
    number: int = fact("Port number.")
    ports: int = fact("Ports that the device has.")
    exists: bool = declared("network_port", "exists")
    cables: int = fact("Cables that are joined to it.")
    owners: str = fact("Devices at the other ends, by id.")


@sheet
class NetworkPath(Sheet):
    """One way of network cable from a camera or switch to a port."""

    kind: ClassVar[str] = "network_path"
    of_entry: ClassVar[bool] = True
    owner: str = fact("Id of the device at its far end.")
    port: str = fact("Device and port that it leads to.")
    metres: float = fact("Length of the way.", "m")
    coax: bool = fact("A piece of it is coax.")
    converters: int = fact("Boxes on it that turn network into another cable.")


@sheet
class Address(Sheet):
    """One device with a network address written."""

    kind: ClassVar[str] = "address"
    name: str = fact("Id of the device.")
    address: str = fact("The address, as written.")
    valid: bool = fact("It is an IPv4 or IPv6 address.")
    shared: bool = fact("An earlier device of the site has the same address.")
    other: str = fact("The earliest device with the same address, by id.")


NETWORK_SHEETS: tuple[type[Sheet], ...] = (Switch, NetworkPort, NetworkPath, Address)


@sheet
class SerialBus(Sheet):
    """One serial control line into a recorder, with all devices on it."""

    kind: ClassVar[str] = "serial_bus"
    recorder: Any = fact("The recorder.", ref="recorder")
    name: str = fact("Id of the recorder.")
    devices: int = fact("Cameras on the line.")
    addresses: int = fact("Cameras with an address written.")
    addresses_shared: int = fact("Addresses that more than one camera has.")
    shared_words: str = fact("Those addresses with their cameras.")
    speeds: int = fact("Different speeds written for cameras on the line.")
    speeds_words: str = fact("Those speeds with their cameras.")
    protocols: int = fact("Different protocols written for cameras on the line.")
    protocols_words: str = fact("Those protocols with their cameras.")
    metres: float = fact("Length of all its cable.", "m")
    unit_loads: float = fact("Loads of all its devices, the recorder too, in unit loads of TIA-485.")
    stars: int = fact("Cameras wired to a common point instead of from device to device.")
    stars_words: str = fact("Those cameras.")
    terminated: int = fact("Cameras with a termination fitted.")
    terminated_least: int = fact("Cameras that are known to have a termination.")


@sheet
class Sheath(Sheet):
    """One jacket with several pairs that carry different things."""

    kind: ClassVar[str] = "sheath"
    name: str = fact("Its name in the site file.")
    cable: str = fact("Cable part (of the first run that names it).")
    cables: int = fact("Different cable parts that runs of this name state.")
    pairs: int = fact("Pairs that the cable has.")
    pairs_used: int = fact("Pairs that its runs take.")
    uses: str = fact("What runs in it, in words.")
    pictures: int = fact("Pictures that run in it.")
    powers: int = fact("Power runs in it.")
    alternating: bool = fact("Alternating current runs in it.")
    screened: bool = fact("The cable has a screen.")


@sheet
class Monitor(Sheet):
    """One screen."""

    kind: ClassVar[str] = "monitor"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    joined: bool = fact("An output is named for it.")
    output: str = fact("Recorder and output that it is joined to.")
    connector: str = fact("Connector of that output.")
    connector_fits: bool = fact("The screen has that connector.")
    output_mode: str = fact("What the output gives at most.")
    mode: str = fact("What the screen shows at most.")
    shows_all: bool = fact("The screen shows as many columns, lines and frames as the output gives.")
    screens: int = fact("Screens joined to the same output.")
    distance: float = fact("How far the viewer sits.", "m")
    distance_sharp: float = declared("monitor", "distance_sharp")
    cable_length: float = fact("Length of the cable to it.", "m")
    cable_passive: bool = fact("That cable carries HDMI, and is neither active nor an extender.")
    cable_most: float = fact("Longest passive cable that is planned for what the output gives.", "m")


LINE_SHEETS: tuple[type[Sheet], ...] = (SerialBus, Sheath, Monitor)
