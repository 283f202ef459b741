"""Rows as CSV text that no spreadsheet takes for formulas; the counterpart of reading them in `spreadsheet`."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Sequence

_STARTS = ("=", "+", "-", "@", "\t", "\r", "\0")


def starts_like_formula(text: str) -> bool:
    """Whether a spreadsheet might run this."""
    return text[:1] in _STARTS and text != ""


def harmless(text: str) -> str:
    """The text with an apostrophe before it where it begins like a formula; a plain number stays one."""
    if not starts_like_formula(text):
        return text
    return text if _is_number(text) else f"'{text}"


def _is_number(text: str) -> bool:
    digits = text[1:]
    return text[0] in "+-" and digits.replace(".", "", 1).isdecimal() and digits.isascii()


def reversibly_harmless(text: str) -> str:
    """The same for cells that are read back: what begins with an apostrophe or a line end gets one too, numbers as well,
    so that taking one off always gives the text.
    """
    return f"'{text}" if text.startswith((*_STARTS, "\n", "'")) else text


def csv_text(rows: Iterable[Sequence[str]], guard: Callable[[str], str] = harmless, ends: str = "\n") -> str:
    """Rows as CSV with commas; `guard` makes each cell harmless."""
    stream = io.StringIO()
    csv.writer(stream, lineterminator=ends).writerows([[guard(cell) for cell in row] for row in rows])
    return stream.getvalue()
