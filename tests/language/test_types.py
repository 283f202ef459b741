"""Units as an algebra, types in plain form and in messages."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.language.checked import Checked, from_plain, to_plain
from coaxwright.language.syntax import Literal
from coaxwright.language.types import Bool, Int, ListOf, Nothing, Num, Ref, Text, Type, Unit

SYMBOLS = [
    "V",
    "A",
    "W",
    "ohm",
    "m",
    "mm2",
    "s",
    "d",
    "h",
    "fps",
    "px",
    "B",
    "bit",
    "dB",
    "degC",
    "lux",
    "J",
    "Hz",
]
UNITS = st.lists(st.tuples(st.sampled_from("*/"), st.sampled_from(SYMBOLS)), max_size=4).map(
    lambda parts: Unit.parse("1" + "".join(sign + name for sign, name in parts))
)


# SI Brochure, 9th edition, table 4: watt and ohm in terms of volt and ampere (W = V A follows from V = W/A).
@pytest.mark.parametrize(
    ("left", "sign", "right", "result"),
    [
        ("V", "*", "A", "W"),
        ("A", "*", "V", "W"),
        ("V", "/", "A", "ohm"),
        ("W", "/", "V", "A"),
        ("W", "/", "A", "V"),
        ("A", "*", "ohm", "V"),
        ("A*A", "*", "ohm", "W"),
        ("V*V", "/", "ohm", "W"),
        ("ohm/m", "*", "m", "ohm"),
        ("bit/s", "*", "s", "bit"),
        ("dB/m", "*", "m", "dB"),
        ("px", "/", "m", "px/m"),
        ("V", "/", "V", ""),
        ("", "/", "m", "1/m"),
    ],
)
def test_products_and_quotients(left: str, sign: str, right: str, result: str) -> None:
    one, other = Unit.parse(left), Unit.parse(right)
    made = one * other if sign == "*" else one / other
    assert made == Unit.parse(result)
    assert str(made) == result


def test_units_that_stay_apart() -> None:
    apart = [
        "V",
        "A",
        "W",
        "VA",
        "ohm",
        "m",
        "mm2",
        "m2",
        "s",
        "d",
        "h",
        "fps",
        "px",
        "B",
        "bit",
        "dB",
        "J",
        "Hz",
        "",
    ]
    assert len({Unit.parse(text) for text in apart}) == len(apart)


def test_powers_by_digit() -> None:
    assert Unit.parse("m2") == Unit.parse("m*m")
    assert Unit.parse("mm2") != Unit.parse("mm*mm")


@pytest.mark.parametrize("text", ["V A", "V//m", "*V", "V*", "3V", "V^2", "m10", "-", "V m"])
def test_what_is_not_a_unit(text: str) -> None:
    with pytest.raises(ValueError, match="is not a unit"):
        Unit.parse(text)


@settings(max_examples=200)
@given(UNITS, UNITS, UNITS)
def test_units_are_an_abelian_group(one: Unit, two: Unit, three: Unit) -> None:
    assert one * two == two * one
    assert (one * two) * three == one * (two * three)
    assert one * Unit() == one
    assert one / one == Unit()
    assert (one / two) * two == one
    assert Unit.parse(str(one)) == one


TYPES = st.recursive(
    st.one_of(
        st.sampled_from([Bool(), Int(), Nothing(), Text(), Ref("feed")]),
        UNITS.map(Num),
        st.frozensets(st.text(max_size=3), max_size=3).map(Text),
    ),
    lambda inner: inner.map(ListOf),
    max_leaves=3,
)


@settings(max_examples=200)
@given(TYPES)
def test_types_in_plain_form_and_back(kind: Type) -> None:
    checked = Checked("1", kind, (("a", "b"),), Literal(0, 1, 1))
    assert from_plain(json.loads(json.dumps(to_plain(checked)))) == checked
    assert str(kind)


@pytest.mark.parametrize(
    "plain",
    [
        None,
        [],
        {},
        {"format": 0},
        {"format": 1, "text": "1", "type": ["Int"], "paths": [], "syntax": ["Literal", 0, 1]},
        {"format": 1, "text": "1", "type": ["Int"], "paths": [], "syntax": ["Exec", 0, 1, "x"]},
        {"format": 1, "text": "1", "type": ["Float"], "paths": [], "syntax": ["Literal", 0, 1, 1]},
        {"format": 1, "text": "1", "type": ["Int"], "paths": [], "syntax": []},
        {"format": 1, "text": "1", "type": ["Int"], "paths": [], "syntax": "Literal"},
    ],
)
def test_plain_data_that_is_not_an_expression(plain: object) -> None:
    with pytest.raises(ValueError, match="serialised"):
        from_plain(plain)
