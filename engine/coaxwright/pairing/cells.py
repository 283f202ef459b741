"""The settled outcome of a pair without a site around it: the same facts, asked of their own functions.

For tables of many pairs and for what-if by hand. One pair told in full is a site and a check (`answers`); tests
hold the two together. A run of cable is judged by that check too, once for each signal (`runs`).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxwright.facts.picture.recording import Frame, Stored, share_known, wanted_stream
from coaxwright.facts.picture.signal_cache import Desk, SignalCache
from coaxwright.facts.picture.signals import RANK, Emitted, Settled
from coaxwright.model.common import parse_mode
from coaxwright.model.site import CameraSet
from coaxwright.pairing.runs import NO_RUN, Run, Runs
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue
from coaxwright.rulebook.library import Rulebook

FEATURES = ("sound", "control", "firmware", "sorted_motion")
DARK = Stored(0, 0, 0.0, "no-picture")


class Spread(NamedTuple):
    """On how many inputs of the recorder the pair does what its best input does; the first four as `FEATURES`.

    `picture` counts those with the same picture and stored stream, `pictured` those with any picture at all.
    """

    sound: int
    control: int
    firmware: int
    sorted_motion: int
    picture: int
    pictured: int
    inputs: int


class Cell(NamedTuple):
    """One pair on one input: what is settled, acquired and recorded (alone on the recorder), and what else works.

    None is not known. Sizes and rates are 0 without a picture. `run` is what the cable asked about makes of it;
    `spread` tells on how many inputs, where no one input was asked about.
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
    run: Run = NO_RUN
    spread: Spread | None = None

    @property
    def verdict(self) -> str | None:
        """The outcome with the cable asked about: the settled one only where the run holds; None where open."""
        return self.run.state or self.outcome if self.run.state != "open" else None

    @property
    def arrives(self) -> bool:
        """A picture arrives, as far as is known."""
        return bool(self.width) and self.run.state == ""

    @property
    def worth(self) -> tuple[int, int, float, float]:
        """What is kept, to compare by: outcome, picture elements and rate recorded, rate acquired."""
        rank = -1 if self.verdict is None else RANK.get(self.verdict, 0)
        pixels = (self.recorded_width or 0) * (self.recorded_height or 0)
        acquired = (self.width or 0) * (self.height or 0)
        return (rank, pixels or acquired, self.recorded_fps or 0.0, self.acquired_fps or 0.0)

    @property
    def kept(self) -> int:
        """How many of sound, control, firmware and sorted motion work."""
        return sum(getattr(self, name) is True for name in FEATURES)


NOTHING = Cell(None, None, None, None, None, None, None, None, None, None, None, None)
"""The cell of an input that the recorder does not have."""


class Clerk:
    """Answers pairs from one catalogue, remembering what was worked out; runs of cable by a rulebook."""

    def __init__(self, catalogue: Catalogue, rulebook: Rulebook | None = None) -> None:
        self.catalogue = catalogue
        self.memory = SignalCache(catalogue.part)
        self.runs = Runs(catalogue, rulebook)

    def desk(self, recorder: str, made: tuple[str, ...] = ()) -> Desk:
        """A recorder part with settings made."""
        return self.memory.desk(recorder, made)

    def forget(self, recorder: str) -> None:
        """Let go of what was remembered of one recorder: a table asks each of them once."""
        self.memory.forget(recorder)

    def alike(self, recorder: str) -> list[list[int]]:
        """Inputs put together that behave alike in everything told here, each with the lowest number first."""
        desk = self.desk(recorder)
        part = desk.part
        named = [part.sound.coax_channels if part.sound else None, part.sorted_motion]
        named += [row.channels for row in part.encodes or ()]
        groups: dict[tuple[object, ...], list[int]] = {}
        for number, group in sorted(desk.group_of.items()):
            key = (group, *(number in channels for channels in named if channels is not None))
            groups.setdefault(key, []).append(number)
        return sorted(groups.values())

    def first_inputs(self, recorder: str) -> list[int]:
        """The first input of each set of inputs that behave alike."""
        return [numbers[0] for numbers in self.alike(recorder)]

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
        """What the pair comes to on an input; where none is named on the best one, and on how many it does."""
        number = question.number if number is None else number
        if number is not None:
            return self._at_input(camera, recorder, question, number)
        groups = self.alike(recorder)
        cells = [self._at_input(camera, recorder, question, numbers[0]) for numbers in groups]
        return spread_over(cells, [len(numbers) for numbers in groups])

    def _at_input(self, camera: str, recorder: str, question: Question, number: int) -> Cell:
        desk = self.desk(recorder, question.made)
        settled = self.settled(desk, number, camera, question)
        if settled is None:
            return NOTHING
        works = features_alone(self.memory, desk, number, camera, settled)
        stream = self.stream(desk, number, camera, question, settled)
        return self.with_run(assembled(settled, stream, works), camera, desk, number, question, settled)

    def sends(self, camera: str, question: Question) -> Emitted:
        """How a camera is switched."""
        return self.memory.switched(camera, _switch(question), question.video_rate)

    def settled(self, desk: Desk, number: int, camera: str, question: Question) -> Settled | None:
        """What the picture settles on; None where the recorder has no such input."""
        return self.memory.settled(desk, number, camera, _switch(question), question.video_rate)

    def stream(self, desk: Desk, number: int, camera: str, question: Question, settled: Settled) -> Stored | None:
        """What the input records: of this camera alone, or with the same camera on `channels` inputs."""
        if question.channels is None or question.channels <= 1:
            return stored(desk, number, settled)
        numbers = in_use(desk, number, question.channels)
        pictures = [self.settled(desk, each, camera, question) for each in numbers]
        wanted = [asked_of(desk, each, one) for each, one in zip(numbers, pictures, strict=True)]
        return share_known(wanted, desk.part.encodes_total)[numbers.index(number)]

    def with_run(self, cell: Cell, camera: str, desk: Desk, number: int, question: Question, settled: Settled) -> Cell:
        """The cell with what the cable asked about makes of its picture."""
        if question.cable is None or not cell.width or settled.signal is None:
            return cell
        extra = desk.extra_loss[desk.group_of[number]]
        return cell._replace(run=self.runs.run((settled.signal, extra), camera, desk.part_id, question, number))


def in_use(desk: Desk, number: int, channels: int | None) -> list[int]:
    """So many inputs (all where None), in order, the one asked about among them."""
    inputs = sorted(desk.group_of)
    return sorted([number, *(each for each in inputs if each != number)][: channels or len(inputs)])


def spread_over(cells: Sequence[Cell], sizes: Sequence[int]) -> Cell:
    """The best of the cells of one pair (the first of equals), with the number of inputs that do what it does."""
    best = max(cells, key=lambda cell: (cell.worth, cell.kept))
    counted = list(zip(cells, sizes, strict=True))
    sound, control, firmware, motion = (sum(size for cell, size in counted if getattr(cell, name)) for name in FEATURES)
    same = sum(size for cell, size in counted if _picture(cell) == _picture(best))
    pictured = sum(size for cell, size in counted if cell.arrives)
    return best._replace(spread=Spread(sound, control, firmware, motion, same, pictured, sum(sizes)))


def _picture(cell: Cell) -> tuple[object, ...]:
    return (cell.verdict, *cell[1:8])


def _switch(question: Question) -> CameraSet | None:
    if not question.switched:
        return None
    mode = None if question.mode is None else parse_mode(question.mode)
    return CameraSet.model_construct(family=question.family, mode=mode)


def stored(desk: Desk, number: int, settled: Settled) -> Stored | None:
    """What the input records of a settled picture with no other camera; None where nobody says."""
    return share_known([asked_of(desk, number, settled)], desk.part.encodes_total)[0]


def asked_of(desk: Desk, number: int, settled: Settled | None) -> Stored | None:
    """What the input would record of a settled picture without a common limit; None where nobody says."""
    if settled is None or settled.outcome is None:
        return None
    if not settled.has_picture:
        return DARK
    frame = Frame(settled.width, settled.height, settled.fps, settled.outcome == "reduced-width")
    ceiling = desk.ceiling(number, frame)
    return None if ceiling is None else wanted_stream(frame, ceiling, None)


def features_alone(
    memory: SignalCache, desk: Desk, number: int, camera: str, settled: Settled
) -> tuple[bool | None, ...]:
    """Whether each of `FEATURES` works as far as the two devices go, a picture taken for granted."""
    return tuple(verdict.works for verdict in memory.over_coax(desk, number, camera, settled.emitted))


def assembled(settled: Settled, stream: Stored | None, works: tuple[bool | None, ...]) -> Cell:
    """The cell of a settled picture, its stored stream and the features."""
    known = settled.outcome is not None
    picture = settled.has_picture if known else None
    sound, control, firmware, motion = (_both(each, picture) for each in works)
    return Cell(
        settled.outcome,
        settled.emitted.family,
        settled.width if known else None,
        settled.height if known else None,
        settled.fps if known else None,
        stream.fps if stream else None,
        stream.width if stream else None,
        stream.height if stream else None,
        sound,
        control,
        firmware,
        motion,
    )


def _both(works: bool | None, picture: bool | None) -> bool | None:
    """Both must hold: no where one does not, whatever is unknown of the other."""
    if works is False or picture is False:
        return False
    return None if works is None or picture is None else True
