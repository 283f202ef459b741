"""Answers and rankings as text, Markdown, CSV and JSON. The page is in `page`, tables of pairs in `table_forms`."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence

from coaxwright.pairing.answers import Answer
from coaxwright.pairing.placing import Seat
from coaxwright.pairing.ranking import Ranked, Replacement
from coaxwright.pairing.telling import MARKS, as_data, cell_data, cell_words, sections
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.show.csv_text import csv_text
from coaxwright.show.json_text import to_json
from coaxwright.show.markdown import escaped
from coaxwright.show.painter import visible

WIDTH = 100
_LABEL = 14


def render_answer(answer: Answer, form: str) -> str:
    """One answer in a form: text, md, csv or json."""
    return {"text": _text, "md": _markdown, "csv": _csv, "json": _json}[form](answer)


def title(answer: Answer) -> str:
    """Which two parts, and which input."""
    return f"{answer.camera} on {answer.recorder}, input {answer.number}"


def _text(answer: Answer) -> str:
    lines = [*textwrap.wrap(visible(verdict_words(answer)), WIDTH, break_long_words=False, break_on_hyphens=False), ""]
    lines += wrapped("input", f"{answer.number} of {answer.recorder}")
    for heading, said in sections(answer):
        for place, line in enumerate(said):
            lines += wrapped(heading if place == 0 else "", line)
    return "\n".join(lines) + "\n"


def wrapped(heading: str, line: str) -> list[str]:
    """A line beside its heading, wrapped under itself."""
    hang = " " * (_LABEL + 2)
    return textwrap.wrap(
        visible(line), WIDTH, initial_indent=f"{heading.lower():<{_LABEL}}  ", subsequent_indent=hang,
        break_long_words=False, break_on_hyphens=False,
    ) or [heading.lower()]  # fmt: skip


def _markdown(answer: Answer) -> str:
    lines = [
        f"# {escaped(title(answer))}",
        "",
        escaped(verdict_words(answer)),
        "",
        "| asked | answer |",
        "| --- | --- |",
    ]
    for heading, said in sections(answer):
        lines.append(f"| {heading} | {'<br>'.join(escaped(each) for each in said)} |")
    return "\n".join(lines) + "\n"


def _csv(answer: Answer) -> str:
    rows = [("asked", "answer"), ("pair", title(answer)), ("verdict", verdict_words(answer))]
    rows += [(heading, "; ".join(said)) for heading, said in sections(answer)]
    return to_csv(rows)


def _json(answer: Answer) -> str:
    return to_json(as_data(answer))


def to_csv(rows: Sequence[Sequence[str]]) -> str:
    """Rows as CSV, control characters shown as escapes."""
    return csv_text([[visible(cell) for cell in row] for row in rows])


# Rankings


def render_ranking(heading: str, ranked: Sequence[Ranked], form: str) -> str:
    """A ranking in a form: text, md, csv or json."""
    if form == "json":
        return to_json({"format": 2, "ranking": heading, "parts": [_ranked_data(each) for each in ranked]})
    names = ("place", "part", "outcomes", "recorded", "features kept", "price", "remarks")
    rows = [
        (
            str(place), each.part, outcomes_words(each.outcomes), f"{each.pixel_rate / 1e6:.1f} Mpx/s",
            str(each.features), price(each), "; ".join(each.remarks),
        )
        for place, each in enumerate(ranked, 1)
    ]  # fmt: skip
    return listed(heading, names, rows, form)


def _ranked_data(one: Ranked) -> dict[str, object]:
    return {
        "part": one.part, "outcomes": one.outcomes, "recorded_pixels_per_second": one.pixel_rate,
        "features": one.features, "price": one.price, "currency": one.currency, "remarks": list(one.remarks),
        "seats": [seat_data(seat) for seat in one.seats],
    }  # fmt: skip


def seat_data(seat: Seat) -> dict[str, object]:
    """Which input a camera has, and what it comes to there among all that are placed."""
    cell = None if seat.cell is None else cell_data(seat.cell)
    return {"camera": seat.camera, "input": seat.number, "outcome": seat.outcome, "answer": cell}


def outcomes_words(outcomes: Mapping[str, int]) -> str:
    """How many come to each outcome: `2 full [=], 6 reduced-width [/]`."""
    return ", ".join(f"{count} {outcome} {mark(outcome)}".rstrip() for outcome, count in outcomes.items())


def render_replacements(heading: str, found: Sequence[Replacement], form: str, unstated: Sequence[str] = ()) -> str:
    """Parts that could take a place, in a form: text, md, csv or json.

    `unstated` is what the part there now does not state of itself: what is lost of that nobody can tell.
    """
    if form == "json":
        data = [
            {
                "part": each.part, "answer": cell_data(each.cell), "gains": list(each.gains),
                "loses": list(each.loses), "not_known": list(each.not_known),
                "price": each.price, "currency": each.currency, "remarks": list(each.remarks),
            }
            for each in found
        ]  # fmt: skip
        return to_json({"format": 2, "replacements": heading, "parts": data, "not_stated": list(unstated)})
    names = ("part", "comes to", "gains", "loses", "not known", "price", "remarks")
    rows = [
        (
            each.part,
            cell_words(each.cell),
            ", ".join(each.gains).replace("_", " "),
            "; ".join(each.loses) or "nothing that is stated",
            "; ".join(each.not_known),
            price(each),
            "; ".join(each.remarks),
        )
        for each in found
    ]
    return listed(heading, names, rows, form) + _not_stated(unstated, form)


def _not_stated(unstated: Sequence[str], form: str) -> str:
    if not unstated or form == "csv":
        return ""
    text = f"Not stated of the part there now, so that no loss of it can be told: {', '.join(unstated)}."
    return f"\n{escaped(text) if form == 'md' else visible(text)}\n"


def mark(outcome: str) -> str:
    """The sign of an outcome."""
    return MARKS.get(None if outcome == "open" else outcome, "")


def price(one: Ranked | Replacement) -> str:
    """A price as printed; a word where there is none."""
    return "no price" if one.price is None else f"{one.price:g} {one.currency or ''}".rstrip()


def listed(heading: str, names: Sequence[str], rows: Sequence[Sequence[str]], form: str) -> str:
    """A table with a heading: text in columns, Markdown or CSV."""
    if form == "csv":
        return to_csv([names, *rows])
    if form == "md":
        body = [f"| {' | '.join(escaped(cell) for cell in row)} |" for row in rows]
        head = [f"# {escaped(heading)}", "", f"| {' | '.join(names)} |", f"|{' --- |' * len(names)}"]
        return "\n".join([*head, *body]) + "\n"
    shown = [names, *([visible(cell) for cell in row] for row in rows)]
    widths = [max(len(row[place]) for row in shown) for place in range(len(names))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in shown]
    return "\n".join([visible(heading), "", *lines, *([] if rows else ["nothing"])]) + "\n"
