"""What a camera sends, what the input makes of it, and what is recorded, from the printed tables of both.

The order is common practice: full width as sent; else what the recorder asks for by itself; else reduced width.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from .plan import Missing, Plan, number, numbers_in, port


@dataclass(frozen=True)
class Mode:
    """Columns, lines, frames a second."""

    width: int
    height: int
    rate: float

    def __str__(self) -> str:
        return f"{self.width} x {self.height} at {self.rate:g} fps"


@dataclass(frozen=True)
class Taken:
    """What an input comes to: `full`, `asked`, `reduced`, `setting` (someone has to act), `none`."""

    outcome: str
    mode: Mode


NOTHING = Mode(0, 0, 0.0)


def mode_of(text: str) -> Mode:
    """`1920x1080@25`."""
    match = re.fullmatch(r"([0-9]+)x([0-9]+)@([0-9.]+)", text)
    if match is None:
        raise ValueError(text)
    return Mode(int(match[1]), int(match[2]), float(match[3]))


@dataclass(frozen=True)
class Accepted:
    """One row of `each input takes`."""

    families: tuple[str, ...]
    modes: tuple[Mode, ...]
    reduced: bool
    after: str | None
    maker: str | None


def rows_of(text: str) -> list[Accepted]:
    """Rows such as `tvi, ahd: 1920x1080@25 (reduced width)`; of cameras they are what can be sent."""
    found = []
    for part in text.split("; "):
        match = re.fullmatch(r"([a-z, ]+): ([^()]+?)(?: \(([^()]*)\))?", part)
        if match is None:
            raise ValueError(part)
        notes = match[3].split(", ") if match[3] else []
        after = next((each.removeprefix("after setting ") for each in notes if each.startswith("after ")), None)
        maker = next((each.removeprefix("maker ") for each in notes if each.startswith("maker ")), None)
        modes = tuple(mode_of(each) for each in match[2].split(", "))
        found.append(Accepted(tuple(match[1].split(", ")), modes, "reduced width" in notes, after, maker))
    return found


def maker(model: str) -> str:
    """Before the stroke of a model's name."""
    return model.partition("/")[0]


def sent(plan: Plan, name: str) -> tuple[str, Mode]:
    """Family and mode to which the camera is switched. Raises Missing."""
    written = plan.camera(name, "switched to") or plan.needed_of_model(name, "leaves the factory as")
    family, _, mode = written.partition(" ")
    return family, mode_of(mode)


def can_send(plan: Plan, name: str, family: str, mode: Mode) -> bool:
    rows = rows_of(plan.needed_of_model(name, "can send"))
    return any(family in row.families and mode in row.modes for row in rows)


def _row(plan: Plan, name: str, family: str, mode: Mode) -> Accepted | None:
    own = maker(plan.need("Cameras", name, "model"))
    fitting = [
        row for row in rows_of(plan.needed_of_box("each input takes"))
        if family in row.families and mode in row.modes and row.after is None and row.maker in (None, own)
    ]  # fmt: skip
    return min(fitting, key=lambda row: row.reduced, default=None)


def asked_for(plan: Plan, name: str, family: str, mode: Mode) -> Mode | None:
    """The mode that the recorder asks of this camera by itself, where it does and the camera can."""
    text = plan.box("asks for a mode")
    if text in (None, "never"):
        return None
    for part in str(text).split("; "):
        match = re.fullmatch(r"([a-z, ]+): (\S+) of cameras of (.+?) that send (.+)", part)
        if match is None:
            raise ValueError(part)
        recorder = maker(plan.need("Recorders", plan.recorder, "model"))
        whose = recorder if match[3] == "its own maker" else match[3]
        seen = match[4] == "any mode" or mode in [mode_of(each) for each in match[4].split(", ")]
        wanted = mode_of(match[2])
        kin = maker(plan.need("Cameras", name, "model")) == whose
        if family in match[1].split(", ") and kin and seen and can_send(plan, name, family, wanted):
            return wanted
    return None


def settled(plan: Plan, name: str) -> Taken:
    """What camera and input come to. Raises Missing."""
    family, mode = sent(plan, name)
    row = _row(plan, name, family, mode)
    if row is not None and not row.reduced:
        return Taken("full", mode)
    wanted = asked_for(plan, name, family, mode)
    if wanted is not None and plan.needed_of_model(name, "heeds a recorder that asks") == "yes":
        return Taken("asked", wanted)
    if row is not None:
        return Taken("reduced", Mode(mode.width // 2, mode.height, mode.rate))
    return Taken("setting" if _could(plan, name) else "none", NOTHING)


def _could(plan: Plan, name: str) -> bool:
    """Whether the camera has any other signal that the input takes."""
    return any(
        _row(plan, name, family, mode) is not None or asked_for(plan, name, family, mode) is not None
        for row in rows_of(plan.needed_of_model(name, "can send")) for family in row.families for mode in row.modes
    )  # fmt: skip


def family_taken(plan: Plan, name: str) -> bool:
    family, _ = sent(plan, name)
    return any(family in row.families for row in rows_of(plan.needed_of_box("each input takes")))


def input_there(plan: Plan, name: str) -> bool:
    """Whether the input exists that is named for the camera."""
    return int(port(plan.need("Cameras", name, "recorder input"))[1]) in numbers_in(plan.needed_of_box("coax inputs"))


# Recording


@dataclass(frozen=True)
class Encoded:
    """One row of `records a channel up to`."""

    width: int
    height: int
    rate: float
    half: bool

    @property
    def size(self) -> int:
        return self.width * self.height


def encoding_rows(plan: Plan) -> list[Encoded]:
    found = []
    for part in plan.needed_of_box("records a channel up to").split("; "):
        match = re.fullmatch(r"([0-9]+)x([0-9]+): ([0-9.]+) fps( \(larger frames at half their columns\))?", part)
        if match is None:
            raise ValueError(part)
        found.append(Encoded(int(match[1]), int(match[2]), float(match[3]), match[4] is not None))
    return found


def covering(rows: list[Encoded], mode: Mode) -> Encoded:
    """The smallest row, full width before half, that covers what was acquired. Raises Missing."""
    fitting = [row for row in rows if mode.width <= row.width * 1.02 and mode.height <= row.height * 1.02]
    if not fitting:
        raise Missing("records a channel up to")
    return min(fitting, key=lambda row: (row.half, row.size))


def alone(plan: Plan, name: str) -> Mode:
    """What a channel records where no other takes of the common budget."""
    taken = settled(plan, name)
    row = covering(encoding_rows(plan), taken.mode)
    half = row.half and taken.outcome != "reduced"
    rate = min(taken.mode.rate, row.rate)
    set_by_hand = plan.camera(name, "recorded rate set")
    if set_by_hand is not None:
        rate = min(rate, number(set_by_hand))
    return Mode(taken.mode.width // 2 if half else taken.mode.width, taken.mode.height, rate)


def with_picture(plan: Plan) -> list[str]:
    """Cameras whose picture arrives."""
    return [
        name for name in plan.cameras
        if plan.camera(name, "recorder input") and input_there(plan, name) and can_send(plan, name, *sent(plan, name))
        and settled(plan, name).outcome in ("full", "asked", "reduced")
    ]  # fmt: skip


def demand(mode: Mode) -> float:
    return mode.width * mode.height * mode.rate


def shared(plan: Plan) -> dict[str, Mode]:
    """What every channel records under the common budget: who asks little gets it, the rest is shared alike."""
    wanted = {name: alone(plan, name) for name in with_picture(plan)}
    budget = plan.box("encodes over all channels")
    free = math.inf if budget is None else number(budget) * 1e6
    if sum(map(demand, wanted.values())) <= free * (1 + 1e-9):
        return wanted
    got: dict[str, Mode] = {}
    waiting = sorted(wanted, key=lambda name: demand(wanted[name]))
    for place, name in enumerate(waiting):
        part = min(demand(wanted[name]), free / (len(waiting) - place))
        free -= part
        mode = wanted[name]
        got[name] = Mode(mode.width, mode.height, part / (mode.width * mode.height))
    return got


def recorded(plan: Plan, name: str) -> Mode:
    """What lands on the disk. Raises Missing."""
    if plan.box("encodes over all channels") is None:
        return alone(plan, name)
    return shared(plan)[name]
