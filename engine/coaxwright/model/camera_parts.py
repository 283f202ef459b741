"""Catalogue entries of cameras and pickups: what a datasheet states, nothing derived."""

from typing import Annotated, Literal, Self

from pydantic import Field, StrictBool, model_validator

from coaxwright.model.common import Family, Identifier, Maker, Mode, Strict, Text
from coaxwright.model.part_base import LoadKind, PartBase, PowerInput
from coaxwright.model.quantities import Angle, Baud, BitRate, Celsius, Length, Lux, Millimetres


class Emits(Strict):
    """Signal modes that the camera sends, in one or more families."""

    family: Family | tuple[Family, ...]
    mode: Mode | tuple[Mode, ...]
    only: Literal["when-asked"] | None = Field(
        None,
        description="`when-asked`: sent only while a recorder asks for it, in no menu; left out: it can be switched to.",
    )


class StartsAs(Strict):
    """How the camera leaves the box."""

    family: Family
    mode: Mode


class CameraSound(Strict):
    """Sound that the camera itself can give."""

    microphone: StrictBool | None = None
    over_coax: tuple[Family, ...] | None = Field(
        None, description="Families in which it sends sound over the coax."
    )
    line_output: StrictBool | None = None
    loudspeaker: StrictBool | None = None
    talk_back_coax: tuple[Family, ...] | None = Field(
        None, description="Families in which it plays sound that is sent down the coax."
    )


class SerialPort(Strict):
    """An RS-485 port."""

    protocols: tuple[Identifier, ...] | None = None
    speeds: tuple[Baud, ...] | None = None
    unit_load: Annotated[float, Field(gt=0, le=4)] | None = Field(
        None, description="RS-485 unit loads; 1, 1/2 ..."
    )


class CameraControl(Strict):
    """Remote control that the camera understands."""

    over_coax: tuple[Family, ...] | None = Field(
        None, description="Families in which it takes control over the coax."
    )
    serial: SerialPort | None = None
    moves: StrictBool | None = Field(None, description="Pan, tilt or motor zoom.")


class NetworkStream(Strict):
    """The main stream that a network camera sends."""

    mode: Mode = Field(description="Largest picture and frame rate.")
    codecs: tuple[Literal["h264", "h265"], ...] = Field(("h264",), min_length=1)
    bitrate: BitRate | None = Field(None, description="Stated for that mode with its first codec.")


class Optics(Strict):
    """Lens and sensor."""

    focal_min: Millimetres | None = None
    focal_max: Millimetres | None = None
    f_number: Annotated[float, Field(gt=0, lt=64)] | None = None
    sensor_width: Millimetres | None = Field(None, description="Width of the image area used.")
    sensor_height: Millimetres | None = None
    view_angle_max: Angle | None = Field(
        None, description="Horizontal angle stated at the shortest focal length."
    )


class NightSight(Strict):
    """Seeing in the dark."""

    lamp: Literal["none", "infrared", "white", "both"] | None = None
    lamp_range: Length | None = Field(None, description="Illumination distance stated.")
    least_light: Lux | None = Field(None, description="Least illumination stated, colour.")
    visible_glow: StrictBool | None = Field(None, description="The lamp is seen as a faint red glow.")


class Housing(Strict):
    """What the housing withstands."""

    rated: Literal["indoor", "outdoor"] | None = None
    ip: Annotated[str, Field(pattern=r"^IP[0-6X][0-9X](/IP[0-6X][0-9X])?$")] | None = None
    ik: Annotated[str, Field(pattern=r"^IK(0[0-9]|1[01])$")] | None = None
    temperature_min: Celsius | None = None
    temperature_max: Celsius | None = None
    coastal: StrictBool | None = Field(None, description="Stated fit for salt air.")
    condensation: StrictBool | None = Field(
        None, description="Vent, heater or desiccant against condensation."
    )


class CameraPart(PartBase):
    """A camera."""

    kind: Literal["camera"]
    emits: tuple[Emits, ...] = Field(
        (), description="Every signal mode it can be switched to or asked for; none of a network camera."
    )
    network: NetworkStream | None = Field(None, description="Of a network camera: what it sends.")
    starts_as: StartsAs | tuple[StartsAs, ...] | None = Field(
        None, description="Factory setting; one for each frame family (25, 30) where they differ."
    )
    switched_by: tuple[Literal["menu-over-coax", "menu-button", "dip-switch", "service-lead"], ...] | None = (
        Field(None, description="How a person switches its mode.")
    )
    heeds_asks: StrictBool | None = Field(
        None, description="Changes its mode when a recorder that it knows asks over the coax."
    )
    firmware_over_coax: tuple[Family, ...] | None = None
    power: PowerInput | None = None
    sound: CameraSound | None = None
    control: CameraControl | None = None
    optics: Optics | None = None
    night: NightSight | None = None
    housing: Housing | None = None

    @model_validator(mode="after")
    def _sends_something(self) -> Self:
        if not self.emits and self.network is None:
            raise ValueError("a camera sends something: list its signal modes under `emits`, or `network`")
        return self


class PickupPart(PartBase):
    """A microphone on a line of its own."""

    kind: Literal["pickup"]
    power: PowerInput | None = None
    output: Literal["line", "microphone"] = "line"
    reach: Length | None = Field(None, description="Longest line that its maker states; open where it states none.")
    works_with: Maker | None = Field(None, description="Whose recorders: `any` where nothing is written, `own`, or one maker.")
    housing: Housing | None = None
    remarks: Text | None = None


__all__ = ["CameraPart", "LoadKind", "PickupPart"]
