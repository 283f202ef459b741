"""Limits in their units, sentences with placeholders, the environment made of the sheets, and places in a
file.
"""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.errors import Span
from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.kinds import fact_kinds, known_units
from coaxwright.language.places import place_span
from coaxwright.language.templates import check_template, fill, template_from_plain, template_to_plain
from coaxwright.language.types import Bool, Int, ListOf, Num, Ref, Text, Unit
from coaxwright.language.typing_check import check_expression
from coaxwright.model.quantities import QuantityError
from coaxwright.reading.yaml_source import parse_document
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.limits import LimitValue, override_limit, read_limit
from coaxwright.rulebook.scope import kind_scope


def _limit(value: Any) -> LimitValue:
    return read_limit("x", {"value": value, "source": "common practice"}, known_units())


@pytest.mark.parametrize(
    ("written", "value", "unit"),
    [
        # SI brochure and IEC 80000-13: prefixes; 1 ft = 0.3048 m exactly (agreement of 1959).
        ("10 %", 0.1, ""),
        ("0.5 V", 0.5, "V"),
        ("350 mA", 0.35, "A"),
        ("280 ft", 85.344, "m"),
        ("4 TB", 4e12, "B"),
        ("24 h", 24.0, "h"),
        ("30 days", 30.0, "d"),
        ("0.5 mm", 0.5, "mm"),
        ("12.5 fps", 12.5, "fps"),
        ("75 ohm", 75.0, "ohm"),
        ("245760 1/s", 245760.0, "1/s"),
        ("148.5 Mpx/s", 148.5e6, "px/s"),
        ("-10 °C", -10.0, "degC"),
        (3, 3, ""),
        (1.25, 1.25, ""),
        (True, True, ""),
        ("outdoor", "outdoor", ""),
    ],
)
def test_limits_read_to_base_units(written: Any, value: Any, unit: str) -> None:
    limit = _limit(written)
    assert type(limit.value) is type(value)
    assert limit.value == pytest.approx(value) if isinstance(value, float) else limit.value == value
    assert limit.unit == unit


@pytest.mark.parametrize(
    ("written", "kind"),
    [(True, Bool()), (3, Int()), (1.5, Num()), ("x", Text()), ("3 V", Num(Unit.parse("V")))],
)
def test_the_type_of_a_limit(written: Any, kind: Any) -> None:
    assert _limit(written).type == kind


@pytest.mark.parametrize("written", ["5 furlongs", "12", "3 cm", "1.2.3 m", "10 min", "1,5 V"])
def test_limits_that_are_refused(written: str) -> None:
    with pytest.raises(QuantityError):
        _limit(written)


@pytest.mark.parametrize(
    ("written", "other", "value"),
    [("10 %", "5 %", 0.05), ("10 m", "30 ft", 9.144), (3, 4, 4), (1.5, 2, 2.0), (True, False, False),
     ("a", "b", "b"), ("5 1/s", "6 1/s", 6.0)],
)  # fmt: skip
def test_a_site_sets_another_value_of_the_same_kind(written: Any, other: Any, value: Any) -> None:
    changed = override_limit(_limit(written), other)
    assert type(changed.value) is type(value)
    assert changed.value == pytest.approx(value) if isinstance(value, float) else changed.value == value
    assert changed.unit == _limit(written).unit


@pytest.mark.parametrize(
    ("written", "other"),
    [("10 %", "5 V"), ("10 %", 5), ("10 m", "10"), (3, 4.5), (3, "4"), (3, True), (True, 1), ("a", 1),
     ("5 1/s", "5 V"), ("5 1/s", 5)],
)  # fmt: skip
def test_a_site_cannot_set_a_value_of_another_kind(written: Any, other: Any) -> None:
    with pytest.raises(QuantityError):
        override_limit(_limit(written), other)


# Sentences. Variables here: the sheet of a feed, and one limit.


def _feed(**known: Any) -> Any:
    cls = SHEETS["feed"]
    sheet = cls.__new__(cls)
    sheet.subject = "cameras/c1"
    for name, value in known.items():
        setattr(sheet, name, value)
    return sheet


def _filled(text: str, **known: Any) -> str:
    environment = rule_environment(kind_scope("feed"), {})
    template = check_template(text, environment, check_expression)
    assert template_from_plain(template_to_plain(template)) == template
    return fill(template, {"feed": _feed(**known)})


@pytest.mark.parametrize(
    ("text", "known", "said"),
    [
        ("no value", {}, "no value"),
        ("{feed.volts_night|V}", {"volts_night": 9.8149}, "9.81 V"),
        ("{feed.volts_night}", {"volts_night": 9.8149}, "9.81 V"),
        ("{feed.volts_night/feed.volts_day|%}", {"volts_night": 9.0, "volts_day": 12.0}, "75 %"),
        ("{feed.cable} {feed.own_output}", {"cable": "x", "own_output": True}, "x yes"),
        ("{{{feed.cable}}}", {"cable": "x"}, "{x}"),
        ("{feed.collapsed || feed.own_output}", {"collapsed": False, "own_output": True}, "yes"),
        ("{feed.metres|m}", {}, "not known"),
        ("{feed.volts_night / 0.0 * 0.0}", {"volts_night": 1.0}, "not a number"),
        ("{feed.metres|m} of {feed.metres_total|m}", {"metres": 5.0, "metres_total": 5.0}, "5 m of 5 m"),
        ("{feed.metres|m} to {feed.metres_total|m}", {"metres": 5.0, "metres_total": 5.0}, "5 m"),
        ("{feed.metres|m} to {feed.metres_total|m}", {"metres": 5.0, "metres_total": 7.0}, "5 m to 7 m"),
    ],
)
def test_sentences(text: str, known: dict[str, Any], said: str) -> None:
    assert _filled(text, **known) == said


@settings(max_examples=200, deadline=None)
@given(st.floats(0.001, 1000), st.floats(1e-13, 0.02))
def test_two_numbers_that_differ_never_print_equal(value: float, more: float) -> None:
    other = value * (1 + more)
    said = _filled("{feed.volts_night|V} x {feed.volts_day|V}", volts_night=value, volts_day=other)
    first, second = said.split(" x ")
    assert (first == second) == (value == other)


# The environment.


@pytest.mark.parametrize("kind", SHEETS)
def test_every_field_of_every_sheet_can_be_named(kind: str) -> None:
    spec = fact_kinds()[kind]
    declared = {entry.name for entry in dataclasses.fields(SHEETS[kind]) if entry.metadata}  # type: ignore[arg-type]
    assert set(spec.fields) == declared | {"kind", "subject"}
    for entry in spec.fields.values():
        assert entry.doc
        inner = entry.type.item if isinstance(entry.type, ListOf) else entry.type
        assert not isinstance(inner, Ref) or inner.kind in SHEETS


@pytest.mark.parametrize(
    ("kind", "name", "wanted"),
    [
        ("feed", "volts_night", Num(Unit.parse("V"))),
        ("feed", "load", Ref("camera")),
        ("link", "hops", ListOf(Ref("hop"))),
        ("input", "camera_count", Int()),
        (
            "link",
            "outcome",
            Text(frozenset({"full", "asked-down", "reduced-width", "needs-setting", "no-picture"})),
        ),
        ("camera", "kind", Text(frozenset({"camera"}))),
        ("camera", "microphone", Bool()),
    ],
)
def test_types_of_fields(kind: str, name: str, wanted: Any) -> None:
    assert fact_kinds()[kind].fields[name].type == wanted


# Places: the stretch found must be the text looked for.

SCALARS = [
    "key: one two three\n",
    "key: 'one two three'\n",
    'key: "one two three"\n',
    "key: >-\n  one\n  two three\n",
    "key: >\n    one two\n    three\n",
    "key: |\n  one two\n  three\n",
    "key:\n  one two\n  three\n",
    "key: 'one\n  two three'\n",
    "other: x\nkey: one two three   # a remark\n",
]


@pytest.mark.parametrize("text", SCALARS)
@pytest.mark.parametrize("word", ["one", "two", "three"])
def test_a_word_of_a_value_is_found_in_the_file(text: str, word: str) -> None:
    document = parse_document(text, "f")
    value = document.value["key"]
    start = value.index(word)
    span = place_span(document.text, value, document.span(("key",)), start, start + len(word))
    assert text[span.start : span.end] == word
    lines = text.split("\n")
    assert lines[span.line - 1][span.column - 1 :].startswith(word)


def test_a_value_with_escapes_falls_back_to_the_whole_scalar() -> None:
    document = parse_document('key: "a\\tb c"\n', "f")
    whole = document.span(("key",))
    span = place_span(document.text, document.value["key"], whole, 4, 5)
    assert span.line == 1
    assert isinstance(span, Span)
    assert math.inf > span.column >= whole.column
