"""Colour for a terminal, and text of users made harmless and measurable.

No markup language: a style is put around text that is already final, so nothing that a user wrote can change
how it is shown. Nothing here knows findings.
"""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Mapping
from typing import IO, Literal

from coaxwright.immutable import immutable

ColourChoice = Literal["auto", "always", "never"]
Style = Literal["error", "warning", "note", "open", "good", "quiet", "strong"]

_CODES: dict[Style, str] = {
    "error": "1;31",
    "warning": "1;33",
    "note": "1;34",
    "open": "1;35",
    "good": "32",
    "quiet": "2",
    "strong": "1",
}

# Unicode categories Cc, Cf, Cs, Zl and Zp (a test compares), less the joiners of emoji and Indic scripts.
_UNSEEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u180e\u200b\u200e\u200f"
    "\u2028-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\ufffb\U000110bd\U000110cd"
    "\U00013430-\U0001343f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0001\U000e0020-\U000e007f\ud800-\udfff]"
)
_NAMED = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}
_JOINER = "\u200d"
_EMOJI_FORM = "\ufe0f"


def visible(text: str) -> str:
    r"""Show every control, direction-changing, invisible or half character of `text` as an escape such as
    `\u202e`.

    The result is one line and holds nothing that a terminal obeys.
    """
    return _UNSEEN.sub(_escape, text)


def _escape(match: re.Match[str]) -> str:
    character = match[0]
    if character in _NAMED:
        return _NAMED[character]
    point = ord(character)
    if point < 0x100:
        return f"\\x{point:02x}"
    return f"\\u{point:04x}" if point < 0x10000 else f"\\U{point:08x}"


def columns(text: str) -> int:
    """Terminal columns of visible text: two for wide characters, none for combining ones and joined emoji."""
    if text.isascii():
        return len(text)
    total = 0
    last = 0
    previous = ""
    for character in text:
        width = _character_columns(character, previous)
        if character == _EMOJI_FORM and last == 1:
            width = 1
        total += width
        last = width or last
        previous = character
    return total


def _character_columns(character: str, previous: str) -> int:
    if previous == _JOINER or unicodedata.category(character) in {"Mn", "Me", "Cf"}:
        return 0
    if "\U0001f3fb" <= character <= "\U0001f3ff" and previous >= "\u261d":
        return 0  # a skin tone is drawn into the emoji before it
    return 2 if unicodedata.east_asian_width(character) in {"W", "F"} else 1


def colour_wanted(
    choice: ColourChoice, stream: IO[str] | None, environ: Mapping[str, str] = os.environ
) -> bool:
    """Whether to colour what goes to `stream` (None: a file).

    The option comes first, then NO_COLOR when not empty, then FORCE_COLOR, then TERM=dumb, then whether it is
    a terminal at all.
    """
    if choice != "auto":
        return choice == "always"
    if environ.get("NO_COLOR") or stream is None:
        return False
    if environ.get("FORCE_COLOR", "0") not in {"", "0"}:
        return True
    return environ.get("TERM") != "dumb" and stream.isatty()


@immutable
class Painter:
    """Puts styles around final text, or leaves it alone when `coloured` is false."""

    coloured: bool = False

    def paint(self, text: str, style: Style) -> str:
        """Return `text` in `style`."""
        return f"\x1b[{_CODES[style]}m{text}\x1b[0m" if self.coloured and text else text
