"""Where things stand: places, and closed cabinets with their heat."""

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from coaxwright.model.common import Identifier, Strict, Text
from coaxwright.model.quantities import Celsius, Length, Lux, Watts

Setting = Literal["indoor", "sheltered", "outdoor"]


class Place(Strict):
    """Where a device stands."""

    setting: Setting | None = Field(None, description="indoor, sheltered (outdoors under cover) or outdoor.")
    building: Identifier | None = Field(
        None, description="Building or block; another building may have another earth."
    )
    reach: Literal["out-of-reach", "tool", "hand"] | None = Field(
        None, description="How easily people can touch it: hand, with a tool or ladder, or out of reach."
    )
    ambient_min: Celsius | None = Field(None, description="Coldest air at the device.")
    ambient_max: Celsius | None = Field(None, description="Warmest air at the device, sun included.")
    sun: StrictBool | None = Field(None, description="Direct sun on the housing.")
    coastal: StrictBool | None = Field(None, description="Salt air.")
    hazardous: StrictBool = Field(False, description="Explosive atmosphere possible: outside this tool.")
    earth: Identifier | None = Field(
        None, description="Which earthing system it stands on; the building's otherwise."
    )
    height: Length | None = Field(None, description="Mounting height above the floor or ground.")
    night_light: Lux | None = Field(None, description="Light on the scene at night without the camera's lamp.")
    overlooked: StrictBool | None = Field(
        None, description="Neighbours, drivers or boats look into its lamp at night."
    )
    cabinet: Identifier | None = Field(
        None, description="Closed cabinet that it stands in, by its name under `cabinets`: the air in it is worked out."
    )
    lit_surface: Length | None = Field(
        None, description="How near to its lamp the nearest thing is that the lamp lights: an eave, a wall, a pipe."
    )
    behind_glass: StrictBool | None = Field(None, description="It looks through a pane that is no part of it.")
    damp: StrictBool | None = Field(
        None, description="Water condenses there: steam, cold stores, unheated rooms."
    )
    washed: StrictBool | None = Field(None, description="Hosed down or cleaned with jets of water.")


class Cabinet(Strict):
    """A closed cabinet: what is in it names it under `place`."""

    label: Text | None = None
    place: Place | None = Field(None, description="Where it stands; `ambient_max` is the warmest air around it.")
    width: Length | None = Field(None, description="Outer width.")
    height: Length | None = Field(None, description="Outer height.")
    depth: Length | None = Field(None, description="Outer depth.")
    stands: Literal["free", "wall", "row-end", "row-middle"] | None = Field(
        None, description="Free all round, with its back on a wall, or in a row of cabinets."
    )
    material: Literal["painted-steel", "stainless-steel", "aluminium", "plastic"] | None = Field(
        None, description="Of its walls, of one shell."
    )
    fan: Annotated[float, Field(ge=0, le=10_000)] | None = Field(
        None, description="Air that a fan draws through it, m3/h; 0 or nothing written for still air."
    )
    vents: Annotated[float, Field(ge=0, le=100_000)] | None = Field(
        None, description="Free area of each of its two openings, the lower and the upper, cm2; 0 where it is tight."
    )
    other_heat: Watts | None = Field(None, description="Heat of anything in it that this file does not name.")
