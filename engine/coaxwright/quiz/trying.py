"""Ten draws of a pattern side by side, for who writes one: what is asked, what the options come to and by which slip, and why
draws came to nothing, with what to change.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.items import Item, Option
from coaxwright.quiz.making import Order, Tally, make_item
from coaxwright.show.figures import count
from coaxwright.show.json_text import FORMAT
from coaxwright.show.tree import Block, Column, Document, Listing, Section, Table

DRAWS = 10
MOST_FAILED = 2
REMEDIES: Mapping[str, str] = {
    "nothing to ask": "no device satisfies `when` after `vary`, or an edit finds nothing: widen `when`, or draw narrower",
    "too few wrong results": "too few slips come to another result, or their sizes tell the key: add slips in both "
    "directions, each with its inverse",
    "limits-printed": "a limit or a figure of tables is used and not printed: add it under `given`",
    "all-data-printed": "the key hangs on a column that is not printed: name its group under `shows`",
    "key-at-both-ends": "the key changes with what may be assumed: draw farther from the limit",
    "options-apart": "two options are within a twentieth: drop one of the slips, or draw wider",
    "option-lengths": "the longest option stands out: word them alike",
    "no-echo": "a word of the stem stands in the key alone: say it otherwise in `ask`",
}
"""What to change, by the reason for which a draw was thrown away."""


@immutable
class Tried:
    """One order of a question: the item, or none, and how many draws were thrown away for which reason."""

    item: Item | None
    thrown: Mapping[str, int]


def tried(bank: Bank, pattern: LoadedPattern, seed: int = 1, draws: int = DRAWS) -> list[Tried]:
    """So many questions of a pattern, the place of the key going round; no further ones after two that did not come out."""
    found: list[Tried] = []
    for number in range(draws):
        found.append(_one(bank, Order(pattern, f"try/{seed}/{number}", number)))
        if sum(each.item is None for each in found) == MOST_FAILED:
            break
    return found


def _one(bank: Bank, order: Order) -> Tried:
    tally = Tally(Counter())
    try:
        return Tried(make_item(bank, order, tally), dict(tally.reasons))
    except Refusal:
        return Tried(None, dict(tally.reasons))


def thrown(found: Sequence[Tried]) -> list[tuple[str, int, str]]:
    """Reasons for which draws were thrown away, the commonest first: how often, and what to change."""
    every = sum((Counter(each.thrown) for each in found), Counter[str]())
    return [(reason, number, REMEDIES.get(reason, "")) for reason, number in every.most_common()]


def tried_document(pattern: LoadedPattern, found: Sequence[Tried]) -> Document:
    """The draws as a table: a row each, the key marked, wrong options with their slips."""
    most = max((len(each.item.options) for each in found if each.item), default=0)
    options = [f"option {number}" for number in range(1, most + 1)]
    columns: list[Column | str] = ["draw", "question", *options, "key", "difficulty"]
    rows = [_row(number, each, most) for number, each in enumerate(found, start=1)]
    blocks: list[Block] = [Table(columns, rows, fold="scroll")]
    reasons = [f"{reason} ({number}){': ' if right else ''}{right}" for reason, number, right in thrown(found)]
    if reasons:
        blocks.append(Section("Draws that came to nothing", (Listing(reasons),)))
    made = sum(each.item is not None for each in found)
    return Document(f"{pattern.id}: {pattern.form.title}", tuple(blocks), f"{count(made, 'question')} of {len(found)}.")


def _row(number: int, each: Tried, most: int) -> tuple[str, ...]:
    item = each.item
    if item is None:
        return (str(number), "none came out", *[""] * most, "", "")
    options = [_said(option) for option in item.options]
    key = item.key or item.posed.key.text
    return (
        str(number),
        item.posed.stem,
        *options,
        *[""] * (most - len(options)),
        key,
        f"{item.estimate:.2f} {item.band}",
    )


def _said(option: Option) -> str:
    slips = ", ".join(option.pair or (option.slip,))
    return f"{option.answer.text} ({slips})" if option.slip else f"{option.answer.text} (right)"


def tried_data(pattern: LoadedPattern, found: Sequence[Tried]) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "format": FORMAT, "pattern": pattern.id, "draws": [_draw(each) for each in found],
        "thrown": [{"reason": reason, "draws": number, "change": right} for reason, number, right in thrown(found)],
    }  # fmt: skip


def _draw(each: Tried) -> dict[str, Any] | None:
    item = each.item
    if item is None:
        return None
    options = {
        option.id: {"text": option.answer.text, "slips": list(option.pair or ([option.slip] if option.slip else []))}
        for option in item.options
    }
    return {
        "question": item.posed.stem, "options": options, "key": item.key or None, "answer": item.posed.key.text,
        "estimate": item.estimate, "band": item.band,
    }  # fmt: skip
