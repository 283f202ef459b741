"""Values that a site file states for what nobody gave, in the place of those that the program assumes."""

from typing import Annotated, Literal

from pydantic import Field

from coaxwright.model.common import Strict
from coaxwright.model.quantities import BitRate, Celsius, Fraction, Length, Watts

ConductorCelsius = Annotated[Celsius, Field(ge=-200)]
"""Colder, the linear law of resistance (IEC 60028) comes to nothing: at -228 degC for aluminium."""


class Assumptions(Strict):
    """Values that stand for what nobody gave; each is listed in every report."""

    conductor_temperature: ConductorCelsius | None = None
    bits_per_pixel: Annotated[float, Field(gt=0, le=24)] | None = None
    motion_share: Fraction | None = None
    sorted_motion_share: Fraction | None = Field(
        None, description="Share of the day recorded on motion of people and vehicles only."
    )
    target_height: Length | None = Field(
        None, description="Height above the ground of what is to be seen: a face, or a number plate."
    )
    rebuild_rate: BitRate | None = Field(
        None, description="Rate at which a disk group is rebuilt while it goes on recording."
    )
    disk_warmth: Annotated[float, Field(ge=0, le=60)] | None = Field(
        None, description="How much warmer than the room the disks of a recorder get, K."
    )
    usable_share: Fraction | None = Field(
        None, description="Share of a disk left after formatting and index."
    )
    source_resistance: Annotated[float, Field(ge=0, le=10)] | None = Field(
        None, description="Of a supply, ohm."
    )
    mains: Literal["present", "absent"] | None = None
    peak_watts: Watts | None = None
    peukert_exponent: Annotated[float, Field(ge=1, le=2)] | None = Field(
        None, description="Of stand-by batteries, in the rated-hour form."
    )
    battery_remaining: Fraction | None = Field(
        None, description="Share of a battery's capacity left at the end of its life."
    )
