"""How far the numbers of a subject may move beside other values: length against conductor, days against disks.

For each of the other values the site is taken with that value in it, and the ranges are looked for there as `limits`
looks for them in the site as it is: to the written step, each end judged and the step beyond it too. What the value
makes worse whatever the number is stands beside it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from coaxwright import pace
from coaxwright.findings import Extent, Held, Stretch
from coaxwright.fixes.comparing import Key
from coaxwright.fixes.limit_words import ending_words
from coaxwright.fixes.limits import End, Limit, named, numbers_of, ranges_of
from coaxwright.fixes.reacting import both_sides, worse
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.varying import combinations, with_values
from coaxwright.immutable import immutable

MOST = 100
"""Combinations of other values looked into at most."""


@immutable
class Beside:
    """The other values as written, the ranges beside them, and what they make worse by themselves (rule, subject).

    `refused` says why the values make no site; `present`: the site file has them already.
    """

    values: tuple[Any, ...]
    limits: tuple[Limit, ...] = ()
    besides: tuple[Key, ...] = ()
    refused: str = ""
    present: bool = False


def limits_against(
    state: SiteState, subject: str, asked: Sequence[str], names: Sequence[str] = (), level: str = "error"
) -> tuple[list[str], list[Beside]]:
    """The paths of `PATH=V1,V2,...` and, for each combination of values, the ranges of the numbers of a subject.

    `names` are the numbers looked into, all where none is named. Where the time is over (`pace`) later rows are missing.
    Raises Refusal for what cannot be read, for more than 100 combinations, and for a subject or number that is not there.
    """
    paths, found = combinations("--against", asked, MOST)
    return paths, limits_of_rows(state, subject, paths, found, names, level)


def limits_of_rows(
    state: SiteState, subject: str, paths: Sequence[str], rows: Sequence[tuple[Any, ...]], names: Sequence[str],
    level: str = "error",
) -> list[Beside]:  # fmt: skip
    """The ranges beside each of these values of the paths."""
    wanted = {number.name for number in named(state, subject, names)}
    counted = pace.counted(rows, "values looked into")
    return [_beside(state, subject, paths, values, wanted, level) for values in counted if not pace.out_of_time()]


def _beside(
    state: SiteState, subject: str, paths: Sequence[str], values: tuple[Any, ...], wanted: set[str], level: str
) -> Beside:
    there = with_values(state, paths, values)
    if isinstance(there, str):
        return Beside(values, refused=there)
    limits = ranges_of(there, [number for number in numbers_of(there, subject) if number.name in wanted], level)
    told = {key for each in limits for key in (*each.now, *each.open_now, *each.waived_now)}
    harm = worse(*both_sides(state.to(there), level)) - told
    return Beside(values, tuple(limits), tuple(sorted(harm)), present=there.site == state.site)


def extents(subject: str, paths: Sequence[str], found: Iterable[Beside]) -> list[Extent]:
    """For each number where it holds beside each of the values, in the order written."""
    rows: dict[str, list[tuple[Limit, Held]]] = {}
    refused: list[Held] = []
    for each in found:
        label = ", ".join(map(written, each.values))
        if each.refused:
            refused.append(Held(label, (), f"cannot be checked: {each.refused}"))
        for limit in each.limits:
            held = Held(label, tuple(stretches(limit)), _words(limit, each.besides), each.present)
            rows.setdefault(limit.number.name, []).append((limit, held))
    return [_extent(subject, paths, each, refused) for each in rows.values()]


def _extent(subject: str, paths: Sequence[str], rows: list[tuple[Limit, Held]], refused: list[Held]) -> Extent:
    number = rows[0][0].number
    return Extent(subject, number.name, number.unit, number.value, ", ".join(paths), (*(held for _, held in rows), *refused))


def written(value: object) -> str:
    """A value of the site file in a few words: a list as its items."""
    if isinstance(value, list):
        items = list(map(written, value))
        same = len(items) > 1 and len(set(items)) == 1
        return f"{len(items)} of {items[0]}" if same else ", ".join(items) or "none"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, dict) else str(value)


def stretches(limit: Limit) -> Iterator[Stretch]:
    """The stretches of values at which all that hangs on the number holds, the lower first.

    Values that hold again beyond an end (`again`) are told in words alone: how far they do was not looked for.
    """
    if not limit.now:
        yield _span(limit.number.value, limit.down, limit.up)
        return
    for end, below in ((limit.down, True), (limit.up, False)):
        if end.holds is not None:
            nearest, far = End(end.holds, end.fails, ()), end.beyond or End(end.holds, None, ())
            yield _span(end.holds, *((far, nearest) if below else (nearest, far)))


def _span(start: float, down: End, up: End) -> Stretch:
    low, high = (start if end.holds is None else end.holds for end in (down, up))
    return Stretch(round(low, 9), round(high, 9), down.fails is None, up.fails is None)


def _words(limit: Limit, besides: Sequence[Key]) -> str:
    """What ends the stretches, and what the other values make worse whatever the number is."""
    worse_by = [f"worse by itself: {rule} on {subject}" for rule, subject in besides]
    return "; ".join(each for each in (ending_words(limit), *worse_by) if each)
