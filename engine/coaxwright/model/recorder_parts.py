"""Catalogue entries of recorders, disks and monitors."""

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from coaxwright.model.camera_parts import Housing, SerialPort
from coaxwright.model.common import Channels, Family, Identifier, Maker, Mode, Size, Strict, Width
from coaxwright.model.part_base import PartBase, PowerInput
from coaxwright.model.quantities import (
    BitRate,
    Bytes,
    Celsius,
    Days,
    Decibels,
    Fraction,
    FrameRate,
    Megahertz,
    PixelRate,
    Watts,
    Workload,
)


class Accepts(Strict):
    """Modes that an input can acquire."""

    family: Family | tuple[Family, ...]
    mode: Mode | tuple[Mode, ...]
    width: Width = Field("full", description="`reduced`: every other column dropped, height kept.")
    maker: Maker = Field("any", description="Whose cameras: `any`, `own`, or one maker.")
    after: Identifier | None = Field(None, description="Only after this recorder setting was made.")


class Asks(Strict):
    """A camera that the recorder recognises and has send another mode, by itself."""

    maker: Maker = "own"
    family: Family | tuple[Family, ...]
    seen: Mode | tuple[Mode, ...] | None = Field(
        None, description="What the camera sends when it is recognised; any otherwise."
    )
    wanted: Mode = Field(description="The mode that it asks for.")


class InputGroup(Strict):
    """Inputs that behave alike."""

    channels: Channels
    accepts: tuple[Accepts, ...] = Field(min_length=1)
    asks: tuple[Asks, ...] = ()
    loss_limit_extra: Annotated[float, Field(ge=-20, le=20)] | None = Field(
        None, description="dB that this input equalises beyond the usual for the mode."
    )


class Encodes(Strict):
    """Largest rate at which one channel of up to this frame size is recorded."""

    up_to: Size
    rate: FrameRate
    width: Width = Field("full", description="`reduced`: larger frames are stored at half their columns.")
    channels: Channels | None = Field(None, description="On these channels only; all otherwise.")


class RecorderSound(Strict):
    """Sound inputs."""

    coax_channels: Channels | None = Field(None, description="Inputs that take sound from the coax.")
    coax_families: tuple[Family, ...] | None = None
    coax_maker: Maker = "any"
    talk_back_families: tuple[Family, ...] | None = Field(
        None, description="Families in which it sends sound down the coax to a loudspeaker."
    )
    line_inputs: Annotated[int, Field(ge=0, le=64)] | None = None
    line_outputs: Annotated[int, Field(ge=0, le=16)] | None = None


class RecorderControl(Strict):
    """Remote control of cameras."""

    coax_families: tuple[Family, ...] | None = None
    coax_maker: Maker = "any"
    serial: SerialPort | None = None


class CoaxFirmware(Strict):
    """Firmware update of cameras over the coax."""

    families: tuple[Family, ...]
    maker: Maker = "own"


class Output(Strict):
    """A monitor output."""

    connector: Identifier
    mode: Mode


class RecorderNetwork(Strict):
    """Network side of a recorder."""

    cameras: Annotated[int, Field(ge=0, le=1024)] | None = Field(
        None, description="Network cameras without giving up inputs."
    )
    cameras_max: Annotated[int, Field(ge=0, le=1024)] | None = Field(
        None, description="With inputs given up for them."
    )
    inputs_each: Annotated[int, Field(ge=0, le=16)] | None = Field(
        None, description="Inputs given up for each network camera beyond `cameras`; one where it is left out."
    )
    ports: Annotated[int, Field(ge=0, le=16)] | None = Field(None, description="Without power over Ethernet.")
    incoming: BitRate | None = Field(None, description="Of all network cameras together.")
    outgoing: BitRate | None = Field(None, description="To all remote viewers together.")
    viewers: Annotated[int, Field(ge=0, le=1024)] | None = None
    poe_ports: Annotated[int, Field(ge=0, le=64)] | None = None
    poe_watts: Watts | None = Field(None, description="All PoE ports together.")
    poe_class_port: Annotated[int, Field(ge=0, le=8)] | None = None


class StreamRate(Strict):
    """Bit rate that the maker states for a recorded stream."""

    up_to: Size
    rate: FrameRate
    codec: Literal["h264", "h265"]
    bitrate: BitRate


class ModeStated(Strict):
    """What somebody states of a mode on the cable, where the tables say otherwise or nothing."""

    family: Family
    mode: Mode
    top_frequency: Megahertz | None = Field(None, description="Frequency at which cable loss counts; the table's otherwise.")
    loss_limit: Decibels | None = Field(
        None, description="Loss at that frequency that an input equalises; the table's otherwise."
    )


class RecorderPart(PartBase):
    """A recorder."""

    kind: Literal["recorder"]
    inputs: tuple[InputGroup, ...] = Field(min_length=1)
    encodes: tuple[Encodes, ...] | None = None
    encodes_total: PixelRate | None = Field(
        None, description="Picture elements a second over all channels together."
    )
    codecs: tuple[Literal["h264", "h265"], ...] | None = None
    bitrates: tuple[StreamRate, ...] | None = None
    settings: tuple[Identifier, ...] = Field((), description="Settings that can be made, by name.")
    bays: Annotated[int, Field(ge=0, le=64)] | None = None
    disk_max: Bytes | None = Field(None, description="Largest disk per bay.")
    redundancy: tuple[Literal["raid0", "raid1", "raid5", "raid6", "raid10"], ...] = ()
    record_bitrate: BitRate | None = Field(None, description="Most that it writes to disk.")
    sound: RecorderSound | None = None
    control: RecorderControl | None = None
    firmware_over_coax: CoaxFirmware | None = None
    sorted_motion: Channels | None = Field(
        None, description="Channels on which motion is sorted into people and vehicles."
    )
    modes: tuple[ModeStated, ...] = Field((), description="What its inputs equalise by mode, as its maker states.")
    outputs: tuple[Output, ...] | None = None
    decodes_total: PixelRate | None = Field(
        None, description="Picture elements a second for live view and playback."
    )
    network: RecorderNetwork | None = None
    power: PowerInput | None = None
    housing: Housing | None = None
    temperature_min: Celsius | None = None
    temperature_max: Celsius | None = None


class DiskPart(PartBase):
    """A disk."""

    kind: Literal["disk"]
    capacity: Bytes
    workload: Workload | None = Field(None, description="Bytes a year for which it is rated.")
    failure_rate: Fraction | None = Field(None, description="Share of such disks that fail in a year, as stated or observed.")
    continuous: StrictBool | None = Field(None, description="Rated to run all the time.")
    watts: Watts | None = None
    temperature_max: Celsius | None = None
    warranty: Days | None = None


class MonitorPart(PartBase):
    """A screen."""

    kind: Literal["monitor"]
    connectors: tuple[Identifier, ...] = ()
    mode: Mode | None = None
    diagonal: Annotated[float, Field(gt=0)] | None = Field(None, description="inches")
    watts: Watts | None = None
