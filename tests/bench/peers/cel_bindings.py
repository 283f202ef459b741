"""The five rules in the Common Expression Language, by three implementations of it.

The language has no sum: each binding is given one as a Python function. The inputs of links stand in their trees once more
for each link where a binding copies what it is given; that is its way to work, and in its time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from peers.hand import Broken
from peers.rows import Rows
from peers.trees import Trees, trees_of

RULES = {
    "loss": (
        "link",
        "!(r.input.present && r.outcome != 'no-picture' && r.outcome != 'needs-setting') || r.loss <= r.loss_limit",
    ),
    "shared": ("input", "!r.present || size(r.cameras) <= 1"),
    "encode": ("recorder", "total(r.links.map(l, l.pixels * l.rate)) <= r.encode_total"),
    "output": (
        "output",
        "!(r.present && !r.feeds.exists(f, f.collapsed)) || total(r.feeds.map(f, f.amps)) <= r.amps_max",
    ),
    "picture": (
        "link",
        "!(r.input.present && r.emits_set_mode && r.family_taken) || r.outcome != 'no-picture'",
    ),
}
Test = Callable[[Any], bool]


class _Binding:
    """Compiled once; each subject judged by itself."""

    includes = "a tree of dictionaries for each subject, turned into the binding's own values at each evaluation"
    tests: dict[str, Test]

    def load(self, rows: Rows) -> Trees:
        """A tree for each subject."""
        return trees_of(rows)

    def judge(self, trees: Trees) -> Broken:
        """What is not true of each subject."""
        return {
            name: [subject for subject, tree in trees[kind] if not self.tests[name](tree)]
            for name, (kind, _) in RULES.items()
        }


class RustCel(_Binding):
    """The binding of a Rust implementation."""

    name = "CEL in Rust"
    package = "common-expression-language"

    def __init__(self) -> None:
        import cel

        self.tests = {name: self._test(cel, cel.compile(text)) for name, (_, text) in RULES.items()}

    def _test(self, module: Any, program: Any) -> Test:
        context = module.Context({}, {"total": lambda items: float(sum(items))})

        def test(tree: Any) -> bool:
            context.add_variable("r", tree)
            return bool(program.execute(context))

        return test


class CppCel(_Binding):
    """The binding of a C++ implementation."""

    name = "CEL in C++"
    package = "cel-expr-python"

    def __init__(self) -> None:
        from cel_expr_python import cel

        kind = cel.Type
        total = cel.FunctionDecl("total", [cel.Overload("total_list", kind.DOUBLE, [kind.List(kind.DYN)], False, sum)])
        environment = cel.NewEnv(variables={"r": kind.Map(kind.STRING, kind.DYN)}, functions=[total])
        self.tests = {name: self._test(environment.compile(text)) for name, (_, text) in RULES.items()}

    def _test(self, expression: Any) -> Test:
        return lambda tree: bool(expression.eval(data={"r": tree}).value())


class PythonCel(_Binding):
    """An implementation in Python."""

    name = "CEL in Python"
    package = "cel-python"
    includes = "a tree of the library's own values for each subject"

    def __init__(self) -> None:
        import celpy

        self.types = celpy.celtypes
        environment = celpy.Environment()
        functions = {"total": lambda items: self.types.DoubleType(sum(items))}
        self.tests = {
            name: self._test(environment.program(environment.compile(text), functions=functions))
            for name, (_, text) in RULES.items()
        }

    def _test(self, program: Any) -> Test:
        return lambda tree: bool(program.evaluate({"r": tree}))

    def load(self, rows: Rows) -> Trees:
        """Trees in the library's values; branches stay shared."""
        known: dict[int, Any] = {}
        trees = trees_of(rows)
        return {kind: [(name, self._value(tree, known)) for name, tree in each] for kind, each in trees.items()}

    def _value(self, value: Any, known: dict[int, Any]) -> Any:
        types = self.types
        if isinstance(value, dict):
            if id(value) not in known:
                made = {types.StringType(key): self._value(item, known) for key, item in value.items()}
                known[id(value)] = types.MapType(made)
            return known[id(value)]
        if isinstance(value, list):
            return types.ListType([self._value(item, known) for item in value])
        wrap = {bool: types.BoolType, float: types.DoubleType, str: types.StringType}
        return wrap[type(value)](value)
