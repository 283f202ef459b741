"""The bank, read once; items made once for several tests."""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest

from coaxwright.checking import load_rulebook
from coaxwright.quiz.bank import Bank, load_bank
from coaxwright.quiz.items import Item
from coaxwright.quiz.making import Order, make_item

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))


@pytest.fixture(scope="session")
def bank() -> Bank:
    return load_bank(load_rulebook())


@pytest.fixture(scope="session")
def item_of(bank: Bank) -> Callable[[str, int, int], Item]:
    """An item of a pattern, by seed and place of the key; each made once."""
    made: dict[tuple[str, int, int], Item] = {}

    def make(pattern: str, seed: int = 1, place: int = 1) -> Item:
        known = (pattern, seed, place)
        if known not in made:
            made[known] = make_item(bank, Order(bank.pattern(pattern), f"test/{seed}", place, "small"))
        return made[known]

    return make
