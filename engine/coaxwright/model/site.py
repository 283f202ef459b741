"""The site file: one proposed system as a person writes it."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field, StrictBool, model_validator

from coaxwright.model.assumptions import Assumptions, ConductorCelsius
from coaxwright.model.common import CableName, Family, Identifier, Mode, PartId, Strict, Text
from coaxwright.model.measured import MeasuredRun, MeasuredSupply
from coaxwright.model.places import Cabinet as Cabinet
from coaxwright.model.places import Place as Place
from coaxwright.model.places import Setting as Setting
from coaxwright.model.quantities import (
    AmpHours,
    Amps,
    Angle,
    Baud,
    BitRate,
    Days,
    Fraction,
    FrameRate,
    Hours,
    Length,
    Volts,
)
from coaxwright.model.recorder_parts import ModeStated
from coaxwright.model.site_settings import Cables, RuleSetting, Waiver
from coaxwright.model.wiring_parts import DischargeRate

Port = Annotated[
    str, Field(description="Device and port, as in `rec1/1`, `rec1/audio1`, `psu1/3`, or a junction.")
]
Codec = Literal["h264", "h265"]
WiringCode = Literal["nec-2020", "nec-2023", "nec-2026", "iec-60364"]


class Hop(Strict):
    """One piece of a path: a cable run (`cable`, `length`) or an in-line box (`box`)."""

    cable: CableName | None = Field(None, description="Cable part of this run, by its id or a name of the trade.")
    length: Length | None = Field(None, description="One-way length of the run along the cable.")
    box: Identifier | None = Field(None, description="In-line box, by its name under `boxes`.")
    setting: Setting | None = Field(
        None, description="Where the run lies; the place of its camera otherwise."
    )
    temperature: ConductorCelsius | None = Field(None, description="Conductor temperature of this run.")
    beside_mains: Length | None = Field(
        None, description="How far from mains cables it lies, where it runs along them."
    )
    bend: Length | None = Field(None, description="Tightest bend that it is laid in: inner radius.")
    mains_circuits: int | None = Field(
        None, ge=1, le=1000, description="Single-phase mains circuits of up to 20 A in that bunch; of three phases three each."
    )
    buried: StrictBool = Field(False, description="Laid in the ground, with or without duct.")
    space: Literal["general", "riser", "plenum", "escape-route"] | None = Field(
        None, description="Kind of space it passes, where a fire rule counts there."
    )
    pairs: int | None = Field(
        None, ge=1, le=25, description="Pairs used in parallel for power on a pair cable."
    )
    laid: Literal["conduit", "clipped", "free-air", "insulation"] | None = Field(
        None, description="How it is laid, where its current counts: insulation surrounds it with heat insulation."
    )
    bunched: int | None = Field(
        None,
        ge=1,
        le=1000,
        description="Loaded circuits, or powered network cables, that lie together in one bunch, this one included.",
    )
    joints: int = Field(0, ge=0, le=100, description="Joints (couplers, splices) within this run.")
    sheath: Identifier | None = Field(
        None, description="Name of the jacket: runs of one name are pairs of the same cable."
    )
    measured: MeasuredRun | None = Field(None, description="What was measured of it on site; before what is drawn.")

    @property
    def metres(self) -> float | None:
        """Its length in metres: as measured, else as drawn; None where neither is known."""
        return self.length if self.measured is None or self.measured.length is None else self.measured.length

    @property
    def with_loss(self) -> MeasuredRun | None:
        """What was measured of it, where somebody measured what it loses, joints and all; None otherwise."""
        measured = self.measured
        return measured if measured is not None and None not in (measured.loss, measured.loss_at) else None


class CameraSet(Strict):
    """How the camera is switched."""

    family: Family | None = None
    mode: Mode | None = None


class VideoPath(Strict):
    """Into which recorder input, over what."""

    into: Port
    over: tuple[Hop, ...] | None = None
    terminations: int | None = Field(
        None, ge=0, le=16, description="Inputs that end this coax in 75 ohm, the recorder's own included."
    )


class PowerPath(Strict):
    """From which supply output, junction or network port, over what."""

    source: Port = Field(alias="from")
    over: tuple[Hop, ...] | None = None


class NetworkPath(Strict):
    """A network camera's way: into which port of a switch or recorder, over what, and what records it."""

    into: Port
    over: tuple[Hop, ...] | None = None
    recorder: Identifier | None = Field(
        None, description="Recorder that records it; the one whose port it is joined to otherwise."
    )


class SoundPath(Strict):
    """Sound over the coax (`by: coax`), over the network (`by: network`), or over its own line."""

    by: Literal["coax", "network"] | None = None
    into: Port | None = None
    over: tuple[Hop, ...] | None = None
    pickup: PartId | None = Field(None, description="Microphone part on a line of its own.")


class ControlPath(Strict):
    """Control over the coax (`by: coax`), over the network (`by: network`), or over a serial line."""

    by: Literal["coax", "network"] | None = None
    into: Port | None = None
    over: tuple[Hop, ...] | None = Field(
        None, description="Of a serial line that is shared: the piece of cable that this device adds."
    )
    address: int | None = Field(None, ge=0, le=255)
    speed: Baud | None = None
    protocol: Identifier | None = None
    terminated: StrictBool | None = Field(None, description="Line termination fitted at this device.")
    wiring: Literal["chain", "star"] | None = None


class Recording(Strict):
    """How a channel is recorded; what is left out is the recorder's own choice."""

    rate: FrameRate | None = Field(None, description="Recorded frame rate that was set.")
    codec: Codec | None = None
    bitrate: BitRate | None = Field(None, description="Main stream, where it is set or measured.")
    second_stream: BitRate | None = None
    schedule: Literal["continuous", "motion", "sorted-motion"] | None = None
    motion_share: Fraction | None = Field(None, description="Share of the day with motion.")


class Plate(Strict):
    """A number plate to be read: how high its characters are, how it is seen, and how it moves."""

    character: Length | None = Field(None, description="Height of its characters, as in `79 mm`.")
    angle: Angle | None = Field(None, description="Between the line of sight and straight in front of the plate.")
    speed: Annotated[float, Field(ge=0, le=400, description="Speed of the vehicle, km/h.")] | None = None
    crossing: Angle | None = Field(None, description="Between its way and the line of sight: 0 is straight at the camera.")


class Face(Strict):
    """A face to be known by a person or a recogniser: how many picture elements that takes, and how it is turned."""

    pixels: int | None = Field(None, ge=1, le=10_000, description="Picture elements wanted between the eyes.")
    angle: Angle | None = Field(None, description="Between the line of sight and straight in front of the face.")


class Wants(Strict):
    """What the camera is there for."""

    see: Identifier | None = Field(None, description="View class, such as `identify`.")
    at: Length | None = Field(None, description="Distance at which it has to see.")
    near: Length | None = Field(
        None, description="Nearest distance at which it has to see at night without glare from its own lamp."
    )
    width: Length | None = Field(None, description="Scene width to be covered.")
    plate: Plate | None = Field(None, description="Number plate to be read at that distance.")
    face: Face | None = Field(None, description="Face to be known at that distance.")
    night: StrictBool | None = None
    colour_night: StrictBool | None = None
    sound: StrictBool | None = None
    talk_back: StrictBool | None = None
    control: StrictBool | None = None
    firmware: StrictBool | None = Field(None, description="Camera firmware to be updated over the coax.")
    sorted_motion: StrictBool | None = Field(None, description="Alarms for people and vehicles only.")
    rate: FrameRate | None = None
    full_width: StrictBool | None = Field(None, description="No reduced width.")
    retention: Days | None = None


class Scene(Strict):
    """What a camera looks at, where its bit rate is planned: how much of it moves, and how noisy its picture is at night."""

    motion: Literal["little", "medium", "much"] | None = Field(None, description="How much of the picture moves.")
    noise: Literal["little", "some", "much"] | None = Field(
        None, description="How noisy the picture is at night: little in good light or strong infrared, much where it snows."
    )


class Lens(Strict):
    """How a varifocal lens is set and how the camera looks."""

    focal: Annotated[float, Field(gt=0, description="Focal length set, mm.")] | None = None
    tilt: Angle | None = None
    shutter: Annotated[float, Field(gt=0, le=10, description="Longest exposure set, s, as in 0.001.")] | None = None
    focus: Length | None = Field(None, description="Distance on which it is focused, where somebody set it.")


class Camera(Strict):
    """One camera and how it is connected."""

    part: PartId
    label: Text | None = None
    set: CameraSet | None = None
    video: VideoPath | None = None
    network: NetworkPath | None = Field(None, description="Of a network camera, instead of `video`.")
    power: PowerPath | None = None
    sound: SoundPath | None = None
    control: ControlPath | None = None
    place: Place | None = None
    wants: Wants | None = None
    record: Recording | None = None
    scene: Scene | None = None
    lens: Lens | None = None
    heater: StrictBool | None = Field(None, description="Heater fitted and in use.")
    network_address: str | None = None
    area: Identifier | None = Field(
        None, description="Area that it watches; cameras of one area stand in for each other."
    )


MainsPlug = Annotated[
    Identifier,
    Field(description="What its mains plug is in: `mains`, or a UPS by its name under `ups`; nobody knows otherwise."),
]
PLAIN_MAINS = "mains"
"""The word for mains that nothing backs."""
MAINS_GROUPS = ("recorders", "supplies", "boxes", "switches", "monitors")
"""Groups of entries that may say what their mains plug is in."""


class WantedCamera(Strict):
    """A camera that nobody has chosen yet: it is known by what it is there for."""

    label: Text | None = None
    place: Place | None = None
    wants: Wants
    record: Recording | None = None
    area: Identifier | None = Field(None, description="Area that it watches.")
    distances: dict[Identifier, Length] = Field(
        default_factory=dict, description="Length of the cable way to each position, by its name under `positions`."
    )


class Position(Strict):
    """Where recorders and supplies may stand."""

    label: Text | None = None
    place: Place | None = None


class Recorder(Strict):
    """One recorder with its disks and settings."""

    part: PartId
    label: Text | None = None
    disks: tuple[PartId, ...] | None = None
    set: tuple[Identifier, ...] = Field(
        (), description="Recorder settings made, by the names its part gives them."
    )
    network_cameras: int = Field(
        0, ge=0, le=1024, description="Network cameras recorded besides the coax inputs."
    )
    record: Recording | None = Field(None, description="For all its channels, where the camera says nothing.")
    redundancy: Literal["none", "raid0", "raid1", "raid5", "raid6", "raid10"] = "none"
    spare_disks: int = Field(0, ge=0, le=8, description="Disks of the list kept as hot spares.")
    erase_after: Days | None = Field(None, description="Age at which it is set to erase recordings by itself.")
    clock: Literal["time-server", "own"] | None = Field(
        None, description="What keeps its clock right: a time server over the network, or nothing but itself."
    )
    disk_replaced: Hours | None = Field(
        None, description="Time until a failed disk is replaced, where no spare is fitted."
    )
    place: Place | None = None
    power: PowerPath | None = None
    uplink: BitRate | None = Field(None, description="What the line to the outside carries outwards.")
    viewers: int = Field(0, ge=0, le=128, description="Remote viewers at the same time.")
    viewed: int | None = Field(None, ge=1, le=1024, description="Channels that each remote viewer watches.")
    viewed_stream: Literal["main", "second"] | None = Field(None, description="Stream that they watch.")
    playback: int = Field(
        0, ge=0, le=1024, description="Channels to be played back on its screens at the same time."
    )
    playback_hours: Hours | None = Field(None, le=24, description="Hours of a day in which they are played back.")
    remote_hours: Hours | None = Field(None, le=24, description="Hours of a day in which its viewers watch recordings.")
    monitors: tuple[Identifier, ...] = ()
    network_address: str | None = None
    mains: MainsPlug | None = None


class Supply(Strict):
    """One power supply."""

    part: PartId
    label: Text | None = None
    trim: Volts | None = Field(None, description="Voltage it is set to.")
    place: Place | None = None
    battery: AmpHours | None = Field(
        None, description="Battery behind it, Ah in all; what its part states otherwise."
    )
    battery_hours: Hours | None = Field(
        None, description="Hours of discharge for which that capacity is stated, often 20 h."
    )
    battery_rates: tuple[DischargeRate, ...] = Field(
        (), max_length=50, description="Hours by current of that battery when new and warm, as its datasheet tabulates them."
    )
    recharge: Hours | None = Field(None, description="Time within which the battery is wanted back at four fifths.")
    autonomy: Hours | None = Field(None, description="Wanted running time without mains.")
    mains: MainsPlug | None = None
    measured: MeasuredSupply | None = Field(None, description="What was measured of it on site; before what is drawn.")

    @property
    def set_to(self) -> float | None:
        """Volts it is set to: as measured, else its trim; None where neither is known."""
        return self.trim if self.measured is None or self.measured.volts is None else self.measured.volts


class Ups(Strict):
    """One uninterruptible supply that devices plug into: they name it under `mains`."""

    part: PartId
    label: Text | None = None
    place: Place | None = None
    autonomy: Hours | None = Field(None, description="Wanted running time without mains.")


class Junction(Strict):
    """A splice, terminal box or trunk tap that feeds others."""

    label: Text | None = None
    power: PowerPath | None = None
    place: Place | None = None
    protective_device: Amps | None = Field(
        None, description="Rated current of the fuse or breaker here, for all that leaves."
    )


class Box(Strict):
    """An in-line part: balun, amplifier, isolator, arrester, splitter, joint."""

    part: PartId
    label: Text | None = None
    place: Place | None = None
    power: PowerPath | None = None
    mains: MainsPlug | None = None


class Switch(Strict):
    """A network switch, with power over Ethernet or without."""

    part: PartId
    label: Text | None = None
    place: Place | None = None
    into: Port | None = None
    over: tuple[Hop, ...] | None = None
    network_address: str | None = None
    mains: MainsPlug | None = None


class Monitor(Strict):
    """A screen on a recorder output."""

    part: PartId
    label: Text | None = None
    source: Port | None = Field(None, alias="from")
    distance: Length | None = Field(None, description="How far the viewer sits.")
    length: Length | None = Field(None, description="Length of the cable to it.")
    active: StrictBool | None = Field(None, description="That cable is an active or optical one, or an extender.")
    mains: MainsPlug | None = None


class DefaultsHere(Strict):
    """What holds where an entry says nothing itself; its own word wins, value by value."""

    place: Place | None = Field(None, description="Of cameras.")
    device_place: Place | None = Field(
        None, description="Of recorders, supplies, junctions, boxes and switches."
    )
    cable: Cables | None = Field(None, description="Of runs for which a length is written and no cable.")
    wants: Wants | None = Field(None, description="Of cameras.")


class Defaults(DefaultsHere):
    """For the whole site; what an area or a building says comes before it."""

    record: Recording | None = Field(None, description="Of recorders: codec, second stream, schedule and so on.")
    buildings: dict[Identifier, DefaultsHere] = Field(
        default_factory=dict, description="By the building that stands in `place` of an entry."
    )
    areas: dict[Identifier, DefaultsHere] = Field(
        default_factory=dict, description="By the area of a camera; they come before those of buildings."
    )


WANTED: Literal["cameras without a part"] = "cameras without a part"
"""Under what the model keeps them apart from cameras that were chosen; no key that a file can have."""
_CHOSEN = frozenset(("part", "set", "video", "network", "power", "sound", "control", "lens", "heater", "network_address"))


def is_wanted(entry: object) -> bool:
    """Whether what stands under `cameras` is known by its wants alone."""
    return isinstance(entry, Mapping) and isinstance(entry.get("wants"), Mapping) and not _CHOSEN & entry.keys()


class Site(Strict):
    """One proposed system."""

    site: Text
    video_rate: Literal[25, 30] = Field(25, description="Frame family of the country: 25 or 30.")
    retention: Days | None = Field(None, description="How long recordings are to be kept.")
    retention_max: Days | None = Field(
        None, description="How long they may be kept at most, where a rule says so."
    )
    growth: Fraction | None = Field(
        None, description="Share by which what is recorded is to grow, as in `25 %`."
    )
    wiring_code: WiringCode | None = Field(
        None, description="Wiring code, with edition, under which supplies are reviewed."
    )
    parts: tuple[str, ...] = Field(
        (), description="Part files, as paths or globs below the site file's folder."
    )
    prices: tuple[str, ...] = Field(
        (), description="Price files, as paths or globs below the site file's folder."
    )
    modes: tuple[ModeStated, ...] = Field(
        (), description="Top frequency and loss limit of a mode, as measured; before those of parts and tables."
    )
    recorders: dict[Identifier, Recorder] = Field(default_factory=dict)
    supplies: dict[Identifier, Supply] = Field(default_factory=dict)
    junctions: dict[Identifier, Junction] = Field(default_factory=dict)
    boxes: dict[Identifier, Box] = Field(default_factory=dict)
    switches: dict[Identifier, Switch] = Field(default_factory=dict)
    monitors: dict[Identifier, Monitor] = Field(default_factory=dict)
    ups: dict[Identifier, Ups] = Field(default_factory=dict)
    cabinets: dict[Identifier, Cabinet] = Field(default_factory=dict)
    cameras: dict[Identifier, Camera] = Field(default_factory=dict)
    wanted: dict[Identifier, WantedCamera] = Field(
        default_factory=dict, alias="cameras without a part", description="Those of `cameras` that have no part."
    )
    positions: dict[Identifier, Position] = Field(
        default_factory=dict, description="Where recorders and supplies may stand, for `coaxwright propose`."
    )
    waivers: tuple[Waiver, ...] = ()
    rules: dict[str, RuleSetting] = Field(
        default_factory=dict, description="Levels and limits changed for this site."
    )
    defaults: Defaults | None = Field(
        None, description="Places, cables and wants of entries that say nothing of them, so that nothing is typed twice."
    )
    assume: Assumptions | None = None
    notes: Text | None = None

    @model_validator(mode="before")
    @classmethod
    def _wanted_apart(cls, value: dict[str, Any]) -> dict[str, Any]:
        """Cameras that are known by their wants alone stand apart: nothing of a part is asked of them."""
        if isinstance(value, Mapping) and WANTED in value:
            value = {f"{key} " if key == WANTED else key: each for key, each in value.items()}  # refused as unknown
        cameras = value.get("cameras") if isinstance(value, Mapping) else None
        if not isinstance(cameras, Mapping):
            return value
        wanted = {name: entry for name, entry in cameras.items() if is_wanted(entry)}
        if not wanted:
            return value
        rest = {name: entry for name, entry in cameras.items() if name not in wanted}
        return {**value, "cameras": rest, WANTED: wanted}


PlacedEntry = Camera | Recorder | Supply | Ups | Junction | Box | Switch
"""An entry of a group that may state its place."""
