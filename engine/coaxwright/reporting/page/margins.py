"""How much is left before a limit, as a length and in words, the same for every quantity on the page.

A margin is a share of the limit, as in findings: 0.07 is 7 % to spare, -0.07 is short by 7 %. The gauge has a
notch where the limit lies: what is left grows to the right of it, what is short to the left. Half the limit fills
either side; more than that is cut and marked. Length, side, hatching and word each say it; colour only repeats it.
"""

from __future__ import annotations

from coaxwright.immutable import immutable
from coaxwright.reporting import wording
from coaxwright.show.markup import Markup, tag

FULL = 0.5
NEAR = 0.05
"""Below 5 % to spare a gauge says `close`: common practice, and only a word; rules have their own limits."""
_WIDTH, _HEIGHT, _NOTCH, _LEAST = 72.0, 10.0, 24.0, 2.0


@immutable
class Margin:
    """A margin, or why there is none: `without` then says so in words."""

    share: float | None
    without: str = "nothing asked"

    @property
    def words(self) -> str:
        """`7 % to spare`, `short by 7 %`, `on the limit`, or why there is none."""
        return "on the limit" if self.share == 0 else wording.margin(self.share) or self.without

    @property
    def state(self) -> str:
        """`short`, `close`, `spare` or `none`."""
        if self.share is None:
            return "none"
        return "short" if self.share < 0 else "close" if self.share < NEAR else "spare"


def above(value: float | None, least: float | None, asked: str = "nothing asked") -> Margin:
    """Margin of a value that must not be below `least`; `asked` is said where there is no `least`."""
    if least is None or least <= 0:
        return Margin(None, asked)
    return Margin(None, "not known") if value is None else Margin(_share(value / least))


def below(value: float | None, most: float | None, asked: str = "no limit known") -> Margin:
    """Margin of a value that must not be above `most`."""
    if most is None or most <= 0:
        return Margin(None, asked)
    return Margin(None, "not known") if value is None else Margin(0.0 - _share(value / most))


def _share(ratio: float) -> float:
    """How far a ratio is above one; what only rounding makes of it is nothing."""
    return 0.0 if abs(ratio - 1.0) < 1e-9 else ratio - 1.0


def smaller(*margins: Margin) -> Margin:
    """The margin with least to spare of those that are known; the first where none is."""
    known = [each for each in margins if each.share is not None]
    return min(known, key=lambda each: each.share or 0.0) if known else margins[0]


def gauge(margin: Margin) -> Markup:
    """The bar and its words."""
    return tag("span", _bar(margin), tag("span", margin.words, class_="left"), class_=f"gauge {margin.state}")


def _bar(margin: Margin) -> Markup:
    parts = [tag("path", class_="base", d=f"M0 {_HEIGHT / 2:g}H{_WIDTH:g}")]
    if margin.share is not None:
        parts.append(_length(margin.share))
    parts.append(tag("path", class_="notch", d=f"M{_NOTCH:g} 0V{_HEIGHT:g}"))
    return tag("svg", parts, class_="bar", viewBox=f"0 0 {_WIDTH:g} {_HEIGHT:g}", aria_hidden="true")


def _length(share: float) -> Markup:
    room = _NOTCH if share < 0 else _WIDTH - _NOTCH
    long = max(_LEAST, min(abs(share) / FULL, 1.0) * room) if share else 0.0
    start = _NOTCH - long if share < 0 else _NOTCH
    body = f"M{start:.1f} 2.5h{long:.1f}v5h-{long:.1f}z"
    if share < 0:
        body += "".join(f"M{start + at:.1f} 2.5l-2.5 5" for at in _hatches(long))
    elif share > FULL:
        body += f"M{_WIDTH - 6:g} 1l3 8M{_WIDTH - 3:g} 1l3 8"
    return tag("path", class_="fill", d=body)


def _hatches(long: float) -> list[float]:
    return [3.0 + 3.5 * step for step in range(int(max(0.0, long - 1.0) / 3.5))]
