"""Hand-written expressions with their results, types and paths, by both evaluators and after a round trip."""

from __future__ import annotations

import contextlib
import json
import math
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import yaml

from coaxwright.language.checked import Checked, Fault, Unknown, from_plain, to_plain
from coaxwright.language.compiling import compile_expression, evaluator
from coaxwright.language.evaluating import evaluate
from coaxwright.language.typing_check import check_expression

HERE = Path(__file__).parent
VARIABLES = ("feed", "bare", "limit")
PLAIN = yaml.safe_load((HERE / "plain.yaml").read_text(encoding="utf-8"))
SHEETS = yaml.safe_load((HERE / "sheets.yaml").read_text(encoding="utf-8"))
VALUES = [case for group in PLAIN.values() for case in group["cases"]] + SHEETS["known"] + SHEETS["missing"]


def _agrees(result: Any, expected: Any) -> bool:
    if isinstance(expected, dict) and "fault" in expected:
        return isinstance(result, Fault) and expected["fault"] in result.what
    if isinstance(expected, dict):
        return isinstance(result, Unknown) and [f"{s}.{f}" for s, f in result.missing] == expected["missing"]
    if isinstance(expected, list):
        same = isinstance(result, list | tuple) and len(result) == len(expected)
        return same and all(map(_agrees, result, expected))
    if isinstance(expected, float) and math.isnan(expected):
        return isinstance(result, float) and math.isnan(result)
    if isinstance(expected, float) and expected == 0.0:
        return isinstance(result, float) and math.copysign(1.0, result) == math.copysign(1.0, expected) and not result
    return type(result) is type(expected) and result == expected


def _values(checked: Checked, world: SimpleNamespace) -> list[Any]:
    arguments = [world.sheets[name] for name in VARIABLES]
    again = from_plain(json.loads(json.dumps(to_plain(checked))))
    assert again == checked
    return [
        evaluate(checked, world.sheets),
        evaluator(checked, VARIABLES)(*arguments),
        evaluate(again, world.sheets),
        evaluator(again, VARIABLES)(*arguments),
    ]


def test_there_are_over_300_cases() -> None:
    assert len(VALUES) > 480
    assert len({text for text, _ in VALUES}) == len(VALUES), "a case is there twice"


@pytest.mark.parametrize(("text", "expected"), VALUES)
def test_value(text: str, expected: Any, world: SimpleNamespace) -> None:
    checked = check_expression(text, world.environment)
    for result in _values(checked, world):
        assert _agrees(result, expected), f"{text} gives {result!r}"


@pytest.mark.parametrize(("text", "expected"), VALUES)
def test_fast_way_raises_or_agrees(text: str, expected: Any, world: SimpleNamespace) -> None:
    fast = compile_expression(check_expression(text, world.environment), VARIABLES)
    with contextlib.suppress(AttributeError, ArithmeticError, LookupError, TypeError, ValueError):
        assert _agrees(fast(*(world.sheets[name] for name in VARIABLES)), expected)


@pytest.mark.parametrize(("text", "expected"), SHEETS["paths"])
def test_paths(text: str, expected: list[str], world: SimpleNamespace) -> None:
    assert [".".join(path) for path in check_expression(text, world.environment).paths] == expected


@pytest.mark.parametrize(("text", "expected"), SHEETS["types"])
def test_type(text: str, expected: Any, world: SimpleNamespace) -> None:
    assert str(check_expression(text, world.environment).type) == str(expected)
