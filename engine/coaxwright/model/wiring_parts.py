"""Catalogue entries of cables, boxes, supplies, switches and kits."""

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from coaxwright.model.camera_parts import Housing
from coaxwright.model.common import Family, PartId, Strict
from coaxwright.model.part_base import PartBase, PowerInput
from coaxwright.model.quantities import (
    AmpHours,
    Amps,
    BitRate,
    Celsius,
    ConductorSize,
    Decibels,
    Fraction,
    Hours,
    Length,
    Megahertz,
    Ohms,
    OhmsPerMetre,
    VoltAmps,
    Volts,
    Watts,
)

DeratingPoint = tuple[Annotated[float, Field(ge=-60, le=120)], Annotated[float, Field(ge=0, le=1)]]
ColdPoint = tuple[Annotated[float, Field(ge=-60, le=60)], Annotated[float, Field(gt=0, le=1)]]
CurvePoint = tuple[Annotated[float, Field(ge=0, le=1)], Annotated[float, Field(gt=0, le=120)]]
AttenuationPoint = tuple[Annotated[float, Field(gt=0)], Annotated[float, Field(ge=0)]]


class Conductor(Strict):
    """The conductors that carry power (each of the two)."""

    size: ConductorSize | None = None
    material: Literal["copper", "copper-clad-aluminium", "copper-clad-steel", "aluminium"] | None = None
    stranding: Literal["solid", "stranded", "flexible"] | None = None
    resistance: OhmsPerMetre | None = Field(None, description="Of one conductor at 20 °C, largest.")
    amps: Amps | None = Field(None, description="Largest continuous current.")


class CablePart(PartBase):
    """A cable."""

    kind: Literal["cable"]
    carries: tuple[Literal["coax", "pair", "power", "network", "line"], ...] = Field(min_length=1)
    impedance: Ohms | None = None
    attenuation: tuple[AttenuationPoint, ...] | None = Field(
        None, description="Pairs of MHz and dB/100 m at 20 °C, rising in frequency."
    )
    attenuation_kind: Literal["greatest", "nominal"] | None = None
    centre: Literal["copper", "copper-clad-steel", "copper-clad-aluminium"] | None = None
    braid: Literal["copper", "aluminium"] | None = None
    braid_resistance: OhmsPerMetre | None = None
    conductor: Conductor | None = None
    pairs: Annotated[int, Field(ge=1, le=25)] | None = None
    category: Literal["cat3", "cat5", "cat5e", "cat6", "cat6a"] | None = None
    screened: StrictBool | None = None
    rated: Literal["indoor", "outdoor", "burial"] | None = None
    fire_class: Annotated[str, Field(max_length=40)] | None = None
    bend_radius: Length | None = Field(None, description="Tightest bend once laid: inner radius.")
    temperature_min: Celsius | None = None
    temperature_max: Celsius | None = None

    @property
    def paired(self) -> bool:
        """It has pairs for networks or for pictures; a screened pair for line sound alone is no such cable."""
        return "pair" in self.carries or "network" in self.carries


class BoxPart(PartBase):
    """An in-line part."""

    kind: Literal["box"]
    does: Literal["balun", "amplifier", "isolator", "arrester", "splitter", "joint", "converter"]
    takes: Literal["coax", "pair"] = Field("coax", description="Cable on the camera side.")
    gives: Literal["coax", "pair"] = Field("coax", description="Cable on the recorder side.")
    either_way: StrictBool = Field(False, description="May be turned round.")
    loss: Decibels | None = Field(None, description="Insertion loss.")
    gain: Decibels | None = None
    gain_max_input: Decibels | None = Field(
        None, description="Least path loss before it, so as not to overload it."
    )
    frequency_max: Megahertz | None = None
    families: tuple[Family, ...] | None = Field(None, description="Families it is stated for.")
    passes_sound: StrictBool | None = None
    passes_control: StrictBool | None = None
    passes_firmware: StrictBool | None = None
    resistance: Ohms | None = Field(None, description="Series resistance where power passes.")
    reach: Length | None = Field(None, description="Longest path its maker states.")
    injects_power: StrictBool | None = Field(None, description="It puts the power of a supply on the coax of a picture.")
    volts_continuous: Volts | None = Field(
        None, description="Of an arrester: greatest voltage that it stands all the time, as its line carries it (DC or RMS)."
    )
    test_categories: tuple[Literal["C1", "C2", "C3", "D1", "D2", "T1", "T2", "T3"], ...] | None = Field(
        None, description="Of an arrester: categories of its tests (IEC 61643-21; T1 to T3: IEC 61643-11)."
    )
    power: PowerInput | None = None
    housing: Housing | None = None


class DischargeRate(Strict):
    """One line of the table in which a maker states how long a battery lasts."""

    amps: Amps
    hours: Hours


class SupplyPart(PartBase):
    """A power supply."""

    kind: Literal["supply"]
    gives: Literal["dc", "ac"] = "dc"
    volts: Volts = Field(description="Nominal output.")
    trim_min: Volts | None = None
    trim_max: Volts | None = None
    amps: Amps | None = Field(None, description="All outputs together, continuous.")
    outputs: Annotated[int, Field(ge=1, le=64)] | None = None
    amps_per_output: Amps | None = None
    output_protection: Literal["fuse", "resettable", "electronic", "none"] | None = None
    regulation: Fraction | None = Field(
        None, description="Rise of output from full load to none, of nominal."
    )
    inrush_amps: Amps | None = Field(None, description="Short-time current it gives before it folds back.")
    class2: StrictBool | None = Field(None, description="Stated Class 2 or limited power source.")
    battery_backed: StrictBool | None = None
    charge_amps: Amps | None = Field(None, description="Largest current into its battery.")
    float_volts: Volts | None = Field(
        None,
        description="Voltage at its outputs on mains while it keeps its battery charged; nominal where they are regulated apart.",
    )
    boost_volts: Volts | None = Field(
        None,
        description="Greatest voltage at its outputs while it charges hard, after a mains failure or to equalise the cells.",
    )
    battery: AmpHours | None = Field(None, description="Battery that comes with it, Ah.")
    battery_hours: Hours | None = Field(None, description="Hours of discharge for which that is stated.")
    battery_kind: Literal["lead-acid", "lithium"] | None = Field(
        None, description="Lead-acid where nothing is stated; lithium is lithium iron phosphate with its own protection."
    )
    battery_rates: tuple[DischargeRate, ...] = Field(
        (), max_length=50, description="Hours by current of that battery when new and warm, as its datasheet tabulates them."
    )
    battery_cold: Annotated[tuple[ColdPoint, ...], Field(min_length=1)] | None = Field(
        None, description="Pairs of °C and share of its capacity, rising in °C, where its datasheet has them."
    )
    battery_curve: Annotated[tuple[CurvePoint, ...], Field(min_length=2)] | None = Field(
        None, description="Pairs of the share taken out of it and its terminal volts meanwhile, from 0 to 1, volts falling."
    )
    battery_volts_end: Volts | None = Field(
        None, description="Terminal voltage at which it disconnects the battery."
    )
    derating: Annotated[tuple[DeratingPoint, ...], Field(min_length=1)] | None = Field(
        None, description="Pairs of °C around it and share of its rated current, rising in °C."
    )
    plug: Annotated[str, Field(max_length=80)] | None = None
    polarity: Literal["centre-positive", "centre-negative"] | None = Field(
        None, description="Of a round plug: what its inner contact is."
    )
    efficiency: Fraction | None = Field(None, description="Share of the power from the mains that it passes on.")
    temperature_min: Celsius | None = None
    temperature_max: Celsius | None = None
    housing: Housing | None = None


class SwitchPart(PartBase):
    """A network switch."""

    kind: Literal["switch"]
    ports: Annotated[int, Field(ge=1, le=128)]
    uplinks: Annotated[int, Field(ge=0, le=16)] = 0
    port_rate: BitRate | None = None
    uplink_rate: BitRate | None = None
    poe_ports: Annotated[int, Field(ge=0, le=128)] = 0
    poe_watts: Watts | None = Field(None, description="All ports together.")
    poe_class_port: Annotated[int, Field(ge=0, le=8)] | None = None
    power: PowerInput | None = None
    housing: Housing | None = None
    temperature_min: Celsius | None = None
    temperature_max: Celsius | None = None


class Runtime(Strict):
    """One line of the table in which a maker states how long a UPS lasts."""

    watts: Watts
    hours: Hours


class UpsPart(PartBase):
    """An uninterruptible supply that gives mains from a battery: devices plug into it."""

    kind: Literal["ups"]
    volt_amps: VoltAmps | None = Field(None, description="Largest load, VA.")
    watts: Watts | None = Field(None, description="Largest load, W: a UPS has both limits.")
    runtimes: tuple[Runtime, ...] = Field(
        (), max_length=50, description="Hours on battery by load, as its datasheet tabulates them."
    )
    efficiency: Fraction | None = Field(None, description="Share of the power from the mains that it passes on.")
    temperature_max: Celsius | None = None


class KitItem(Strict):
    """A part in the box of a kit."""

    part: PartId
    count: Annotated[int, Field(ge=1, le=1024)] = 1
    length: Length | None = Field(None, description="Of a cable, each.")


class KitPart(PartBase):
    """A part that contains parts."""

    kind: Literal["kit"]
    contains: tuple[KitItem, ...] = Field(min_length=1)
