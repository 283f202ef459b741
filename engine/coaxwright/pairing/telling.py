"""One answer as words and as plain data: the same sentences for a terminal, a page and a phone.

Sections in the order in which a counter asks them. No layout: `printing` has that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from coaxwright.model.quantities import format_quantity
from coaxwright.pairing.answers import FEATURES, Answer, Rates
from coaxwright.pairing.by_hand import WORDS
from coaxwright.pairing.cells import Cell
from coaxwright.pairing.extras import Power, Reach
from coaxwright.reporting.plain_data import plain

MARKS = {
    "full": "[=]",
    "asked-down": "[v]",
    "reduced-width": "[/]",
    "needs-setting": "[!]",
    "no-picture": "[x]",
    None: "[?]",
}
"""A sign for each outcome beside its word, so that nothing hangs on colour."""
CAUSES = {
    "acquired": "as acquired",
    "set-by-hand": "as set by hand",
    "channel-ceiling": "the most that one channel encodes",
    "shared-budget": "the channels share the encoder",
    "no-picture": "no picture",
}
MOST_CHANGES = 4


def sections(answer: Answer) -> list[tuple[str, list[str]]]:
    """What is said of a pair: headings with their lines, in the order of asking."""
    said = [
        ("Picture", _picture(answer)),
        ("Rate", [_rate(answer.alone, answer.full)]),
        *((FEATURES[name][0].capitalize(), [_feature(answer, name)]) for name in FEATURES),
        ("Reach", [_reach(answer.reach)]),
        ("Power", [_power(answer.power)]),
        ("By hand", _changes(answer)),
        ("Own maker", list(_own(answer))),
        ("Other inputs", [f"inputs {span}: {WORDS.get(word, 'open')}" for span, word in answer.other_inputs.items()]),
        ("Open", [", ".join(answer.supply)] if answer.supply else ["nothing"]),
        ("Rules", [f"{each.level} {each.rule}" for each in answer.findings]),
        ("Caution", list(answer.cautions)),
        ("Sources", list(answer.sources)),
    ]
    return [(heading, lines) for heading, lines in said if lines]


def _picture(answer: Answer) -> list[str]:
    settled = answer.settled
    outcome = settled["outcome"]
    head = f"{MARKS[outcome]} {outcome or 'open'}"
    if outcome is not None:
        head += f" ({WORDS[outcome]})" if WORDS[outcome].replace(" ", "-") != outcome else ""
    if settled["width"]:
        head += f": {settled['family'].upper()} {settled['width']}x{settled['height']}"
    lines = [head, str(answer.facts.get("because", "not known"))]
    return [*lines, f"lost: {answer.lost}"] if answer.lost else lines


def _rate(alone: Rates, full: Rates) -> str:
    if alone.acquired_fps is None:
        return "not known"
    text = f"acquired {_fps(alone.acquired_fps)}; recorded {_fps(alone.recorded_fps)} with 1 channel in use"
    cause = CAUSES.get(full.limited_by or "", "not known")
    return f"{text}, {_fps(full.recorded_fps)} with {full.channels} in use ({cause})"


def _fps(value: float | None) -> str:
    return "not known" if value is None else format_quantity(value, "fps")


def _feature(answer: Answer, name: str) -> str:
    feature = answer.features[name]
    return f"{feature.answer}: {feature.because}"


def _reach(reach: tuple[Reach, ...]) -> str:
    known = [each for each in reach if each.metres is not None]
    if not known:
        lacking = dict.fromkeys(path for each in reach for path in each.lacking)
        return f"not known; supply {', '.join(lacking)}" if lacking else "not known"
    text = ", ".join(f"{each.cable} {int(each.metres or 0)} m" for each in known)
    return f"{text} (loss at {known[0].top_frequency:g} MHz against the usual limit of an input)"


def _power(power: Power) -> str:
    if power.volts is None:
        return "the datasheet says nothing of its supply"
    day, night = power.amps
    window = ""
    if power.volts_min is not None and power.volts_max is not None:
        window = f" ({power.volts_min:g} to {power.volts_max:g} V at its terminals)"
    times = [
        f"{_watts(watts)} by {name}" + ("" if amps is None else f" ({format_quantity(amps, 'A')})")
        for name, watts, amps in (("day", power.watts_day, day), ("night", power.watts_night, night))
    ]
    return f"{power.volts:g} V {(power.kind or '').upper()}{window}: {', '.join(times)}"


def _watts(value: float | None) -> str:
    return "not known" if value is None else format_quantity(value, "W")


def _changes(answer: Answer) -> list[str]:
    told = [each.words for each in answer.conditions]
    more = len(told) - MOST_CHANGES
    return told[:MOST_CHANGES] + ([f"and {more} more ways (--format json lists them)"] if more > 0 else [])


def _own(answer: Answer) -> Iterator[str]:
    own = answer.own
    if own is None:
        return
    which = own.camera if own.real else f"a camera of this datasheet made by {own.maker}"
    if not own.differences:
        yield f"with {which}: the same in everything asked here"
    for each in own.differences:
        yield f"{each.feature} with {which}: {each.there}; with this camera: {each.here} ({each.rule})"


# For programs


def as_data(answer: Answer) -> dict[str, Any]:
    """The answer as plain values; `settled` and the features as `check` has them."""
    return {
        "camera": answer.camera,
        "recorder": answer.recorder,
        "input": answer.number,
        "settled": dict(answer.settled),
        "because": answer.facts.get("because"),
        "lost": answer.lost or None,
        "rates": {"one": plain(answer.alone), "all": plain(answer.full)},
        **{name: _as_data(answer, name) for name in FEATURES},
        "conditions": [each.words for each in answer.conditions],
        "by_hand": [_change(each) for each in answer.conditions],
        "reach": [plain(each) for each in answer.reach],
        "power": {**plain(answer.power), "amps_day": answer.power.amps[0], "amps_night": answer.power.amps[1]},
        "own_maker": plain(answer.own),
        "other_inputs": dict(answer.other_inputs),
        "findings": [{"rule": each.rule, "level": each.level, "message": each.message} for each in answer.findings],
        "open": list(answer.supply),
        "cautions": list(answer.cautions),
        "sources": list(answer.sources),
    }


def _as_data(answer: Answer, name: str) -> dict[str, str]:
    feature = answer.features[name]
    return {"answer": feature.answer, "because": feature.because}


def _change(change: Any) -> dict[str, Any]:
    data = asdict(change)
    return {**data, "cell": cell_data(change.cell)}


def cell_data(cell: Cell) -> dict[str, Any]:
    """A cell as named values."""
    return cell._asdict()


def cell_words(cell: Cell) -> str:
    """A cell of a table: mark, outcome, picture and rates."""
    head = f"{MARKS[cell.outcome]} {cell.outcome or 'open'}"
    if not cell.width:
        return head
    recorded = "?" if cell.recorded_fps is None else f"{cell.recorded_fps:g}"
    return f"{head} {cell.width}x{cell.height}@{cell.acquired_fps:g} rec {recorded}"
