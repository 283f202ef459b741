"""Sheets of what is out of the ordinary around devices and cables, and of areas; made only where that is written."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet

_SETTINGS = ("indoor", "sheltered", "outdoor")
SPACES = ("general", "riser", "plenum", "escape-route")


@sheet
class Exposure(Sheet):
    """A camera, recorder or supply whose place asks more of it than most places do."""

    kind: ClassVar[str] = "exposure"
    of_entry: ClassVar[bool] = True
    camera: Any = fact("The camera, where it is one.", ref="camera")
    device: str = fact("What it is.", choices=("camera", "recorder", "supply"))
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    setting: str = fact("Where it stands.", choices=_SETTINGS)
    rated: str = fact("What its housing is rated for.", choices=("indoor", "outdoor"))
    hazardous: bool = fact("An explosive atmosphere is possible there.")
    coastal: bool = fact("It stands in salt air.")
    coastal_rated: bool = fact("Its housing is stated fit for salt air.")
    damp: bool = fact("Water condenses there.")
    condensation_rated: bool = fact("It has a vent, a heater or desiccant against condensation.")
    washed: bool = fact("It is hosed down or cleaned with jets.")
    ip: str = fact("IP code of its housing, as marked.")
    jets_met: bool = fact("Its IP code implies jets of water (second digit 5, IEC 60529).")
    sun: bool = fact("The sun shines on its housing.")
    ambient_max: float = fact("Warmest air written for its place.", "degC")
    temperature_max: float = fact("Warmest air its datasheet allows.", "degC")
    sun_margin: float = declared("exposure", "sun_margin")
    height: float = fact("Mounting height.", "m")
    arrested: bool = fact("A surge arrester is on its video path.")


@sheet
class Laying(Sheet):
    """A run of cable of which more than its length counts: in the ground, beside mains, through a fire-rated space."""

    kind: ClassVar[str] = "laying"
    of_entry: ClassVar[bool] = True
    owner: str = fact("Subject whose path it belongs to.")
    use: str = fact("What it is used for.", choices=("video", "power", "sound", "control", "network", "monitor"))
    cable: str = fact("Cable part.")
    metres: float = fact("Length.", "m")
    told_above: bool = fact("It is the cable of its device's network path, written a second time for the power over it.")
    buried: bool = fact("It lies in the ground.")
    rated: str = fact("Where the cable may lie.", choices=("indoor", "outdoor", "burial"))
    beside_mains: float = fact("How far from mains cables it lies.", "m")
    screened: bool = fact("Coax, or pairs under a screen.")
    mains_circuits: int = fact("Mains circuits that it lies beside.")
    separation: float = fact("Distance from so many mains circuits, with nothing between.", "m")
    space: str = fact("Kind of space that it passes.", choices=SPACES)
    fire_class: str = fact("Fire class of the cable, as its datasheet names it.")
    fire_usual: str = fact("Least class that is usual in such a space, in the cable's own system of classes.")
    fire_below: bool = fact("Its class is below that.")
    bend: float = fact("Tightest bend that it is laid in (inner radius).", "m")
    bend_least: float = fact("Tightest bend that its datasheet allows.", "m")


@sheet
class Ending(Sheet):
    """How the coax of a picture is ended, where a site file says so."""

    kind: ClassVar[str] = "ending"
    camera: Any = fact("The camera.", ref="camera")
    terminations: int = fact("Inputs that end its coax in 75 ohm.")
    level: float = fact("Level of the picture against that of one ending; below nought it is weaker.", "dB")


@sheet
class Area(Sheet):
    """Cameras that watch one area: they stand in for each other while one of them records."""

    kind: ClassVar[str] = "area"
    name: str = fact("Its id.")
    cameras: list[Any] = fact("Cameras that watch it.", many="camera")
    camera_count: int = fact("How many cameras watch it.")
    feeders: int = fact("How many supply outputs, or devices with powered network ports, feed them.")
    feeder: str = fact("The first of those, in words.")
    shared_parts: int = fact(
        "How many parts take every one of these cameras along when they fail: supplies, outputs, junctions, switches, boxes, "
        "cables; not recorders and what only these need."
    )
    shared_part: str = fact("The gravest of those, by its subject path; empty for none.")


@sheet
class Cabinet(Sheet):
    """A closed cabinet, and the warmest air in it while all that it holds draws its power of the night."""

    kind: ClassVar[str] = "cabinet"
    name: str = fact("Its id in the site file.")
    devices: int = fact("Devices that stand in it.")
    watts: float = fact("Heat of all that stands in it.", "W")
    outside: float = fact("Warmest air around it.", "degC")
    surface: float = declared("cabinet", "surface")
    rise: float = declared("cabinet", "rise")
    air: float = declared("cabinet", "air")
    cells_hours: float = fact("Cells of its lead-acid batteries times their ampere-hours.", "Ah")
    vents: float = fact("Free area of each of its two openings.", "cm2")
    vents_wanted: float = declared("cabinet", "vents_wanted")


@sheet
class Housed(Sheet):
    """A device in a cabinet."""

    kind: ClassVar[str] = "housed"
    device: str = fact("What it is.", choices=("recorder", "supply", "box", "switch", "ups"))
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    cabinet: Any = fact("The cabinet.", ref="cabinet")
    heat: float = fact("What it turns into heat in there.", "W")
    air: float = fact("Warmest air around it: what is written for its own place, else that of the cabinet.", "degC")
    temperature_max: float = fact("Warmest air that its datasheet allows.", "degC")
