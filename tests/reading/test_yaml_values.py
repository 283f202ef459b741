"""What scalars mean, and where values stand, by both parsers."""

from __future__ import annotations

import gc
import hashlib
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.reading.yaml_source import Document, parse_document, read_document


@pytest.fixture(autouse=True, params=["libyaml", "python"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "libyaml" and not yaml.__with_libyaml__:
        pytest.skip("PyYAML was built without libyaml")
    monkeypatch.setattr(yaml, "__with_libyaml__", request.param == "libyaml")
    return str(request.param)


# YAML 1.2.2 section 10.3.2 (core schema) where it gives one of our types; text for all its other readings.
SCALARS: list[tuple[str, Any]] = [
    ("true", True),
    ("false", False),
    ("null", None),
    ("~", None),
    ("", None),
    ("0", 0),
    ("7", 7),
    ("-12", -12),
    ("12.5", 12.5),
    ("1e3", 1000.0),
    ("-2.5E-1", -0.25),
    ("999999999999999999", 999999999999999999),
    ("no", "no"),
    ("yes", "yes"),
    ("on", "on"),
    ("off", "off"),
    ("y", "y"),
    ("True", "True"),
    ("NULL", "NULL"),
    ("010", "010"),
    ("007", "007"),
    ("0x1F", "0x1F"),
    ("0o17", "0o17"),
    ("0b1", "0b1"),
    ("1:20", "1:20"),
    ("12:30:45", "12:30:45"),
    ("16:9", "16:9"),
    ("1_000", "1_000"),
    ("2027-06-01", "2027-06-01"),
    ("+5", "+5"),
    ("1.", "1."),
    (".5", ".5"),
    ("-", "-"),
    ("=", "="),
    ("85 m", "85 m"),
    ("2592x1944@20", "2592x1944@20"),
    ("rec1/1", "rec1/1"),
    ("a#b", "a#b"),
    ("12 # comment", 12),
    ("nan", "nan"),
    ("inf", "inf"),
    ("\u0661", "\u0661"),
    ("'85'", "85"),
    ('"true"', "true"),
    ("''", ""),
    ('"a\\tb\\u00e9"', "a\tbé"),
    ("|\n  one\n  two\n", "one\ntwo\n"),
    (">-\n  one\n  two\n", "one two"),
    ("one\n  two", "one two"),
    ("{}", {}),
    ("[]", []),
    ("[1, [2]]", [1, [2]]),
]


@pytest.mark.parametrize(("written", "value"), SCALARS, ids=[repr(row[0]) for row in SCALARS])
def test_scalars(written: str, value: object) -> None:
    if written == "-":
        written = "'-'"
    for text in (f"a: {written}\n", f"b: 1\na: {written}"):
        read = parse_document(text, "f").value["a"]
        assert read == value
        assert type(read) is type(value)


def test_keys_stay_text() -> None:
    text = "101: a\n007: b\nno: c\n1.5: d\ntrue: e\n'x y': f\nnull: g\n2027-01-01: h\n"
    assert list(parse_document(text, "f").value) == [
        "101",
        "007",
        "no",
        "1.5",
        "true",
        "x y",
        "null",
        "2027-01-01",
    ]


TEXT = """\
site: Über 🚤 boats
cameras:
  c1:  # first
    over: [{cable: rg59, length: 85 m}, 'two']

  c2:
    - a
    - {x: 1}
# end
"""


def slices(document: Document, path: tuple[str | int, ...]) -> tuple[str, tuple[int, int]]:
    span = document.span(path)
    assert document.text[: span.start].count("\n") + 1 == span.line
    return document.text[span.start : span.end], (span.line, span.column)


def test_places_of_values() -> None:
    document = parse_document(TEXT, "f")
    assert slices(document, ("site",)) == ("Über 🚤 boats", (1, 7))
    assert slices(document, ("cameras", "c1", "over")) == ("[{cable: rg59, length: 85 m}, 'two']", (4, 11))
    assert slices(document, ("cameras", "c1", "over", 0, "length")) == ("85 m", (4, 34))
    assert slices(document, ("cameras", "c1", "over", 1)) == ("'two'", (4, 41))
    assert slices(document, ("cameras", "c2", 1, "x")) == ("1", (8, 11))
    assert slices(document, ("cameras", "c1"))[0] == "over: [{cable: rg59, length: 85 m}, 'two']"
    assert slices(document, ("cameras", "c2")) == ("- a\n    - {x: 1}", (7, 5))
    assert slices(document, ()) == (TEXT.removesuffix("\n# end\n"), (1, 1))


def test_places_of_keys() -> None:
    document = parse_document(TEXT, "f")
    span = document.key_span(("cameras", "c1", "over", 0, "length"))
    assert (span.line, span.column, document.text[span.start : span.end]) == (4, 26, "length")
    span = document.key_span(("cameras", "c2", 0))
    assert document.text[span.start : span.end] == "a"


def test_nearest_place_of_what_is_not_there() -> None:
    document = parse_document(TEXT, "f")
    assert document.nearest_span(("cameras", "c1", "part")) == document.key_span(("cameras", "c1"))
    assert document.nearest_span(("cameras", "c1", "over", 9, "x")) == document.key_span(
        ("cameras", "c1", "over")
    )
    assert document.nearest_span(("nothing",)).line == 1
    assert document.nearest_span(("cameras", "c2", 0)) == document.span(("cameras", "c2", 0))


@pytest.mark.parametrize(
    "path", [("nothing",), ("site", "x"), ("cameras", 0), ("cameras", "c2", 5), ("cameras", "c2", "x")]
)
def test_no_place_for_no_path(path: tuple[str | int, ...]) -> None:
    with pytest.raises(KeyError):
        parse_document(TEXT, "f").span(path)


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_line_ends(ends: str) -> None:
    document = parse_document(TEXT.replace("\n", ends), "f")
    span = document.span(("cameras", "c1", "over", 0, "length"))
    assert (span.line, span.column, document.text[span.start : span.end]) == (4, 34, "85 m")


def test_line_separators_inside_text_are_no_line_ends() -> None:
    document = parse_document('a: "x\u2028y"\nb: 二つ 🎥\nc: 1\n', "f")
    assert document.value == {"a": "x\u2028y", "b": "二つ 🎥", "c": 1}
    span = document.span(("c",))
    assert (span.line, span.column, document.text[span.start : span.end]) == (3, 4, "1")


def test_byte_order_mark_is_taken_off_and_told(tmp_path: Path) -> None:
    path = tmp_path / "bom.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\nb: 2\n")
    document = read_document(path)
    assert (document.value, document.bom, document.text) == ({"a": 1, "b": 2}, True, "a: 1\nb: 2\n")
    assert (document.span(("a",)).column, document.span(("b",)).line) == (4, 2)
    assert document.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_collector_is_left_as_it_was() -> None:
    assert gc.isenabled()
    parse_document("a: 1", "f")
    assert gc.isenabled()
    gc.disable()
    try:
        parse_document("a: 1", "f")
        assert not gc.isenabled()
    finally:
        gc.enable()


# PyYAML writes such text plain, since YAML 1.1 wants a point in a float; the YAML 1.2 core schema reads a number.
EXPONENT = re.compile(r"[-+]?[0-9]+[eE][-+]?[0-9]+")
LEAVES = st.one_of(
    st.booleans(),
    st.none(),
    st.integers(-(10**15), 10**15),
    st.floats(-1e9, 1e9).map(lambda number: round(number, 3)),
    st.text(
        st.characters(codec="utf-8", exclude_categories=("C",), exclude_characters="\x85\ufeff"), max_size=8
    ).filter(lambda text: not EXPONENT.fullmatch(text)),
)
NAMES = st.text("abcdefgh", min_size=1, max_size=4)
TREES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3)
)


@settings(max_examples=150, deadline=None)
@given(
    st.dictionaries(NAMES, TREES, max_size=4), st.sampled_from([None, True, False]), st.sampled_from([2, 4])
)
def test_what_is_written_is_read_and_every_value_stands_at_its_place(
    tree: dict[str, Any], flow: bool | None, indent: int
) -> None:
    text = yaml.safe_dump(tree, default_flow_style=flow, indent=indent, allow_unicode=True, sort_keys=False)
    document = parse_document(text, "f")
    assert document.value == tree
    for path, value in paths(tree, ()):
        span = document.span(path)
        alone = document.text[span.start : span.end]
        if not isinstance(value, (dict, list)):
            assert (
                parse_document(f"a: {alone}" if "\n" not in alone else f"a:\n {alone}", "f").value["a"]
                == value
            )
        if path and isinstance(path[-1], str):
            key = document.key_span(path)
            assert document.text[key.start : key.end].strip("'\"") == path[-1]


def paths(value: Any, path: tuple[str | int, ...]) -> list[tuple[tuple[str | int, ...], Any]]:
    """All paths of a tree with their values."""
    found = [(path, value)] if path else []
    entries = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for step, inner in entries:
        found += paths(inner, (*path, step))
    return found


def test_places_in_a_large_document_are_found_quickly(guarded: Callable[[float], Any]) -> None:
    text = "cameras:\n" + "".join(f"  c{number}: {{part: x/y, at: [1, 2]}}\n" for number in range(3000))
    document = parse_document(text, "f")
    with guarded(1000):
        lines = [document.span(("cameras", f"c{number}", "at", 1)).line for number in range(3000)]
    assert lines == list(range(2, 3002))
