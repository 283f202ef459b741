"""Sheet of a way over copper that reaches another earth or building, stands high, or has arresters beside it."""

from __future__ import annotations

from typing import ClassVar

from coaxwright.facts.sheets.base import Sheet, fact, sheet


@sheet
class Copper(Sheet):
    """A way over copper conductors, as earth and lightning see it: picture, power, sound, control, network alike."""

    kind: ClassVar[str] = "copper"
    owner: str = fact("Subject whose way it is.")
    name: str = fact("Id of that device.")
    use: str = fact("What it carries.", choices=("video", "power", "sound", "control", "network"))
    direct: bool = fact("Power from a supply of direct current, whose minus goes through.")
    other_building: bool = fact("Its two ends stand in two buildings.")
    other_earth: bool = fact("Its two ends stand on two earths: by name, else by building.")
    isolated: bool = fact("Something on it parts the earths: an isolator; of a network the transformers in its ports.")
    arresters: int = fact("Surge arresters on it.")
    others_arrested: bool = fact("Another way of the same device has a surge arrester.")
    height: float = fact("Height of the device, where it stands in the open.", "m")
    arrester_volts: float = fact("Greatest working voltage of the arresters on it, of the least.", "V")
    categories: str = fact("What the arresters on it are tested for, in words.")
    tested_for_stroke: bool = fact("Every arrester on it is tested with the impulse of a part of a stroke.")
    tested_for_induced: bool = fact("Every arrester on it is tested with the impulse of an induced surge, or a stronger one.")
    volts_line: float = fact("Greatest voltage on it without load, where it carries power to a camera.", "V")
