"""What `rules/diagnosis` holds: symptoms, measurements, causes, and the rows that join them; strict, as all input is.

A cause is tried on the site by an edit; what it leads to is for the engine to judge. A cause that no edit can show (a
plug with water in it) says itself what would be measured.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from coaxwright.model.common import Identifier, Strict, Text
from coaxwright.model.rules import Expression

Asked = Literal["camera", "recorder", "supply", "site"]
"""What a person points at when telling of a symptom, or stands before when measuring."""
Held = Literal["camera", "recorder", "supply", "output", "junction", "disk_group", "site"]
"""What a cause sits in."""
Mark = Literal["seen", "secondary", "common practice", "from memory"]
"""How well a row is founded: a source that was read, a page that quotes one, practice, or memory."""


class Symptom(Strict):
    """Something that a person sees or hears."""

    about: Asked
    says: Text = Field(description="As it is told: `no picture at night`.")
    when: Expression | None = Field(None, description="The facts of a site on which it shows; none where no fact tells.")
    stop: bool = Field(False, description="Work ends here until an electrician has been.")


class Measurement(Strict):
    """Something that a person can measure or look at."""

    about: Asked
    says: Text
    how: Text
    minutes: float = Field(gt=0, description="Usual time that it takes, minutes.")
    reads: Expression | None = Field(None, description="The fact that it shows.")
    usual: float | Text | None = Field(None, description="What it shows where nothing is wrong, where no fact tells.")
    unit: str = ""
    scale: float = Field(1.0, gt=0, description="The fact divided by this is what is shown, in `unit`.")
    decimals: int = Field(1, ge=0, le=3)
    within: float = Field(0.0, ge=0, description="How far two readings may differ and count as one, in `unit`.")
    share: float = Field(0.0, ge=0, lt=1, description="The same as a share of the greater reading.")
    caution: Text | None = None


class Tried(Strict):
    """One way to put a cause into a site; several values are several degrees of it."""

    at: Text | None = Field(None, description="Place of the site; `@` is the device, `*` every key.")
    times: tuple[float, ...] = Field((), description="Factors on the quantity there.")
    put: tuple[str | float | bool | tuple[()] | None, ...] = Field((), description="Values; null takes what is there away.")
    shares: tuple[float, ...] = Field((), description="Shares of the volts that the supply gives, put there.")
    cut: Literal["output", "supply"] | None = Field(None, description="All that hangs on it loses its power.")
    switch: Literal["family", "mode"] | None = Field(None, description="The camera is switched to each other one it sends.")
    hang: int | None = Field(None, ge=1, description="So many cameras like the device hang on its cable besides.")
    swap: bool = Field(False, description="The camera's picture goes to an input that another camera uses.")


Shown = dict[Identifier, float | Text]


class Cause(Strict):
    """Something that can be wrong on the site while the plan is right."""

    about: Held
    says: Text = Field(description="Sentence; `{name}` stands for the device.")
    weight: float = Field(gt=0, description="How often it is met, against the others.")
    when: Expression | None = Field(None, description="On which devices it can be.")
    afar: bool = Field(False, description="It can show at another device than its own, which does not stand on it.")
    tries: tuple[Tried, ...] = Field((), description="How it is put into the site; empty where no fact tells of it.")
    shows: Shown = Field(default_factory=dict, description="By measurement, what it shows, where no fact tells.")
    repair: Text
    caution: Text | None = None


class Row(Strict):
    """A symptom, a cause of it, and the measurement that tells."""

    symptom: Identifier
    cause: Identifier
    because: Text = Field(description="Why the cause leads to the symptom.")
    measure: Identifier = Field(description="The measurement that tells.")
    confirms: Text = Field(description="What it shows where this is the cause.")
    source: Text
    mark: Mark


Named = Annotated[dict[Identifier, Symptom], Field(min_length=1)]


class SymptomFile(Strict):
    """`symptoms.yaml`."""

    symptoms: Named


class MeasurementFile(Strict):
    """`measurements.yaml`."""

    measurements: Annotated[dict[Identifier, Measurement], Field(min_length=1)]


class CauseFile(Strict):
    """`causes.yaml`."""

    causes: Annotated[dict[Identifier, Cause], Field(min_length=1)]


class RowFile(Strict):
    """`rows.yaml`."""

    rows: Annotated[tuple[Row, ...], Field(min_length=1)]
