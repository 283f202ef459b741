"""Invented parts for the tests of pictures, records, sound and cables; no figures of any real device."""

from __future__ import annotations

from typing import Any

from coaxwright.facts.picture.settling import emitted, settle
from coaxwright.facts.picture.signals import Emitter, Intake, Settled
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.common import VideoMode, parse_mode
from coaxwright.model.recorder_parts import RecorderPart


def camera(emits: list[dict[str, Any]], **more: Any) -> CameraPart:
    return CameraPart.model_validate({"kind": "camera", "source": "invented", "emits": emits, **more})


def recorder(*accepts: dict[str, Any], **more: Any) -> RecorderPart:
    groups = more.pop("inputs", [{"channels": "1-8", "accepts": list(accepts), "asks": more.pop("asks", [])}])
    return RecorderPart.model_validate({"kind": "recorder", "source": "invented", "inputs": groups, **more})


def settled(
    cam: CameraPart,
    rec: RecorderPart,
    *,
    cam_id: str = "fennick/c",
    rec_id: str = "tarnwell/r",
    family: str | None = None,
    mode: str | None = None,
    made: tuple[str, ...] = (),
    rate: int = 25,
    group: int = 0,
) -> Settled:
    """One camera on one input group; switched to `family` and `mode` where they are given."""
    emitter = Emitter.of(cam_id, cam)
    intake = Intake.of(rec_id, rec, rec.inputs[group], made)
    wanted: VideoMode | None = parse_mode(mode) if mode else None
    return settle(emitter, intake, emitted(emitter, family, wanted, rate), rate)
