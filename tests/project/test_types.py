"""How much of the code the type checker cannot see: arguments and results that are `Any`. The number only falls."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ENGINE = Path(__file__).resolve().parents[2] / "engine" / "coaxwright"
MOST = 59
"""Bare `Any` in signatures as counted last; whoever removes some lowers it."""
NAMES_FOR_ANY = "Any"


def bare(source: str) -> Iterator[str]:
    """Where an argument or a result is `Any` itself: `function:line name`. Within brackets it is not counted."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            given = node.args
            listed = [*given.posonlyargs, *given.args, *given.kwonlyargs, given.vararg, given.kwarg]
            stated = [(each.arg, each.annotation) for each in listed if each] + [("result", node.returns)]
            for name, annotation in stated:
                if isinstance(annotation, ast.Name | ast.Attribute) and ast.unparse(annotation).endswith(NAMES_FOR_ANY):
                    yield f"{node.name}:{node.lineno} {name}"


def renamed(source: str) -> Iterator[str]:
    """Aliases that are `Any` under another name."""
    for node in ast.parse(source).body:
        value = node.value if isinstance(node, ast.Assign | ast.AnnAssign) else None
        if isinstance(value, ast.Name | ast.Attribute) and ast.unparse(value) in ("Any", "typing.Any"):
            yield f"line {node.lineno}"


def test_the_measure_measures() -> None:
    source = "def f(a: Any, b: list[Any], *c: typing.Any, d: str, **e: Any) -> Any: ...\nasync def g(a: Any): ...\n"
    assert list(bare(source)) == ["f:1 a", "f:1 c", "f:1 e", "f:1 result", "g:2 a"]
    assert list(renamed("Json: TypeAlias = Any\nRows = list[Any]\nOther = Any\n")) == ["line 1", "line 3"]


def test_any_in_signatures_only_falls() -> None:
    found = {
        f"{path.relative_to(ENGINE).as_posix()} {place}"
        for path in ENGINE.rglob("*.py")
        for place in bare(path.read_text(encoding="utf-8"))
    }
    assert len(found) <= MOST, f"{len(found)} bare Any in signatures, {MOST} at most: object, a type or a protocol says more"


def test_any_has_no_other_name() -> None:
    found = {
        path.relative_to(ENGINE).as_posix(): places
        for path in ENGINE.rglob("*.py")
        if (places := list(renamed(path.read_text(encoding="utf-8"))))
    }
    assert not found, f"another name for Any: {found}"
