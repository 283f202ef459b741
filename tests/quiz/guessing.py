"""A guesser who never sees a table: it knows earlier papers with their keys, and reads stem and options alone.

Naive Bayes over what an option looks like within its pattern: its words, with and without figures and names; its place;
whether it is the longest, the shortest, the middle number; how many words it shares with the others; whether it is
another one turned round. Smoothed counts (from memory: Laplace, and Naive Bayes as any textbook of statistics has it).
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import TypedDict


class Asked(TypedDict):
    """What is known of an item of an old paper: pattern, kind, stem, options, place of the key, names of cameras."""

    p: str
    k: str
    s: str
    o: list[str]
    key: int
    c: list[str]


Feature = tuple[object, ...]
_FIGURE = re.compile(r"\d+(?:\.\d+)?")


class Guesser:
    """Counts how often an option with a feature was the key."""

    def __init__(self, smoothing: float = 0.7) -> None:
        self._right: dict[Feature, float] = defaultdict(float)
        self._all: dict[Feature, float] = defaultdict(float)
        self._smoothing = smoothing

    def learn(self, items: Sequence[Asked]) -> None:
        for item in items:
            for place in range(len(item["o"])):
                for feature in features(item, place):
                    self._all[feature] += 1
                    self._right[feature] += place == item["key"]

    def guess(self, item: Asked) -> int:
        ways = len(item["o"])
        scores = [sum(self._weight(feature, ways) for feature in features(item, place)) for place in range(ways)]
        return scores.index(max(scores))

    def _weight(self, feature: Feature, ways: int) -> float:
        chance = 1 / ways
        share = (self._right[feature] + self._smoothing * chance) / (self._all[feature] + self._smoothing)
        return math.log(share / chance + 1e-6)

    def score(self, items: Sequence[Asked]) -> float:
        """Share of items guessed rightly."""
        return sum(self.guess(item) == item["key"] for item in items) / len(items)


def masked(item: Asked, text: str) -> str:
    """An option without figures and names of cameras."""
    for name in item["c"]:
        text = re.sub(rf"\b{re.escape(name)}\b", "@", text)
    return _FIGURE.sub("#", text)


def features(item: Asked, place: int) -> Iterator[Feature]:
    options, pattern, kind = item["o"], item["p"], item["k"]
    text = options[place]
    masks = [masked(item, each) for each in options]
    lengths = sorted(len(each) for each in options)
    figures = [float(found[0]) if (found := _FIGURE.findall(each)) else None for each in options]
    yield "words", pattern, masks[place]
    yield "exact", pattern, text
    yield "place", pattern, place
    yield "place of kind", kind, place
    yield "length", kind, lengths.index(len(text))
    yield "length here", pattern, lengths.index(len(text))
    yield "beside", pattern, masks[place], tuple(sorted(mask for other, mask in enumerate(masks) if other != place))
    yield "alike", kind, sum(masks[place] == mask for mask in masks)
    words = set(masks[place].split())
    shared = sum(len(words & set(mask.split())) for other, mask in enumerate(masks) if other != place)
    yield "shares", pattern, min(shared, 30)
    turned = any(other != place and _turned(text, each) for other, each in enumerate(options))
    yield "turned round", kind, turned
    if all(figure is not None for figure in figures):
        ranked = sorted(figure for figure in figures if figure is not None)
        yield "rank", pattern, ranked.index(figures[place] or 0.0)
        yield (
            "ratio",
            pattern,
            tuple(round(math.log2(max(figure, 1e-9) / max(ranked[0], 1e-9))) for figure in ranked),
            place,
        )


def _turned(one: str, other: str) -> bool:
    return re.split(r", | > |; ", one) == re.split(r", | > |; ", other)[::-1]
