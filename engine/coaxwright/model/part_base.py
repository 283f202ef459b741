"""What every catalogue entry has, and how things are powered."""

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from coaxwright.model.common import Maker, Strict, Text
from coaxwright.model.quantities import Amps, Seconds, Volts, Watts

LoadKind = Literal["constant-power", "constant-current", "resistive"]


class PartBase(Strict):
    """What every catalogue entry has."""

    title: Text | None = None
    source: Text = Field(
        description="Where the figures come from: datasheet and revision, standard, or practice."
    )
    maker: Maker | None = Field(None, description="The word before the `/` of the id otherwise.")
    aliases: tuple[Text, ...] = Field(
        (), max_length=50, description="Other names that people write for it: trade names, article numbers."
    )
    price: Annotated[float, Field(ge=0)] | None = Field(
        None, description="In `currency`, for one piece; of a cable for one metre."
    )
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")] | None = None
    retired: StrictBool = Field(False, description="No longer sold.")


class PowerInput(Strict):
    """What a device needs at its power terminals."""

    kind: Literal["dc", "ac", "poe", "dc-or-ac"] = "dc"
    volts: Volts | None = Field(None, description="Nominal.")
    volts_min: Volts | None = None
    volts_max: Volts | None = None
    watts_day: Watts | None = Field(None, description="Largest by day: no lamps, no heater.")
    watts_night: Watts | None = Field(None, description="Largest by night: lamps on.")
    watts_heater: Watts | None = Field(None, description="Heater alone.")
    watts_motor: Watts | None = Field(None, description="Motors alone, moving.")
    load: LoadKind | None = Field(
        None, description="How it draws; a switching converter inside is constant-power."
    )
    power_factor: Annotated[float, Field(gt=0, le=1)] | None = None
    inrush: Amps | None = Field(None, description="Largest current while it starts.")
    inrush_time: Seconds | None = None
    poe_class: Annotated[int, Field(ge=0, le=8)] | None = None
    plug: Text | None = None
    polarity: Literal["centre-positive", "centre-negative"] | None = Field(
        None, description="Of a round plug: what its inner contact is."
    )
    polarity_protected: StrictBool | None = None
