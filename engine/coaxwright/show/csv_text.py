"""Rows as CSV text that no spreadsheet takes for formulas; the counterpart of reading them in `spreadsheet`."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

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


def csv_text(rows: Sequence[Sequence[str]]) -> str:
    """Rows as CSV with commas and plain line ends."""
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows([[harmless(cell) for cell in row] for row in rows])
    return stream.getvalue()
