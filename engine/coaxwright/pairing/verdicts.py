"""The answer to a pair in one paragraph, as it is said over the counter: what decides first, 75 words at most."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.pairing.answers import FEATURES, Answer
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
    yield f"Besides the picture: {_features(answer)}."
    if answer.contradictions:
        yield "A part file contradicts itself (see part files): mend it before relying on this."
    retired = [each.part for each in answer.sold if each.retired]
    if retired:
        yield f"No longer sold: {', '.join(retired)}."
    if answer.conditions and answer.settled["outcome"] != "full":
        yield f"By hand: {answer.conditions[0].words}."
    if answer.supply:
        yield f"{len(answer.supply)} facts are not stated (see open)."


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
    return f"{pair}: {_picture(answer)}"


def _picture(answer: Answer) -> str:
    """The settled picture in a sentence; short reasons where there is none."""
    settled, facts = answer.settled, answer.facts
    outcome = settled["outcome"]
    if outcome is None or not settled["width"]:
        return _no_picture(answer)
    got = f"{settled['width']}x{settled['height']} at {settled['acquired_fps']:g} frames a second"
    recorded = settled["recorded_fps"]
    kept = "recorded rate not known" if recorded is None else f"recorded at {recorded:g}"
    where = _where(answer)
    if outcome == "asked-down":
        sent = f"{facts.get('emitted_width')}x{facts.get('emitted_height')} at {facts.get('emitted_fps'):g}"
        return f"it works{where}, asked down by the recorder from {sent} to {got}, {kept}"
    if outcome == "reduced-width":
        return f"it works{where}, at reduced width only: of {facts.get('emitted_width')} columns half arrive, {got}, {kept}"
    return f"it works{where}, at full width, {got}, {kept}"


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
    return f"{head}: {because}" if len(because.split()) <= MOST - 30 else f"{head} (why: see picture)"


def _features(answer: Answer) -> str:
    """Sound, control, firmware, sorted motion in a row of words."""
    told = []
    for name in FEATURES:
        one = answer.features[name]
        spread = answer.cell.spread
        works = getattr(spread, name) if spread is not None else 0
        some = f" on {works} of {spread.inputs} inputs" if spread is not None and 0 < works < spread.inputs else ""
        word = "not known" if one.answer == "open" else one.answer
        told.append(f"{FEATURES[name][0]} {word}{some if one.answer == 'yes' else ''}")
    if answer.features["sound"].answer != "yes" and answer.line_sound.answer == "yes":
        told[0] += " (over a lead: yes)"
    return ", ".join(told)
