"""The generated code: what it may name, how deep it may be, and the loop over many subjects."""

from __future__ import annotations

import dis
import marshal
import subprocess
import sys
from types import CodeType, SimpleNamespace
from typing import Any

import pytest

from coaxwright.language.checked import Checked, from_plain
from coaxwright.language.compiling import compile_expression, evaluator
from coaxwright.language.sweeping import bind_sweep, compile_sweep, sweep_code
from coaxwright.language.syntax import Call, Has, Literal, Macro, Name, Node, Select, Unary
from coaxwright.language.types import Bool
from coaxwright.language.typing_check import check_expression


def _check(text: str, world: SimpleNamespace) -> Checked:
    return check_expression(text, world.environment)


def _codes(code: CodeType) -> list[CodeType]:
    inner = [entry for entry in code.co_consts if isinstance(entry, CodeType)]
    return [code, *(deeper for entry in inner for deeper in _codes(entry))]


EVERYTHING = (
    'feed.hops.exists(h, h.kind in ["box"] && has(h.loss) && h.loss > 0.0) && size(feed.name) > 1'
    " && min(feed.volts, limit.least) > 0.0 && sum(feed.counts) % 2 == 0 && feed.hops[0].loss > 0.0"
    ' && feed.name.startsWith("S") && abs(feed.volts) > 0.0 && feed.hops.map(h, h.label)[1] == "b"'
)


def test_generated_code_names_only_fields_and_helpers(world: SimpleNamespace) -> None:
    function = compile_expression(_check(EVERYTHING, world), ["feed", "limit"])
    assert function.__globals__["__builtins__"] == {}
    allowed = set(function.__globals__) | {"startswith", "append"}
    for kind in world.environment.kinds.values():
        allowed |= set(kind.fields)
    for code in _codes(function.__code__):
        assert set(code.co_names) <= allowed
        assert not [step for step in dis.get_instructions(code) if "IMPORT" in step.opname]


FORGED: list[Node] = [
    Select(0, 1, Name(0, 1, "feed"), "__class__"),
    Select(0, 1, Name(0, 1, "feed"), "_x"),
    Select(0, 1, Name(0, 1, "feed"), "a.b"),
    Has(0, 1, Name(0, 1, "feed"), "__class__"),
    Name(0, 1, "len"),
    Name(0, 1, "__builtins__"),
    Call(0, 1, "eval", (Literal(0, 1, "1"),)),
    Unary(0, 1, "system", Literal(0, 1, "1")),
    Macro(0, 1, "reduce", Literal(0, 1, "1"), "x", Literal(0, 1, 1)),
    Macro(0, 1, "map", Literal(0, 1, "1"), "__x", Literal(0, 1, 1)),
]


@pytest.mark.parametrize("node", FORGED)
def test_a_forged_tree_makes_no_code(node: Node) -> None:
    with pytest.raises(ValueError, match="is not"):
        compile_expression(Checked("", Bool(), (), node), ["feed"])


def test_a_variable_that_is_no_parameter_is_a_mistake_of_the_caller(world: SimpleNamespace) -> None:
    with pytest.raises(ValueError, match="`limit` is not a variable here"):
        compile_expression(_check("feed.volts > limit.least", world), ["feed"])


DEEP = """
import sys
from coaxwright.language.types import Environment
from coaxwright.language.checked import from_plain, to_plain
from coaxwright.language.typing_check import check_expression
from coaxwright.language.evaluating import evaluate
from coaxwright.language.compiling import compile_expression
assert sys.getrecursionlimit() == 1000

def at_depth(frames, work):
    return work() if frames == 0 else at_depth(frames - 1, work)

def work(text, value):
    checked = from_plain(to_plain(check_expression(text, Environment({}, {}))))
    assert evaluate(checked, {}) == value, text
    assert compile_expression(checked, ())() == value, text

chain = "1" + " + 1" * 80
CASES = [
    (f"({chain}) * 2" + " * 1" * 60, 162),
    ("!" * 39 + "true", False),
    ("true ? " + "true : true ? " * 37 + "true : false", True),
    ("(" * 1900 + "1" + ")" * 1900, 1),
    ("[" * 39 + "]" * 39 + " == " + "[" * 39 + "]" * 39, True),
    (" && ".join(["true"] * 100), True),
    ("[1].all(a, [1].all(b, [1].all(c, " + " + ".join(["c"] * 90) + " == 90)))", True),
]
for text, value in CASES:
    at_depth(100, lambda: work(text, value))
print("done")
"""


def test_the_deepest_expressions_stay_far_from_the_recursion_limit() -> None:
    """In a process of its own: an oracle used by other tests raises the limit of its process."""
    path = ":".join(entry for entry in sys.path if entry)
    run = subprocess.run(
        [sys.executable, "-c", DEEP], capture_output=True, text=True, env={"PYTHONPATH": path}, check=False
    )
    assert run.stdout == "done\n", run.stderr


def test_checked_rules_need_no_parser_at_start() -> None:
    """From the plain form on, neither lark nor the type check is imported."""
    program = """
import sys
import coaxwright.language.sweeping, coaxwright.language.evaluating, coaxwright.language.checked
heavy = {"lark", "networkx", "pydantic", "jsonschema", "coaxwright.language.typing_check"}
print(sorted(heavy & set(sys.modules)))
"""
    path = ":".join(entry for entry in sys.path if entry)
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env={"PYTHONPATH": path}, check=True
    )
    assert run.stdout == "[]\n"


def _feeds(sheet_class: Any) -> list[Any]:
    return [
        sheet_class("good", kind="camera", volts=12.0),
        sheet_class("low", kind="camera", volts=9.0),
        sheet_class("other", kind="lamp"),
        sheet_class("unsure", kind="camera"),
        sheet_class("unnamed", volts=12.0),
        sheet_class("exact", kind="camera", volts=10.0),
        sheet_class("decided", kind="camera", joints=0),
    ]


def test_sweep_sorts_subjects(world: SimpleNamespace, sheet_class: Any) -> None:
    when = _check('feed.kind == "camera"', world)
    require = _check("(has(feed.joints) && feed.joints == 0) || feed.volts >= limit.least", world)
    result = compile_sweep(when, require, "feed", {"limit": world.sheets["limit"]})(_feeds(sheet_class))
    assert result.passed == 3
    assert result.not_applicable == 1
    assert [str(sheet) for sheet in result.failed] == ["low"]
    assert [str(sheet) for sheet in result.unsettled] == ["unsure", "unnamed"]


def test_sweep_without_guard_and_without_subjects(world: SimpleNamespace, sheet_class: Any) -> None:
    require = _check("feed.volts >= limit.least", world)
    sweep = compile_sweep(None, require, "feed", {"limit": world.sheets["limit"]})
    empty = sweep([])
    assert (empty.passed, empty.not_applicable, empty.failed, empty.unsettled) == (0, 0, [], [])
    result = sweep(iter(_feeds(sheet_class)))
    assert (result.passed, result.not_applicable, len(result.failed), len(result.unsettled)) == (3, 0, 1, 3)


def test_sweep_takes_other_values_without_compiling_again(world: SimpleNamespace, sheet_class: Any) -> None:
    code = marshal.loads(marshal.dumps(sweep_code(None, _check("feed.volts >= limit.least", world), "feed", ["limit"])))
    feeds = _feeds(sheet_class)
    for least, passed in ((9.0, 4), (10.0, 3), (12.0, 2), (13.0, 0)):
        assert bind_sweep(code, {"limit": sheet_class("limit", least=least)})(feeds).passed == passed


def test_sweep_with_a_missing_limit_settles_nothing(world: SimpleNamespace, sheet_class: Any) -> None:
    require = _check("feed.volts >= limit.least", world)
    result = compile_sweep(None, require, "feed", {"limit": sheet_class("limit")})(_feeds(sheet_class))
    assert (result.passed, len(result.failed), len(result.unsettled)) == (0, 0, 7)


@pytest.mark.parametrize(
    "name", ["subjects", "passed", "failed", "unsettled", "not_applicable", "lambda", "from", "Sweep"]
)
def test_any_variable_name_will_do(name: str, world: SimpleNamespace, sheet_class: Any) -> None:
    from coaxwright.language.types import Ref

    environment = world.environment.with_variables({name: Ref("feed")})
    text = f"{name}.hops.all({name}, {name}.loss > 0.0) && {name}.volts > 0.0"
    checked = check_expression(text, environment, Bool())
    feed = world.sheets["feed"]
    assert compile_sweep(checked, checked, name, {})([feed]).passed == 1
    assert evaluator(checked, [name])(feed) is True


def test_plain_form_keeps_meaning(world: SimpleNamespace) -> None:
    from coaxwright.language.checked import to_plain

    checked = from_plain(to_plain(_check(EVERYTHING, world)))
    assert compile_expression(checked, ["feed", "limit"])(world.sheets["feed"], world.sheets["limit"]) is True
