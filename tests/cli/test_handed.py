"""What a command names as a type without loading it stands in annotations alone: anywhere else it would be an empty class."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

CLI = Path(__file__).resolve().parents[2] / "engine" / "coaxwright" / "cli"
FILES = sorted(path for path in CLI.rglob("*.py") if "from coaxwright.cli.handed import" in path.read_text(encoding="utf-8"))


def _handed(tree: ast.Module) -> set[str]:
    imports = [node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    return {name.asname or name.name for node in imports if node.module == "coaxwright.cli.handed" for name in node.names}


class _ImportedInside(ast.NodeTransformer):
    """Takes out functions' own uses of what they import themselves."""

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.FunctionDef:
        """One function, those inside it with it."""
        own = {name.asname or name.name for each in ast.walk(node) if isinstance(each, ast.ImportFrom) for name in each.names}
        for each in ast.walk(node):
            if isinstance(each, ast.Name) and each.id in own:
                each.id = "_"
        return node


def used_as_values(source: str) -> Iterator[str]:
    """Names of `handed` that are read when the module runs."""
    tree = ast.parse(source)
    handed = _handed(tree)
    tree = _ImportedInside().visit(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            node.returns = None
        elif isinstance(node, ast.arg):
            node.annotation = None
        elif isinstance(node, ast.AnnAssign):
            node.annotation = ast.Constant(None)
    yield from (node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and node.id in handed)


def test_the_measure_measures() -> None:
    begin = "from coaxwright.cli.handed import Site, Bank as Held\n"
    assert list(used_as_values(begin + "def f(a: Site, *b: Held) -> list[Site]:\n    c: Held = a\n")) == []
    assert list(used_as_values(begin + "isinstance(1, Held)\n")) == ["Held"]
    assert list(used_as_values(begin + "def f(a):\n    from b import Site\n    return Site(a), Held\n")) == ["Held"]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_types_that_are_not_loaded_stand_in_annotations(path: Path) -> None:
    assert list(used_as_values(path.read_text(encoding="utf-8"))) == []


def test_every_name_is_declared() -> None:
    tree = ast.parse((CLI / "handed.pyi").read_text(encoding="utf-8"))
    declared = {name.asname for node in tree.body if isinstance(node, ast.ImportFrom) for name in node.names}
    asked = {name for path in FILES for name in _handed(ast.parse(path.read_text(encoding="utf-8")))}
    assert asked == declared
