"""What a camera of the recorder's own maker would gain on this recorder, feature by feature.

Compared with a real camera of that maker from the catalogue, the one most like the camera asked about; where
there is none, with a camera of the same datasheet that bore the maker's name. Both are facts, neither is advice.
"""

from __future__ import annotations

from coaxwright.facts.makers import maker_of
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.pairing.by_hand import told
from coaxwright.pairing.cells import FEATURES, Cell, Clerk
from coaxwright.pairing.grouping import signals_of
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue

RULES = {
    "sound": "sound/coax-sound-broken",
    "control": "control/coax-control-broken",
    "firmware": "control/firmware-not-over-coax",
    "sorted_motion": "control/sorted-motion-missing",
}
_PICTURE_RULES = {
    "full": "signal/better-mode-attainable",
    "asked-down": "signal/asked-down",
    "reduced-width": "signal/reduced-width",
    "needs-setting": "signal/needs-setting",
    "no-picture": "signal/no-picture",
}


@immutable
class Difference:
    """One feature: how it is with the camera asked about, how with the other, and the rule behind it."""

    feature: str
    here: str
    there: str
    rule: str


@immutable
class OwnMaker:
    """The comparison: with which camera, and what differs; `real` is false for a datasheet with another name."""

    maker: str
    camera: str
    real: bool
    differences: tuple[Difference, ...]


def own_maker(clerk: Clerk, camera: str, recorder: str, question: Question) -> OwnMaker | None:
    """The comparison; None where both are of one maker, or the recorder of none."""
    catalogue = clerk.catalogue
    maker = maker_of(recorder, catalogue.part(recorder))
    if not maker or maker_of(camera, catalogue.part(camera)) == maker:
        return None
    here = clerk.cell(camera, recorder, question)
    other = _most_like(catalogue, camera, maker)
    plain = Question(made=question.made, video_rate=question.video_rate)
    if other is not None:
        there = clerk.cell(other, recorder, plain)
        return OwnMaker(maker, other, True, _differences(here, there))
    renamed = _Renamed(catalogue, camera, maker)
    there = Clerk(renamed).cell(camera, recorder, question)
    return OwnMaker(maker, camera, False, _differences(here, there))


class _Renamed(Catalogue):
    """A catalogue in which one camera bears another maker's name; the first one stays as it is."""

    def __init__(self, catalogue: Catalogue, camera: str, maker: str) -> None:
        super().__init__()
        self.parts = dict(catalogue.parts)
        self.parts[camera] = catalogue.part(camera).model_copy(update={"maker": maker})


def _most_like(catalogue: Catalogue, camera: str, maker: str) -> str | None:
    """The maker's camera whose largest picture is nearest in size, then in what else it can do; cheapest first."""
    wanted = catalogue.part(camera)
    names = [name for name in catalogue.ids("camera") if _is_of(catalogue.part(name), name, maker)]
    return min(names, key=lambda name: _unlike(wanted, catalogue.part(name), name), default=None)


def _is_of(part: CameraPart, name: str, maker: str) -> bool:
    return bool(part.emits) and not part.retired and maker_of(name, part) == maker


def _unlike(wanted: CameraPart, other: CameraPart, name: str) -> tuple[float, int, float, str]:
    size = abs(_largest(wanted) - _largest(other))
    return (size, abs(_talents(wanted) - _talents(other)), other.price or float("inf"), name)


def _largest(part: CameraPart) -> int:
    """Picture elements of the largest mode."""
    return max(signal.mode.width * signal.mode.height for signal in signals_of(part))


def _talents(part: CameraPart) -> int:
    return bool(part.sound and part.sound.microphone) + bool(part.firmware_over_coax) + bool(part.control)


def _differences(here: Cell, there: Cell) -> tuple[Difference, ...]:
    found = []
    pictures = (told(here), told(there))
    if pictures[0] != pictures[1]:
        found.append(Difference("picture", *pictures, _PICTURE_RULES[here.outcome or "needs-setting"]))
    for name in FEATURES:
        one, other = getattr(here, name), getattr(there, name)
        if one != other:
            found.append(Difference(name.replace("_", " "), _word(one), _word(other), RULES[name]))
    return tuple(found)


def _word(value: bool | None) -> str:
    return "open" if value is None else "yes" if value else "no"
