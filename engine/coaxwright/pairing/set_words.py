"""A whole set of cameras on each recorder, as a document and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from coaxwright.facts.contradictions import contradictions_of
from coaxwright.immutable import immutable
from coaxwright.pairing.answers import span
from coaxwright.pairing.by_hand import by_hand
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.keeping import Keep
from coaxwright.pairing.placing import NO_INPUT
from coaxwright.pairing.printing import outcomes_words, seat_data
from coaxwright.pairing.set_losses import against, loses
from coaxwright.pairing.sets import Choice, Piece, Placing, alike_pieces, choices, count_parts, enough
from coaxwright.pairing.telling import cell_words
from coaxwright.pairing.verdicts import MOST
from coaxwright.show.figures import count
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import to_json
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Block, Document, Listing, Note, Paragraph, Section, Table

MOST_TOLD = 3
"""Choices whose cameras are told one by one; JSON has them of every choice."""
_ORDER = ("first", "second")
NOT_COMPARED = "Not compared: disks, supplies, power cables, monitors, network, places. A site file with the choice proves those."


@immutable
class SetAnswer:
    """The answer for a set: the choices, best first, how things stand today (of a site), and remarks on the list."""

    title: str
    pieces: tuple[Piece, ...]
    keep: Keep
    choices: tuple[Choice, ...]
    today: Choice | None
    notes: tuple[str, ...]
    contradictions: tuple[str, ...]


def answered_set(
    clerk: Clerk, name: str, pieces: Sequence[Piece], recorders: Sequence[str], keep: Keep, notes: Sequence[str],
    today: Choice | None = None, network: int = 0,
) -> SetAnswer:  # fmt: skip
    """The answer for the cameras of a list called `name`, and so many network cameras, on these recorders."""
    found = choices(clerk, pieces, recorders, keep, network)
    used = [*dict.fromkeys(each.part for each in pieces), *recorders]
    besides = f" and {count(network, 'network camera')}" if network else ""
    title = f"{len(pieces)} cameras{besides} of {name} on each recorder, by what is kept, then price"
    told = contradictions_of(clerk.catalogue, used)
    return SetAnswer(title, tuple(pieces), keep, tuple(found), today, tuple(notes), told)


def render_set(clerk: Clerk, answer: SetAnswer, form: str, screen: Screen | None = None) -> str:
    """The answer in a form: text, md, html, csv or json."""
    return to_json(set_data(clerk, answer)) if form == "json" else rendered(set_document(clerk, answer), form, screen)


def set_document(clerk: Clerk, answer: SetAnswer) -> Document:
    """The verdict, all choices, who loses what on the best, and what two of them differ in."""
    blocks: list[Block] = [Section("Choices", (_choices(answer),))]
    blocks += [_losers(clerk, answer, each) for each in answer.choices[:MOST_TOLD]]
    if answer.today is not None and answer.choices:
        blocks.append(_against_today(answer, answer.choices[0]))
    if len(answer.choices) > 1:
        blocks.append(_between(clerk, answer, *answer.choices[:2]))
    notes = [*answer.notes, *answer.contradictions, NOT_COMPARED]
    blocks.append(Listing(notes))
    if not all(each.exhaustive for each in answer.choices):
        blocks.append(Note("Not every way of filling the inputs was compared where it says `searched in part`."))
    return Document(answer.title, tuple(blocks), verdict(answer))


def verdict(answer: SetAnswer) -> str:
    """What is said over the counter, 75 words at most."""
    if not answer.choices:
        return "None of these recorders is still sold, so that none is ranked here for the cameras of this list."
    best = answer.choices[0]
    said = ""
    for sentence in (*_best(answer, best), *_next(answer, best)):
        longer = f"{said} {sentence}".strip()
        said = longer if len(longer.split()) <= MOST else said
    return said


def _best(answer: SetAnswer, best: Choice) -> list[str]:
    many = count(len(answer.pieces), "camera")
    if best.network.left and not best.left:
        first = f"{_names(best)} has inputs for all {many}, and no place for {count(best.network.left, 'network camera')}."
    elif best.left:
        first = f"None of these recorders, nor two of them, has inputs for all {many}; {_names(best)} leaves out {best.left}."
    elif len(best.recorders) > 1:
        first = f"No single recorder here is enough for {many}; {_names(best)} are best: {_outcomes(best)}."
    else:
        first = f"For {many}, {_names(best)} keeps most: {_outcomes(best)}."
    said = [first, _price_words(best)]
    short = best.short(answer.keep)
    if short:
        said.append(f"Asked for and not kept: {', '.join(_kept(best, answer.keep, name) for name in short)}.")
    elif answer.keep:
        said.append(f"Kept as asked: {', '.join(_kept(best, answer.keep, name) for name in answer.keep)}.")
    if answer.today is not None:
        stays = sum(not worse for _, worse, _ in _changes(answer, best))
        said.append(f"{stays} of {len(answer.pieces)} cameras keep all that they have today.")
    return said


def _next(answer: SetAnswer, best: Choice) -> list[str]:
    if len(answer.choices) < 2:
        return []
    other = answer.choices[1]
    return [f"Next: {_names(other)}, {_difference(other, best)}, {_outcomes(other)}."]


def _outcomes(choice: Choice) -> str:
    return ", ".join(f"{many} {outcome}" for outcome, many in choice.outcomes.items())


def _kept(choice: Choice, keep: Keep, name: str) -> str:
    return f"{name} on {choice.kept[name]} ({keep[name]} asked)"


def _names(choice: Choice) -> str:
    """`a and b`, or `2 x a`."""
    first, several = choice.recorders[0], len(choice.recorders)
    return f"{several} x {first}" if several > 1 and len(set(choice.recorders)) == 1 else " and ".join(choice.recorders)


def _price_words(choice: Choice) -> str:
    return f"{'It costs' if len(choice.recorders) == 1 else 'They cost'} {_price(choice)}." if choice.price is not None else (
        "A price is not stated."
    )  # fmt: skip


def _price(choice: Choice) -> str:
    return "no price" if choice.price is None else f"{round(choice.price, 2):g} {choice.currency or ''}".rstrip()


def _difference(choice: Choice, first: Choice) -> str:
    """What a choice costs more or less than another; a word where that cannot be told."""
    if choice.price is None or first.price is None or choice.currency != first.currency:
        return "price not comparable"
    more = round(choice.price - first.price, 2)
    money = f"{abs(more):g} {choice.currency or ''}".rstrip()
    return f"{money} {'dearer' if more > 0 else 'cheaper'}" if more else "the same price"


def _choices(answer: SetAnswer) -> Table:
    names = (
        "place", "recorder", "outcomes", "kept as asked", "recorded", "features kept", "inputs", "price",
        "against the first", "remarks",
    )  # fmt: skip
    rows = [
        (
            str(place), _names(each), outcomes_words(each.outcomes),
            ", ".join(_kept(each, answer.keep, name) for name in answer.keep) or "nothing asked",
            f"{each.pixel_rate / 1e6:.1f} Mpx/s", str(each.features), str(each.inputs), _price(each),
            _difference(each, answer.choices[0]) if place > 1 else "", "; ".join(_remarks(answer, each)),
        )
        for place, each in enumerate(answer.choices, 1)
    ]  # fmt: skip
    columns = names if answer.keep else tuple(name for name in names if name != "kept as asked")
    kept = [tuple(cell for name, cell in zip(names, row, strict=True) if name in columns) for row in rows]
    return Table(columns, kept)


def _remarks(answer: SetAnswer, choice: Choice) -> list[str]:
    told = [f"{count(choice.left, 'camera')} without an input"] if choice.left else []
    told += _network_remarks(choice)
    told += [f"lacks {name} on {many}" for name, many in choice.short(answer.keep).items()]
    return [*told, *([] if choice.exhaustive else ["searched in part"])]


def _network_remarks(choice: Choice) -> list[str]:
    """What network cameras cost, which have no place, and what recorders do not state of them."""
    network, told = choice.network, []
    several = len(choice.recorders) > 1
    for place, numbers in enumerate(network.given_up):
        box = f" of the {_ORDER[place]}" if several else ""
        if numbers:
            told.append(f"given up for network cameras: {'inputs' if len(numbers) > 1 else 'input'} {span(sorted(numbers))}{box}")
    if network.left:
        told.append(f"{count(network.left, 'network camera')} without a place")
    if network.unknown:
        names = ", ".join(dict.fromkeys(choice.recorders[place] for place in network.unknown))
        told.append(f"open: how many network cameras it records is not stated of {names}")
    return told


def _losers(clerk: Clerk, answer: SetAnswer, choice: Choice) -> Section:
    """Every camera of a choice, equal ones together, with what it loses."""
    rows = []
    for hand, members in _alike_by_hand(clerk, choice):
        one = members[0]
        lost = loses(clerk, choice, one)
        numbers = [each.seat.number for each in members if each.seat.number is not None]
        where = span(numbers) or "none"
        box = f"{choice.recorders[one.box]} ({_ORDER[one.box]}): " if len(choice.recorders) > 1 and numbers else ""
        comes = NO_INPUT if one.seat.cell is None else cell_words(one.seat.cell)
        rows.append((_who(members), f"{box}{where}", comes, "; ".join(lost) or "nothing", hand))
    return Section(f"Who loses what on {_names(choice)}", (Table(("cameras", "input", "comes to", "loses", "by hand"), rows),))


def _alike_by_hand(clerk: Clerk, choice: Choice) -> Iterator[tuple[str, Sequence[Placing]]]:
    """Equal cameras by what a person can do for them, which may be more on one input than on another."""
    for _, members in alike_pieces(choice.placings):
        found: dict[str, list[Placing]] = {}
        for each in members:
            found.setdefault(_hand(clerk, choice, each), []).append(each)
        yield from found.items()


def _who(members: Sequence[Placing]) -> str:
    """`2 x tarnwell/turret-5 (gate, loft)`."""
    names = ", ".join(dict.fromkeys(each.piece.name for each in members if each.piece.name))
    return f"{len(members)} x {members[0].piece.part}{f' ({names})' if names else ''}"


def _hand(clerk: Clerk, choice: Choice, one: Placing) -> str:
    """The best that a person can do for a camera that is not at full."""
    if one.seat.number is None or one.seat.outcome == "full":
        return ""
    changes = by_hand(clerk, one.piece.part, choice.recorders[one.box], one.piece.question, one.seat.number)
    return changes[0].words if changes else ""


def _changes(answer: SetAnswer, choice: Choice) -> list[tuple[Placing, list[str], list[str]]]:
    """Every camera of a choice with what is worse and better than today."""
    assert answer.today is not None
    pairs = zip(choice.placings, answer.today.placings, strict=True)
    return [(then, *against(then, now)) for then, now in pairs]


def _against_today(answer: SetAnswer, choice: Choice) -> Section:
    """What stays, camera by camera, where only the recorder is changed."""
    assert answer.today is not None
    rows = []
    for (then, worse, better), now in zip(_changes(answer, choice), answer.today.placings, strict=True):
        today, new = (NO_INPUT if each.seat.cell is None else cell_words(each.seat.cell) for each in (now, then))
        rows.append((then.piece.name, then.piece.part, today, new, ", ".join(worse) or "nothing", ", ".join(better)))
    names = ("camera", "part", "today", "then", "worse", "better")
    heading = f"What stays with {_names(choice)} in place of {' and '.join(answer.today.recorders)}"
    return Section(heading, (Table(names, rows),))


def _between(clerk: Clerk, answer: SetAnswer, first: Choice, second: Choice) -> Section:
    """What two choices differ in: the price, and cameras that come to something else."""
    rows = []
    for one, other in zip(first.placings, second.placings, strict=True):
        worse, better = against(other, one)
        if worse or better:
            name = f" ({one.piece.name})" if one.piece.name else ""
            rows.append((f"{one.piece.part}{name}", ", ".join(worse) or "nothing", ", ".join(better) or "nothing"))
    counted = [(f"{rows.count(row)} x {row[0]}" if rows.count(row) > 1 else row[0], *row[1:]) for row in dict.fromkeys(rows)]
    told: Block = Paragraph("Every camera comes to the same on both.")
    if counted:
        told = Table(("camera", "worse", "better"), counted)
    price = Paragraph(f"{_names(second)} against {_names(first)}: {_difference(second, first)}.")
    return Section("What the second choice differs in", (price, told))


# For programs


def set_data(clerk: Clerk, answer: SetAnswer) -> dict[str, Any]:
    """The answer as plain values; `seats` are in the order of the list."""
    first = answer.choices[0] if answer.choices else None
    return {
        "format": 2,
        "set": answer.title,
        "verdict": verdict(answer),
        "cameras": count_parts(answer.pieces),
        "keep": dict(answer.keep),
        "choices": [_choice_data(clerk, answer, each, first) for each in answer.choices],
        "today": None if answer.today is None else _choice_data(clerk, answer, answer.today, None),
        "notes": list(answer.notes),
        "contradictions": list(answer.contradictions),
        "not_compared": NOT_COMPARED,
    }


def _choice_data(clerk: Clerk, answer: SetAnswer, choice: Choice, first: Choice | None) -> dict[str, Any]:
    known = first is not None and choice.price is not None and first.price is not None
    difference = choice.price - first.price if known and choice.currency == first.currency else None  # type: ignore[operator,union-attr]
    changes: Sequence[tuple[Placing, list[str], list[str]] | None] = [None] * len(choice.placings)
    if answer.today is not None and first is not None:
        changes = _changes(answer, choice)
    return {
        "recorders": list(choice.recorders), "outcomes": choice.outcomes, "kept": _kept_data(choice, answer.keep),
        "enough": enough(choice, answer.keep), "without_input": choice.left, "inputs": choice.inputs,
        "network": {
            "placed": choice.network.placed, "without_place": choice.network.left,
            "given_up": [sorted(each) for each in choice.network.given_up],
            "not_stated": [choice.recorders[place] for place in choice.network.unknown],
        },
        "recorded_pixels_per_second": choice.pixel_rate, "features": choice.features, "price": choice.price,
        "currency": choice.currency, "price_difference": difference, "exhaustive": choice.exhaustive,
        "seats": [_seat(clerk, choice, each, change) for each, change in zip(choice.placings, changes, strict=True)],
    }  # fmt: skip


def _kept_data(choice: Choice, keep: Keep) -> Mapping[str, dict[str, int]]:
    return {name: {"asked": wanted, "kept": choice.kept.get(name, 0)} for name, wanted in keep.items()}


def _seat(clerk: Clerk, choice: Choice, one: Placing, change: tuple[Placing, list[str], list[str]] | None) -> dict[str, Any]:
    recorder = None if one.seat.number is None else choice.recorders[one.box]
    data = {**seat_data(one.seat), "name": one.piece.name or None, "recorder": recorder, "loses": loses(clerk, choice, one)}
    return data if change is None else {**data, "worse_than_today": change[1], "better_than_today": change[2]}
