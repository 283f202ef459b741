"""How a number stands and how far it may move, in words: the same for the command and the desk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coaxwright.fixes.comparing import Key
from coaxwright.fixes.limits import End, Limit, Number, Smallest
from coaxwright.show.tree import Block, Document, Listing, Table


def limits_document(subject: str, found: Sequence[Limit], sizes: Sequence[Smallest], form: str = "text") -> Document:
    """Every number of a subject with its range, then the smallest standard sizes that hold."""
    if form == "text":
        lines = [f"{each.number.name}: {each.number.told(each.number.value)}; {limit_words(each)}" for each in found]
        told: list[Block] = [Listing([*(lines or [_NONE]), *map(_size, sizes)], "none", whole=True)]
    else:
        rows = [(each.number.name, each.number.told(each.number.value), limit_words(each)) for each in found]
        told = [Table(("number", "now", "how far it may move"), rows, empty=_NONE)]
        told += [Listing([_size(each) for each in sizes])] if sizes else []
    return Document(subject, tuple(told))


_NONE = "The site file writes no number for it that could move."


def _size(size: Smallest) -> str:
    same = " (as now)" if size.part == size.now else f" (now {size.now})"
    return f"smallest {size.name} that holds: {size.size}, {size.part}{same}"


def limit_words(limit: Limit) -> str:
    """How a number stands now, then how far it may move."""
    words = [f"fails now: {_rules(limit.now)}"] if limit.now else []
    words += [f"open now: {_rules(limit.open_now)}"] if limit.open_now else []
    words += [f"waived now: {_rules(limit.waived_now)}"] if limit.waived_now else []
    return "; ".join([*(words or ["holds now"]), _range(limit)])


def _range(limit: Limit) -> str:
    """Both ends of a range in words."""
    number = limit.number
    apart = "apart from what is open it " if limit.open_now else ""
    if limit.now:
        ends = [end for end in (limit.down, limit.up) if end.holds is not None]
        where = " or ".join(_from(number, end) for end in ends)
        return apart + where if where else "no value of it alone mends that"
    return apart + "; ".join((_end(number, limit.up, "up"), _end(number, limit.down, "down")))


def _from(number: Number, end: End) -> str:
    """From where on it holds, and how far then."""
    assert end.holds is not None
    way = "up" if end.holds > number.value else "down"
    further = end.beyond is not None and end.beyond.holds != end.holds
    beyond = f" {_end(number, end.beyond, way).removeprefix('holds ')}" if further and end.beyond else ""
    return f"holds from {number.told(end.holds)}{beyond or ' alone'}"


def _end(number: Number, end: End, way: str) -> str:
    holds = number.told(number.value if end.holds is None else end.holds)
    if end.fails is None:
        return f"holds {way} to {holds} at least"
    again = f" (holds again at {number.told(end.again)})" if end.again is not None else ""
    first = f"{_rules(end.rules)} fails" if end.rules else f"{_rules(end.opens)} is open"
    return f"holds {way} to {holds}; {first} first{again}"


def _rules(keys: Iterable[Key]) -> str:
    return ", ".join(dict.fromkeys(rule for rule, _ in keys))
