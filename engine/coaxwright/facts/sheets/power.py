"""Sheets of the power network: supply, output, feed, junction."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet

WIRING_CODES = ("nec-2020", "nec-2023", "nec-2026", "iec-60364")
POLARITIES = ("centre-positive", "centre-negative")


@sheet
class Supply(Sheet):
    """One power supply under its loads."""

    kind: ClassVar[str] = "supply"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    gives: str = fact("Direct or alternating current.", choices=("dc", "ac"))
    volts_nominal: float = fact("Nominal output.", "V")
    volts: float = fact(
        "Output on mains: as trimmed, else at the least float voltage where it keeps a battery charged, else nominal.", "V"
    )
    volts_float: float = fact("Greatest output while its battery charges; a boost that its part states counts.", "V")
    float_least: float = fact(
        "Least voltage that keeps its battery charged, where the battery hangs on its outputs.", "V"
    )
    trim_min: float = fact("Lowest trim.", "V")
    trim_max: float = fact("Highest trim.", "V")
    trimmed: bool = fact("A trim is written for it.")
    regulation: float = fact("Rise of its output from full load to none, of nominal.")
    amps_max: float = fact("Rated current, all outputs together.", "A")
    air: float = fact("Warmest air around it: as written, else of the environmental class of its setting.", "degC")
    share_warm: float = fact("Share of its rated current that this air leaves: by its part's curve, else by table.")
    amps_warm: float = declared("supply", "amps_warm")
    amps_day: float = fact("Current by day.", "A")
    amps_night: float = fact("Current by night.", "A")
    watts_max: float = declared("supply", "watts_max")
    watts_night: float = fact("Power given by night, cable loss included.", "W")
    outputs: int = fact("Outputs that it has.")
    outputs_used: int = declared("supply", "outputs_used")
    cameras: int = declared("supply", "cameras")
    collapsed: bool = fact("Some load on it has no working voltage by day or by night.")
    margin_night: float = fact("Factor by which all its loads could grow before the voltage collapses.")
    margin_working: float = fact(
        "The least factor, by day or night, by which loads that have a working voltage could grow before it collapses."
    )
    members: list[Any] = fact("Its outputs in use.", many="output")
    recorders_fed: list[str] = fact("Ids of the recorders that hang on it.")
    setting: str = fact("Where it stands.", choices=("indoor", "sheltered", "outdoor"))
    building: str = fact("Building it stands in.")
    inrush_stated: int = fact("Devices on it whose parts state an inrush current.")
    amps_start: float = fact("Largest current while all that hangs on it starts at once.", "A")
    amps_start_max: float = fact("Short-time current that it gives before it folds back.", "A")
    plug: str = fact("Plug on its lead.")
    polarity: str = fact("Inner contact of its plug.", choices=POLARITIES)
    class2: bool = fact("Stated as a Class 2 or limited power source.")
    wiring_code: str = fact("Wiring code and edition of the site.", choices=WIRING_CODES)
    wet_volts: float = fact(
        "Greatest voltage of its kind of current that the code lets people touch in wet places; where no code is named, known "
        "if all of them agree.",
        "V",
    )
    wet_article: str = fact("Where that limit stands.")
    class2_amps: float = fact("Greatest rated current of a Class 2 output of its voltage, by the code.", "A")
    class2_article: str = fact("Where the code has the limits of Class 2.")
    has_battery: bool = fact("There is a battery behind it.")
    on_ups: bool = fact("Its mains plug is in a UPS.")
    battery: Any = fact("The battery behind it, where there is one.", ref="battery")
    autonomy_wanted: float = fact("How long it is to run without mains.", "h")


@sheet
class Output(Sheet):
    """One output of a supply that something names."""

    kind: ClassVar[str] = "output"
    supply: Any = fact("The supply.", ref="supply")
    number: int = fact("Output number.")
    exists: bool = declared("output", "exists")
    amps_max: float = fact("Limit of this output.", "A")
    amps_day: float = fact("Current by day.", "A")
    amps_night: float = fact("Current by night.", "A")
    runs: int = fact("Cables joined to this output.")
    cameras: int = fact("Cameras that hang on it, through junctions too.")
    feeds: list[Any] = fact("Feeds that hang on it.", many="feed")
    protection: str = fact("What protects it.", choices=("fuse", "resettable", "electronic", "none"))
    share_warm: float = fact("Share of its rating that its device carries in the air around the supply.")
    amps_warm: float = declared("output", "amps_warm")
    inrush_stated: int = fact("Devices on it whose parts state an inrush current.")
    amps_start: float = fact("Largest current while all that hangs on it starts at once.", "A")


@sheet
class Feed(Sheet):
    """One camera's way to its power, solved with everything else that hangs on the same source."""

    kind: ClassVar[str] = "feed"
    load: Any = fact("The camera fed.", ref="camera")
    source: Any = fact("The supply at the root.", ref="supply")
    output: Any = fact("The supply output at the root.", ref="output")
    junction: Any = fact("The junction it hangs on, where it does.", ref="junction")
    own_output: bool = fact("No junction between the camera and its supply.")
    kinds_meet: bool = fact("Direct or alternating current as the camera takes it.")
    over_coax: bool = fact("The camera takes its power over coax, whose centre and braid are then its two conductors.")
    injected: bool = fact("A box that puts power on coax stands on the way of its power.")
    wet: bool = fact("The camera stands outdoors, where water condenses, or is hosed down.")
    metres: float = fact("Length of its own run.", "m")
    metres_total: float = fact("Length from the camera back to the supply.", "m")
    cable: str = fact("Cable of its own run (the first where there are several).")
    conductor_size: float = fact("Smallest power conductor of its own run.", "mm2")
    ohms: float = fact("Loop resistance of its own run at conductor temperature.", "ohm")
    ohms_total: float = fact("Loop resistance from the camera back to the supply.", "ohm")
    temperature: float = fact("Conductor temperature used.", "degC")
    volts_day: float = fact("Voltage at the camera by day.", "V")
    volts_night: float = fact("Voltage at the camera by night; 0 where it collapses.", "V")
    volts_idle: float = fact("Greatest voltage at the camera: no load on the network, the battery full.", "V")
    drop_night: float = fact("Voltage lost from the source to the camera by night.", "V")
    amps_day: float = fact("Current of the camera by day; where it collapses, as stated at the supply's voltage.", "A")
    amps_night: float = fact("Current of the camera by night; where it collapses, as stated at the supply's voltage.", "A")
    collapsed: bool = fact("No working voltage exists by day or by night.")
    collapsed_by_day: bool = fact("No working voltage exists by day.")
    collapsed_by_night: bool = fact("No working voltage exists by night.")
    speaks_for_collapse: bool = fact(
        "It has a working voltage; or of the cameras that have none together it is the one farthest in resistance, of "
        "equals the first in the site file."
    )
    margin_night: float = fact("Factor by which the source's loads could grow before the voltage collapses.")
    margin_least: float = fact("The lesser of that factor by night and by day.")
    volts_crest_night: float = fact(
        "On alternating current: the sine on which its rectifier would do as well by night, all drops taken off in full.", "V"
    )
    volts_battery: float = fact(
        "Voltage at the camera by night from a battery that is nearly empty; 0 where it collapses.", "V"
    )


@sheet
class DeviceFeed(Sheet):
    """The way of a recorder or an in-line box to its power; cameras have feeds."""

    kind: ClassVar[str] = "device_feed"
    name: str = fact("Id of the device in the site file.")
    source: Any = fact("The supply at the root.", ref="supply")
    power_kind: str = fact("What it takes.", choices=("dc", "ac", "poe", "dc-or-ac"))
    kinds_meet: bool = fact("Direct or alternating current as it takes it.")
    volts_min: float = fact("Least voltage at which it works.", "V")
    volts_max: float = fact("Greatest voltage that it withstands.", "V")
    volts_day: float = fact("Voltage at it by day.", "V")
    volts_night: float = fact("Voltage at it by night; 0 where it collapses.", "V")
    volts_idle: float = fact("Greatest voltage at it: no load on the network, the battery full.", "V")
    amps_day: float = fact("Current of it by day.", "A")
    amps_night: float = fact("Current of it by night.", "A")
    watts_night: float = fact("Power that it draws by night.", "W")
    speaks_for_collapse: bool = fact("It has a working voltage by night, or no camera tells that they have none together.")
    metres_total: float = fact("Length from it back to the supply.", "m")
    ohms_total: float = fact("Loop resistance from it back to the supply.", "ohm")


@sheet
class Junction(Sheet):
    """A splice or trunk tap that feeds others."""

    kind: ClassVar[str] = "junction"
    name: str = fact("Its id in the site file.")
    source: Any = fact("The supply at the root.", ref="supply")
    powered: bool = fact("A source of power is named for it.")
    depth: int = fact("Junctions between it and the supply.")
    volts_day: float = fact("Voltage by day.", "V")
    volts_night: float = fact("Voltage by night; 0 where it collapses.", "V")
    amps_day: float = fact("Current through it by day.", "A")
    amps_night: float = fact("Current through it by night.", "A")
    metres_total: float = fact("Length from it back to the supply.", "m")
    children: int = fact("Cables that leave it.")
    cameras: int = fact("Cameras that hang on it.")
    amps_protective: float = fact("Rated current of the protective device here.", "A")
