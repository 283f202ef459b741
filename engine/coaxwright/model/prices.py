"""The price file: what parts cost, generic ones too, and what comes on top. Money is in one currency a file."""

import datetime
from typing import Annotated

from pydantic import BeforeValidator, Field

from coaxwright.model.common import PartId, Strict, Text
from coaxwright.model.quantities import Fraction, Hours, Length

Money = Annotated[float, Field(ge=0, le=1e9)]
Currency = Annotated[str, Field(pattern="^[A-Z]{3}$", description="ISO 4217 code, as in `EUR`.")]


class Price(Strict):
    """What one piece of a part costs; of a cable one metre."""

    price: Money = Field(description="Before discount and tax, for one piece; of a cable for one metre.")
    discount: Fraction | None = Field(None, description="Taken off this price, instead of the discount of the file.")
    drum: Length | None = Field(None, description="Length on one drum, of a cable.")


class Labour(Strict):
    """Time to fit things, and what an hour costs."""

    hour: Money = Field(description="Price of an hour, before tax; no discount is taken off.")
    camera: Hours | None = Field(None, description="For each camera: mount, connect, set, test.")
    recorder: Hours | None = Field(None, description="For each recorder.")
    supply: Hours | None = Field(None, description="For each power supply.")
    box: Hours | None = Field(None, description="For each in-line box.")
    switch: Hours | None = Field(None, description="For each network switch.")
    monitor: Hours | None = Field(None, description="For each monitor.")
    per_100_m: Hours | None = Field(None, description="To lay 100 m of cable.")
    fixed: Hours | None = Field(None, description="Once for the whole site.")


def _priced(value: object) -> object:
    """A bare number is the price alone."""
    return {"price": value} if isinstance(value, int | float | str) and not isinstance(value, bool) else value


class PriceFile(Strict):
    """A price list. What it does not price keeps the price of its part."""

    currency: Currency
    prices: dict[PartId, Annotated[Price, BeforeValidator(_priced)]] = Field(
        min_length=1, description="By part, generic ones too: a number, or a price with its own discount and drum."
    )
    valid_until: datetime.date | None = Field(None, description="Last day on which these prices hold.")
    waste: Fraction | None = Field(None, description="Cable to be ordered beyond what is drawn, as in `10 %`.")
    discount: Fraction | None = Field(None, description="Taken off the prices of this file.")
    tax: Fraction | None = Field(None, description="On top of parts and labour.")
    labour: Labour | None = None
    notes: Text | None = None
