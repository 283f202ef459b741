"""JSON of others: read as the standard library reads it, or refused at its place. Places counted by hand."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.errors import Refusal
from coaxwright.reading.json_text import MOST_DEEP, json_value

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=10,
)


@given(VALUES, st.booleans())
def test_what_was_written_is_read(value: object, plain: bool) -> None:
    assert json_value(json.dumps(value, ensure_ascii=plain, indent=1), "f", "") == value


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "f:1:1: this is no JSON (expecting value); name another"),
        ('{"a": 1,\n "b" 2}', "f:2:6: this is no JSON (expecting ':' delimiter); name another"),
        ('{"a": NaN}', "f: this is no JSON (`NaN` is no number); name another"),
        ("[\n" * 100,
         f"f:{MOST_DEEP + 1}:1: this is no JSON that can be read: it is nested more than 64 levels deep; name another"),
        ("[" * 200_000, "f:1:65: this is no JSON that can be read: it is nested more than 64 levels deep; name another"),
        ('{"a": ' * 100 + "1" + "}" * 100,
         "f:1:385: this is no JSON that can be read: it is nested more than 64 levels deep; name another"),
    ],
)  # fmt: skip
def test_what_is_none_is_refused_at_its_place(text: str, told: str) -> None:
    with pytest.raises(Refusal) as caught:
        json_value(text, "f", "name another")
    assert str(caught.value) == told


def test_brackets_in_words_are_no_nesting() -> None:
    words = "[{" * 500 + '\\"' + "[" * 500
    assert json_value(json.dumps([words] * 70), "f", "") == [words] * 70
    assert json_value("[" * MOST_DEEP + "]" * MOST_DEEP, "f", "")


def test_a_number_of_very_many_digits_is_refused() -> None:
    with pytest.raises(Refusal, match="this is no JSON"):
        json_value("9" * 5_000, "f", "")
