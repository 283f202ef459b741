"""What an unquoted YAML scalar means here: text, unless it is plainly something else.

Of YAML's many implicit types only these are kept: `true` and `false`; decimal integers and fractions without
a needless leading zero; `null`, `~` or nothing. `no`, `on`, `010`, `1:20`, `16:9`, `1_000`, `0x1F` and dates
stay text.
"""

from __future__ import annotations

import re

_INTEGER = re.compile(r"-?(?:0|[1-9][0-9]*)", re.ASCII)
_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?", re.ASCII)
_NOT_FINITE = re.compile(r"[+-]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)", re.ASCII)
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}
_NUMERIC_STARTS = frozenset("-+.0123456789")
_MAX_DIGITS = 18

Scalar = str | int | float | bool | None


class ScalarRefusal(ValueError):
    """A scalar that cannot be kept as it stands: `what` is wrong, what would be `right`."""

    def __init__(self, what: str, right: str) -> None:
        self.what = what
        self.right = right
        super().__init__(f"{what}; {right}")


def resolve(text: str) -> Scalar:
    """The value of an unquoted scalar. Raises ScalarRefusal for numbers without end or beyond 18 digits."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in _NUMERIC_STARTS:
        return text
    if _INTEGER.fullmatch(text):
        _check_digits(text)
        return int(text)
    if _DECIMAL.fullmatch(text):
        return _decimal(text)
    if _NOT_FINITE.fullmatch(text):
        raise ScalarRefusal(f"`{text}` is not a finite number", "write a number, or quote it if it is a text")
    return text


def _decimal(text: str) -> float:
    _check_digits(text)
    value = float(text)
    if value in (float("inf"), float("-inf")):
        raise ScalarRefusal(f"`{text[:24]}` is too large for a number", "write a smaller number")
    return value


def _check_digits(text: str) -> None:
    digits = sum(character.isdigit() for character in text)
    if digits > _MAX_DIGITS:
        what = f"a number of {digits} digits cannot be kept exactly"
        raise ScalarRefusal(what, f"write at most {_MAX_DIGITS} digits, or quote it if it is a text")


class Resolved(dict[str, Scalar]):
    """Unquoted scalars of one document with their values: a repeated one costs a dict look-up."""

    def __missing__(self, text: str) -> Scalar:
        """Resolve a new one. Raises ScalarRefusal."""
        value = self[text] = resolve(text)
        return value


class Names(dict[str, str | None]):
    """Keys seen so far, one string object each. What is no good as a key (nothing, a merge) maps to None."""

    def __init__(self) -> None:
        super().__init__({"": None, "<<": None})

    def __missing__(self, text: str) -> str:
        """Keep a new one."""
        self[text] = text
        return text
