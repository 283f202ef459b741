"""Answers and rankings as documents, and as JSON. Tables of pairs are in `table_forms`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coaxwright import pace
from coaxwright.pairing.answers import Answer
from coaxwright.pairing.on_site import PAIR_ONLY, Placed, placed_words
from coaxwright.pairing.placing import Seat
from coaxwright.pairing.ranking import Ranked, Replacement
from coaxwright.pairing.stamps import Stamp
from coaxwright.pairing.telling import MARKS, as_data, cell_data, cell_words, sections
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.reporting.json_report import fix_data
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import to_json
from coaxwright.show.plain_data import plain
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Block, Code, Document, Facts, Paragraph, Table


def render_answer(
    answer: Answer, form: str, screen: Screen | None = None, *, long: bool = True, stamp: Stamp | None = None
) -> str:
    """One answer in a form: text, md, html, csv or json. Not `long`, text ends after what must not be missed.

    `stamp` stands on a page and in JSON: what the answer can be traced by.
    """
    if form == "json":
        return to_json(as_data(answer) if stamp is None else {**as_data(answer), "reference": plain(stamp)})
    return rendered(answer_document(answer, form, long=long, stamp=stamp), form, screen)


def title(answer: Answer) -> str:
    """Which two parts, and which input."""
    return f"{answer.camera} on {answer.recorder}, input {answer.number}"


def answer_document(answer: Answer, form: str = "text", *, long: bool = True, stamp: Stamp | None = None) -> Document:
    """The verdict, then what a counter asks in turn. Text names the input only: the call names the rest."""
    asked = [("Input", [f"{answer.number} of {answer.recorder}"])] if form == "text" else []
    meta: tuple[tuple[str, str], ...] = (("pair", title(answer)),) if form == "csv" else ()
    if form == "html" and stamp is not None:
        meta = stamp.pairs()
    told = sections(answer)
    blocks: tuple[Block, ...] = (Facts([*asked, *told], ("asked", "answer")),)
    if form == "text" and not long:
        blocks = _short(told)
    return Document(title(answer), blocks, verdict_words(answer), meta, titled=False)


_NOT_TO_BE_MISSED = ("Sold", "Part files", "Open", "Caution")


def _short(told: Sequence[tuple[str, list[str]]]) -> tuple[Block, ...]:
    """What must not be missed, and how the rest is had."""
    kept = [(name, lines) for name, lines in told if name in _NOT_TO_BE_MISSED and lines != ["nothing"]]
    more = Paragraph(("Add ", Code("--long"), " for why, other inputs, reach, power, ways by hand, rules and sources."))
    return (*((Facts(kept, ("asked", "answer")),) if kept else ()), more)


# Rankings


def render_ranking(heading: str, ranked: Sequence[Ranked], form: str, screen: Screen | None = None) -> str:
    """A ranking in a form: text, md, html, csv or json."""
    if form == "json":
        return to_json({"format": 2, "ranking": heading, "parts": [_ranked_data(each) for each in ranked]})
    return rendered(Document(heading, (_ranking(ranked),)), form, screen)


def _ranking(ranked: Sequence[Ranked]) -> Table:
    names = ("place", "part", "outcomes", "recorded", "features kept", "price", "remarks")
    rows = [
        (
            str(place), each.part, outcomes_words(each.outcomes), f"{each.pixel_rate / 1e6:.1f} Mpx/s",
            str(each.features), price(each), "; ".join(each.remarks),
        )
        for place, each in enumerate(ranked, 1)
    ]  # fmt: skip
    return Table(names, rows)


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


def render_replacements(
    heading: str, found: Sequence[Replacement], form: str, unstated: Sequence[str] = (), screen: Screen | None = None,
    placed: Sequence[Placed] | None = None,
) -> str:  # fmt: skip
    """Parts that could take a place, in a form: text, md, html, csv or json.

    `unstated` is what the part there now does not state of itself: what is lost of that nobody can tell. `placed` is
    what each does on a whole site, where one was given; without it the answer says what it does not prove.
    """
    if form == "json":
        sites = placed if placed is not None else [None] * len(found)
        parts = [_replacement_data(each, site) for each, site in zip(found, sites, strict=True)]
        not_proven = PAIR_ONLY if placed is None else None
        return to_json({"format": 2, "replacements": heading, "parts": parts, "not_stated": list(unstated),
                        "not_proven": not_proven, "stopped": pace.stopped() or None})  # fmt: skip
    return rendered(replacements_document(heading, found, unstated, placed), form, screen)


def replacement_heading(which: str, camera: str, recorder: str, order: str = "those that lose least first") -> str:
    """What a list of replacements of the camera or the recorder is of, and in which order it stands."""
    if which == "camera":
        return f"Cameras that keep at least as much as {camera} on {recorder}, {order}"
    return f"Recorders that keep at least as much of {camera} as {recorder}, {order}"


def replacements_document(
    heading: str, found: Sequence[Replacement], unstated: Sequence[str] = (), placed: Sequence[Placed] | None = None
) -> Document:
    """The list, and what it does not tell."""
    blocks: list[Block] = [_replacements(found, placed)]
    if unstated:
        told = f"Not stated of the part there now, so that no loss of it can be told: {', '.join(unstated)}."
        blocks.append(Paragraph(told))
    if placed is None:
        blocks.append(Paragraph(PAIR_ONLY))
    return Document(heading, tuple(blocks))


def _replacement_data(one: Replacement, placed: Placed | None) -> dict[str, object]:
    data: dict[str, object] = {
        "part": one.part, "answer": cell_data(one.cell), "gains": list(one.gains), "loses": list(one.loses),
        "not_known": list(one.not_known), "price": one.price, "currency": one.currency, "remarks": list(one.remarks),
    }  # fmt: skip
    return data if placed is None else {**data, "on_site": _placed_data(placed)}


def _placed_data(one: Placed) -> dict[str, object]:
    change = None if one.change is None else fix_data(one.change)
    return {"entries": list(one.entries), "change": change, "harms": list(one.harms), "not_judged": one.refused or None}


def _replacements(found: Sequence[Replacement], placed: Sequence[Placed] | None) -> Table:
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
    if placed is None:
        return Table(names, rows)
    return Table((*names, "on the site"), [(*row, placed_words(site)) for row, site in zip(rows, placed, strict=True)])


def mark(outcome: str) -> str:
    """The sign of an outcome."""
    return MARKS.get(None if outcome == "open" else outcome, "")


def price(one: Ranked | Replacement) -> str:
    """A price as printed; a word where there is none."""
    return "no price" if one.price is None else f"{one.price:g} {one.currency or ''}".rstrip()
