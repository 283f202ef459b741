"""The shape of the code: lengths, layers, what may not stand in the project. Limits are common practice."""

from __future__ import annotations

import ast
import os
import re
import statistics
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ENGINE = ROOT / "engine" / "coaxwright"
MODULES = sorted(ENGINE.rglob("*.py"))
LONGEST_FUNCTION = 40
MEDIAN_FUNCTION = 12
LONGEST_MODULE = 500

Function = ast.FunctionDef | ast.AsyncFunctionDef


def _functions(path: Path) -> Iterator[Function]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, Function):
            yield node


def _length(function: Function) -> int:
    """Lines from `def` to the last, without the docstring: explaining a formula at length is no fault."""
    lines = (function.end_lineno or 0) - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function) is not None and len(function.body) > 1:
        lines -= (first.end_lineno or 0) - first.lineno + 1
    return lines


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _tracked() -> list[Path]:
    """Files that git knows or would take; without git, the whole tree less the usual litter."""
    call = ["git", "-C", str(ROOT), "ls-files", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(call, capture_output=True, text=True, check=False)
    if listed.returncode == 0 and listed.stdout:
        return [ROOT / name for name in listed.stdout.splitlines() if (ROOT / name).is_file()]
    litter = {".venv", ".git", "__pycache__", "dist", "build"}
    return [path for path in ROOT.rglob("*") if path.is_file() and not litter & set(path.parts)]


def test_the_measures_measure() -> None:
    """A function of known length, so that the tests below can fail."""
    body = "\n".join(f"    a{number} = {number}" for number in range(45))
    function = ast.parse(f"def long():\n    '''One.\n\n    Two.\n    '''\n{body}\n").body[0]
    assert isinstance(function, ast.FunctionDef)
    assert _length(function) == 46


def test_functions_are_short() -> None:
    lengths = {
        f"{_name(path)}:{each.lineno} {each.name}": _length(each)
        for path in MODULES
        for each in _functions(path)
    }
    too_long = {name: lines for name, lines in lengths.items() if lines > LONGEST_FUNCTION}
    assert not too_long, f"functions over {LONGEST_FUNCTION} lines: {too_long}"
    assert statistics.median(lengths.values()) < MEDIAN_FUNCTION


def test_modules_are_short() -> None:
    sizes = {_name(path): len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert not {name: lines for name, lines in sizes.items() if lines > LONGEST_MODULE}


@pytest.mark.parametrize("path", MODULES, ids=_name)
def test_module_says_what_it_is_for(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    tree = ast.parse(source)
    assert ast.get_docstring(tree), "no module docstring"
    if len(tree.body) > 1 and not _holds_models(source):
        assert "from __future__ import annotations" in source


def _holds_models(source: str) -> bool:
    """Annotations that pydantic reads are left as they are: as text each would be compiled again at every start."""
    return "(Strict):" in source or "(PartBase):" in source or "(BaseModel):" in source


@pytest.mark.parametrize("path", MODULES, ids=_name)
def test_module_takes_no_back_door(path: Path) -> None:
    """No contract is escaped by imports for type checkers only; no text of a user is run as Python."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        assert not (isinstance(node, ast.Name) and node.id == "TYPE_CHECKING"), f"line {node.lineno}"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id != "eval", f"line {node.lineno}"
    assert "urllib.request" not in path.read_text(encoding="utf-8"), "nothing is fetched while checking"


def test_rules_hold_data_only() -> None:
    """A Python file there would also shadow the package in an editable install."""
    for folder in ("rules", "schemas", "examples"):
        assert not sorted((ROOT / folder).rglob("*.py")), folder


def test_physics_needs_nothing_of_the_project() -> None:
    """Save the form of its records and arithmetic, which themselves need nothing but the standard library."""
    for path in sorted((ENGINE / "facts" / "physics").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            for name in names:
                top = name.partition(".")[0]
                ours = ("coaxwright.facts.physics", "coaxwright.immutable", "coaxwright.portable")
                own = name.startswith(ours) or (isinstance(node, ast.ImportFrom) and node.level)
                assert own or top in sys.stdlib_module_names, f"{_name(path)} imports {name}"


def test_import_contracts_hold() -> None:
    script = Path(sys.executable).with_name("lint-imports")
    if not script.exists():
        pytest.skip("import-linter is not installed beside this Python")
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    run = subprocess.run(
        [script, "--no-cache"], cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stdout
    assert "0 broken" in run.stdout


def test_every_runtime_dependency_is_declared() -> None:
    """What the engine imports is in the standard library, in itself, in `dependencies`, or in an extra for its users."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {re.split(r"[<>=!~ \[]", line)[0].lower() for line in project["dependencies"]}
    extras = project["optional-dependencies"]
    asked_for = [line for extra in ("frame", "editor") for line in extras.get(extra, [])]
    declared |= {re.split(r"[<>=!~ \[]", line)[0].lower() for line in asked_for}
    imported = {name for path in MODULES for name in _top_imports(path)} - {"coaxwright"}
    distribution = {"yaml": "pyyaml", "pydantic_core": "pydantic", "python_calamine": "python-calamine"}
    outside = {distribution.get(name, name) for name in imported if name not in sys.stdlib_module_names}
    assert outside <= declared, f"imported but not declared: {outside - declared}"


def _top_imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.partition(".")[0]


def _joined(*pieces: str) -> str:
    """Words in pieces, since this file is searched too."""
    return "".join(pieces)


UNWANTED = [
    re.compile(_joined(r"\btran", r"scripts?\b"), re.IGNORECASE),
    re.compile(_joined(r"\bseed[ -]doc", r"ument"), re.IGNORECASE),
    re.compile(_joined(r"(?<![\w.])/wo", r"rk/")),
    re.compile(_joined(r"\bfresh", r"-start\b")),
]
SAMPLES = [
    _joined("a tran", "script"),
    _joined("the seed-doc", "ument"),
    _joined("see /wo", "rk/main"),
    _joined("run fresh", "-start"),
]


@pytest.mark.parametrize(("pattern", "sample"), list(zip(UNWANTED, SAMPLES, strict=True)))
def test_the_search_for_unwanted_words_finds_them(pattern: re.Pattern[str], sample: str) -> None:
    assert pattern.search(sample)


def test_no_unwanted_words() -> None:
    found = []
    for path in _tracked():
        text = _name(path) + "\n" + path.read_bytes().decode("utf-8", "replace")
        found += [f"{_name(path)}: {pattern.pattern}" for pattern in UNWANTED if pattern.search(text)]
    assert not found


def test_no_claim_of_safety() -> None:
    """A tool cannot promise it: where someone can be hurt the words defer: 'needs review by ...'."""
    claim = re.compile(r"\b(is|are) (perfectly |completely |electrically )?(safe|protected)\b", re.IGNORECASE)
    assert claim.search("this mast is safe")
    folders = [ROOT / "rules", ROOT / "engine"]
    files = [path for folder in folders for path in folder.rglob("*") if path.suffix in {".yaml", ".py"}]
    texts = {path: path.read_text(encoding="utf-8") for path in files}
    found = [f"{_name(path)}: {hit[0]}" for path, text in texts.items() for hit in claim.finditer(text)]
    assert not found
