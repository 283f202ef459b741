"""Loss along one way of cable runs, joints and boxes, what media meet on it, and how far its cables reach.

Pure: works on cable and box parts and on lengths. A cable without a loss table, or asked outside its table,
has no known loss: nothing is extrapolated. What an input equalises is data (table signal-modes) and its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from coaxwright.facts.physics.coax import attenuation, pair_temperature_factor, temperature_factor
from coaxwright.immutable import immutable
from coaxwright.model.measured import MEASURED_AT, MeasuredRun
from coaxwright.model.wiring_parts import BoxPart, CablePart

MEDIA = ("coax", "pair", "network", "line", "power")
"""A cable that is made for several things is taken for the first of these where a picture travels on it."""
COAX_OHMS, PAIR_OHMS = 75.0, 100.0
"""Characteristic impedance of video coax (IEC 61169-8 connectors, SMPTE ST 292-1) and of category pair cable
(ISO/IEC 11801)."""
OHMS_SLACK = {"coax": 0.05, "pair": 0.15}
"""Share by which an impedance may differ: 75 ohm +/- 3 is usual for coax, 100 ohm +/- 15 for pair cable."""
PASSES = ("passes_sound", "passes_control", "passes_firmware")


class Known(NamedTuple):
    """A loss in dB, or what to supply for it: `lacking` is empty where `value` holds.

    Of a run it is dB a metre: `at_20` dB/100 m, read off its curve, times `factor` for a conductor of `degc`. Of one that was
    measured it is dB of the whole run: what was `measured`, times `at_20` by its curve, times `factor`.
    """

    value: float
    lacking: str = ""
    at_20: float = 0.0
    factor: float = 1.0
    degc: float = 20.0
    measured: MeasuredRun | None = None


def medium_of(part: CablePart) -> str:
    """What a cable is where a picture travels on it."""
    return next(name for name in MEDIA if name in part.carries)


def run_loss(cable: str, part: CablePart, mhz: float, degc: float, alpha: float) -> Known:
    """dB a metre of a cable at `mhz` and `degc`, from its own table, by straight lines on log-log paper."""
    points = part.attenuation
    if not points or not points[0][0] <= mhz <= points[-1][0]:
        return Known(0.0, f"parts/{cable}/attenuation")
    at_20, factor = attenuation(points, mhz), warm_factor(part, degc, alpha)
    return Known(at_20 * factor / 100.0, "", at_20, factor, degc)


def warm_factor(part: CablePart, degc: float, alpha: float) -> float:
    """How many times its loss at 20 degC a cable loses at `degc`."""
    if "coax" in part.carries:
        return temperature_factor(degc, alpha)
    return pair_temperature_factor(degc, part.screened is True, alpha)


def measured_loss(cable: str, part: CablePart, measured: MeasuredRun, mhz: float, degc: float, alpha: float) -> Known:
    """dB of a run whose loss was measured, at `mhz` and `degc`: as measured, in proportion to the cable's own curve and
    to its loss at both temperatures. Measured at that very frequency it needs no curve; else without one it is not known.
    """
    assert measured.loss is not None
    assert measured.loss_at is not None
    ratio, points = 1.0, part.attenuation
    if measured.loss_at != mhz:
        if not points or not all(points[0][0] <= each <= points[-1][0] for each in (mhz, measured.loss_at)):
            return Known(0.0, f"parts/{cable}/attenuation")
        ratio = attenuation(points, mhz) / attenuation(points, measured.loss_at)
    then = MEASURED_AT if measured.temperature is None else measured.temperature
    factor = warm_factor(part, degc, alpha) / warm_factor(part, then, alpha)
    return Known(measured.loss * ratio * factor, "", ratio, factor, degc, measured)


def box_loss(identifier: str, part: BoxPart, mhz: float, joint_loss: float) -> Known:
    """dB that a box takes away at `mhz` (negative: it gains); a joint of no stated loss has `joint_loss`."""
    if part.frequency_max is not None and mhz > part.frequency_max:
        return Known(0.0, f"parts/{identifier}/frequency_max")
    if part.does == "amplifier" and part.gain is None:
        return Known(0.0, f"parts/{identifier}/gain")
    if part.loss is None and part.gain is None:
        return Known(joint_loss) if part.does == "joint" else Known(0.0, f"parts/{identifier}/loss")
    return Known((part.loss or 0.0) - (part.gain or 0.0))


# What a way is like, whatever its lengths


class Piece(NamedTuple):
    """A run or a box of a way: its catalogue id and entry."""

    identifier: str
    part: CablePart | BoxPart


class Answer(NamedTuple):
    """Yes, no, or open (None) with what to supply."""

    holds: bool | None
    lacking: tuple[str, ...] = ()


@immutable
class Shape:
    """What the pieces of a way say without their lengths. `blocks` stands in the order of `PASSES`."""

    mixed_media: bool
    impedance_wrong: Answer
    clad_steel: Answer
    blocks: tuple[Answer, Answer, Answer]
    isolated: bool
    splices: int
    boxes: int
    pairs: bool


def shape_of(pieces: Sequence[Piece]) -> Shape:
    """Read off a way, from the camera to the input, all that does not depend on lengths."""
    runs = [(each.identifier, each.part) for each in pieces if isinstance(each.part, CablePart)]
    boxes = [(each.identifier, each.part) for each in pieces if isinstance(each.part, BoxPart)]
    sound, control, firmware = (_any([_blocks(*box, name) for box in boxes]) for name in PASSES)
    is_run = [isinstance(each.part, CablePart) for each in pieces]
    return Shape(
        _mixed([each.part for each in pieces]),
        _any([_wrong_ohms(*run) for run in runs]),
        _any([_clad(*run) for run in runs if medium_of(run[1]) == "coax"]),
        (sound, control, firmware),
        any(part.does == "isolator" for _, part in boxes),
        sum(one and other for one, other in pairwise(is_run)),
        len(boxes),
        any(medium_of(part) in ("pair", "network") for _, part in runs),
    )


def _any(answers: Sequence[Answer]) -> Answer:
    """Yes where one is yes; else open where one is open, with all that is lacking; else no."""
    if any(each.holds for each in answers):
        return Answer(True)
    lacking = tuple(dict.fromkeys(path for each in answers if each.holds is None for path in each.lacking))
    return Answer(None, lacking) if lacking else Answer(False)


def _mixed(parts: Sequence[CablePart | BoxPart]) -> bool:
    """True where coax meets pair cable with no box between that changes one into the other.

    Camera and input end in coax. A box that may be turned round is turned the way that fits.
    """
    here, mixed = "coax", False
    for part in parts:
        if isinstance(part, CablePart):
            medium = {"network": "pair"}.get(medium_of(part), medium_of(part))
            mixed, here = mixed or medium != here, medium
        elif part.takes == here:
            here = part.gives
        elif part.either_way and part.gives == here:
            here = part.takes
        else:
            mixed, here = True, part.gives
    return mixed or here != "coax"


def _wrong_ohms(cable: str, part: CablePart) -> Answer:
    medium = "coax" if medium_of(part) == "coax" else "pair"
    if part.impedance is None:
        return Answer(None, (f"parts/{cable}/impedance",))
    wanted = COAX_OHMS if medium == "coax" else PAIR_OHMS
    return Answer(abs(part.impedance - wanted) > OHMS_SLACK[medium] * wanted)


def _clad(cable: str, part: CablePart) -> Answer:
    if part.centre is None:
        return Answer(None, (f"parts/{cable}/centre",))
    return Answer(part.centre == "copper-clad-steel")


def _blocks(identifier: str, part: BoxPart, name: str) -> Answer:
    """Whether a box keeps something from passing; a joint is metal all through and passes everything."""
    passes = getattr(part, name)
    if passes is None:
        return Answer(False) if part.does == "joint" else Answer(None, (f"parts/{identifier}/{name}",))
    return Answer(not passes)


def fits(part: CablePart, use: str) -> bool:
    """Whether a cable is made for a use: video, power, sound, control or network.

    Coax carries a network between converters; whether they are there is another question.
    """
    made_for = {
        "video": {"coax", "pair", "network"},
        "power": {"power"},
        "sound": {"line", "coax", "pair", "network"},
        "control": {"pair", "network", "line"},
        "network": {"network", "coax"},
    }
    return bool(made_for[use] & set(part.carries))
