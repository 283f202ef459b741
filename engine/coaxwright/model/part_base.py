"""What every catalogue entry has, and how things are powered."""

from typing import Annotated, Literal

from pydantic import Field, StrictBool, model_validator

from coaxwright.model.common import Maker, PartId, Strict, Text
from coaxwright.model.quantities import Amps, Days, Fraction, Seconds, Volts, Watts, parse_quantity

LoadKind = Literal["constant-power", "constant-current", "resistive"]


Date = Annotated[str, Field(pattern=r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$")]
"""A day as in `2026-12-01`."""


class Reading(Strict):
    """Where one fact, or several, were read."""

    facts: tuple[Text, ...] = Field(
        min_length=1, description="Fields of this entry, with `/` between steps, as in `power/watts_night`."
    )
    datasheet: Text | None = Field(None, description="Name of the document.")
    revision: Text | None = Field(None, description="Its revision or issue.")
    page: Annotated[int, Field(ge=1, description="Page of it.")] | None = None
    date: Date | None = Field(None, description="Day of the document, or on which it was measured.")
    firmware_from: Text | None = Field(None, description="First firmware of which it is stated.")
    firmware_to: Text | None = Field(None, description="Last firmware of which it is stated.")
    remarks: Text | None = Field(None, description="Anything else to be said of it.")


class PriceTier(Strict):
    """The price of one piece where so many are bought together."""

    pieces: Annotated[int, Field(ge=2, description="Pieces from which it holds.")]
    price: Annotated[float, Field(ge=0)] = Field(description="For one piece, in the currency of the part.")


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
    retired_since: Date | None = Field(None, description="Day from which it is no longer sold; see `retired`.")
    successor: PartId | None = Field(None, description="Part that its maker names in its place.")
    articles: tuple[Text, ...] = Field(
        (), max_length=50, description="Article numbers under which it is ordered; found like its other names."
    )
    price_date: Date | None = Field(None, description="Day of the price list that `price` is from.")
    stock: Annotated[int, Field(ge=0)] | None = Field(None, description="Pieces that can be had at once.")
    lead_time: Days | None = Field(None, description="Time until it is delivered where none is in stock.")
    price_tiers: tuple[PriceTier, ...] = Field(
        (), max_length=20, description="Prices of one piece where several are bought together; `price` holds below them."
    )
    warranty_years: Annotated[float, Field(gt=0, le=99)] | None = Field(None, description="Years of its maker's warranty.")
    read: tuple[Reading, ...] = Field(
        (), max_length=200, description="Where single facts were read, where that is not `source`."
    )

    @model_validator(mode="before")
    @classmethod
    def _retired_with_its_day(cls, value: object) -> object:
        """A day from which it is no longer sold says that it is not."""
        if isinstance(value, dict) and value.get("retired_since") and "retired" not in value:
            return {**value, "retired": True}
        return value

    def price_of(self, pieces: int) -> float | None:
        """The price of one piece where so many are bought: of the tier with most pieces that they reach, else `price`."""
        reached = [tier for tier in self.price_tiers if tier.pieces <= pieces]
        return max(reached, key=lambda tier: tier.pieces).price if reached else self.price


class PowerInput(Strict):
    """What a device needs at its power terminals."""

    kind: Literal["dc", "ac", "poe", "dc-or-ac"] = "dc"
    volts: Volts | None = Field(None, description="Nominal.")
    volts_min: Volts | None = None
    volts_max: Volts | None = None
    volts_tolerance: Fraction | None = Field(
        None,
        description="As in `10 %`: `volts_min` and `volts_max` lie so far below and above `volts`, where they are left out.",
    )
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
    over_coax: StrictBool | None = Field(
        None, description="It takes its power over the coax of its picture, from an injector at the other end."
    )
    plug: Text | None = None
    polarity: Literal["centre-positive", "centre-negative"] | None = Field(
        None, description="Of a round plug: what its inner contact is."
    )
    polarity_protected: StrictBool | None = None

    @model_validator(mode="before")
    @classmethod
    def _window_of_tolerance(cls, value: object) -> object:
        """The least and the greatest voltage from a tolerance that is stated in percent; what is stated itself stays."""
        if not isinstance(value, dict) or value.get("volts") is None or value.get("volts_tolerance") is None:
            return value
        try:
            volts = parse_quantity("volts", value["volts"])
            share = parse_quantity("fraction", value["volts_tolerance"])
        except ValueError:
            return value  # the field that cannot be read says so itself
        window = {"volts_min": f"{volts * (1 - share):.9g} V", "volts_max": f"{volts * (1 + share):.9g} V"}
        return {**value, **{name: text for name, text in window.items() if value.get(name) is None}}
