"""Conditions of a sweep as statements: list macros become plain loops, at a quarter of the cost of generators.

Works on what `compiling.emit` made. The order of evaluation stays, save that a sum may be taken before what stands
beside it: that can only raise, and whatever raises is left to the exact evaluator. On each way through the statements one
of the two ends is reached, once, as the last thing done.
"""

from __future__ import annotations

import ast

from coaxwright.language.compiling import loaded

Statements = list[ast.stmt]
_Loop = ast.GeneratorExp | ast.ListComp
_MOST_LOOPS = 8
"""Of one condition: Python takes no more than twenty blocks inside one another, those of the guard and the sweep included."""
_STRICT = (ast.Compare, ast.BinOp, ast.UnaryOp)


def branch(condition: ast.expr, then: Statements, otherwise: Statements, taken: frozenset[str]) -> Statements:
    """Statements that come to `then` where the condition holds and to `otherwise` where it does not.

    `taken` are names of variables that loops may not use: they live longer.
    """
    if isinstance(condition, ast.UnaryOp) and isinstance(condition.op, ast.Not):
        return branch(condition.operand, otherwise, then, taken)
    if isinstance(condition, ast.BoolOp) and 0 < _loops(condition) <= _MOST_LOOPS >= len(condition.values):
        return _joined(condition, then, otherwise, taken)
    loop = _loop_of(condition, ("any", "all"), ast.GeneratorExp, taken)
    if loop is not None:
        return _searched(condition, loop, then, otherwise)
    before: Statements = []
    condition = _summed(condition, before, taken)
    return [*before, ast.If(condition, then, otherwise)]


def _joined(condition: ast.BoolOp, then: Statements, otherwise: Statements, taken: frozenset[str]) -> Statements:
    """One operand after the other, where the end that each of them may come to is short enough to stand twice."""
    both = isinstance(condition.op, ast.And)
    if len(otherwise if both else then) > 1 or not _is_short((otherwise if both else then)[0]):
        return [ast.If(condition, then, otherwise)]
    first, *others = condition.values
    rest = others[0] if len(others) == 1 else ast.BoolOp(condition.op, others)
    further = branch(rest, then, otherwise, taken)
    return branch(first, further, otherwise, taken) if both else branch(first, then, further, taken)


def _is_short(statement: ast.stmt) -> bool:
    return isinstance(statement, ast.Expr | ast.AugAssign)


def _searched(condition: ast.expr, loop: _Loop, then: Statements, otherwise: Statements) -> Statements:
    """A loop that ends at the first item that decides."""
    exists = isinstance(condition, ast.Call) and isinstance(condition.func, ast.Name) and condition.func.id == "any"
    found, missed = (then, otherwise) if exists else (otherwise, then)
    test = loop.elt if exists else ast.UnaryOp(ast.Not(), loop.elt)
    items = loop.generators[0]
    return [ast.For(items.target, items.iter, [ast.If(test, [*found, ast.Break()], [])], missed, None)]


def _loop_of(node: ast.expr, helpers: tuple[str, ...], form: type[_Loop], taken: frozenset[str]) -> _Loop | None:
    """The loop that a helper is called with, where its variable is free to be used by a statement."""
    if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in helpers):
        return None
    (loop,) = node.args
    if not isinstance(loop, form) or len(loop.generators) > 1 or loop.generators[0].ifs:
        return None
    target = loop.generators[0].target
    return loop if isinstance(target, ast.Name) and target.id not in taken else None


def _summed(node: ast.expr, before: Statements, taken: frozenset[str]) -> ast.expr:
    """The expression with sums over lists, where they are always taken, replaced by totals made before it."""
    loop = _loop_of(node, ("do_sum_double",), ast.ListComp, taken)
    if loop is not None:
        name, items = f"total{len(before)}", loop.generators[0]
        before.append(ast.Assign([ast.Name(name, ast.Store())], ast.Constant(0.0)))
        add = ast.AugAssign(ast.Name(name, ast.Store()), ast.Add(), loop.elt)
        before.append(ast.For(items.target, items.iter, [add], [], None))
        return loaded(name)
    if isinstance(node, _STRICT):
        for field, value in ast.iter_fields(node):
            if isinstance(value, list):
                setattr(node, field, [_summed(each, before, taken) if isinstance(each, ast.expr) else each for each in value])
            elif isinstance(value, ast.expr):
                setattr(node, field, _summed(value, before, taken))
    return node


def _loops(node: ast.expr) -> int:
    return sum(isinstance(each, ast.GeneratorExp | ast.ListComp) for each in ast.walk(node))
