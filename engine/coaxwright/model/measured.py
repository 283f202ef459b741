"""What was measured on site: it comes before what was drawn, and stands beside it."""

import datetime

from pydantic import Field

from coaxwright.model.assumptions import ConductorCelsius
from coaxwright.model.common import Strict, Text
from coaxwright.model.quantities import Length, Ohms, Volts


class MeasuredRun(Strict):
    """A run of cable, as surveyed or commissioned. What is left out was not measured."""

    length: Length | None = Field(None, description="Length as pulled or read off the sheath; before `length`.")
    loop: Ohms | None = Field(
        None, description="Loop resistance with the far end joined; before what conductors and length give."
    )
    temperature: ConductorCelsius | None = Field(
        None, description="Conductor temperature while `loop` was measured; 20 °C otherwise."
    )
    on: datetime.date | None = Field(None, description="Day of the measurement.")
    by: Text | None = Field(None, description="Who measured.")


class MeasuredSupply(Strict):
    """A supply, as measured."""

    volts: Volts | None = Field(None, description="At its outputs under load; before `trim`.")
    on: datetime.date | None = Field(None, description="Day of the measurement.")
    by: Text | None = Field(None, description="Who measured.")
