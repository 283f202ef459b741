"""How a number stands and how far it may move, in words: the same for the command and the desk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coaxwright import pace
from coaxwright.findings import Extent, Held, Stretch
from coaxwright.fixes.comparing import Key
from coaxwright.fixes.limits import End, Limit, Number, Smallest
from coaxwright.model.quantities import format_quantity
from coaxwright.reporting.page.charts.extents import extent_picture
from coaxwright.show.tree import Block, Document, Listing, Paragraph, Picture, Table


def limits_document(
    subject: str, found: Sequence[Limit], sizes: Sequence[Smallest], form: str = "text", left: Sequence[str] = ()
) -> Document:
    """Every number of a subject with its range, then the smallest standard sizes that hold.

    `left` names numbers of which a search that was stopped by time tells nothing.
    """
    rows = [(each.number.name, each.number.told(each.number.value), limit_words(each)) for each in found]
    rows += [(name, "not judged", f"{pace.STOPPED}; nothing is told of it") for name in left]
    last = [*map(_size, sizes), *([_CUT] if pace.stopped() else [])]
    if form == "text":
        lines = [f"{name}: {now}; {words}" for name, now, words in rows] or [_NONE]
        told: list[Block] = [Listing([*lines, *last], "none", whole=True)]
    else:
        told = [Table(("number", "now", "how far it may move"), rows, empty=_NONE)]
        told += [Listing(last)] if last else []
    return Document(subject, tuple(told))


_CUT = f"The search was {pace.STOPPED} (`--time-limit`): smallest standard sizes may be missing."
_NONE = "The site file writes no number for it that could move."


def _size(size: Smallest) -> str:
    same = " (as now)" if size.part == size.now else f" (now {size.now})"
    return f"smallest {size.name} that holds: {size.size}, {size.part}{same}"


def limit_words(limit: Limit) -> str:
    """How a number stands now, then how far it may move."""
    words = [f"fails now: {_rules(limit.now)}"] if limit.now else []
    words += [f"open now: {_rules(limit.open_now)}"] if limit.open_now else []
    words += _not_judged(limit)
    words += [f"waived now: {_rules(limit.waived_now)}"] if limit.waived_now else []
    return "; ".join([*(words or ["holds now"]), _range(limit)])


def _not_judged(limit: Limit) -> list[str]:
    """What is not judged while another rule fails, by that rule."""
    by: dict[str, list[Key]] = {}
    for key in sorted(limit.silent_now):
        by.setdefault(limit.silent_now[key], []).append(key)
    return [f"not judged while {rule} fails: {_rules(keys)}" for rule, keys in sorted(by.items())]


def _range(limit: Limit) -> str:
    """Both ends of a range in words."""
    number = limit.number
    apart = f"apart from what is {'open' if limit.open_now else 'not judged'} it " if limit.open_now or limit.silent_now else ""
    if limit.now:
        return apart + found if (found := _mended(limit)).startswith("holds") else found
    return apart + "; ".join((_end(number, limit.up, "up"), _end(number, limit.down, "down")))


def _mended(limit: Limit) -> str:
    """Where a number that fails now would hold."""
    sides = (limit.down, "below"), (limit.up, "above")
    found = " or ".join(_from(limit.number, end) for end, _ in sides if end.holds is not None)
    cut = " and ".join(side for end, side in sides if end.stopped and end.holds is None)
    stopped = f"{pace.STOPPED}, so that no value {cut} is known to mend it" if cut else ""
    return "; ".join(each for each in (found, stopped) if each) or "no value of it alone mends that"


def _from(number: Number, end: End) -> str:
    """From where on it holds, and how far then."""
    assert end.holds is not None
    way = "up" if end.holds > number.value else "down"
    further = end.beyond is not None and end.beyond.holds != end.holds
    beyond = f" {_end(number, end.beyond, way).removeprefix('holds ')}" if further and end.beyond else ""
    nearer = f" ({pace.STOPPED}; a nearer value may hold too)" if end.stopped and end.beyond is not None else ""
    return f"holds from {number.told(end.holds)}{nearer}{beyond or (' alone' if not end.stopped else '')}"


def _end(number: Number, end: End, way: str) -> str:
    holds = number.told(number.value if end.holds is None else end.holds)
    if end.fails is None:
        return f"holds {way} to {holds} at least{f' ({pace.STOPPED})' if end.stopped else ''}"
    again = f" (holds again at {number.told(end.again)})" if end.again is not None else ""
    first = f"{_rules(end.rules)} fails" if end.rules else f"{_rules(end.opens)} is open"
    if end.stopped:
        return f"holds {way} to {holds} at least; {first} at {number.told(end.fails)} ({pace.STOPPED} in between){again}"
    return f"holds {way} to {holds}; {first} first{again}"


def stretch_words(span: Stretch, unit: str) -> str:
    """A stretch of values in words: `up to 144 m`, `12 V to 13.2 V`, `from 21 d on`."""
    low, high = format_quantity(span.low, unit), format_quantity(span.high, unit)
    if span.further_down and span.further_up:
        return f"all tried, {low} to {high}"
    if span.further_down:
        return f"up to {high}"
    if span.further_up:
        return f"from {low} on, tried to {high}"
    return f"{low} alone" if span.low == span.high else f"{low} to {high}"


def ending_words(limit: Limit) -> str:
    """What fails or is open as the number is written, and what ends the values that hold on either side."""
    words = [f"as written {_rules(limit.now)} fails"] if limit.now else []
    words += [f"open: {_rules(limit.open_now)}"] if limit.open_now else []
    words += _not_judged(limit)
    words += [f"waived: {_rules(limit.waived_now)}"] if limit.waived_now else []
    for end, side in ((limit.up, "above"), (limit.down, "below")):
        far = end.beyond if limit.now else end
        words += [_ended(limit.number, far, side)] if far is not None and far.fails is not None else []
        words += [pace.STOPPED] if end.stopped or (far is not None and far.stopped) else []
    return "; ".join(dict.fromkeys(words))


def _ended(number: Number, end: End, side: str) -> str:
    edge = number.told(end.holds) if end.holds is not None else ""
    again = f" (holds again at {number.told(end.again)})" if end.again is not None else ""
    first = f"{_rules(end.rules)} fails" if end.rules else f"{_rules(end.opens)} is open"
    return f"{side} {edge} {first}{again}"


def extents_document(subject: str, found: Sequence[Extent], form: str = "text") -> Document:
    """For each number a table of where it holds beside other values; as a page each with its picture."""
    blocks: list[Block] = []
    for each in found:
        rows = [[_label(row), _stretches(row.stretches, each.unit), row.words] for row in each.rows]
        caption = f"{each.name}, now {format_quantity(each.now, each.unit)}"
        blocks.append(Table((each.other, "holds", "what ends it"), rows, caption=caption))
        if form == "html":
            svg, said = extent_picture(each)
            blocks.append(Picture(svg, said, said))
    last = [Paragraph(_CUT_ROWS)] if pace.stopped() else []
    return Document(subject, (*(blocks or [Paragraph(_NONE)]), *last))


_CUT_ROWS = f"The search was {pace.STOPPED} (`--time-limit`): rows may be missing."


def _label(row: Held) -> str:
    return f"{row.label} (as now)" if row.present else row.label


def _stretches(found: Sequence[Stretch], unit: str) -> str:
    return " and ".join(stretch_words(each, unit) for each in found) or "nowhere"


def _rules(keys: Iterable[Key]) -> str:
    return ", ".join(dict.fromkeys(rule for rule, _ in keys))
