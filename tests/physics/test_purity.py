"""The physics stays pure: the standard library, itself and the form of its records only, nothing heavy at start-up."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import coaxwright.facts.physics as physics

FOLDER = Path(physics.__file__).parent
MODULES = sorted(FOLDER.glob("*.py"))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_imports(path):
    allowed = {"__future__", "bisect", "collections", "dataclasses", "math", "operator", "itertools", "re"}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = (
            [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else []
        )
        for name in names:
            own = name.startswith("coaxwright.facts.physics.") or name in ("coaxwright.immutable", "coaxwright.portable")
            assert own or name.split(".")[0] in allowed


def test_no_array_library_is_loaded():
    stems = [path.stem for path in MODULES if path.stem != "__init__"]
    code = f"import sys; sys.path.insert(0, {str(FOLDER.parents[2])!r})\n"
    code += "".join(f"import coaxwright.facts.physics.{stem}\n" for stem in stems)
    code += "print(sorted({'numpy', 'scipy', 'networkx'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-I", "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_every_public_function_names_a_source_or_theory():
    """A docstring of one line is enough when it says what the figure rests on; the modules promise units."""
    for path in MODULES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                assert ast.get_docstring(node), f"{path.stem}.{node.name}"
