"""One rule over many subjects: a single generated loop with the conditions inlined. The hot path of judging.

It counts and sorts subjects, and says nothing about why: those it could not settle are for `evaluating`.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import CodeType

from coaxwright.language.checked import Checked
from coaxwright.language.compiling import bound, emit, function_code, loaded, parameter_name
from coaxwright.language.unrolling import branch


@dataclass(slots=True, eq=False, repr=False)
class Sweep:
    """What one rule came to over the subjects: counts, and the subjects that failed or need the exact
    evaluator.
    """

    passed: int
    not_applicable: int
    failed: list[object]
    unsettled: list[object]


def compile_sweep(
    when: Checked | None, require: Checked, variable: str, constants: Mapping[str, object]
) -> Callable[[Iterable[object]], Sweep]:
    """A function that judges all subjects in one loop.

    `variable` names the subject in both expressions, `constants` are the other variables with their values.
    A subject for which `when` is false is not applicable. A subject for which anything raised is in
    `unsettled`.
    """
    return bind_sweep(sweep_code(when, require, variable, tuple(constants)), constants)


def sweep_code(when: Checked | None, require: Checked, variable: str, names: Sequence[str]) -> CodeType:
    """The code of the loop, without the values of the other variables: compile once, or marshal into a
    cache.
    """
    scope = frozenset((variable, *names))
    taken = frozenset(map(parameter_name, scope))
    judged = branch(emit(require.syntax, scope), [_count("passed")], [_keep("failed", variable)], taken)
    if when is not None:
        judged = branch(emit(when.syntax, scope), judged, [_count("not_applicable")], taken)
    caught = ast.ExceptHandler(loaded("Exception"), None, [_keep("unsettled", variable)])
    target = ast.Name(parameter_name(variable), ast.Store())
    loop = ast.For(target, loaded("subjects"), [ast.Try(judged, [caught], [], [])], [], None)
    counts = [loaded(name) for name in ("passed", "not_applicable", "failed", "unsettled")]
    result = ast.Return(ast.Call(loaded("Sweep"), counts, []))
    return function_code("sweep", ["subjects", *map(parameter_name, names)], [*_start(), loop, result])


def _start() -> list[ast.stmt]:
    counts = [_assigned(name, ast.Constant(0)) for name in ("passed", "not_applicable")]
    return [*counts, *(_assigned(name, ast.List([], ast.Load())) for name in ("failed", "unsettled"))]


def _assigned(name: str, value: ast.expr) -> ast.stmt:
    return ast.Assign([ast.Name(name, ast.Store())], value)


def _count(name: str) -> ast.stmt:
    return ast.AugAssign(ast.Name(name, ast.Store()), ast.Add(), ast.Constant(1))


def _keep(name: str, variable: str) -> ast.stmt:
    append = ast.Attribute(loaded(name), "append", ast.Load())
    return ast.Expr(ast.Call(append, [loaded(parameter_name(variable))], []))


def bind_sweep(code: CodeType, constants: Mapping[str, object]) -> Callable[[Iterable[object]], Sweep]:
    """A sweep of `sweep_code`, with values for the variables in the order of its `names`."""
    return bound(code, {"Sweep": Sweep}, tuple(constants.values()))
