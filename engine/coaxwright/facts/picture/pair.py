"""A camera and the recorder that it is joined to, as sound, control and firmware over the coax ask for them."""

from __future__ import annotations

from typing import NamedTuple

from coaxwright.facts.chains import Check, in_family
from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.recorder_parts import RecorderPart

Families = tuple[str, ...] | None


class Switched(NamedTuple):
    """A camera part in the family that it is switched to; `unsettled` says what would give a family not known."""

    part_id: str
    part: CameraPart
    family: str | None = None
    unsettled: tuple[str, ...] = ()

    def does(self, families: Families, field: str, not_done: str) -> Check:
        """Whether it does in its family what it states for these; `not_done` reads like `takes no control`."""
        path = f"parts/{self.part_id}/{field}"
        return in_family(families, self.family, f"the camera {not_done}", path, self.unsettled, "camera")


class Pair(NamedTuple):
    """A camera and a recorder part."""

    camera: Switched
    recorder_id: str
    recorder: RecorderPart

    def recorder_does(self, families: Families, field: str, not_done: str) -> Check:
        """Whether the recorder does in the camera's family what it states for these."""
        path = f"parts/{self.recorder_id}/{field}"
        return in_family(
            families, self.camera.family, f"the recorder {not_done}", path, self.camera.unsettled, "recorder"
        )

    def lets_in(self, wanted: str, only: str) -> Check:
        """Whether the recorder's restriction to a maker admits the camera; `only` has `{}` for whose cameras it takes."""
        makers = maker_of(self.camera.part_id, self.camera.part), maker_of(self.recorder_id, self.recorder)
        return Check(lets_in(wanted, *makers), f"the recorder {only.format(whose(wanted))}", (), "maker")


def whose(maker: str) -> str:
    """A maker's restriction in words."""
    return "its own maker" if maker == "own" else maker
