"""What was measured on site: it comes before what was drawn, and stands beside it."""

from __future__ import annotations

import datetime

from pydantic import Field, model_validator

from coaxwright.model.assumptions import ConductorCelsius
from coaxwright.model.common import Strict, Text
from coaxwright.model.quantities import Decibels, Length, Megahertz, Ohms, Volts

MEASURED_AT = 20.0
"""degC at which a loop or a loss was measured where nobody says: the reference temperature of IEC 60228."""


class MeasuredRun(Strict):
    """A run of cable, as surveyed or commissioned. What is left out was not measured."""

    length: Length | None = Field(None, description="Length as pulled or read off the sheath; before `length`.")
    loop: Ohms | None = Field(
        None, description="Loop resistance with the far end joined; before what conductors and length give."
    )
    loss: Decibels | None = Field(
        None, ge=0, description="Loss from end to end at `loss_at`, joints with it; before what curve and length give."
    )
    loss_at: Megahertz | None = Field(None, gt=0, description="Frequency at which `loss` was measured.")
    temperature: ConductorCelsius | None = Field(
        None, description="Conductor temperature while `loop` or `loss` was measured; 20 °C otherwise."
    )
    on: datetime.date | None = Field(None, description="Day of the measurement.")
    by: Text | None = Field(None, description="Who measured.")

    @model_validator(mode="after")
    def _loss_has_its_frequency(self) -> MeasuredRun:
        """A loss says nothing without the frequency at which it was measured."""
        if (self.loss is None) != (self.loss_at is None):
            raise ValueError("`loss` and `loss_at` stand together: a loss is measured at a frequency, as in `loss_at: 37 MHz`")
        return self


class MeasuredSupply(Strict):
    """A supply, as measured."""

    volts: Volts | None = Field(None, description="At its outputs under load; before `trim`.")
    on: datetime.date | None = Field(None, description="Day of the measurement.")
    by: Text | None = Field(None, description="Who measured.")
