"""The type and unit check of an expression: every name known, every operator resolved, all problems told at
once.

Runs when a rule loads, so that judging never meets a wrong name or type. It evaluates nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from coaxwright.errors import Problem, Refusal
from coaxwright.language import signatures
from coaxwright.language.building import MACROS
from coaxwright.language.checked import Checked
from coaxwright.language.parsing import parse_expression, problem_in
from coaxwright.language.signatures import Mismatch, Path, Typed
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
from coaxwright.language.types import Bool, Environment, FieldSpec, Int, ListOf, Nothing, Num, Ref, Text, Type
from coaxwright.reading.suggest import did_you_mean_or_listed

Scope = Mapping[str, Typed]


def check_expression(text: str, environment: Environment, expect: Type | None = None) -> Checked:
    """Parse and check one expression; the result is ready for the evaluators.

    `expect` is the type it must have (`Num(unit)` exactly that unit; `Text()` any text). Raises `Refusal`
    with every problem found, each with a span relative to the start of `text` and an empty file name.
    """
    checker = _Checker(text, environment)
    result = checker.check(parse_expression(text), checker.variables())
    if not checker.problems and expect is not None:
        checker.expect(result, expect)
    if checker.problems:
        raise Refusal(sorted(checker.problems, key=lambda problem: problem.span.start if problem.span else 0))
    return Checked(text, result.type, _longest(checker.paths), result.node)


def _longest(paths: Mapping[Path, None]) -> tuple[Path, ...]:
    return tuple(
        path
        for path in paths
        if not any(len(other) > len(path) and other[: len(path)] == path for other in paths)
    )


def _listed(expected: Text) -> str:
    return f"it must be one of {', '.join(sorted(expected.choices or ()))}"


class _Checker:
    """One run over one expression: collects problems and the paths read."""

    def __init__(self, text: str, environment: Environment) -> None:
        self.text, self.environment = text, environment
        self.problems: list[Problem] = []
        self.paths: dict[Path, None] = {}

    def variables(self) -> Scope:
        return {
            name: Typed(Name(0, 0, name), kind, name, ((name,),), ((name, "*"),))
            for name, kind in self.environment.variables.items()
        }

    def check(self, node: Node, scope: Scope) -> Typed:
        return _CHECKS[type(node)](self, node, scope)

    def expect(self, found: Typed, expected: Type) -> None:
        joined = signatures.joined(found.type, expected)
        if isinstance(found.type, Num) and isinstance(expected, Num) and signatures.is_zero(found):
            return
        if isinstance(expected, Text) and expected.choices is not None and joined == Text():
            self._expect_choices(found, expected.choices)
        elif joined is None or (joined != expected and not isinstance(expected, Text)):
            self.complain(found.node, f"`{found.text}` is {found.type}", f"it must be {expected}")
        elif isinstance(expected, Text) and expected.choices is not None and joined != expected:
            self.complain(
                found.node, f"`{found.text}` may be a value that cannot stand here", _listed(expected)
            )

    def _expect_choices(self, found: Typed, choices: frozenset[str]) -> None:
        literals = [*signatures.literal_texts(found.node)]
        for literal in literals:
            if literal.value not in choices:
                right = did_you_mean_or_listed(str(literal.value), choices)
                self.complain(literal, f"'{literal.value}' is not a value that may stand here", right)
        if not literals:
            self.complain(found.node, f"`{found.text}` may be any text", _listed(Text(choices)))

    def complain(self, node: Node, what: str, right: str = "") -> None:
        self.problems.append(problem_in(self.text, node.start, node.end, what, right))

    def excerpt(self, node: Node) -> str:
        text = " ".join(self.text[node.start : node.end].split())
        return text if len(text) <= 60 else text[:57] + "..."

    def made(
        self, node: Node, kind: Type, origins: tuple[Path, ...] = (), items: tuple[Path, ...] = ()
    ) -> Typed:
        self.paths.update(dict.fromkeys(origins))
        return Typed(node, kind, self.excerpt(node), origins, items)

    def wrong(self, node: Node) -> Typed:
        """What stands for a node already complained about: it fits everywhere, so that nothing is told
        twice.
        """
        return Typed(node, Nothing(), self.excerpt(node))

    def resolved(
        self,
        node: Node,
        parts: list[Typed],
        resolve: Callable[[], tuple[str, Type]],
        make: Callable[[str], Node],
    ) -> Typed:
        """The node with its operation resolved; a mismatch is complained about once, and not at all over
        wrong parts.
        """
        if any(isinstance(part.type, Nothing) for part in parts):
            return self.wrong(node)
        try:
            operation, kind = resolve()
        except Mismatch as mismatch:
            self.complain(mismatch.node or node, mismatch.what, mismatch.right)
            return self.wrong(node)
        return self.made(make(operation), kind)

    def literal(self, node: Literal, scope: Scope) -> Typed:
        match node.value:
            case bool():
                return self.made(node, Bool())
            case int():
                return self.made(node, Int())
            case float():
                return self.made(node, Num())
        return self.made(node, Text())

    def name(self, node: Name, scope: Scope) -> Typed:
        known = scope.get(node.name)
        if known is None:
            self.complain(node, f"there is no `{node.name}` here", did_you_mean_or_listed(node.name, scope))
            return self.wrong(node)
        return self.made(node, known.type, known.origins, known.items)

    def field_of(self, operand: Typed, node: Select | Has) -> FieldSpec | None:
        """The field read, or None after a complaint."""
        if isinstance(operand.type, Nothing):
            return None
        if not isinstance(operand.type, Ref):
            self.complain(node, f"`{operand.text}` is {operand.type} and has no fields")
            return None
        kind = self.environment.kinds.get(operand.type.kind)
        spec = kind.fields.get(node.field) if kind else None
        if spec is None:
            options = kind.fields if kind else ()
            self.complain(
                node, f"a {operand.type.kind} has no `{node.field}`", did_you_mean_or_listed(node.field, options)
            )
        return spec

    def select(self, node: Select, scope: Scope) -> Typed:
        operand = self.check(node.operand, scope)
        spec = self.field_of(operand, node)
        if spec is None:
            return self.wrong(node)
        origins = tuple((*path, node.field) for path in operand.origins)
        made = Select(node.start, node.end, operand.node, node.field)
        return self.made(made, spec.type, origins, tuple((*path, "*") for path in origins))

    def has(self, node: Has, scope: Scope) -> Typed:
        operand = self.check(node.operand, scope)
        if self.field_of(operand, node) is None:
            return self.wrong(node)
        self.paths.update(dict.fromkeys((*path, node.field) for path in operand.origins))
        return self.made(Has(node.start, node.end, operand.node, node.field), Bool())

    def index(self, node: Index, scope: Scope) -> Typed:
        operand, position = self.check(node.operand, scope), self.check(node.position, scope)
        if isinstance(operand.type, Nothing) or isinstance(position.type, Nothing):
            return self.wrong(node)
        if not isinstance(operand.type, ListOf):
            self.complain(node, f"`{operand.text}` is {operand.type}, not a list")
            return self.wrong(node)
        self._must_have_items(operand)
        if not isinstance(position.type, Int):
            self.complain(
                position.node, f"the place in a list is a whole number, `{position.text}` is {position.type}"
            )
            return self.wrong(node)
        made = Index(node.start, node.end, operand.node, position.node)
        return self.made(
            made, operand.type.item, operand.items, tuple((*path, "*") for path in operand.items)
        )

    def _must_have_items(self, source: Typed) -> None:
        if signatures.nothing_inside(source) and not self.problems:
            self.complain(
                source.node, f"`{source.text}` never has an item", "name a list of a sheet, or give items"
            )

    def list_literal(self, node: ListLiteral, scope: Scope) -> Typed:
        items = [self.check(item, scope) for item in node.items]
        try:
            kind = signatures.joined_operands(items, "the items of a list")
        except Mismatch as mismatch:
            self.complain(mismatch.node or node, mismatch.what, mismatch.right)
            return self.wrong(node)
        made = ListLiteral(node.start, node.end, tuple(item.node for item in items))
        return self.made(made, ListOf(kind), (), tuple(path for item in items for path in item.origins))

    def unary(self, node: Unary, scope: Scope) -> Typed:
        operand = self.check(node.operand, scope)
        return self.resolved(
            node,
            [operand],
            lambda: signatures.unary(node.operation, operand),
            lambda operation: Unary(node.start, node.end, operation, operand.node),
        )

    def binary(self, node: Binary, scope: Scope) -> Typed:
        left, right = self.check(node.left, scope), self.check(node.right, scope)
        made = self.resolved(
            node,
            [left, right],
            lambda: signatures.binary(node.operation, left, right),
            lambda operation: Binary(node.start, node.end, operation, left.node, right.node),
        )
        return Typed(made.node, made.type, made.text, (), left.items + right.items)

    def logic(self, node: Logic, scope: Scope) -> Typed:
        operands = [self.check(operand, scope) for operand in node.operands]
        for operand in operands:
            self._must_be_condition(operand, f"`{node.operation}` joins conditions")
        operation = {"&&": "and", "||": "or"}[node.operation]
        made = Logic(node.start, node.end, operation, tuple(operand.node for operand in operands))
        return self.made(made, Bool())

    def _must_be_condition(self, operand: Typed, why: str) -> None:
        if not isinstance(operand.type, Bool | Nothing):
            self.complain(
                operand.node, f"{why}; `{operand.text}` is {operand.type}", "compare it with something"
            )

    def choice(self, node: Choice, scope: Scope) -> Typed:
        condition, then, otherwise = (
            self.check(part, scope) for part in (node.condition, node.then, node.otherwise)
        )
        self._must_be_condition(condition, "`?` needs a condition before it")
        try:
            kind = signatures.joined_operands([then, otherwise], "both sides of `:`")
        except Mismatch as mismatch:
            self.complain(mismatch.node or node, mismatch.what, mismatch.right)
            return self.wrong(node)
        made = Choice(node.start, node.end, condition.node, then.node, otherwise.node)
        return self.made(made, kind, then.origins + otherwise.origins, then.items + otherwise.items)

    def call(self, node: Call, scope: Scope) -> Typed:
        arguments = [self.check(argument, scope) for argument in node.arguments]
        complaint = self._call_complaint(node)
        if complaint:
            self.complain(node, *complaint)
            return self.wrong(node)
        return self.resolved(
            node,
            arguments,
            lambda: signatures.call(node.operation, arguments),
            lambda operation: Call(node.start, node.end, operation, tuple(value.node for value in arguments)),
        )

    def _call_complaint(self, node: Call) -> tuple[str, str] | None:
        spec = self.environment.functions.get(node.operation)
        if node.operation in MACROS:
            return f"`{node.operation}` is called on a list", f"write list.{node.operation}(item, ...)"
        if node.operation in ("matches", "has"):
            other = "contains, startsWith or endsWith" if node.operation == "matches" else "has(sheet.field)"
            return f"`{node.operation}` cannot be called so in the rule language", f"use {other}"
        if spec is None:
            names = [*self.environment.functions, *MACROS, "has"]
            return f"there is no function `{node.operation}`", did_you_mean_or_listed(node.operation, names)
        if not (spec.member if node.member else spec.plain):
            return f"`{node.operation}` is called the other way", f"write {spec.form}"
        return None

    def macro(self, node: Macro, scope: Scope) -> Typed:
        source = self.check(node.source, scope)
        if not isinstance(source.type, ListOf | Nothing):
            self.complain(
                node.source, f"`{node.operation}` goes over a list; `{source.text}` is {source.type}"
            )
        self._must_have_items(source)
        item = source.type.item if isinstance(source.type, ListOf) else Nothing()
        deeper = tuple((*path, "*") for path in source.items)
        variable = Typed(Name(0, 0, node.variable), item, node.variable, source.items, deeper)
        body = self.check(node.body, {**scope, node.variable: variable})
        if node.operation != "map":
            self._must_be_condition(body, f"`{node.operation}` needs a condition")
        made = Macro(node.start, node.end, node.operation, source.node, node.variable, body.node)
        if node.operation == "map":
            return self.made(made, ListOf(body.type), (), body.origins)
        return self.made(made, source.type if node.operation == "filter" else Bool(), (), source.items)


_CHECKS: Mapping[type[Node], Callable[..., Typed]] = {
    Literal: _Checker.literal,
    Name: _Checker.name,
    Select: _Checker.select,
    Has: _Checker.has,
    Index: _Checker.index,
    ListLiteral: _Checker.list_literal,
    Unary: _Checker.unary,
    Binary: _Checker.binary,
    Logic: _Checker.logic,
    Choice: _Checker.choice,
    Call: _Checker.call,
    Macro: _Checker.macro,
}
