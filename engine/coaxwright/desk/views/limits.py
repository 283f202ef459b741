"""How far the numbers of a subject may move: each with a slider for a trial that writes nothing until it is used."""

from __future__ import annotations

import json
from collections.abc import Sequence

from coaxwright.desk.views.pieces import button
from coaxwright.fixes.limit_words import limit_words
from coaxwright.fixes.limits import Limit, Smallest
from coaxwright.fixes.patching import pointer
from coaxwright.show.markup import NOTHING, Markup, join, tag

_WIDE = 100.0


def limits(subject: str, found: Sequence[Limit], smallest: Sequence[Smallest]) -> Markup:
    """Every number that the file writes for a subject, and the smallest standard sizes that hold."""
    if not found and not smallest:
        return tag("p", "The file writes no number for it that could move.")
    note = "A trial: nothing is changed until you use it. Every range was found by judging the site again with other values."
    sizes = [tag("li", _size(each)) for each in smallest]
    return join([
        tag("p", note, class_="quiet"),
        *[_limit(subject, each, place) for place, each in enumerate(found)],
        tag("ul", sizes) if sizes else None,
    ])  # fmt: skip


def _size(each: Smallest) -> str:
    now = "as now" if each.part == each.now else f"now {each.now}"
    return f"Smallest {each.name} that holds: {each.size}, {each.part} ({now})."


def _limit(subject: str, limit: Limit, place: int) -> Markup:
    number = limit.number
    words = limit_words(limit)
    low, high = _reach(limit)
    anchor, now = f"lim-{place}", number.told(number.value)
    asked = {"subject": subject, "path": pointer(number.path), "anchor": anchor, "label": _capital(number.name)}
    slider = tag(
        "input", type="range", id=anchor, min=f"{low:.10g}", max=f"{high:.10g}", step=f"{number.step:.10g}",
        value=f"{number.value:.10g}", aria_valuetext=now, aria_describedby=f"{anchor}-told", name="value", data_live="trial",
        data_args=json.dumps(asked),
    )  # fmt: skip
    ends = tag("div", tag("span", number.told(low)), tag("span", number.told(high)), class_="ends")
    use = None if number.of_part else button("patch", "Use this value", off="it is the value now")
    return tag(
        "div",
        tag("label", tag("b", f"{_capital(number.name)}: "), tag("output", now, id=f"{anchor}-now"), for_=anchor),
        tag("p", f"{_capital(words)}.", id=f"{anchor}-told", class_="quiet"),
        tag("div", slider, _track(limit, low, high), class_="track"), ends,
        tag("div", tag("span", use, id=f"{anchor}-use"), tag("p", id=f"{anchor}-trial", class_="trial"), class_="acts"),
        class_="lim",
    )  # fmt: skip


def trial(anchor: str, told: str, says: str, patch: object, label: str) -> dict[str, Markup]:
    """The parts of one number's line that a trial value changes."""
    use = button("patch", f"Use {told}", patch=patch, name=label) if patch else NOTHING
    return {f"{anchor}-now": join([told]), f"{anchor}-trial": join([says]), f"{anchor}-use": use}


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def _reach(limit: Limit) -> tuple[float, float]:
    """The ends of the slider: a little beyond where it holds, within what the number may be."""
    number = limit.number
    known = [
        number.value,
        *(end.holds for end in (limit.down, limit.up) if end.holds is not None and end.fails is not None),
    ]
    known += [end.fails for end in (limit.down, limit.up) if end.fails is not None]
    low, high = max(number.least, min(known) * 0.5), min(number.most, max(known) * 1.5)
    return number.rounded(low) if low > number.least else low, number.rounded(high) if high < number.most else high


def _holding(limit: Limit, low: float, high: float) -> tuple[float, float] | None:
    """The stretch that holds, as shares of the slider; None where no value was found that does."""
    if limit.now:
        ends = [end for end in (limit.down, limit.up) if end.holds is not None]
        if not ends or ends[0].holds is None:
            return None
        beyond = (
            ends[0].beyond.holds if ends[0].beyond is not None and ends[0].beyond.holds is not None else ends[0].holds
        )
        start, stop = sorted((ends[0].holds, beyond))
    else:
        start = low if limit.down.fails is None else limit.down.holds or low
        stop = high if limit.up.fails is None else limit.up.holds or high
    wide = (high - low) or 1.0
    return max(0.0, (start - low) / wide), min(1.0, (stop - low) / wide)


def _track(limit: Limit, low: float, high: float) -> Markup:
    """Where it holds, unbroken, and where it fails, broken; the words above say the same."""
    found = _holding(limit, low, high)
    fails = tag("path", class_="no", d=f"M0 4H{_WIDE:g}")
    holds = tag("path", class_="ok", d=f"M{found[0] * _WIDE:.1f} 4H{found[1] * _WIDE:.1f}") if found else None
    return tag("svg", fails, holds, viewBox=f"0 0 {_WIDE:g} 8", preserveAspectRatio="none", aria_hidden="true")
