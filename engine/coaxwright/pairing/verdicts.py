"""The answer to a pair in one paragraph, as it is said over the counter: what decides first, 75 words at most."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.pairing.answers import FEATURES, Answer
from coaxwright.pairing.by_hand import WORDS, ByHand
from coaxwright.pairing.cells import Cell
from coaxwright.pairing.runs import OPEN, TOO_LONG, UNFIT

LEAST, MOST = 12, 75
"""Words of the paragraph."""


def verdict_words(answer: Answer) -> str:
    """One paragraph: too long a run, the picture, what else works, the best thing to do by hand, what is sold.

    Later sentences are left out where the paragraph would grow beyond `MOST` words; all of them stand in the sections.
    """
    said = ""
    for sentence in _sentences(answer):
        longer = f"{said} {sentence}".strip()
        if len(longer.split()) <= MOST:
            said = longer
    return said


def _sentences(answer: Answer) -> Iterator[str]:
    yield f"{_first(answer)}."
    yield f"Besides: {_features(answer)}."
    if answer.contradictions:
        yield "A part file contradicts itself (see part files): mend it before relying on this."
    yield from _retired(answer)
    useful = [each for each in answer.conditions if _worth_it(answer.cell, each)]
    if useful and answer.settled["outcome"] not in ("full", "asked-down"):
        yield f"To do: {_to_do(useful[0])}."
    yield from _prices(answer)
    if answer.supply:
        yield f"Facts not stated: {len(answer.supply)} (see open)."


def picture_words(width: int, height: int) -> str:
    """A picture as a customer says it: `5 MP` from 1280x720 up, columns and lines below (common practice)."""
    return f"{round(width * height / 1e6)} MP" if width * height >= 1280 * 720 else f"{width}x{height}"


def mode_words(width: int, height: int, rate: float) -> str:
    """`5 MP at 12.5 pictures a second`."""
    return f"{picture_words(width, height)} at {rate:g} pictures a second"


def _retired(answer: Answer) -> Iterator[str]:
    retired = [
        f"{each.part}{f' (replaced by {each.successor})' if each.successor else ''}" for each in answer.sold if each.retired
    ]
    if retired:
        yield f"No longer sold: {', '.join(retired)}."


def _prices(answer: Answer) -> Iterator[str]:
    """What both cost, where anyone says so."""
    priced = [each for each in answer.sold if each.price is not None]
    if priced:
        told = [f"{each.price:g} {each.currency or ''}".rstrip() for each in priced]
        which = "" if len(priced) == len(answer.sold) else f" of {priced[0].part}"
        yield f"{'Prices' if len(priced) > 1 else 'Price'}{which}: {' and '.join(told)}."


def _first(answer: Answer) -> str:
    pair = f"{answer.camera} on {answer.recorder}"
    question, run = answer.question, answer.cell.run
    run_words = f"{question.length or 'a run'} of {question.cable}"
    if run.state == TOO_LONG:
        reach = "" if run.reach is None else f", which reaches {int(run.reach)} m"
        return f"Too long: {pair} over {run_words}{reach}. Within that reach: {_picture(answer)}"
    if run.state == UNFIT:
        return f"The cable does not fit: {pair} over {run_words} fails {run.rules[0]}. With another: {_picture(answer)}"
    if run.state == OPEN:
        return f"Not known whether {run_words} carries {pair}. If it does: {_picture(answer)}"
    if not answer.settled["width"]:
        return f"{pair}{_where(answer)}: {_picture(answer)}"
    return f"{answer.camera} works on {answer.recorder}{_where(answer)}: {_picture(answer)}"


def _picture(answer: Answer) -> str:
    """The settled picture in a sentence; short reasons where there is none."""
    settled, facts = answer.settled, answer.facts
    outcome = settled["outcome"]
    if outcome is None or not settled["width"]:
        return _no_picture(answer)
    recorded = settled["recorded_fps"]
    kept = "recorded rate not known" if recorded is None else f"recorded at {round(recorded, 2):g}"
    got = mode_words(settled["width"], settled["height"], settled["acquired_fps"])
    sent_size = (facts.get("emitted_width") or 0, facts.get("emitted_height") or 0)
    if outcome == "asked-down":
        sent = mode_words(*sent_size, facts.get("emitted_fps") or 0.0).removesuffix(" pictures a second")
        return f"{got} in place of {sent}, as the recorder asks for it, {kept}"
    if outcome == "reduced-width":
        rate = f"at {settled['acquired_fps']:g} pictures a second"
        asked = answer.facts.get("settled_mode") != answer.facts.get("emitted_mode")
        of = picture_words(2 * settled["width"], settled["height"]) if asked else picture_words(*sent_size)
        whole = f"the {of} that the recorder asks it for" if asked else f"its {of}"
        return f"half of {whole} only, as every other column is dropped, {rate}, {kept}"
    return f"{got}, {kept}"


def _where(answer: Answer) -> str:
    """On which inputs, where not on all."""
    spread = answer.cell.spread
    if spread is None:
        return f" on input {answer.number}"
    return "" if spread.picture == spread.inputs else f" on {spread.picture} of {spread.inputs} inputs"


def _no_picture(answer: Answer) -> str:
    because = str(answer.facts.get("because", "nobody knows why"))
    head = {"needs-setting": "no picture without a setting", "no-picture": "no picture"}.get(
        str(answer.settled["outcome"]), "not known whether there is a picture"
    )
    if len(because.split()) <= MOST - 35:
        return f"{head}: {because}"
    return f"{head}: {_in_brief(answer)}" if answer.facts.get("switchable") is False else f"{head} (the details say why)"


def _in_brief(answer: Answer) -> str:
    """Why there is no picture of a camera that nobody can switch where it hangs, without the ways round it."""
    facts = answer.facts
    width, height, rate = (facts.get(f"emitted_{name}") or 0 for name in ("width", "height", "fps"))
    sent = f"{str(facts.get('family', '')).upper()} {mode_words(int(width), int(height), float(rate))}"
    return f"as it comes it sends {sent}, and it cannot be switched here; somebody has to switch it elsewhere first"


def _features(answer: Answer) -> str:
    """Sound, control, firmware, sorted motion in a row of words."""
    told = []
    for name in FEATURES:
        one = answer.features[name]
        spread = answer.cell.spread
        works = getattr(spread, name) if spread is not None else 0
        some = f" on {works} of {spread.inputs} inputs" if spread is not None and 0 < works < spread.inputs else ""
        word = "not known" if one.answer == "open" else one.answer
        there = f" ({one.elsewhere.partition(' (')[0]})" if one.elsewhere else ""
        told.append(f"{FEATURES[name][0]} {word}{some if one.answer == 'yes' else there}")
    if answer.features["sound"].answer != "yes" and answer.line_sound.answer == "yes":
        told[0] += " (over a lead: yes)"
    return ", ".join(told)


def _worth_it(now: Cell, change: ByHand) -> bool:
    """Something arrives, is recorded or works that does not now: not the very picture that the recorder asks for."""
    told = ("width", "height", "acquired_fps", "recorded_fps", *FEATURES)
    return any(getattr(change.cell, name) != getattr(now, name) for name in told)


def _to_do(change: ByHand) -> str:
    """What a person does, and what it comes to, in a few words."""
    if change.setting:
        done = f"make the recorder setting `{change.setting}`"
    else:
        size, _, rate = change.mode.partition("@")
        width, _, height = size.partition("x")
        families = " or ".join(family.upper() for family in change.families)
        by = f" {change.how}" if change.how and change.sure else ""
        done = f"switch the camera to {families} {picture_words(int(width), int(height))} at {rate}{by}"
    cell = change.cell
    recorded = "" if cell.recorded_fps is None else f", recorded at {round(cell.recorded_fps, 2):g}"
    sure = "" if change.sure else " (if it can be: see by hand)"
    return f"{done}{sure}; then {WORDS.get(str(cell.verdict), 'not known')}{recorded}"
