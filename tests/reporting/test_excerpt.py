"""The mark stands under what is meant, as a terminal shows it."""

from __future__ import annotations

import pytest
import wcwidth
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.reporting.excerpt import TAB_STOP, WIDEST, excerpt

ROOM = WIDEST + 6  # with dots at both ends


def _under(shown: str, mark: str) -> str:
    """The text above the mark, by the columns that an independent table gives."""
    left = len(mark) - len(mark.lstrip(" "))
    at = 0
    kept = ""
    for character in shown:
        if left <= at < len(mark):
            kept += character
        at += max(wcwidth.wcwidth(character), 0)
    return kept


@pytest.mark.parametrize(
    ("line", "column", "end", "meant"),
    [
        ("  length: 85 m", 11, 15, "85 m"),
        ("\tlength: 85 m", 10, 14, "85 m"),
        ("ab\t\tx: 85 m", 8, 12, "85 m"),
        ("船着場: {from: psu1}", 6, 18, "{from: psu1}"),
        ("\U0001f6a4 boat: 3 m", 9, 12, "3 m"),
        ("e\u0301tang: 3 m", 9, 12, "3 m"),
        ("x: 3 m", 4, 5, "3"),
        ("x: \u202eabc", 4, 8, "\\u202eabc"),
        ("whole: line   ", 1, 0, "whole: line"),
        ("crlf: 4 m\r", 7, 0, "4 m"),
    ],
)
def test_mark_is_under_what_is_meant(line: str, column: int, end: int, meant: str) -> None:
    shown, mark = excerpt(line, column, end)
    assert _under(shown, mark) == meant


def test_shapes_of_the_mark() -> None:
    assert excerpt("abc", 2, 3)[1] == " !"
    assert excerpt("abcd", 2, 4)[1] == " \\/"
    assert excerpt("abcdef", 1, 6)[1] == "\\___/"


@pytest.mark.parametrize("column", [1, 2, 500, 999, 1000, 1001])
def test_long_lines_are_cut_around_what_is_meant(column: int) -> None:
    line = "".join(chr(ord("a") + index % 26) for index in range(1000))
    shown, mark = excerpt(line, column, column + 5)
    assert len(shown) <= ROOM
    assert len(mark) <= ROOM
    assert _under(shown, mark).startswith(line[column - 1 : column + 4])
    assert "..." in shown


def test_long_meant_stretch_is_cut_too() -> None:
    shown, mark = excerpt("x" * 1000, 1, 1001)
    assert max(len(shown), len(mark)) <= ROOM


def test_wide_characters_at_the_cut() -> None:
    line = "船" * 200 + "X" + "船" * 200
    shown, mark = excerpt(line, 201, 202)
    assert _under(shown, mark) == "X"


@given(
    st.text(st.sampled_from("ab \t{}船é\U0001f6a4\u202e\x1b\u0301"), max_size=250),
    st.integers(-3, 300),
    st.integers(-3, 300),
)
@settings(max_examples=200)
def test_any_place_is_survived(line: str, column: int, end: int) -> None:
    shown, mark = excerpt(line, column, end)
    assert mark.strip()
    assert len(shown.splitlines()) <= 1
    assert "\x1b" not in shown
    assert "\t" not in shown
    assert wcwidth.wcswidth(shown) <= ROOM + TAB_STOP
