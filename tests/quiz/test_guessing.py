"""How much of a paper can be told without its tables: chance is a third.

`earlier-bank.json.gz` holds 1,300 questions of an earlier bank (stems, options, keys). On them the guesser has to come far
above chance: one that cannot guess there would prove nothing of a bank where it fails. Long form: new questions of the
present bank; bounds are what it holds to, with the weakest kinds named in docs/quality.md.
"""

from __future__ import annotations

import gzip
import json
import random
from collections import defaultdict
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.items import LETTERS
from coaxwright.quiz.making import Order, make_item

from .conftest import FULL
from .guessing import Asked, Guesser

FOLDS = 5
WEAK = frozenset({"which-change", "value", "what-if", "longest-run"})
"""Kinds that a guesser still tells: their keys are what few changes or few slips leave."""


def guessed(items: list[Asked]) -> dict[str, list[bool]]:
    """By kind, whether each item was guessed by one who had learned the others."""
    mixed = random.Random(1).sample(items, len(items))
    found: dict[str, list[bool]] = defaultdict(list)
    for fold in range(FOLDS):
        guesser = Guesser()
        guesser.learn([item for place, item in enumerate(mixed) if place % FOLDS != fold])
        for item in mixed[fold::FOLDS]:
            found[item["k"]].append(guesser.guess(item) == item["key"])
    return found


def share(answers: list[bool]) -> float:
    return sum(answers) / len(answers)


def test_the_guesser_guesses_where_keys_give_themselves_away() -> None:
    items: list[Asked] = json.loads(gzip.decompress(Path(__file__).with_name("earlier-bank.json.gz").read_bytes()))
    found = guessed(items)
    assert share([each for answers in found.values() for each in answers]) >= 0.55
    assert share(found["which-change"]) > 0.9


def test_it_comes_to_a_third_on_keys_that_are_drawn() -> None:
    """The guesser itself brings nothing along: on options that differ in nothing it is right by chance."""
    draw = random.Random(2)
    items: list[Asked] = [
        {"p": "a/b", "k": "value", "s": "Which?", "o": ["x", "y", "z"], "key": draw.randrange(3), "c": []}
        for _ in range(1500)
    ]
    assert abs(share(guessed(items)["value"]) - 1 / 3) < 0.06


@pytest.mark.skipif(not FULL, reason="long form: COAXWRIGHT_FULL=1")
def test_the_present_bank_tells_less(bank: Bank) -> None:
    found = guessed(list(_items(bank, 1300)))
    strong = [each for kind, answers in found.items() if kind not in WEAK for each in answers]
    assert share(strong) <= 0.40
    assert share([each for answers in found.values() for each in answers]) <= 0.52


def _items(bank: Bank, count: int) -> list[Asked]:
    patterns = [pattern for pattern in bank.patterns if pattern.form.kind != "numeric"]
    made: list[Asked] = []
    for number in range(2 * count):
        if len(made) == count:
            break
        pattern, place = patterns[number % len(patterns)], random.Random(number).randrange(3)
        try:
            item = make_item(bank, Order(pattern, f"guess/{number}", place, "small" if number % 2 else "medium"))
        except Refusal:
            continue
        options = [option.answer.text for option in item.options]
        cameras = sorted(item.posed.asked.plan.site.get("cameras", {}))
        made.append(
            {
                "p": item.pattern,
                "k": item.kind,
                "s": item.posed.stem,
                "o": options,
                "key": LETTERS.index(item.key),
                "c": cameras,
            }
        )
    return made
