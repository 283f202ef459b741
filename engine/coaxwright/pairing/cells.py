"""The settled outcome of a pair without a site around it: the same facts, asked of their own functions.

For tables of many pairs and for what-if by hand. One pair told in full is a site and a check (`answers`); tests
hold the two together. Reads parts only; knows no cables.
"""

from __future__ import annotations

from typing import NamedTuple

from coaxwright.facts.picture.picture_memory import Desk, PictureMemory
from coaxwright.facts.picture.recording import Frame, Stored, share_encoder, wanted_stream
from coaxwright.facts.picture.signals import RANK, Settled
from coaxwright.model.common import parse_mode
from coaxwright.model.site import CameraSet
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue

FEATURES = ("sound", "control", "firmware", "sorted_motion")


class Cell(NamedTuple):
    """One pair on one input: what is settled, acquired and recorded (alone on the recorder), and what else works.

    None is not known. Sizes and rates are 0 without a picture.
    """

    outcome: str | None
    family: str | None
    width: int | None
    height: int | None
    acquired_fps: float | None
    recorded_fps: float | None
    recorded_width: int | None
    recorded_height: int | None
    sound: bool | None
    control: bool | None
    firmware: bool | None
    sorted_motion: bool | None

    @property
    def worth(self) -> tuple[int, int, float, float]:
        """What is kept, to compare by: outcome, picture elements and rate recorded, rate acquired."""
        rank = -1 if self.outcome is None else RANK[self.outcome]
        pixels = (self.recorded_width or 0) * (self.recorded_height or 0)
        acquired = (self.width or 0) * (self.height or 0)
        return (rank, pixels or acquired, self.recorded_fps or 0.0, self.acquired_fps or 0.0)

    @property
    def kept(self) -> int:
        """How many of sound, control, firmware and sorted motion work."""
        return sum(getattr(self, name) is True for name in FEATURES)


class Clerk:
    """Answers pairs from one catalogue, remembering what was worked out."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.memory = PictureMemory(catalogue.part)

    def desk(self, recorder: str, made: tuple[str, ...] = ()) -> Desk:
        """A recorder part with settings made."""
        return self.memory.desk(recorder, made)

    def forget(self, recorder: str) -> None:
        """Let go of what was remembered of one recorder: a table asks each of them once."""
        self.memory.forget(recorder)

    def first_inputs(self, recorder: str) -> list[int]:
        """The first input of each group of inputs that behave alike."""
        firsts: dict[int, int] = {}
        for number, group in sorted(self.desk(recorder).group_of.items()):
            firsts.setdefault(group, number)
        return sorted(firsts.values())

    def best_input(self, camera: str, recorder: str, question: Question) -> int:
        """The input to ask about: the one named, else where most is kept, the lowest number among equals."""
        if question.number is not None:
            return question.number
        firsts = self.first_inputs(recorder)
        if len(firsts) == 1:
            return firsts[0]
        cells = {number: self.cell(camera, recorder, question, number) for number in firsts}
        return max(firsts, key=lambda number: (cells[number].worth, cells[number].kept, -number))

    def cell(self, camera: str, recorder: str, question: Question, number: int | None = None) -> Cell:
        """What the pair comes to on an input (the best one where none is named)."""
        if number is None:
            number = self.best_input(camera, recorder, question)
        desk = self.desk(recorder, question.made)
        settled = self.settled(desk, number, camera, question)
        if settled is None:
            return Cell(*(None,) * len(Cell._fields))
        works = features_alone(self.memory, desk, number, camera, settled)
        return assembled(settled, stored(desk, number, settled), works)

    def settled(self, desk: Desk, number: int, camera: str, question: Question) -> Settled | None:
        """What the picture settles on; None where the recorder has no such input."""
        return self.memory.settled(desk, number, camera, _switch(question), question.video_rate)


def _switch(question: Question) -> CameraSet | None:
    if not question.switched:
        return None
    mode = None if question.mode is None else parse_mode(question.mode)
    return CameraSet.model_construct(family=question.family, mode=mode)


def stored(desk: Desk, number: int, settled: Settled) -> Stored | None:
    """What the input records of a settled picture with no other camera; None where nobody says."""
    if settled.outcome is None:
        return None
    if not settled.has_picture:
        return Stored(0, 0, 0.0, "no-picture")
    frame = Frame(settled.width, settled.height, settled.fps, settled.outcome == "reduced-width")
    ceiling = desk.ceiling(number, frame)
    if ceiling is None:
        return None
    return share_encoder([wanted_stream(frame, ceiling, None)], desk.part.encodes_total)[0]


def features_alone(
    memory: PictureMemory, desk: Desk, number: int, camera: str, settled: Settled
) -> tuple[bool | None, ...]:
    """Whether each of `FEATURES` works as far as the two devices go, a picture taken for granted."""
    return tuple(verdict.works for verdict in memory.over_coax(desk, number, camera, settled.emitted))


def assembled(settled: Settled, stream: Stored | None, works: tuple[bool | None, ...]) -> Cell:
    """The cell of a settled picture, its stored stream and the features."""
    known = settled.outcome is not None
    picture = settled.has_picture if known else None
    return Cell(
        settled.outcome,
        settled.emitted.family,
        settled.width if known else None,
        settled.height if known else None,
        settled.fps if known else None,
        stream.fps if stream else None,
        stream.width if stream else None,
        stream.height if stream else None,
        *(_both(each, picture) for each in works),
    )


def _both(works: bool | None, picture: bool | None) -> bool | None:
    """Both must hold: no where one does not, whatever is unknown of the other."""
    if works is False or picture is False:
        return False
    return None if works is None or picture is None else True
