"""Complaints of the model library in plain words: what is wrong, and what would be right."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.model.quantities import QuantityError, quoted
from coaxwright.reading.model_paths import Expected
from coaxwright.reading.suggest import did_you_mean

Words = tuple[str, str]
_SHOWN_KEYS = 16
_CHOICE = re.compile(r"'([^']*)'|(?<![\w'])(-?\d+)(?![\w'])")

# Patterns of the models, in words; those of quantities never come here: they are read by their kind.
_PATTERNS: tuple[tuple[str, str], ...] = (
    ("^[A-Za-z0-9][A-Za-z0-9_.-]*$", "letters, digits, `_`, `.` and `-`, with a letter or digit first"),
    ("^[a-z0-9][a-z0-9./_-]*$", "small letters, digits, `.`, `/`, `_` and `-`, with a letter or digit first"),
    ("^[a-z0-9][a-z0-9-]*$", "small letters, digits and `-`, with a letter or digit first"),
    ("^[A-Z]{3}$", "three capital letters, as in EUR"),
    (r"^IP", "an IP code, as in IP66"),
    (r"^IK", "an IK code, as in IK08"),
)


def complaint(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    """What is wrong and what would be right, for one entry of the library's list.

    `key` is the key or index at the place, `expected` what the model wants there.
    """
    teller = _TELLERS.get(error["type"]) or _by_family(error["type"])
    return teller(error, key, expected)


def _by_family(kind: str) -> Callable[[Mapping[str, Any], str, Expected], Words]:
    for beginning, teller in _FAMILIES.items():
        if kind.startswith(beginning):
            return teller
    return _other


def _missing(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    if key.isdigit():
        return f"value {int(key) + 1} of this list is missing", "write all its values"
    return f"`{key}` is missing here", f"add `{key}: {expected.example or '...'}`"


def _unknown_key(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    if error["input"] is None and key[:1].isdigit():
        return f"{quoted(key)} stands behind a comma, which ends the value before it", "write a decimal point"
    near = did_you_mean(key, expected.keys)
    shown = ", ".join(expected.keys[:_SHOWN_KEYS])
    more = ", ..." if len(expected.keys) > _SHOWN_KEYS else ""
    return f"{quoted(key)} is not a key here", near or (
        f"keys here are {shown}{more}" if shown else "remove it"
    )


def _value_error(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    raised = error["ctx"]["error"]
    if isinstance(raised, QuantityError):
        return raised.what, raised.right
    what, found, right = str(raised).partition(": write ")
    return _printable(what), _printable(f"write {right}") if found else f"see what `{key}` may be"


def _printable(text: str) -> str:
    return "".join(ch if ch.isprintable() else ascii(ch)[1:-1] for ch in text)


def _choice(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    choices = [text or number for text, number in _CHOICE.findall(error["ctx"]["expected"])]
    given = error["input"]
    near = did_you_mean(given, choices) if isinstance(given, str) else ""
    many = f"write one of {', '.join(choices)}" if len(choices) > 1 else f"write {choices[0]}"
    return f"{quoted(given)} is not a choice for `{key}`", near or many


def _tag(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    choices = _CHOICE.findall(error["ctx"]["expected_tags"])
    kinds = [text for text, _number in choices]
    given = str(error["ctx"]["tag"])
    near = did_you_mean(given, kinds)
    return f"{quoted(given)} is no kind of part", near or f"write one of {', '.join(kinds)}"


def _no_tag(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    if not isinstance(error["input"], dict):
        return _group(error, key, expected)
    return "`kind` is missing here", "add `kind: camera`, or the kind of part that this is"


def _pattern(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    pattern = error["ctx"]["pattern"]
    words = next((words for known, words in _PATTERNS if pattern.startswith(known)), "")
    shown = quoted(error["input"])
    if not error["input"]:
        return "a name is empty", f"write {words}" if words else "write a name"
    return f"{shown} cannot stand here", f"write {words}" if words else "see the documentation of this key"


def _length(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    most = error["ctx"].get("max_length")
    if most is None:
        return f"`{key}` is empty", "write at least one character, or leave the key out"
    return f"{quoted(error['input'], 24)} is longer than {most} characters", "write less"


def _entries(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    limits = error["ctx"]
    if "min_length" in limits:
        return f"`{key}` has too few entries", f"write at least {limits['min_length']}"
    return f"`{key}` has too many entries", f"write at most {limits.get('max_length')}"


def _bound(words: str, name: str) -> Callable[[Mapping[str, Any], str, Expected], Words]:
    def tell(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
        limit = error["ctx"][name]
        size = "small" if name in ("gt", "ge") else "large"
        return f"{quoted(error['input'])} is too {size} for `{key}`", f"write {words} {limit:g}"

    return tell


def _wants(what: str, right: str) -> Callable[[Mapping[str, Any], str, Expected], Words]:
    def tell(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
        given = error["input"]
        return f"`{key}` needs {what}, not {_named(given)}", right.format(given=_plain(given))

    return tell


def _named(given: object) -> str:
    """What was written, in words: `the text 'x'`, `the number 5`, `a list`."""
    if given is None:
        return "nothing"
    if isinstance(given, bool):
        return "true or false"
    if isinstance(given, (list, dict)):
        return quoted(given).strip("`")
    return f"the {'text' if isinstance(given, str) else 'number'} {quoted(given)}"


def _plain(given: object) -> str:
    return quoted(given).strip("`") if isinstance(given, (str, int, float)) else "..."


def _other(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    right = f"write it as {expected.example}" if expected.example else "see the documentation of this key"
    return f"{quoted(error['input'])} cannot be used for `{key}`", right


def _text(error: Mapping[str, Any], key: str, expected: Expected) -> Words:
    given = error["input"]
    quotable = isinstance(given, (int, float)) and not isinstance(given, bool)
    right = f'put it in quotes, as in "{_plain(given)}"' if quotable else "write one text"
    return f"`{key}` needs a text, not {_named(given)}", right


_group = _wants("a group of keys", "write `key: value` lines under it, or `{{key: value}}`")
_date = _wants("a date", "write it as 2027-06-30")

_FAMILIES: dict[str, Callable[[Mapping[str, Any], str, Expected], Words]] = {
    "bool_": _wants("true or false", "write true or false"),
    "int_": _wants("a whole number", "write a whole number"),
    "float_": _wants("a number", "write a number"),
    "finite_": _wants("a finite number", "write a number"),
    "string_": _text,
    "dict_": _group,
    "model_": _group,
    "tuple_": _wants("a list", "write `[{given}]`"),
    "list_": _wants("a list", "write `[{given}]`"),
    "date": _date,
}
_TELLERS: dict[str, Callable[[Mapping[str, Any], str, Expected], Words]] = {
    "missing": _missing,
    "extra_forbidden": _unknown_key,
    "value_error": _value_error,
    "literal_error": _choice,
    "union_tag_invalid": _tag,
    "union_tag_not_found": _no_tag,
    "string_pattern_mismatch": _pattern,
    "string_too_short": _length,
    "string_too_long": _length,
    "too_short": _entries,
    "too_long": _entries,
    "greater_than": _bound("more than", "gt"),
    "greater_than_equal": _bound("at least", "ge"),
    "less_than": _bound("less than", "lt"),
    "less_than_equal": _bound("at most", "le"),
}
