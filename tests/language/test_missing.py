"""What a missing value does: exhaustive tables of true, false, missing and fault, for all that absorbs.

The tables are worked out here from one sentence of the Common Expression Language specification (language
definition, Logical Operators): the operator has the value that one side decides, whatever the other;
otherwise an error. That a missing value stands before a fault is a choice of this language.
"""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.compiling import compile_expression, evaluator
from coaxwright.language.evaluating import evaluate
from coaxwright.language.sweeping import compile_sweep
from coaxwright.language.types import Bool, Environment, FieldSpec, Int, KindSpec, ListOf, Ref
from coaxwright.language.typing_check import check_expression

STATES = ("true", "false", "missing", "fault")
FIELDS = {name: FieldSpec(name, Bool(), name) for name in "abcd"}
ITEM = KindSpec("item", {"ok": FieldSpec("ok", Bool(), "ok"), "n": FieldSpec("n", Int(), "n")}, "item")
SHEET = KindSpec("sheet", {**FIELDS, "items": FieldSpec("items", ListOf(Ref("item")), "items")}, "sheet")
ENVIRONMENT = Environment({"sheet": SHEET, "item": ITEM}, {"s": Ref("sheet")})


class Sheet:
    __slots__ = ("a", "b", "c", "d", "items", "n", "ok")

    def __init__(self, **fields: Any) -> None:
        for name, value in fields.items():
            setattr(self, name, value)


def _operand(name: str, state: str) -> str:
    return "1 / 0 == 1" if state == "fault" else f"s.{name}"


def _sheet(states: tuple[str, ...]) -> Sheet:
    known = {"true": True, "false": False}
    return Sheet(**{name: known[state] for name, state in zip("abcd", states, strict=False) if state in known})


def _expected(deciding: str, states: tuple[str, ...]) -> Any:
    if deciding in states:
        return deciding == "true"
    missing = [name for name, state in zip("abcd", states, strict=False) if state == "missing"]
    if missing:
        return missing
    return "fault" if "fault" in states else deciding != "true"


def _seen(result: Any) -> Any:
    if isinstance(result, Unknown):
        return [name for _, name in result.missing]
    return "fault" if isinstance(result, Fault) else result


def _both_ways(text: str, sheet: Sheet) -> Any:
    checked = check_expression(text, ENVIRONMENT)
    exact = evaluate(checked, {"s": sheet})
    assert evaluator(checked, ["s"])(sheet) == exact
    if checked.type == Bool():
        sweep = compile_sweep(None, checked, "s", {})([sheet])
        assert sweep.unsettled == [sheet] or (sweep.passed == 1) is exact
    return _seen(exact)


@pytest.mark.parametrize("count", [2, 3, 4])
@pytest.mark.parametrize(("sign", "deciding"), [("&&", "false"), ("||", "true")])
def test_and_or_for_every_combination(sign: str, deciding: str, count: int) -> None:
    for states in itertools.product(STATES, repeat=count):
        text = f" {sign} ".join(_operand(name, state) for name, state in zip("abcd", states, strict=False))
        assert _both_ways(text, _sheet(states)) == _expected(deciding, states), (text, states)


@pytest.mark.parametrize("state", STATES)
def test_not(state: str) -> None:
    expected = {"true": False, "false": True, "missing": ["a"], "fault": "fault"}[state]
    assert _both_ways(f"!({_operand('a', state)})", _sheet((state,))) == expected


@pytest.mark.parametrize("states", [*itertools.product(STATES, repeat=3)])
def test_choice_has_the_value_of_the_chosen_side_only(states: tuple[str, str, str]) -> None:
    text = f"({_operand('a', states[0])}) ? ({_operand('b', states[1])}) : ({_operand('c', states[2])})"
    decisive = {"true": 1, "false": 2}.get(states[0], 0)
    name, state = "abc"[decisive], states[decisive]
    expected = {"true": True, "false": False, "missing": [name], "fault": "fault"}[state]
    assert _both_ways(text, _sheet(states)) == expected


@pytest.mark.parametrize("states", [*itertools.product(STATES, repeat=2)])
@pytest.mark.parametrize("sign", ["==", "!=", "<"])
def test_comparison_is_strict(sign: str, states: tuple[str, str]) -> None:
    result = _both_ways(f"({_operand('a', states[0])}) {sign} ({_operand('b', states[1])})", _sheet(states))
    if "missing" in states:
        assert result == [name for name, state in zip("ab", states, strict=True) if state == "missing"]
    elif "fault" in states:
        assert result == "fault"
    else:
        assert result is eval(f"{states[0].title()} {sign} {states[1].title()}")  # noqa: S307


def _items(states: tuple[str, ...]) -> list[Sheet]:
    known = {"true": {"ok": True}, "false": {"ok": False}}
    return [Sheet(n=0 if state == "fault" else 1, **known.get(state, {})) for state in states]


@pytest.mark.parametrize("count", [0, 1, 2, 3])
@pytest.mark.parametrize(("macro", "deciding"), [("all", "false"), ("exists", "true")])
def test_all_exists_for_every_combination(macro: str, deciding: str, count: int) -> None:
    checked = check_expression(f"s.items.{macro}(i, 1 / i.n == 1 && i.ok)", ENVIRONMENT)
    for states in itertools.product(STATES, repeat=count):
        items = _items(states)
        # A fault item has ok = true, so that the fault decides nothing.
        for item, state in zip(items, states, strict=True):
            if state == "fault":
                item.ok = True
        result = evaluate(checked, {"s": Sheet(items=items)})
        if deciding in states:
            assert result is (deciding == "true")
        elif "missing" in states:
            assert isinstance(result, Unknown)
            wanted = [item for item, state in zip(items, states, strict=True) if state == "missing"]
            assert [id(sheet) for sheet, _ in result.missing] == [id(item) for item in wanted]
        elif "fault" in states:
            assert isinstance(result, Fault)
        else:
            assert result is (deciding != "true")


@pytest.mark.parametrize("states", [*itertools.product(STATES[:3], repeat=3)])
def test_exists_one_filter_and_map_need_every_item(states: tuple[str, ...]) -> None:
    items = _items(states)
    sheet = Sheet(items=items)
    results = {
        "s.items.exists_one(i, i.ok)": states.count("true") == 1,
        "size(s.items.filter(i, i.ok))": states.count("true"),
        "s.items.map(i, i.ok)": [state == "true" for state in states],
    }
    for text, expected in results.items():
        wanted = ["ok"] * states.count("missing") if "missing" in states else expected
        assert _both_ways(text, sheet) == wanted


def test_missing_is_named_once_and_in_order_and_only_where_it_matters() -> None:
    sheet = Sheet(c=True)
    assert _both_ways("s.b && s.a && s.b", sheet) == ["b", "a"]
    assert _both_ways("(s.a || s.c) && s.b", sheet) == ["b"]
    assert _both_ways("(s.a && s.c) && s.b", sheet) == ["a", "b"]
    assert _both_ways("s.c ? s.a : s.b", sheet) == ["a"]
    assert _both_ways("s.a == s.b || s.d", sheet) == ["a", "b", "d"]


def test_equal_sheets_are_told_apart() -> None:
    class Alike(Sheet):
        __slots__ = ()

        def __eq__(self, other: object) -> bool:
            return True

        __hash__ = None  # type: ignore[assignment]

    items = [Alike(), Alike()]
    result = evaluate(check_expression("s.items.exists(i, i.ok)", ENVIRONMENT), {"s": Sheet(items=items)})
    assert isinstance(result, Unknown)
    assert [sheet is item for (sheet, _), item in zip(result.missing, items, strict=True)] == [True, True]


class Equal:
    """A sheet that calls itself equal to any other."""

    __slots__ = ()
    __hash__ = None  # type: ignore[assignment]

    def __eq__(self, other: object) -> bool:
        return True


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("s == t", False),
        ("s != t", True),
        ("s == s", True),
        ("s in [t]", False),
        ("s in [t, s]", True),
        ("[t, s].exists_one(x, x == s)", True),
    ],
)
def test_sheets_are_compared_by_identity(text: str, expected: bool) -> None:
    environment = Environment({"sheet": SHEET, "item": ITEM}, {"s": Ref("sheet"), "t": Ref("sheet")})
    checked = check_expression(text, environment)
    one, other = Equal(), Equal()
    assert evaluate(checked, {"s": one, "t": other}) is expected
    assert compile_expression(checked, ["s", "t"])(one, other) is expected


def test_a_fault_says_what_and_where() -> None:
    result = evaluate(check_expression("s.a && 3 / 0 == 1", ENVIRONMENT), {"s": Sheet(a=True)})
    assert result == Fault("division by zero", 7, 12)


def test_work_is_bounded() -> None:
    items = [Sheet(ok=False) for _ in range(100)]
    text = "s.items.exists(i, s.items.exists(j, i.ok && j.ok))"
    result = evaluate(check_expression(text, ENVIRONMENT), {"s": Sheet(items=items)}, steps=1_000)
    assert isinstance(result, Fault)
    assert "1000 steps" in result.what
