"""One answer as words and as plain data: the same sentences for a terminal, a page and a phone.

The verdict in one paragraph is in `verdicts`; here are the sections after it, in the order in which a counter asks
them. No layout: `printing` has that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from coaxwright.findings import Finding
from coaxwright.model.quantities import format_quantity
from coaxwright.pairing.answers import FEATURES, Answer, Feature, Rates
from coaxwright.pairing.by_hand import WORDS, ByHand
from coaxwright.pairing.cells import Cell, Spread
from coaxwright.pairing.extras import Power, Reach, Sold
from coaxwright.pairing.runs import OPEN, TOO_LONG, UNFIT
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain

MARKS = {
    "full": "[=]",
    "asked-down": "[v]",
    "reduced-width": "[/]",
    "needs-setting": "[!]",
    "no-picture": "[x]",
    "too-long": "[>]",
    "unfit-cable": "[#]",
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
    """What is said of a pair: headings with their lines, in the order of asking; the verdict is `verdicts`' own."""
    pictured = bool(answer.cell.width)
    said = [
        ("Cable", _cable(answer)),
        ("Picture", _picture(answer)),
        ("Rate", [_rate(answer.alone, answer.full)] if pictured or answer.alone.acquired_fps is None else []),
        *((FEATURES[name][0].capitalize(), [_feature(answer.features[name])]) for name in FEATURES),
        ("Line sound", [_feature(answer.line_sound)] if _line_counts(answer) else []),
        ("Reach", [_reach(answer.reach)] if answer.reach else []),
        ("Power", [_power(answer.power)]),
        ("By hand", _changes(answer)),
        ("Own maker", list(_own(answer))),
        ("Other inputs", [_others(answer.cell, span, cell) for span, cell in answer.other_inputs.items()]),
        ("Sold", [sold_words(each) for each in answer.sold]),
        ("Part files", list(answer.contradictions)),
        ("Open", [", ".join(answer.supply)] if answer.supply else ["nothing"]),
        ("Rules", [f"{each.level} {each.rule}" for each in answer.findings]),
        ("Not judged", [not_judged(answer)]),
        ("Caution", list(answer.cautions)),
        ("Sources", list(answer.sources)),
    ]
    return [(heading, lines) for heading, lines in said if lines]


def not_judged(answer: Answer) -> str:
    """What nobody asked about, so that the answer says nothing of it."""
    run = "" if answer.question.cable else "the cable and its length, "
    return f"not asked, so not judged: {run}the supply and its cable, the disks, the network, the place, the view"


def _cable(answer: Answer) -> list[str]:
    """What the run asked about makes of it; only where one was asked about and there is a picture to carry."""
    question, run = answer.question, answer.cell.run
    if question.cable is None or not answer.cell.width:
        return []
    asked = f"{question.length or 'no length'} of {question.cable}"
    within = "" if run.reach is None else f"; it reaches {int(run.reach)} m"
    words = {
        TOO_LONG: f"too long: {asked} is asked{within}; all below holds up to there only",
        UNFIT: f"does not fit: {', '.join(run.rules)}; all below holds with another cable only",
        OPEN: f"not known whether {asked} carries this picture{within}",
    }
    if run.state:
        return [f"{MARKS[None if run.state == OPEN else run.state]} {words[run.state]}"]
    return [f"{asked} holds{within}"]


def _line_counts(answer: Answer) -> bool:
    """A lead for sound is told where it is one way, or where the camera has the output and something is in the way."""
    return answer.line_sound.answer == "yes" or (
        answer.features["sound"].answer != "yes" and answer.line_sound.cause != "line-output"
    )


def _others(here: Cell, span: str, cell: Cell) -> str:
    """Inputs that behave otherwise: their picture, and what else works there and not here, or the reverse."""
    differs = [f"{_name(name)} {yes_or_no(getattr(cell, name))}" for name in FEATURES if _unlike(here, cell, name)]
    picture = WORDS.get(str(cell.verdict), "open")
    rate = "" if cell.recorded_fps in (here.recorded_fps, None) else f", recorded at {cell.recorded_fps:g}"
    inputs = "input" if span.isdigit() else "inputs"
    return f"{inputs} {span}: {'; '.join([picture + rate, *differs])}"


def _unlike(here: Cell, cell: Cell, name: str) -> bool:
    return bool(getattr(here, name) != getattr(cell, name))


def _name(feature: str) -> str:
    return feature.replace("_", " ")


def yes_or_no(value: bool | None) -> str:
    """A word for what works, does not, or is not known."""
    return "open" if value is None else "yes" if value else "no"


def sold_words(one: Sold) -> str:
    """Price, and whether it is still sold."""
    price = "no price stated" if one.price is None else f"{one.price:g} {one.currency or ''}".rstrip()
    day = f" (price of {one.price_date})" if one.price_date and one.price is not None else ""
    gone = f"no longer sold{f' since {one.since}' if one.since else ''}; " if one.retired else ""
    after = f"replaced by {one.successor}; " if one.successor else ""
    tiers = "".join(f"; {each:g} {one.currency or ''}".rstrip() + f" from {pieces} pieces" for pieces, each in one.tiers)
    warranty = "" if one.warranty_years is None else f"; warranty {one.warranty_years:g} years"
    return f"{one.part}: {gone}{after}{price}{day}{tiers}{warranty}"


def _picture(answer: Answer) -> list[str]:
    settled = answer.settled
    outcome = settled["outcome"]
    head = f"{MARKS[outcome]} {outcome or 'open'}" if not answer.cell.run.state else str(outcome)
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


def _feature(feature: Feature) -> str:
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
    run = answer.cell.run
    return {
        "format": FORMAT,
        "camera": answer.camera,
        "recorder": answer.recorder,
        "input": answer.number,
        "verdict": verdict_words(answer),
        "settled": dict(answer.settled),
        "because": answer.facts.get("because"),
        "lost": answer.lost or None,
        "cable": {"part": answer.question.cable, "length": answer.question.length, "state": run.state or "holds",
                  "reach": run.reach, "rules": list(run.rules)} if answer.question.cable else None,
        "rates": {"one": plain(answer.alone), "all": plain(answer.full)},
        **{name: _as_data(answer.features[name]) for name in FEATURES},
        "line_sound": _as_data(answer.line_sound),
        "inputs": _spread_data(answer.cell),
        "conditions": [each.words for each in answer.conditions],
        "by_hand": [_change(each) for each in answer.conditions],
        "reach": [plain(each) for each in answer.reach],
        "power": {**plain(answer.power), "amps_day": answer.power.amps[0], "amps_night": answer.power.amps[1]},
        "own_maker": plain(answer.own),
        "other_inputs": {span: cell.outcome or "open" for span, cell in answer.other_inputs.items()},
        "other_inputs_told": [_others(answer.cell, span, cell) for span, cell in answer.other_inputs.items()],
        "parts": [plain(each) for each in answer.sold],
        "contradictions": list(answer.contradictions),
        "findings": [_finding(each) for each in answer.findings],
        "remarks": [_finding(each) for each in answer.remarks],
        "open": list(answer.supply),
        "not_judged": not_judged(answer),
        "cautions": list(answer.cautions),
        "sources": list(answer.sources),
    }  # fmt: skip


def _finding(one: Finding) -> dict[str, str]:
    return {"rule": one.rule, "level": one.level, "message": one.message}


def _as_data(feature: Feature) -> dict[str, str]:
    return {"answer": feature.answer, "because": feature.because}


def _change(change: ByHand) -> dict[str, Any]:
    data = asdict(change)
    return {**data, "cell": cell_data(change.cell)}


def cell_data(cell: Cell) -> dict[str, Any]:
    """A cell as named values."""
    return {**cell._asdict(), "run": cell.run._asdict(), "spread": _spread_data(cell), "verdict": cell.verdict}


def _spread_data(cell: Cell) -> dict[str, int] | None:
    return None if cell.spread is None else cell.spread._asdict()


def cell_words(cell: Cell) -> str:
    """A cell of a table: mark, outcome, picture and rates; too long a run first; on how many inputs, where not all."""
    head = f"{MARKS[cell.verdict]} {cell.verdict or 'open'}"
    if cell.run.state in (TOO_LONG, UNFIT):
        reach = "" if cell.run.reach is None else f" (reach {int(cell.run.reach)} m)"
        return f"{head}{reach if cell.run.state == TOO_LONG else f' ({cell.run.rules[0]})'}"
    if not cell.width:
        return head
    recorded = "?" if cell.recorded_fps is None else f"{cell.recorded_fps:g}"
    return f"{head} {cell.width}x{cell.height}@{cell.acquired_fps:g} rec {recorded}{spread_words(cell.spread)}"


def spread_words(spread: Spread | None) -> str:
    """On how many inputs, where they differ: `; on 2 of 8 inputs; sound on 1`."""
    if spread is None:
        return ""
    text = "" if spread.picture == spread.inputs else f"; on {spread.picture} of {spread.inputs} inputs"
    some = [name for name in FEATURES if 0 < getattr(spread, name) < spread.pictured]
    return text + "".join(f"; {_name(name)} on {getattr(spread, name)} of {spread.inputs} inputs" for name in some)
