"""The smallest sites that a pair is: one camera on one recorder, or the same camera on every input.

What is asked of a pair is written down as such a site, so that `check` answers it. Nothing is judged here.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, NamedTuple

from coaxwright.immutable import immutable
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.site_reader import LoadedSite, load_site_with

CAMERA, RECORDER = "camera", "recorder"


@immutable
class Question:
    """What is asked of a pair, besides which two parts: all as a site file would write it.

    `family` and `mode` are how the camera is switched, `made` the recorder settings made, `cable` and `length`
    the run between, `channels` how many inputs are in use (all where None), `video_rate` 25 or 30, `number` the
    input (the best one where None).
    """

    family: str | None = None
    mode: str | None = None
    made: tuple[str, ...] = ()
    cable: str | None = None
    length: str | None = None
    video_rate: int = 25
    channels: int | None = None
    number: int | None = None

    @property
    def switched(self) -> dict[str, str]:
        """How the camera is switched, as its `set` is written; empty where nothing is said."""
        written = {"family": self.family, "mode": self.mode}
        return {name: value for name, value in written.items() if value is not None}


class Seated(NamedTuple):
    """A camera of a set: its part, how it is asked about, what it is called, and where it is plugged in (box from 0)."""

    part: str
    question: Question
    label: str
    box: int
    number: int


def pair_value(camera: str, recorder: str, question: Question, numbers: list[int]) -> dict[str, Any]:
    """The site of a pair as plain values: a camera on each input of `numbers`, everything wanted of each.

    One camera is called `camera`, several `camera1`, `camera2` ... by their inputs. Without a cable the camera
    is plugged straight in: nothing on the way can spoil what the two devices settle.
    """
    names = [CAMERA] if len(numbers) == 1 else [f"{CAMERA}{number}" for number in numbers]
    box: dict[str, Any] = {"part": recorder}
    if question.made:
        box["set"] = list(question.made)
    return {
        "site": f"{camera} on {recorder}",
        "video_rate": question.video_rate,
        "recorders": {RECORDER: box},
        "cameras": {name: _camera(camera, question, number) for name, number in zip(names, numbers, strict=True)},
    }


def _camera(part: str, question: Question, number: int) -> dict[str, Any]:
    video: dict[str, Any] = {"into": f"{RECORDER}/{number}", "over": []}
    if question.cable is not None:
        run = {"cable": question.cable, **({"length": question.length} if question.length else {})}
        video["over"] = [run]
    entry: dict[str, Any] = {"part": part}
    if question.switched:
        entry["set"] = question.switched
    wants = {"firmware": True, "sorted_motion": True}
    return {**entry, "video": video, "sound": {"by": "coax"}, "control": {"by": "coax"}, "wants": wants}


def set_value(title: str, recorders: Sequence[str], cameras: Sequence[Seated], video_rate: int) -> dict[str, Any]:
    """The site of a whole set as plain values: each camera on the input that it has on one of the recorders."""
    boxes = {f"{RECORDER}{place}": {"part": part} for place, part in enumerate(recorders, 1)}
    names = [f"{CAMERA}{number}" for number in range(1, len(cameras) + 1)]
    written = {name: _seated(each) for name, each in zip(names, cameras, strict=True)}
    return {"site": title, "video_rate": video_rate, "recorders": boxes, "cameras": written}


def _seated(camera: Seated) -> dict[str, Any]:
    entry = _camera(camera.part, camera.question, camera.number)
    entry["video"]["into"] = f"{RECORDER}{camera.box + 1}/{camera.number}"
    return {**({"label": camera.label} if camera.label else {}), **entry}


def load_value(value: dict[str, Any], catalogue: Catalogue) -> LoadedSite:
    """A site written as plain values, with the parts of a catalogue. Raises Refusal.

    JSON is YAML: the value is read back through the same door as a site file.
    """
    return load_site_with(json.dumps(value, indent=1, ensure_ascii=False), str(value["site"]), catalogue)
