"""Makes whole papers: which patterns in which order, where keys stand, parallel papers of the same difficulty.

The same seed gives the same bytes. Paper B asks the patterns of paper A in the same order, with other numbers and in
the same band of difficulty. What would give answers away over a whole paper is checked here.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from string import ascii_uppercase

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.items import LETTERS, Item
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.plans import Plan
from coaxwright.reading.suggest import did_you_mean

MOST_LONGEST = 0.4
MOST_ITEMS = 400
MOST_SWAPS = 6
MOST_PAPERS = len(ascii_uppercase)
"""Parallel papers at the most: each has a letter of its own."""


@immutable
class Wanted:
    """What a trainer orders. `blueprint` maps topics to numbers of questions; otherwise `topics` share `count`.

    `minutes` is the time to be printed, 0 for none; questions whose id is `barred` are not asked.
    """

    count: int = 10
    seed: int = 1
    topics: tuple[str, ...] = ()
    levels: tuple[str, ...] = ()
    blueprint: tuple[tuple[str, int], ...] = ()
    letters: tuple[str, ...] = ("A",)
    size: str = "medium"
    plan: Plan | None = None
    minutes: int = 0
    barred: frozenset[str] = frozenset()


@immutable
class Paper:
    """One paper: its letter, the seed and bank that it can be made from again, its items in order."""

    letter: str
    title: str
    seed: int
    bank: str
    version: str
    items: tuple[Item, ...]
    complaints: tuple[str, ...] = ()
    minutes: int = 0


def paper_letters(count: int) -> tuple[str, ...]:
    """The letters of so many parallel papers: A, B and so on."""
    return tuple(ascii_uppercase[:count])


def make_papers(bank: Bank, wanted: Wanted) -> tuple[Paper, ...]:
    """All parallel papers. Raises Refusal for topics that are not there, or where no question comes out."""
    patterns = _patterns(bank, wanted)
    first = _paper(bank, wanted, patterns, wanted.letters[0], ())
    bands = tuple(item.band for item in first.items)
    return (
        first,
        *(
            _paper(bank, wanted, [_pattern(bank, item) for item in first.items], letter, bands)
            for letter in wanted.letters[1:]
        ),
    )


def _pattern(bank: Bank, item: Item) -> LoadedPattern:
    return bank.pattern(item.pattern)


def _patterns(bank: Bank, wanted: Wanted) -> list[LoadedPattern]:
    """The patterns of a paper in their order: those of a topic take turns, topics in the order of the blueprint."""
    shares = wanted.blueprint or _shares(bank, wanted)
    if sum(number for _, number in shares) > MOST_ITEMS:
        raise Refusal([Problem("quiz", f"more than {MOST_ITEMS} questions are wanted", "make several papers")])
    chosen = []
    for topic, number in shares:
        fitting = bank.of([topic], wanted.levels)
        if not fitting:
            raise Refusal([_no_such(bank, topic, wanted)])
        draw = random.Random(f"{wanted.seed}/{topic}")
        order = draw.sample(fitting, len(fitting))
        chosen += [order[place % len(order)] for place in range(number)]
    return chosen


def _no_such(bank: Bank, topic: str, wanted: Wanted) -> Problem:
    if topic not in bank.topics:
        right = did_you_mean(topic, bank.topics) or f"there are: {', '.join(bank.topics)}"
        return Problem("quiz", f"there is no question on the topic `{topic}`", right)
    return Problem("quiz", f"no question on `{topic}` is of level {' or '.join(wanted.levels)}", "name another level")


def _shares(bank: Bank, wanted: Wanted) -> tuple[tuple[str, int], ...]:
    """Questions per topic, as even as can be; which topics get one more is drawn."""
    topics = [
        each for each in wanted.topics or bank.topics if each not in bank.topics or bank.of([each], wanted.levels)
    ]
    if not topics:
        raise Refusal([Problem("quiz", "no topic has questions of that level", "name another level")])
    more = set(random.Random(f"{wanted.seed}/shares").sample(topics, wanted.count % len(topics)))
    counts = [(topic, wanted.count // len(topics) + (topic in more)) for topic in topics]
    return tuple((topic, count) for topic, count in counts if count)


class Deck:
    """Places that keys are still to take on a paper, by number of options: each as often as can be, in a drawn order.

    Where a key cannot stand in the place that was dealt, that place goes back and the one it takes is laid aside, so
    that later questions make up for it.
    """

    def __init__(self, seed: str, options: Sequence[int]) -> None:
        """`options`: how many options each question has, those with an entered number left out."""
        draw = random.Random(seed)
        self._left = {ways: _even(draw, ways, options.count(ways)) for ways in sorted(set(options))}

    def deal(self, ways: int) -> int:
        """The place wanted for the next question of so many options."""
        left = self._left.get(ways)
        return left[0] if left else 0

    def take(self, ways: int, place: int) -> None:
        """That place was taken; where it was not to be had any more, the one that was dealt is given up."""
        left = self._left.get(ways)
        if left:
            left.remove(place if place in left else left[0])


def _even(draw: random.Random, ways: int, count: int) -> list[int]:
    """Places 0 to ways - 1, each as often as the others or once more; which come once more is drawn."""
    once_more = draw.sample(range(ways), count % ways)
    places = [*(place for place in range(ways) for _ in range(count // ways)), *once_more]
    draw.shuffle(places)
    return places


SORTED = frozenset({"value", "what-if", "longest-run", "which-part"})
"""Kinds whose options stand in order of size: the key has not every place open to it."""


def _paper(bank: Bank, wanted: Wanted, patterns: Sequence[LoadedPattern], letter: str, bands: Sequence[str]) -> Paper:
    from coaxwright import __version__

    deck = Deck(f"{wanted.seed}/{letter}/places", [_ways(pattern) for pattern in patterns if _ways(pattern)])
    made: dict[int, Item] = {}
    in_turn = sorted(range(len(patterns)), key=lambda each: patterns[each].form.kind not in SORTED)
    for number in pace.counted(in_turn, f"questions of paper {letter}"):
        place, band = deck.deal(_ways(patterns[number])), bands[number] if bands else ""
        order = Order(patterns[number], f"{wanted.seed}/{letter}/{number}", place, wanted.size, wanted.plan, band)
        item = _fresh(bank, order, list(made.values()), wanted)
        made[number] = item
        if item.options:
            deck.take(len(item.options), LETTERS.index(item.key))
    title = wanted.plan.site["site"] if wanted.plan else "Analog-HD video over coax"
    items = tuple(made[number] for number in sorted(made))
    paper = Paper(letter, str(title), wanted.seed, bank.digest, __version__, items, minutes=wanted.minutes)
    return replace(paper, complaints=tuple(paper_complaints(paper)))


def _ways(pattern: LoadedPattern) -> int:
    """How many options its questions have; 0 where a number is entered."""
    return 0 if pattern.form.kind == "numeric" else pattern.form.options


def _fresh(bank: Bank, order: Order, made: Sequence[Item], wanted: Wanted) -> Item:
    """A question that no other of the paper equals; another pattern of the topic where its own gives none."""
    problems: list[Problem] = []
    known = {_wording(item) for item in made}
    others = [replace(order, pattern=pattern) for pattern in _others(bank, order, wanted)]
    loose = [replace(order, band="")] if order.band else []  # better another difficulty than no paper
    for tried in (order, *_elsewhere(order), *others, *loose):
        for again in range(MOST_SWAPS):
            try:
                item = make_item(bank, replace(tried, seed=f"{order.seed}/{again}"))
            except Refusal as refusal:
                problems += refusal.problems
                break
            if _wording(item) not in known and item.id not in wanted.barred:
                return item
    raise Refusal(problems or [Problem("quiz", "no further question can be made that differs", "ask for fewer")])


def _elsewhere(order: Order) -> list[Order]:
    """The same with the key in other places, where a difficulty is wanted: which wrong results stand beside the key, and so
    how near they are, hangs on its place.
    """
    ways = _ways(order.pattern) if order.band else 0
    return [replace(order, place=(order.place + step) % ways) for step in range(1, ways)]


def _others(bank: Bank, order: Order, wanted: Wanted) -> list[LoadedPattern]:
    """Patterns that may stand in where one gives no question on the site given: of its topic, or of
    any where no topic was named; for parallel papers none.
    """
    if order.band:
        return []
    draw = random.Random(f"{order.seed}/others")
    others = [each for each in bank.of([order.pattern.topic], wanted.levels) if each is not order.pattern]
    found = draw.sample(others, len(others))
    if wanted.plan is not None and not wanted.topics and not wanted.blueprint:
        elsewhere = [each for each in bank.of([], wanted.levels) if each.topic != order.pattern.topic]
        found += draw.sample(elsewhere, len(elsewhere))
    return found


def _wording(item: Item) -> tuple[str, ...]:
    cells = tuple(cell for table in item.tables for row in table.rows for cell in row)
    return (item.posed.stem, *(option.answer.text for option in item.options), *cells)


def paper_complaints(paper: Paper) -> Iterator[str]:
    """What is wrong with a paper as a whole: the same question twice, the key often the longest option."""
    wordings = [_wording(item) for item in paper.items]
    if len(set(wordings)) != len(wordings):
        yield "a question stands in the paper twice"
    worded = [item for item in paper.items if item.options and item.posed.key.number is None]
    longest = sum(_key_longest(item) for item in worded)
    if len(worded) >= 10 and longest > MOST_LONGEST * len(worded):
        yield f"the key is the longest option in {longest} of {len(worded)} questions"
    if len({item.id for item in paper.items}) != len(paper.items):
        yield "two questions have the same id"


def _key_longest(item: Item) -> bool:
    lengths: Mapping[str, int] = {option.id: len(option.answer.text) for option in item.options}
    others = [length for letter, length in lengths.items() if letter != item.key]
    return lengths[item.key] > max(others)
