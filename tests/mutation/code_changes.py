"""Every small change of a module that the mutation of code knows, and how one of them is made.

A comparison moved over its edge or turned round; `and` for `or`; a bare condition denied, a `not` dropped; `+` for `-`,
`*` for `/`; a number one off, True for False, None for a value, a word spelt wrong; `min` for `max`, `any` for `all`; None
returned; a statement dropped (a call, an assignment to a field, `raise`, `continue`, `break`). Left alone: annotations,
docstrings, prose (text with a blank in it, f-strings), what stands in `Literal[...]`, `__all__`,
and `strict` of `zip`, which only guards.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ENGINE = Path(__file__).resolve().parents[2] / "engine"
EDGES = {ast.Lt: [ast.LtE, ast.GtE], ast.LtE: [ast.Lt, ast.Gt], ast.Gt: [ast.GtE, ast.LtE], ast.GtE: [ast.Gt, ast.Lt],
         ast.Eq: [ast.NotEq], ast.NotEq: [ast.Eq], ast.Is: [ast.IsNot], ast.IsNot: [ast.Is], ast.In: [ast.NotIn],
         ast.NotIn: [ast.In]}  # fmt: skip
SUMS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
        ast.Mod: ast.Mult, ast.Pow: ast.Mult}  # fmt: skip
SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any"}
DROPPED = (ast.Raise, ast.Continue, ast.Break, ast.AugAssign, ast.Delete)
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)
Change = tuple[str, Callable[[ast.AST], ast.AST]]


@dataclass(frozen=True)
class Mutant:
    """One change of one module: its node by position in the tree, and which change of that node it is."""

    module: str
    node: int
    change: int
    first: int
    last: int
    column: int
    what: str
    inside: bool  # in the body of a function, so that only code changes and nothing that ran on import

    def __str__(self) -> str:
        return f"{self.module}:{self.first}:{self.column}: {self.what}"


def path_of(module: str) -> Path:
    return ENGINE / "coaxwright" / (module.replace(".", "/") + ".py")


def tree_of(module: str) -> ast.Module:
    return ast.parse(path_of(module).read_text(encoding="utf-8"))


def _replaced(fresh: ast.AST) -> Callable[[ast.AST], ast.AST]:
    return lambda node: ast.copy_location(fresh, node)


def _set(name: str, value: object) -> Callable[[ast.AST], ast.AST]:
    def change(node: ast.AST) -> ast.AST:
        setattr(node, name, value)
        return node

    return change


def _compared(node: ast.Compare) -> Iterator[Change]:
    for at, sign in enumerate(node.ops):
        for other in EDGES[type(sign)]:

            def change(node: ast.AST, at: int = at, other: type[ast.cmpop] = other) -> ast.AST:
                node.ops[at] = other()  # type: ignore[attr-defined]
                return node

            yield f"{type(sign).__name__} to {other.__name__}", change


def _constant(node: ast.Constant) -> Iterator[Change]:
    value = node.value
    if isinstance(value, bool):
        yield f"{value} to {not value}", _set("value", not value)
    elif isinstance(value, int | float):
        yield f"{value} to {value + 1}", _set("value", value + 1)
    elif isinstance(value, str) and value and " " not in value:
        yield f"{value!r} spelt wrong", _set("value", value + "X")


def _denied(node: ast.AST) -> Iterator[Change]:
    test = node.test  # type: ignore[attr-defined]
    if not isinstance(test, ast.Compare | ast.BoolOp | ast.UnaryOp | ast.Constant):
        yield "condition denied", _set("test", ast.copy_location(ast.UnaryOp(ast.Not(), test), test))


def _statement(node: ast.stmt) -> Iterator[Change]:
    dropped = isinstance(node, DROPPED) or (isinstance(node, ast.Expr) and not isinstance(node.value, ast.Constant))
    dropped = dropped or (
        isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Attribute | ast.Subscript)
    )
    if dropped:
        yield f"dropped: {ast.unparse(node).splitlines()[0][:60]}", _replaced(ast.Pass())
    if isinstance(node, ast.Return) and not (node.value is None or isinstance(node.value, ast.Constant)):
        yield "None returned", _set("value", ast.copy_location(ast.Constant(None), node))


def changes(node: ast.AST) -> Iterator[Change]:
    """Each change of one node: what is done, and a function that does it to a copy of the node."""
    if isinstance(node, ast.Compare):
        yield from _compared(node)
    elif isinstance(node, ast.BoolOp):
        other = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield f"{type(node.op).__name__} to {other.__name__}", _set("op", other())
    elif isinstance(node, ast.BinOp | ast.AugAssign) and type(node.op) in SUMS:
        yield f"{type(node.op).__name__} to {SUMS[type(node.op)].__name__}", _set("op", SUMS[type(node.op)]())
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield f"{type(node.op).__name__} dropped", lambda found: found.operand  # type: ignore[attr-defined]
    elif isinstance(node, ast.Constant):
        yield from _constant(node)
    elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in SWAPPED:
        yield f"{node.id} to {SWAPPED[node.id]}", _set("id", SWAPPED[node.id])
    if isinstance(node, ast.If | ast.While | ast.IfExp):
        yield from _denied(node)
    if isinstance(node, ast.stmt):
        yield from _statement(node)


def _left_alone(node: ast.AST) -> list[ast.AST | None]:
    """Parts of a node that no change touches."""
    found = [getattr(node, "annotation", None), getattr(node, "returns", None)]
    if isinstance(node, ast.Subscript) and ast.unparse(node.value) in ("Literal", "Callable", "Mapping", "type"):
        found.append(node.slice)
    if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
        found.append(node.value)
    if isinstance(node, ast.keyword) and node.arg == "strict":
        found.append(node.value)
    if isinstance(node, ast.JoinedStr):
        found += [each for each in node.values if isinstance(each, ast.Constant)]
    if isinstance(node, ast.FormattedValue):
        found.append(node.format_spec)
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        found.append(node.value)
    return found


def _nodes(tree: ast.Module) -> Iterator[tuple[int, ast.AST, bool]]:
    """Nodes that may change, with their position and whether they lie in the body of a function."""
    order = {id(node): at for at, node in enumerate(ast.walk(tree))}

    def below(node: ast.AST, inside: bool) -> Iterator[tuple[int, ast.AST, bool]]:
        spared = {id(each) for each in _left_alone(node) if each is not None}
        body = {id(each) for each in node.body} if isinstance(node, FUNCTIONS) else None
        yield order[id(node)], node, inside
        for child in ast.iter_child_nodes(node):
            if id(child) not in spared:
                yield from below(child, inside or (body is not None and id(child) in body))

    yield from below(tree, False)


def _place(node: ast.AST) -> tuple[int, int, int]:
    return node.lineno, node.end_lineno or node.lineno, node.col_offset  # type: ignore[attr-defined]


def mutants(module: str) -> list[Mutant]:
    """Every mutant of a module, in the order of its source."""
    found = [
        Mutant(module, at, number, *_place(node), what, inside)
        for at, node, inside in _nodes(tree_of(module))
        for number, (what, _) in enumerate(changes(node))
    ]
    return sorted(found, key=lambda each: (each.first, each.node, each.change))


def changed(mutant: Mutant) -> ast.Module:
    """The tree of the module with the change made; lines and columns stay as they were."""
    fresh = copy.deepcopy(tree_of(mutant.module))
    target = list(ast.walk(fresh))[mutant.node]
    new = list(changes(target))[mutant.change][1](target)
    if new is not target:
        _put(fresh, target, new)
    return ast.fix_missing_locations(fresh)


def _put(tree: ast.AST, old: ast.AST, new: ast.AST) -> None:
    for parent in ast.walk(tree):
        for name, value in ast.iter_fields(parent):
            if value is old:
                setattr(parent, name, new)
            elif isinstance(value, list):
                value[:] = [new if each is old else each for each in value]
