"""Every check of an item: a sound item passes it, a spoiled one does not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coaxwright.quiz.answers import Answer
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.checks import CHECKS, complaints
from coaxwright.quiz.items import Item, Option


def words(item: Item, *texts: str) -> Item:
    """The item with other words in its options, the key where it was."""
    return replace(item, options=tuple(replace(o, answer=Answer(t)) for o, t in zip(item.options, texts, strict=True)))


def stem(item: Item, text: str) -> Item:
    return replace(item, posed=replace(item.posed, stem=text))


def without_a_table(item: Item) -> Item:
    return replace(item, tables=tuple(table for table in item.tables if table.of != "cable"))


def two_keys(item: Item) -> Item:
    return replace(item, options=tuple(replace(o, slip="") for o in item.options))


def key_elsewhere(item: Item) -> Item:
    """A numeric item that marks another option right: judged again at both ends it does not stand."""
    other = next(o for o in item.options if o.slip)
    options = tuple(
        replace(o, slip="" if o is other else (o.slip or "day-for-night"), feedback="x") for o in item.options
    )
    return replace(item, options=options, key=other.id)


def near(item: Item) -> Item:
    key = next(o for o in item.options if not o.slip)
    number = (key.answer.number or 0) * 1.01
    return replace(
        item, options=tuple(o if o is key else replace(o, answer=Answer(f"{number}", number)) for o in item.options)
    )


def turned(item: Item) -> Item:
    return replace(item, options=tuple(reversed(item.options)))


def unnamed(item: Item) -> Item:
    return replace(item, options=tuple(replace(o, feedback="") if o.slip else o for o in item.options))


def echoed(item: Item) -> Item:
    texts = ["stairs camera" if o.id == item.key else f"other {o.id}" for o in item.options]
    return stem(words(item, *texts), "Which cable to the stairs is it?")


def maker_named(item: Item) -> Item:
    plan = item.posed.asked.plan
    named = replace(item.posed.asked, plan=type(plan)(plan.site, {**plan.parts, "fennick/x": {"kind": "disk"}}))
    return replace(item, posed=replace(item.posed, asked=named, stem="What does fennick say?"))


SPOILED = {
    "one-key": two_keys,
    "key-at-both-ends": key_elsewhere,
    "all-data-printed": without_a_table,
    "options-apart": near,
    "option-lengths": lambda item: words(item, "a cable", "a cable of a very great length indeed", "a wire"),
    "no-all-or-none": lambda item: words(item, "None of the above", "B", "C"),
    "negation-emphasised": lambda item: stem(item, "Which is not enough?"),
    "numbers-in-order": turned,
    "no-echo": echoed,
    "no-article-clue": lambda item: stem(item, "What you need is a"),
    "no-duplicate-option": lambda item: words(item, "the same", "The same", "C"),
    "no-absolutes": lambda item: words(item, "It always works", "B", "C"),
    "slips-named": unnamed,
    "no-makers": maker_named,
    "nothing-missing": lambda item: stem(item, "How many volts, not known?"),
}


def test_every_check_has_a_spoiled_item() -> None:
    elsewhere = {"level-named", "limits-printed"}  # the form refuses any other level; for limits see test_print_alone
    assert set(SPOILED) | elsewhere == {check.id for check in CHECKS}


@pytest.mark.parametrize("name", sorted(SPOILED))
def test_a_spoiled_item_is_found(bank: Bank, item_of, name: str) -> None:
    item = item_of("power/volts-at-camera")
    assert complaints(bank, item) == ()
    said = complaints(bank, SPOILED[name](item))
    assert any(each.startswith(f"{name}:") for each in said), said


def test_options_keep_their_letters(item_of) -> None:
    item = item_of("power/volts-at-camera")
    assert [option.id for option in item.options] == ["A", "B", "C"]
    assert isinstance(item.option("A"), Option)
    with pytest.raises(KeyError):
        item.option("D")
