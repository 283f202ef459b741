"""The sheets of a site as a grid shows them: which values of the file stand in which column, and what they hold.

Data only; a grid is a view of the text, so every column says where in an entry its value is written.
"""

from __future__ import annotations

from coaxwright.immutable import immutable

Steps = tuple[str | int, ...]


@immutable
class Column:
    """One column: its heading, where its value stands below the entry, and what it holds.

    `holds` is a kind of quantity (`length`), `part:KIND`, `port:USE`, `choice`, `yesno`, `count` or `text`. `unit` is
    what a bare number is taken for. `needed`: the value cannot be taken away.
    """

    name: str
    at: Steps
    holds: str
    unit: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = False
    hint: str = ""


_SETTINGS = ("indoor", "sheltered", "outdoor")

CAMERAS = (
    Column("part", ("part",), "part:camera", needed=True),
    Column("input", ("video", "into"), "port:video", hint="such as rec1/4"),
    Column("video cable", ("video", "over", 0, "cable"), "part:cable"),
    Column("video length", ("video", "over", 0, "length"), "length", "m", hint="such as 45 m"),
    Column("fed from", ("power", "from"), "port:power", hint="such as psu1/4"),
    Column("power cable", ("power", "over", 0, "cable"), "part:cable"),
    Column("power length", ("power", "over", 0, "length"), "length", "m", hint="such as 45 m"),
    Column("wanted", ("wants", "rate"), "frame_rate", "fps", hint="such as 12 fps"),
)
RECORDERS = (
    Column("part", ("part",), "part:recorder", needed=True),
    Column("codec", ("record", "codec"), "choice", choices=("h264", "h265")),
    Column("records", ("record", "schedule"), "choice", choices=("continuous", "motion", "sorted-motion")),
    Column("disk group", ("redundancy",), "choice", choices=("none", "raid0", "raid1", "raid5", "raid6", "raid10")),
    Column("network cameras", ("network_cameras",), "count"),
)
SUPPLIES = (
    Column("part", ("part",), "part:supply", needed=True),
    Column("set to", ("trim",), "volts", "V", hint="such as 12.6 V"),
    Column("battery", ("battery",), "amp_hours", "Ah", hint="such as 7 Ah"),
    Column("runs without mains", ("autonomy",), "hours", "h", hint="such as 2 h"),
)
CABLES = (
    Column("cable", ("cable",), "part:cable"),
    Column("length", ("length",), "length", "m", hint="such as 45 m"),
    Column("joints", ("joints",), "count"),
    Column("lies", ("setting",), "choice", choices=_SETTINGS),
    Column("conductor warmth", ("temperature",), "celsius", "°C", hint="such as 50 °C"),
)
PLACES = (
    Column("stands", ("place", "setting"), "choice", choices=_SETTINGS),
    Column("building", ("place", "building"), "text", hint="such as office"),
    Column("within reach", ("place", "reach"), "choice", choices=("out-of-reach", "tool", "hand")),
    Column("coldest air", ("place", "ambient_min"), "celsius", "°C", hint="such as -10 °C"),
    Column("warmest air", ("place", "ambient_max"), "celsius", "°C", hint="such as 35 °C"),
    Column("height", ("place", "height"), "length", "m", hint="such as 3 m"),
)
DISKS = (Column("disk", (), "part:disk"),)
HERE = (
    Column("cameras stand", ("place", "setting"), "choice", choices=_SETTINGS),
    Column("within reach", ("place", "reach"), "choice", choices=("out-of-reach", "tool", "hand")),
    Column("coldest air", ("place", "ambient_min"), "celsius", "°C", hint="such as -10 °C"),
    Column("warmest air", ("place", "ambient_max"), "celsius", "°C", hint="such as 35 °C"),
    Column("video cable", ("cable", "video"), "part:cable"),
    Column("power cable", ("cable", "power"), "part:cable"),
    Column("wanted", ("wants", "rate"), "frame_rate", "fps", hint="such as 12 fps"),
)
"""What a building or an area says for what stands in it; below `defaults/buildings/NAME` and `defaults/areas/NAME`."""
SITE = (
    Column("name", ("site",), "text", needed=True),
    Column("frame family", ("video_rate",), "choice", choices=("25", "30")),
    Column("keep recordings", ("retention",), "days", "days", hint="such as 30 days"),
    Column("keep at most", ("retention_max",), "days", "days", hint="such as 90 days"),
    Column("room to grow", ("growth",), "fraction", "%", hint="such as 20 %"),
    Column("wiring code", ("wiring_code",), "choice", choices=("nec-2020", "nec-2023", "nec-2026", "iec-60364")),
    Column("conductors, assumed", ("assume", "conductor_temperature"), "celsius", "°C", hint="such as 40 °C"),
    Column("notes", ("notes",), "text"),
    Column("default: cameras stand", ("defaults", "place", "setting"), "choice", choices=_SETTINGS),
    Column("default: building", ("defaults", "place", "building"), "text", hint="such as office"),
    Column("default: within reach", ("defaults", "place", "reach"), "choice", choices=("out-of-reach", "tool", "hand")),
    Column("default: video cable", ("defaults", "cable", "video"), "part:cable"),
    Column("default: power cable", ("defaults", "cable", "power"), "part:cable"),
    Column("default: wanted", ("defaults", "wants", "rate"), "frame_rate", "fps", hint="such as 12 fps"),
    Column("default: codec", ("defaults", "record", "codec"), "choice", choices=("h264", "h265")),
)

GROUPS: dict[str, tuple[Column, ...]] = {"cameras": CAMERAS, "recorders": RECORDERS, "supplies": SUPPLIES}
"""Sheets whose rows are the entries of a group of the site file."""
KINDS_OF_GROUPS = {"cameras": "camera", "recorders": "recorder", "supplies": "supply"}
ALL: dict[str, tuple[Column, ...]] = {**GROUPS, "cables": CABLES, "disks": DISKS, "places": PLACES, "site": SITE}
