"""Where keys stand over many whole papers: every place as often as the others, by Pearson's chi-square.

With COAXWRIGHT_FULL=1 over 200 papers, otherwise over some. Runs of one place are not looked at: places are dealt
from a shuffled deck, in which a run of four is nothing odd.
"""

from __future__ import annotations

import math
from collections import Counter

import pytest

from coaxwright.quiz.bank import Bank
from coaxwright.quiz.items import Item
from coaxwright.quiz.papers import SORTED, Wanted, make_papers

from .conftest import FULL

PAPERS = 200 if FULL else 4
QUESTIONS = 10
LEAST_P = 0.001
MOST_OF_SORTED = 0.5


def tail(chi_square: float, freedom: int) -> float:
    """P of a greater chi-square: the series of Abramowitz and Stegun 26.4.4 (odd) and 26.4.5 (even degrees)."""
    half = chi_square / 2
    if freedom % 2 == 0:
        return math.exp(-half) * sum(half**k / math.factorial(k) for k in range(freedom // 2))
    root, term, total = math.sqrt(chi_square), 1.0, 0.0
    for odd in range(1, freedom, 2):
        term = term / odd if odd > 1 else 1.0
        total += term * root**odd
    return math.erfc(root / math.sqrt(2)) + math.sqrt(2 / math.pi) * math.exp(-half) * total


def evenness(places: Counter[str], letters: str) -> float:
    """P that places as uneven as these, or more so, come by chance from places that are even."""
    each = sum(places.values()) / len(letters)
    return tail(sum((places[letter] - each) ** 2 / each for letter in letters), len(letters) - 1)


@pytest.mark.parametrize(
    ("chi_square", "freedom", "p"),
    [(5.991, 2, 0.05), (9.210, 2, 0.01), (13.816, 2, 0.001), (7.815, 3, 0.05), (16.266, 3, 0.001), (9.488, 4, 0.05)],
)
def test_the_tail_of_chi_square(chi_square: float, freedom: int, p: float) -> None:
    """Percentage points of the chi-square distribution: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4."""
    assert tail(chi_square, freedom) == pytest.approx(p, rel=2e-3)


def test_uneven_places_are_found() -> None:
    assert evenness(Counter({"A": 300, "B": 390, "C": 270}), "ABC") < LEAST_P


@pytest.fixture(scope="module")
def items(bank: Bank) -> list[Item]:
    found: list[Item] = []
    for seed in range(PAPERS):
        for paper in make_papers(bank, Wanted(count=QUESTIONS, seed=seed, size="small")):
            found += paper.items
    return found


def test_keys_stand_in_every_place_alike(items: list[Item]) -> None:
    """Over whole papers, for each number of options."""
    for ways in {len(item.options) for item in items if item.options}:
        letters = "ABCD"[:ways]
        places = Counter(item.key for item in items if len(item.options) == ways)
        print(ways, dict(places), evenness(places, letters))
        assert set(places) == set(letters)
        assert evenness(places, letters) > LEAST_P


def test_sorted_options_do_not_give_the_key_away(items: list[Item]) -> None:
    """Numbers stand in order of size, so the key has not every place open to it; no place has more than half of them."""
    places = Counter(item.key for item in items if item.kind in SORTED)
    print(dict(places))
    assert max(places.values()) <= MOST_OF_SORTED * sum(places.values())
