"""What a camera of a set lacks of what it can itself, and what it has otherwise than today. Words only."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.pairing.by_hand import WORDS
from coaxwright.pairing.cells import FEATURES, Cell, Clerk
from coaxwright.pairing.placing import NO_INPUT, PICTURES
from coaxwright.pairing.sets import Choice, Placing


def loses(clerk: Clerk, choice: Choice, placing: Placing) -> list[str]:
    """What is lost of what the camera sends and can, in words; empty where nothing."""
    cell = placing.seat.cell
    if cell is None:
        return ["the whole picture: no input is left"]
    if cell.verdict is None:
        return ["not known whether there is a picture"]
    if cell.verdict not in PICTURES:
        return [f"the whole picture: {WORDS.get(str(cell.verdict), cell.verdict)}"]
    return [*_picture(clerk, choice, placing, cell), *_rate(cell), *_features(clerk, placing, cell)]


def _picture(clerk: Clerk, choice: Choice, placing: Placing, cell: Cell) -> Iterator[str]:
    piece, number = placing.piece, placing.seat.number
    desk = clerk.desk(choice.recorders[placing.box], piece.question.made)
    settled = None if number is None else clerk.settled(desk, number, piece.part, piece.question)
    if cell.outcome == "reduced-width":
        yield "half the columns of the picture"
    elif cell.outcome == "asked-down" and settled is not None and settled.emitted.mode is not None:
        sent = settled.emitted.mode
        yield f"asked down from {sent.width}x{sent.height} at {sent.fps:g} pictures a second"
    if cell.recorded_width and cell.width and cell.recorded_width < cell.width:
        yield f"recorded at {cell.recorded_width}x{cell.recorded_height} only"


def _rate(cell: Cell) -> Iterator[str]:
    if cell.recorded_fps is None:
        yield "recorded rate not known"
    elif cell.acquired_fps and cell.recorded_fps < cell.acquired_fps - 1e-9:
        yield f"recorded at {round(cell.recorded_fps, 2):g} of {cell.acquired_fps:g} pictures a second"


def _features(clerk: Clerk, placing: Placing, cell: Cell) -> Iterator[str]:
    part = clerk.catalogue.part(placing.piece.part)
    has = {
        "sound": bool(part.sound and part.sound.microphone and part.sound.over_coax),
        "control": bool(part.control and part.control.over_coax),
        "firmware": bool(part.firmware_over_coax),
    }
    for name, able in has.items():
        works = getattr(cell, name)
        if able and works is not True:
            yield f"{name} over the coax" + ("" if works is False else " not known")


def measures(cell: Cell | None) -> dict[str, float]:
    """What counts of a camera on an input, each better the larger it is; all nothing where it has no input."""
    if cell is None:
        return dict.fromkeys(("outcome", "detail", "recorded rate", *FEATURES), -2.0)
    rank, pixels, recorded, _ = cell.worth
    features = {name: float(getattr(cell, name) is True) for name in FEATURES}
    return {"outcome": float(rank), "detail": pixels, "recorded rate": recorded, **features}


def against(then: Placing, now: Placing) -> tuple[list[str], list[str]]:
    """What gets worse and what better for a camera from `now` to `then`, by name."""
    before, after = measures(now.seat.cell), measures(then.seat.cell)
    if then.seat.outcome == NO_INPUT:
        return ["no input is left"], []
    worse = [name.replace("_", " ") for name in before if after[name] < before[name] - 1e-9]
    better = [name.replace("_", " ") for name in before if after[name] > before[name] + 1e-9]
    return worse, better
