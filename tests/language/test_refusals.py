"""Every refusal of the language, with its message, its suggestion and its place."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest
import yaml

from coaxwright.errors import Refusal
from coaxwright.language.types import Bool, Int, ListOf, Num, Text, Type, Unit
from coaxwright.language.typing_check import check_expression

CASES = yaml.safe_load((Path(__file__).parent / "refusals.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("text", "what", "right", "place"), [case for cases in CASES.values() for case in cases])
def test_refusal(text: str, what: str, right: str, place: str, world: SimpleNamespace) -> None:
    with pytest.raises(Refusal) as caught:
        check_expression(text, world.environment, Bool())
    problem = caught.value.problems[0]
    assert what in problem.what
    assert right in problem.right
    assert problem.span is not None
    assert f"{problem.span.line}:{problem.span.column}" == place
    assert not problem.what.endswith(".")
    assert text[problem.span.start : problem.span.end] or problem.span.start == len(text)


def test_thirty_escapes() -> None:
    assert len(CASES["escapes"]) >= 30


def test_all_problems_are_told_at_once_in_order(world: SimpleNamespace) -> None:
    text = 'feed.vlots > 0.0 && feed.kind == "camra" || siz(feed.name) == 1 && feed.volts > 12.0'
    with pytest.raises(Refusal) as caught:
        check_expression(text, world.environment, Bool())
    starts = [problem.span.start for problem in caught.value.problems if problem.span]
    assert len(starts) == 4
    assert starts == sorted(starts)


def test_a_wrong_part_is_told_once(world: SimpleNamespace) -> None:
    with pytest.raises(Refusal) as caught:
        check_expression("(feed.vlots + 1.0) * 2.0 > feed.volts", world.environment, Bool())
    assert len(caught.value.problems) == 1


LIMITS = {
    "characters": ("true" + " " * 4_000, "more than 4000"),
    "nodes": (" && ".join(["[1,1,1,1,1,1,1,1] == []"] * 50 + ["true"]), "parts, more than 500"),
    "chain of and": (" && ".join(["true"] * 101), "a chain has 101 terms, more than 100"),
    "chain of or": (" || ".join(["true"] * 300), "a chain has 300 terms, more than 100"),
    "chain of plus": (" + ".join(["1"] * 101) + " == 1", "a chain has 101 terms, more than 100"),
    "depth of choices": ("true ? true : " * 60 + "true", "levels deep, more than 40"),
    "depth of not": ("!" * 200 + "true", "levels deep, more than 40"),
    "depth of lists": ("[" * 1_000 + "]" * 1_000, "parts, more than 500"),
    "depth of some lists": ("[" * 60 + "]" * 60, "levels deep, more than 40"),
    "macros": (
        "[1].all(a, [1].all(b, [1].all(c, [1].all(d, true))))",
        "4 list macros stand inside one another",
    ),
}


@pytest.mark.parametrize("name", LIMITS)
def test_limit(name: str, world: SimpleNamespace) -> None:
    text, what = LIMITS[name]
    with pytest.raises(Refusal) as caught:
        check_expression(text, world.environment)
    assert what in caught.value.problems[0].what
    assert caught.value.problems[0].right


def test_height_of_chains_in_chains_is_limited(world: SimpleNamespace) -> None:
    inner = "1" + " + 1" * 90
    text = f"({inner}) * 2" + " * 2" * 70 + " == 1"
    with pytest.raises(Refusal, match="levels deep, more than 150"):
        check_expression(text, world.environment)


AT_LIMIT = {
    "characters": ("true" + " " * 3_996, True),
    "chain of and": (" && ".join(["true"] * 100), True),
    "chain of plus": (" + ".join(["1"] * 100), 100),
    "brackets": ("(" * 1_900 + "1" + ")" * 1_900, 1),
    "depth": ("!" * 39 + "true", False),
    "macros": ("[1].all(a, [1].all(b, [1].all(c, a == c)))", True),
    "macros in a row": ("[1].map(a, a).map(a, a).map(a, a).map(a, a)", [1]),
}


@pytest.mark.parametrize("name", AT_LIMIT)
def test_at_limit_is_accepted_and_evaluated(name: str, world: SimpleNamespace) -> None:
    from coaxwright.language.compiling import compile_expression
    from coaxwright.language.evaluating import evaluate

    text, value = AT_LIMIT[name]
    checked = check_expression(text, world.environment)
    assert evaluate(checked, {}) == value
    assert compile_expression(checked, ())() == value


EXPECTED: list[tuple[str, Type, str | None]] = [
    ("feed.volts", Num(Unit.parse("V")), None),
    ("0.0", Num(Unit.parse("V")), None),
    ("feed.volts", Num(Unit.parse("m")), "it must be a number in m"),
    ("feed.volts / feed.volts", Num(), None),
    ("feed.volts", Num(), "it must be a number without unit"),
    ("1", Num(), "it must be a number without unit"),
    ("1", Int(), None),
    ("feed.name", Text(), None),
    ("feed.kind", Text(), None),
    ("feed.kind", Text(frozenset({"camera", "recorder", "lamp", "disk"})), None),
    ("feed.kind", Text(frozenset({"camera"})), "it must be one of camera"),
    ('"camera"', Text(frozenset({"camera"})), None),
    ('feed.live ? "camera" : "lamp"', Text(frozenset({"camera", "lamp"})), None),
    ('feed.live ? "camera" : "lmp"', Text(frozenset({"camera", "lamp"})), "did you mean `lamp`?"),
    ("feed.name", Text(frozenset({"camera"})), "it must be one of camera"),
    ("[]", ListOf(Int()), None),
    ("feed.counts", ListOf(Int()), None),
    ("feed.modes", ListOf(Int()), "it must be a list"),
]


@pytest.mark.parametrize(("text", "expected", "right"), EXPECTED)
def test_expected_type(text: str, expected: Type, right: str | None, world: SimpleNamespace) -> None:
    if right is None:
        check_expression(text, world.environment, expected)
        return
    with pytest.raises(Refusal) as caught:
        check_expression(text, world.environment, expected)
    assert right in caught.value.problems[0].right
