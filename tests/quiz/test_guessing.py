"""How much of a paper can be told without its tables: chance is a third.

`earlier-bank.json.gz` holds 1,300 questions of an earlier bank (stems, options, keys). On them the guesser has to come far
above chance: one that cannot guess there would prove nothing of a bank where it fails. Long form: new questions of the
present bank; 40 of a hundred over all, one of two for any kind or pattern.
"""

from __future__ import annotations

import gzip
import json
import math
import random
from collections import defaultdict
from pathlib import Path
from typing import Literal

import pytest

from coaxwright.errors import Refusal
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.items import LETTERS
from coaxwright.quiz.making import Order, make_item

from .conftest import FULL
from .guessing import Asked, Guesser

FOLDS = 5
MOST, MOST_OF_ONE = 0.40, 0.50
"""Share guessed over all, and of any kind or pattern, that is borne."""
SURE = 1e-5
"""A pattern is told where so many right would come this seldom of guesses that are right one time in two; there are a hundred
patterns, and a few items of each.
"""


def guessed(items: list[Asked], by: Literal["k", "p"] = "k") -> dict[str, list[bool]]:
    """By kind or by pattern, whether each item was guessed by one who had learned the others."""
    mixed = random.Random(1).sample(items, len(items))
    found: dict[str, list[bool]] = defaultdict(list)
    for fold in range(FOLDS):
        guesser = Guesser()
        guesser.learn([item for place, item in enumerate(mixed) if place % FOLDS != fold])
        for item in mixed[fold::FOLDS]:
            found[item[by]].append(guesser.guess(item) == item["key"])
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
def test_the_present_bank_tells_no_more_than_chance_nearly(bank: Bank) -> None:
    items = list(_items(bank, 2000))
    kinds, patterns = guessed(items), guessed(items, "p")
    assert share([each for answers in kinds.values() for each in answers]) <= MOST
    assert {kind: share(answers) for kind, answers in kinds.items() if share(answers) > MOST_OF_ONE} == {}
    assert [pattern for pattern, answers in patterns.items() if at_least(sum(answers), len(answers)) < SURE] == []


def at_least(right: int, of: int) -> float:
    """P of so many right or more where each is right one time in two (binomial)."""
    return float(sum(math.comb(of, each) for each in range(right, of + 1)) / 2**of)


def test_a_pattern_that_is_told_would_be_found() -> None:
    """By hand: 20 of 20 come once in 2^20; 14 of 20 in 60,460 of 1,048,576."""
    assert at_least(20, 20) == pytest.approx(1 / 2**20)
    assert at_least(14, 20) == pytest.approx(60460 / 1048576)
    draw = random.Random(3)
    items: list[Asked] = [
        {
            "p": "a/b",
            "k": "value",
            "s": "Which?",
            "o": ["1 V", "2 V", "4 V"],
            "key": 1 if draw.random() < 0.95 else 0,
            "c": [],
        }
        for _ in range(60)
    ]
    answers = guessed(items, "p")["a/b"]
    assert at_least(sum(answers), len(answers)) < SURE


def _items(bank: Bank, count: int) -> list[Asked]:
    patterns = [pattern for pattern in bank.patterns if pattern.form.kind != "numeric"]
    made: list[Asked] = []
    for number in range(2 * count):
        if len(made) == count:
            break
        pattern, place = patterns[number % len(patterns)], random.Random(f"place/{number}").randrange(3)
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
