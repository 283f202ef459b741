"""The fast evaluator: turns a resolved tree into a Python code object, attribute loads and operators inlined.

Works on the syntax tree only, never on text, and names nothing but checked variables, checked fields and a
closed set of helpers; the generated code has no builtins. It answers for known values; any exception it
raises means: ask `evaluating.evaluate`, which gives the same answer or says what is missing.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from types import CodeType, FunctionType
from typing import Any

from coaxwright.language.checked import Checked
from coaxwright.language.evaluating import evaluate
from coaxwright.language.functions import OPERATIONS, item_at
from coaxwright.language.syntax import (
    Binary,
    Call,
    Choice,
    Has,
    Index,
    ListLiteral,
    Literal,
    Logic,
    Macro,
    Name,
    Node,
    Select,
    Unary,
)

_HELPERS: dict[str, Any] = {
    **{f"do_{name}": operation for name, operation in OPERATIONS.items()},
    "len": len,
    "any": any,
    "all": all,
    "sum": sum,
    "abs": abs,
    "float": float,
    "hasattr": hasattr,
    "Exception": Exception,
    "item_at": item_at,
}


def compile_expression(checked: Checked, parameters: Sequence[str]) -> Callable[..., Any]:
    """A function of the named variables that gives the value of the expression, or raises: then ask
    `evaluate`.

    ValueError when the expression names a variable that is not a parameter.
    """
    body: list[ast.stmt] = [ast.Return(emit(checked.syntax, frozenset(parameters)))]
    return bound(function_code("expression", [*map(parameter_name, parameters)], body))


def evaluator(checked: Checked, parameters: Sequence[str]) -> Callable[..., Any]:
    """A function of the named variables that gives what `evaluate` gives, by the fast way when that has an
    answer.
    """
    bindings = ast.Dict([ast.Constant(name) for name in parameters], [variable(name) for name in parameters])
    fallback = ast.Return(ast.Call(loaded("exact"), [bindings], []))
    fast = ast.Return(emit(checked.syntax, frozenset(parameters)))
    body: list[ast.stmt] = [
        ast.Try([fast], [ast.ExceptHandler(loaded("Exception"), None, [fallback])], [], [])
    ]
    code = function_code("evaluator", [*map(parameter_name, parameters)], body)
    return bound(code, {"exact": partial(evaluate, checked)})


def function_code(name: str, parameters: Sequence[str], body: list[ast.stmt]) -> CodeType:
    """The code of a function with parameters of these Python names; the code can be marshalled."""
    arguments = ast.arguments([], [ast.arg(entry) for entry in parameters], None, [], [], None, [])
    function = ast.FunctionDef(name, arguments, body, [], None, None)
    code = compile(_located(ast.Module([function], [])), "<rule>", "exec", dont_inherit=True)
    return next(entry for entry in code.co_consts if isinstance(entry, CodeType))


def _located(tree: ast.Module) -> ast.Module:
    """The tree with a place for every node, as `compile` wants, in a third of the time of `ast`."""
    pending: list[ast.AST] = [tree]
    while pending:
        node = pending.pop()
        if node._attributes:
            node.lineno = node.end_lineno = 1  # type: ignore[attr-defined]
            node.col_offset = node.end_col_offset = 0  # type: ignore[attr-defined]
        for name in node._fields:
            value = getattr(node, name)
            if isinstance(value, list):
                pending += value
            elif isinstance(value, ast.AST):
                pending.append(value)
    return tree


def bound(
    code: CodeType, helpers: Mapping[str, Any] | None = None, defaults: tuple[object, ...] = ()
) -> Callable[..., Any]:
    """A function of the code, seeing only the helpers: not even builtins."""
    return FunctionType(code, {"__builtins__": {}, **_HELPERS, **(helpers or {})}, code.co_name, defaults)


def parameter_name(name: str) -> str:
    """The Python name of a variable of the language: apart from helpers and keywords."""
    return f"v_{_approved(name)}"


def _approved(name: str) -> str:
    if not name.isidentifier() or name.startswith("_") or "__" in name:
        raise ValueError(f"`{name}` is not a name of the rule language")
    return name


def loaded(name: str) -> ast.expr:
    """A load of a Python name."""
    return ast.Name(name, ast.Load())


def variable(name: str) -> ast.expr:
    """A load of a variable of the language."""
    return loaded(parameter_name(name))


def emit(node: Node, scope: frozenset[str]) -> ast.expr:
    """The Python expression for a resolved node; `scope` are the variables that exist there."""
    return _EMIT[type(node)](node, scope)


def _literal(node: Literal, scope: frozenset[str]) -> ast.expr:
    return ast.Constant(node.value)


def _name(node: Name, scope: frozenset[str]) -> ast.expr:
    if node.name not in scope:
        raise ValueError(f"`{node.name}` is not a variable here")
    return variable(node.name)


def _select(node: Select, scope: frozenset[str]) -> ast.expr:
    return ast.Attribute(emit(node.operand, scope), _approved(node.field), ast.Load())


def _has(node: Has, scope: frozenset[str]) -> ast.expr:
    return _called("hasattr", emit(node.operand, scope), ast.Constant(_approved(node.field)))


def _called(helper: str, *arguments: ast.expr) -> ast.expr:
    return ast.Call(loaded(helper), list(arguments), [])


def _index(node: Index, scope: frozenset[str]) -> ast.expr:
    operand, position = emit(node.operand, scope), node.position
    if isinstance(position, Literal) and isinstance(position.value, int) and position.value >= 0:
        return ast.Subscript(operand, ast.Constant(position.value), ast.Load())
    return _called("item_at", operand, emit(position, scope))


def _list_literal(node: ListLiteral, scope: frozenset[str]) -> ast.expr:
    return ast.List([emit(item, scope) for item in node.items], ast.Load())


def _unary(node: Unary, scope: frozenset[str]) -> ast.expr:
    operand = emit(node.operand, scope)
    signs: Mapping[str, ast.unaryop] = {"not": ast.Not(), "negate_double": ast.USub()}
    if node.operation in signs:
        return ast.UnaryOp(signs[node.operation], operand)
    return _operation(node.operation, operand)


def _operation(name: str, *operands: ast.expr) -> ast.expr:
    if name not in OPERATIONS:
        raise ValueError(f"`{name}` is not an operation")
    return _called(f"do_{name}", *operands)


_COMPARISONS: Mapping[str, type[ast.cmpop]] = {
    "less": ast.Lt,
    "less_equal": ast.LtE,
    "greater": ast.Gt,
    "greater_equal": ast.GtE,
    "equal": ast.Eq,
    "not_equal": ast.NotEq,
    "equal_sheet": ast.Is,
    "not_equal_sheet": ast.IsNot,
    "in": ast.In,
}
_FLOAT_ARITHMETIC: Mapping[str, type[ast.operator]] = {
    "add_double": ast.Add,
    "subtract_double": ast.Sub,
    "multiply_double": ast.Mult,
    "divide_double": ast.Div,
    "add_text": ast.Add,
}


def _binary(node: Binary, scope: frozenset[str]) -> ast.expr:
    left, right = emit(node.left, scope), emit(node.right, scope)
    if node.operation in _COMPARISONS:
        items = ast.Tuple(right.elts, ast.Load()) if isinstance(right, ast.List) else right
        return ast.Compare(left, [_COMPARISONS[node.operation]()], [items])
    if node.operation in _FLOAT_ARITHMETIC:
        return ast.BinOp(left, _FLOAT_ARITHMETIC[node.operation](), right)
    return _operation(node.operation, left, right)


def _logic(node: Logic, scope: frozenset[str]) -> ast.expr:
    joint = ast.And() if node.operation == "and" else ast.Or()
    return ast.BoolOp(joint, [emit(operand, scope) for operand in node.operands])


def _choice(node: Choice, scope: frozenset[str]) -> ast.expr:
    return ast.IfExp(emit(node.condition, scope), emit(node.then, scope), emit(node.otherwise, scope))


def _call(node: Call, scope: frozenset[str]) -> ast.expr:
    values = [emit(argument, scope) for argument in node.arguments]
    match node.operation:
        case "itself":
            return values[0]
        case "size":
            return _called("len", values[0])
        case "abs_double":
            return _called("abs", values[0])
        case "double_of_int":
            return _called("float", values[0])
        case "contains":
            return ast.Compare(values[1], [ast.In()], [values[0]])
        case "starts_with" | "ends_with":
            method = node.operation.replace("_", "")
            return ast.Call(ast.Attribute(values[0], method, ast.Load()), [values[1]], [])
    return _operation(node.operation, *values)


def _macro(node: Macro, scope: frozenset[str]) -> ast.expr:
    source, target = emit(node.source, scope), ast.Name(parameter_name(node.variable), ast.Store())
    body = emit(node.body, scope | {node.variable})
    loop = ast.comprehension(target, source, [], 0)
    match node.operation:
        case "map":
            return ast.ListComp(body, [loop])
        case "filter":
            kept = ast.comprehension(target, source, [body], 0)
            return ast.ListComp(variable(node.variable), [kept])
        case "exists_one":
            count = _called("sum", ast.GeneratorExp(body, [loop]))
            return ast.Compare(count, [ast.Eq()], [ast.Constant(1)])
        case "all" | "exists":
            helper = "all" if node.operation == "all" else "any"
            return _called(helper, ast.GeneratorExp(body, [loop]))
    raise ValueError(f"`{node.operation}` is not a macro")


_EMIT: Mapping[type[Node], Callable[..., ast.expr]] = {
    Literal: _literal,
    Name: _name,
    Select: _select,
    Has: _has,
    Index: _index,
    ListLiteral: _list_literal,
    Unary: _unary,
    Binary: _binary,
    Logic: _logic,
    Choice: _choice,
    Call: _call,
    Macro: _macro,
}
