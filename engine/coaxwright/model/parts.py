"""The part file: catalogue entries by id, each of one kind."""

from typing import Annotated

from pydantic import Field

from coaxwright.model.camera_parts import CameraPart, PickupPart
from coaxwright.model.common import PartId, Strict, Text
from coaxwright.model.recorder_parts import DiskPart, MonitorPart, RecorderPart
from coaxwright.model.wiring_parts import BoxPart, CablePart, KitPart, SupplyPart, SwitchPart, UpsPart

Part = Annotated[
    CameraPart
    | RecorderPart
    | SupplyPart
    | DiskPart
    | CablePart
    | BoxPart
    | PickupPart
    | SwitchPart
    | MonitorPart
    | KitPart
    | UpsPart,
    Field(discriminator="kind"),
]
PART_KINDS: dict[str, type] = {
    "camera": CameraPart,
    "recorder": RecorderPart,
    "supply": SupplyPart,
    "disk": DiskPart,
    "cable": CablePart,
    "box": BoxPart,
    "pickup": PickupPart,
    "switch": SwitchPart,
    "monitor": MonitorPart,
    "kit": KitPart,
    "ups": UpsPart,
}


class PartFile(Strict):
    """A file of catalogue entries."""

    parts: dict[PartId, Part] = Field(min_length=1)
    currency: Annotated[str, Field(pattern="^[A-Z]{3}$")] | None = None
    notes: Text | None = None
