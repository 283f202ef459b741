"""The exact evaluator: walks the resolved tree and gives the value, what is missing for it, or why there is
none.

Slower than `compiling` by far; asked only when the fast way cannot answer, and by tests. Source of the
meaning of missing values: Common Expression Language specification, "Logical Operators" and "Macros", with
unknowns treated as the specification treats errors; an unknown outweighs a fault, since supplying the value
may remove the fault.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from coaxwright.language.checked import Checked, Fault, Unknown
from coaxwright.language.effort import MAX_STEPS, WALKING, Steps
from coaxwright.language.functions import OPERATIONS, OperationFault, item_at
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

Scope = Mapping[str, object]
_UNSET = object()
_ABSENT = (Unknown, Fault)
"""Made once: a union in an `isinstance` is built anew at each call."""


class _Exhausted(Exception):
    """The step budget is used up."""


def evaluate(checked: Checked, bindings: Mapping[str, object], steps: int | Steps = MAX_STEPS) -> object:
    """The value of the expression with variables bound to sheets, texts and numbers.

    Returns a bool, int, float, str, list or sheet; `Unknown` naming each (sheet, field) that would decide;
    or `Fault`, also where it takes more than `steps`. A variable that is not in `bindings` is a KeyError: a
    mistake of the caller.
    """
    shared = Steps(steps) if isinstance(steps, int) else steps
    run = _Run(shared.left)
    try:
        value = run.value(checked.syntax, bindings)
        run.charge(value)
    except _Exhausted:
        what = f"more than {steps} steps of work" if isinstance(steps, int) else "too many steps of work"
        return Fault(what, 0, len(checked.text))
    finally:
        shared.left = max(run.steps, 0)
    return value


def merged(results: Sequence[object]) -> Unknown | Fault | None:
    """What operands without value come to: all that is missing, in order, each once; else the first fault;
    else None.
    """
    unknowns = [result for result in results if type(result) is Unknown]
    if len(unknowns) == 1:
        return unknowns[0]
    if not unknowns:
        return next((result for result in results if isinstance(result, Fault)), None)
    missing = {(id(sheet), name): (sheet, name) for unknown in unknowns for sheet, name in unknown.missing}
    return Unknown(tuple(missing.values()))


class _Run:
    """One evaluation: the steps left."""

    __slots__ = ("steps",)

    def __init__(self, steps: int) -> None:
        self.steps = steps

    def value(self, node: Node, scope: Scope) -> object:
        self.steps -= 1
        if self.steps < 0:
            raise _Exhausted
        return _EVALUATE[type(node)](self, node, scope)

    def charge(self, value: object) -> None:
        """Count what walking a text or list costs, texts and lists inside it too."""
        self.steps -= _weight(value, {})
        if self.steps < 0:
            raise _Exhausted

    def operation(self, name: str) -> Callable[..., object]:
        """The operation of that name, its walks through texts and lists counted before they are made."""
        plain = OPERATIONS[name]
        if name not in WALKING:
            return plain

        def counted(*values: object) -> object:
            for value in values:
                self.charge(value)
            return plain(*values)

        return counted

    def literal(self, node: Literal, scope: Scope) -> object:
        return node.value

    def name(self, node: Name, scope: Scope) -> object:
        return scope[node.name]

    def select(self, node: Select, scope: Scope) -> object:
        sheet = self.value(node.operand, scope)
        if isinstance(sheet, _ABSENT):
            return sheet
        value = getattr(sheet, node.field, _UNSET)
        return Unknown(((sheet, node.field),)) if value is _UNSET else value

    def has(self, node: Has, scope: Scope) -> object:
        sheet = self.value(node.operand, scope)
        return sheet if isinstance(sheet, _ABSENT) else hasattr(sheet, node.field)

    def apply(
        self, node: Node, operation: Callable[..., object], parts: Sequence[Node], scope: Scope
    ) -> object:
        """A strict operation: any part without value decides."""
        values = [self.value(part, scope) for part in parts]
        absent = [value for value in values if isinstance(value, _ABSENT)]
        if absent:
            return absent[0] if len(absent) == 1 else merged(absent)
        try:
            return operation(*values)
        except (OperationFault, OverflowError) as fault:
            return Fault(str(fault), node.start, node.end)

    def index(self, node: Index, scope: Scope) -> object:
        return self.apply(node, item_at, (node.operand, node.position), scope)

    def list_literal(self, node: ListLiteral, scope: Scope) -> object:
        return self.apply(node, lambda *items: [*items], node.items, scope)

    def unary(self, node: Unary, scope: Scope) -> object:
        return self.apply(node, OPERATIONS[node.operation], (node.operand,), scope)

    def binary(self, node: Binary, scope: Scope) -> object:
        return self.apply(node, self.operation(node.operation), (node.left, node.right), scope)

    def call(self, node: Call, scope: Scope) -> object:
        return self.apply(node, self.operation(node.operation), node.arguments, scope)

    def logic(self, node: Logic, scope: Scope) -> object:
        return self.decide(node.operation == "or", ((operand, scope) for operand in node.operands))

    def decide(self, deciding: bool, operands: Iterable[tuple[Node, Scope]]) -> object:
        """`deciding` if any operand has that value, whatever the others lack; else what is lacking; else the
        opposite.
        """
        absent: list[object] = []
        for operand, scope in operands:
            result = self.value(operand, scope)
            if result is deciding:
                return deciding
            if type(result) is not bool:
                absent.append(result)
        return merged(absent) if absent else not deciding

    def choice(self, node: Choice, scope: Scope) -> object:
        condition = self.value(node.condition, scope)
        if isinstance(condition, _ABSENT):
            return condition
        return self.value(node.then if condition else node.otherwise, scope)

    def macro(self, node: Macro, scope: Scope) -> object:
        source: Any = self.value(node.source, scope)
        if isinstance(source, _ABSENT):
            return source
        scopes = ({**scope, node.variable: item} for item in source)
        if node.operation in ("all", "exists"):
            return self.decide(node.operation == "exists", ((node.body, inner) for inner in scopes))
        results = [self.value(node.body, inner) for inner in scopes]
        absent = merged(results)
        return absent if absent is not None else _COLLECT[node.operation](source, results)


def _weight(value: object, known: dict[int, int]) -> int:
    """Items and a quarter of the characters of a text or list, all that is inside counted; items are of one type.

    One list can stand in another many times over, and counts each time: `known` saves walking it again.
    """
    if type(value) is str:
        return len(value) >> 2
    if not isinstance(value, list | tuple) or not value:
        return 0
    if isinstance(value[0], str):
        return len(value) + (sum(map(len, value)) >> 2)
    if not isinstance(value[0], list | tuple):
        return len(value)
    for item in value:
        if id(item) not in known:
            known[id(item)] = _weight(item, known)
    return len(value) + sum(known[id(item)] for item in value)


def _kept(items: Sequence[object], results: Sequence[object]) -> list[object]:
    return [item for item, kept in zip(items, results, strict=True) if kept]


_COLLECT: Mapping[str, Callable[[Any, list[object]], object]] = {
    "exists_one": lambda items, results: sum(result is True for result in results) == 1,
    "filter": _kept,
    "map": lambda items, results: results,
}

_EVALUATE: Mapping[type[Node], Callable[..., object]] = {
    Literal: _Run.literal,
    Name: _Run.name,
    Select: _Run.select,
    Has: _Run.has,
    Index: _Run.index,
    ListLiteral: _Run.list_literal,
    Unary: _Run.unary,
    Binary: _Run.binary,
    Logic: _Run.logic,
    Choice: _Run.choice,
    Call: _Run.call,
    Macro: _Run.macro,
}
