"""Where a number holds beside other values: a bar for each value, on one scale, with the number as it is written."""

from __future__ import annotations

import re

from coaxwright.findings import Extent, Held, Stretch
from coaxwright.model.quantities import format_quantity
from coaxwright.reporting.page.charts.frame import BOTTOM, RIGHT, WIDE, Frame, Scale
from coaxwright.show.markup import Markup, number, tag

_TOP, _ROW, _LETTER, _NARROWEST, _WIDEST = 26.0, 24.0, 7.4, 46.0, 180.0
"""Heights, and widths of a letter (at the size of print, the larger one) and of the labels at the left."""


def extent_picture(extent: Extent) -> tuple[Markup, str]:
    """The picture, and in words what it shows.

    A bar is what holds; it is open where no end was met. Beside it stands its far end; a value with no bar holds nowhere.
    """
    longest = max(len(_label(row)) for row in extent.rows)
    left = min(max(longest * _LETTER + 8, _NARROWEST), _WIDEST)
    high = _TOP + _ROW * len(extent.rows) + BOTTOM
    made = Frame(Scale(0.0, _far(extent), left, WIDE - RIGHT), Scale(0.0, 1.0, high - BOTTOM, _TOP - 16), high)
    made.upright(extent.now, f"now {_told(extent, extent.now)}", "wanted")
    for place, row in enumerate(extent.rows):
        _row(made, extent, row, _TOP + _ROW * (place + 0.5))
    title = f"{extent.name[0].upper()}{extent.name[1:]} of {extent.subject} that holds"
    said = f"Now {_told(extent, extent.now)}. " + "; ".join(_said(extent, row) for row in extent.rows) + "."
    return made.done(title, said, f"{extent.name}, {_UNITS.get(extent.unit, extent.unit)}", "", rows=True), f"{title}. {said}"


_UNITS = {"d": "days", "degC": "°C"}
_AIR = 1.3
_MAKER = re.compile(r"[\w.-]+/(?=[\w.-]+(?:,|$))")


def _far(extent: Extent) -> float:
    """How far the scale goes: past the number and all ends that were met; open bars run to its end."""
    met = [end for row in extent.rows for span in row.stretches
           for end in (span.low, 0.0 if span.further_up else span.high)]  # fmt: skip
    return max([extent.now, *met]) * _AIR or 1.0


def _row(made: Frame, extent: Extent, row: Held, middle: float) -> None:
    made.words(_label(row), made.x.start - 5, middle + 3.5, "end", "lowest" if row.present else "")
    for span in row.stretches:
        start = made.x.start if span.further_down else made.x.at(span.low)
        stop = made.x.end if span.further_up else made.x.at(span.high)
        made.inside.append(
            tag("rect", class_="column now" if row.present else "column", x=number(start), y=number(middle - 6),
                width=number(max(stop - start, 1.5)), height=12)
        )  # fmt: skip
        if not span.further_up:
            made.words(_told(extent, span.high), stop + 3, middle + 3.5, "start")
        else:
            made.words("no end met", stop - 4, middle + 3.5, "end")
    if not row.stretches:
        made.words("holds nowhere", made.x.start + 4, middle + 3.5, "start", "limit")


def _label(row: Held) -> str:
    """The value without makers, cut where it would run into the bars."""
    label = _MAKER.sub("", row.label)
    most = int((_WIDEST - 8) / _LETTER)
    return label if len(label) <= most else f"{label[: most - 1]}…"


def _told(extent: Extent, value: float) -> str:
    return format_quantity(value, extent.unit)


def _said(extent: Extent, row: Held) -> str:
    ends = [_stretch(extent, span) for span in row.stretches]
    return f"{row.label}: {' and '.join(ends) or 'nowhere'}"


def _stretch(extent: Extent, span: Stretch) -> str:
    start = "" if span.further_down else f"{_told(extent, span.low)} "
    return f"{start}to {_told(extent, span.high)}{' at least' if span.further_up else ''}"
