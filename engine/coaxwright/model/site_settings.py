"""What a site file sets for many things at once: who answers for a finding, levels and limits, cables by use."""

import datetime
from typing import Any, Literal

from pydantic import Field

from coaxwright.model.common import CableName, Strict, Text


class Waiver(Strict):
    """A finding that someone answers for, with the reason."""

    rule: str
    on: str = Field(description="Subject path, as in `cameras/slipway`.")
    reason: Text
    until: datetime.date | None = None
    by: Text | None = None


class RuleSetting(Strict):
    """What this site changes about one rule."""

    level: Literal["error", "warning", "note", "off"] | None = None
    limits: dict[str, Any] = Field(default_factory=dict, description="Limits by name, with their units.")
    reason: Text | None = None


class Cables(Strict):
    """Cable of runs that name none, by use."""

    video: CableName | None = None
    network: CableName | None = None
    power: CableName | None = None
    sound: CableName | None = None
    control: CableName | None = None
