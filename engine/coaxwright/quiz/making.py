"""Makes one finished question: draws until one comes out that passes every check. What fails a check is never printed."""

from __future__ import annotations

import hashlib
import random
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import answers, scenes
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.checks import complaints
from coaxwright.quiz.difficulty import band_of, estimated
from coaxwright.quiz.items import LETTERS, Item, Option, Posed
from coaxwright.quiz.options import choose, usable
from coaxwright.quiz.plans import NoSuchPlace, Plan
from coaxwright.quiz.posing import Ground, pose_result, pose_statement
from coaxwright.quiz.spotting import pose_change, pose_fault
from coaxwright.quiz.tables import tables_of

MOST_DRAWS = 64
DRAWS_FOR_PLACE = 6
DRAWS_FOR_WISH = 8
WISHES = 6
DRAWS_FOR_LOOK = 32
"""So many plans are tried for options whose sizes do not tell which of them is right."""
"""So many wishes are drawn in turn, each tried on so many plans; what the plan gives is taken after that."""
SOUND_SHARE = 0.3


@immutable
class Order:
    """What is ordered: a pattern, the text that the draw starts from, where the key should stand, on which plan.

    `sound`: whether a plan is wanted in which nothing fails, where a fault might be hidden; drawn where it is None.
    """

    pattern: LoadedPattern
    seed: str
    place: int
    size: str = "medium"
    plan: Plan | None = None
    band: str = ""
    sound: bool | None = None


@dataclass(slots=True)
class Tally:
    """Why draws were thrown away, by reason; for trainers who write patterns, and for tests."""

    reasons: Counter[str]


def make_item(bank: Bank, order: Order, tally: Tally | None = None) -> Item:
    """A question that passes every check, its key in the place wanted where some of the first draws allow that.

    Raises Refusal when none comes out, with the reasons.
    """
    seen = tally or Tally(Counter())
    for drawn in _candidates(bank, order):
        found = checked(bank, drawn, order)
        if isinstance(found, Item):
            return found
        seen.reasons[found] += 1
    said = "; ".join(f"{reason} ({count})" for reason, count in seen.reasons.most_common(4))
    what = f"no question comes out of `{order.pattern.id}` in {MOST_DRAWS} draws: {said}"
    raise Refusal([Problem(order.pattern.document.file, what, "widen what it varies, or ask on another site")])


def _candidates(bank: Bank, order: Order) -> Iterator[Item | str]:
    """Draws in the order in which they are to be tried: those with the key elsewhere after some others."""
    spare = list[Item]()
    for attempt in range(MOST_DRAWS):
        draw, strict = random.Random(f"{order.seed}/{attempt}"), attempt < DRAWS_FOR_LOOK
        drawn = unchecked(bank, order, draw, _wish(order, attempt), strict)
        if isinstance(drawn, Item) and attempt < DRAWS_FOR_PLACE and not _in_place(drawn, order):
            spare.append(drawn)
        else:
            yield drawn
        if attempt == DRAWS_FOR_PLACE - 1:
            yield from spare


_POSERS: Mapping[str, Callable[[Ground, LoadedPattern], Posed | None]] = {
    "spot-fault": pose_fault,
    "which-change": pose_change,
    "true-or-open": pose_statement,
}


def pose(ground: Ground, pattern: LoadedPattern) -> Posed | None:
    """One question of the pattern; None where this draw makes none."""
    try:
        return _POSERS.get(pattern.form.kind, pose_result)(ground, pattern)
    except (Refusal, NoSuchPlace):
        return None


def _sound(order: Order) -> bool:
    """Drawn from the seed alone, so that plans in which a fault is hard to hide are not asked about less often."""
    drawn = random.Random(f"{order.seed}/sound").random() < SOUND_SHARE
    return drawn if order.sound is None else order.sound


def _in_place(item: Item, order: Order) -> bool:
    return not item.options or LETTERS.index(item.key) == order.place % len(item.options)


def _wish(order: Order, attempt: int) -> random.Random | None:
    turn = attempt // DRAWS_FOR_WISH
    return random.Random(f"{order.seed}/wish/{turn}") if turn < WISHES else None


def unchecked(
    bank: Bank, order: Order, draw: random.Random, wish: random.Random | None = None, strict: bool = False
) -> Item | str:
    """One draw: an item whose checks are still to be made; or in a word why there is none."""
    plan = order.plan or scenes.generate(bank, draw, order.size, order.pattern.topic)
    posed = pose(Ground(bank, plan, draw, order.place, _sound(order), wish), order.pattern)
    if posed is None:
        return "nothing to ask"
    numeric = order.pattern.form.kind == "numeric"
    options = () if numeric else choose(posed, order.place, draw, strict)
    return "too few wrong results" if options is None else finished(bank, posed, options, order.seed)


def checked(bank: Bank, drawn: Item | str, order: Order) -> Item | str:
    """The item where it passes every check; in a word what keeps it from being printed otherwise."""
    if isinstance(drawn, str):
        return drawn
    if order.band and drawn.band != order.band:
        return f"difficulty {drawn.band}, not {order.band}"
    said = complaints(bank, drawn)
    return said[0].partition(":")[0] if said else drawn


def finished(bank: Bank, posed: Posed, options: Sequence[Option], seed: str) -> Item:
    """The item with everything that is printed."""
    tables = tables_of(posed.asked.plan, bank.words, posed.shows, posed.wanted)
    estimate = estimated(posed, options, tables, bank.known)
    return Item(
        id=_identifier(bank, posed, seed),
        posed=posed,
        intro=intro(posed.asked.plan),
        tables=tables,
        given=_given(posed),
        options=tuple(options),
        key=next((option.id for option in options if not option.slip), ""),
        typical=tuple(usable(posed)) if not options else (),
        estimate=estimate,
        band=band_of(estimate),
    )


def _identifier(bank: Bank, posed: Posed, seed: str) -> str:
    """Stable for seed and bank, and telling nothing: not even the pattern."""
    return hashlib.sha256(f"{bank.digest}/{posed.asked.pattern.id}/{seed}".encode()).hexdigest()[:8]


def _given(posed: Posed) -> tuple[tuple[str, str], ...]:
    asked = posed.asked
    rows = asked.pattern.form.given
    facts = asked.plan.facts() if rows else None
    return tuple((row.label, answers.told(asked, facts, row.value)) for row in rows if facts is not None)


def intro(plan: Plan) -> str:
    """The plan in a sentence or two."""
    site = plan.site
    cameras, recorders, supplies = (len(site.get(group, {})) for group in ("cameras", "recorders", "supplies"))
    on = f" on {_count(recorders, 'recorder')}" if recorders else ""
    fed = f", fed from {_count(supplies, 'supply', 'supplies')}" if supplies else ""
    return f"{site['site']}: {_count(cameras, 'camera')}{on}{fed}."


def _count(number: int, word: str, words: str = "") -> str:
    return f"{number if number != 1 else 'one'} {word if number == 1 else words or word + 's'}"
