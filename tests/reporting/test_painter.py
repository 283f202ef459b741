"""Nothing a user wrote reaches the terminal as a command; widths agree with an independent table."""

from __future__ import annotations

import io
import sys
import unicodedata

import pytest
import wcwidth
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.show.painter import Painter, colour_wanted, columns, visible


def test_what_is_escaped_follows_the_unicode_categories() -> None:
    """Unicode Standard, table 4-4 (general category): Cc Cf Cs Zl Zp; the joiners U+200C and U+200D stay.

    The Arabic and other signs that are newer than this Python's tables are not compared.
    """
    hidden = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    joiners = {0x200C, 0x200D}
    for point in range(sys.maxunicode + 1):
        character = chr(point)
        category = unicodedata.category(character)
        if category == "Cn":
            continue
        expected = category in hidden and point not in joiners
        assert (visible(character) != character) == expected, f"U+{point:04X} {category}"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x1b[31mred", "\\x1b[31mred"),
        ("\x1b]8;;http://x\x07link", "\\x1b]8;;http://x\\x07link"),
        ("\x1b]52;c;AAAA\x07", "\\x1b]52;c;AAAA\\x07"),
        ("a\u202eb", "a\\u202eb"),
        ("a\u2066b\u2069", "a\\u2066b\\u2069"),
        ("\x9b2J", "\\x9b2J"),
        ("\x7f", "\\x7f"),
        ("\x00", "\\x00"),
        ("a\rb", "a\\rb"),
        ("a\nb", "a\\nb"),
        ("a\tb", "a\\tb"),
        ("a\x08b", "a\\x08b"),
        ("\u2028", "\\u2028"),
        ("\ufeff", "\\ufeff"),
        ("\udcff", "\\udcff"),
        ("\U000e0041", "\\U000e0041"),
        ("[/] [bold]", "[/] [bold]"),
        ("caf\u00e9 \U0001f6a4", "caf\u00e9 \U0001f6a4"),
    ],
)
def test_visible(text: str, shown: str) -> None:
    assert visible(text) == shown


@given(st.text())
@settings(max_examples=200)
def test_visible_text_is_one_printable_line(text: str) -> None:
    shown = visible(text)
    assert len(shown.splitlines()) <= 1
    assert not any(unicodedata.category(each) in {"Cc", "Cs"} for each in shown)
    assert visible(shown) == shown


@pytest.mark.parametrize(
    "text",
    ["abc", "船着場", "ｆｕｌｌ", "e\u0301", "\U0001f6a4", "\U0001f468\u200d\U0001f469\u200d\U0001f467",
     "\u2600\ufe0f", "한글", "\U0001f44d\U0001f3fd", "Ω²", "กำ", "a\u0308\u0323b"],
)  # fmt: skip
def test_columns_agree_with_wcwidth(text: str) -> None:
    """Oracle: wcwidth, an implementation of Unicode Standard Annex #11 for terminals."""
    assert columns(text) == wcwidth.wcswidth(text)


@given(st.text(st.characters(categories=["L", "N", "P", "Sm"], max_codepoint=0x2FFFF), max_size=12))
@settings(max_examples=200)
def test_columns_of_letters_agree_with_wcwidth(text: str) -> None:
    """Where the oracle's Unicode version and this Python's agree on the width of each character alone."""
    known = "".join(each for each in text if columns(each) == wcwidth.wcwidth(each))
    assert columns(known) == sum(map(wcwidth.wcwidth, known))


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("choice", "terminal", "environ", "wanted"),
    [
        ("auto", True, {}, True),
        ("auto", False, {}, False),
        ("auto", True, {"NO_COLOR": "1"}, False),
        ("auto", True, {"NO_COLOR": ""}, True),
        ("auto", True, {"TERM": "dumb"}, False),
        ("auto", False, {"FORCE_COLOR": "1"}, True),
        ("auto", False, {"FORCE_COLOR": "0"}, False),
        ("auto", False, {"FORCE_COLOR": ""}, False),
        ("auto", True, {"FORCE_COLOR": "1", "NO_COLOR": "1"}, False),
        ("auto", True, {"FORCE_COLOR": "1", "TERM": "dumb"}, True),
        ("always", False, {"NO_COLOR": "1", "TERM": "dumb"}, True),
        ("never", True, {"FORCE_COLOR": "1"}, False),
    ],
)
def test_colour_wanted(choice: str, terminal: bool, environ: dict[str, str], wanted: bool) -> None:
    stream = _Terminal() if terminal else io.StringIO()
    assert colour_wanted(choice, stream, environ) is wanted  # type: ignore[arg-type]


def test_a_file_is_never_coloured_by_itself() -> None:
    assert not colour_wanted("auto", None, {"FORCE_COLOR": "1"})


def test_paint() -> None:
    assert Painter(False).paint("x", "error") == "x"
    assert Painter(True).paint("x", "error") == "\x1b[1;31mx\x1b[0m"
