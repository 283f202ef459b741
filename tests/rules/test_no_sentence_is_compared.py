"""Words are for people: no rule, pattern or fact decides by the wording of a sentence; codes with choices are for that."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.signal import BROKEN

ROOT = Path(__file__).resolve().parents[2]
EXPRESSIONS = {"when", "while", "require", "margin", "is", "if", "where", "value", "answer", "only_if"}
QUOTED = re.compile(r"""'[^']*'|"[^"]*\"""")
WORDY = {
    name
    for sheet in SHEETS.values()
    for name, field in sheet.__dataclass_fields__.items()
    if field.metadata and re.search(r"\bin words\b", field.metadata["doc"])
}
READS = re.compile(rf"(?<!has\()\b(\w+\.)+({'|'.join(sorted(WORDY))})\b")
COMPARING = {"startswith", "endswith", "find", "index", "count", "removeprefix", "removesuffix", "partition"}


def expressions(value: object, key: str = "") -> Iterator[str]:
    """Every text that stands under a key for expressions."""
    if isinstance(value, dict):
        for name, each in value.items():
            yield from expressions(each, str(name))
    elif isinstance(value, list):
        for each in value:
            yield from expressions(each, key)
    elif isinstance(value, str) and key in EXPRESSIONS:
        yield value


def faults(expression: str) -> list[str]:
    """What compares: a text of three words or more (names of areas have two), or a field in words."""
    bare = re.sub(r"has\([^()]*\)", "true", expression)
    sentences = [hit[0] for hit in QUOTED.finditer(expression) if len(hit[0].split()) > 2]
    return [*sentences, *(hit[0] for hit in READS.finditer(bare))]


def wordy_comparisons(tree: ast.AST) -> Iterator[int]:
    """Lines that compare, or search, one of the fields in words."""
    for node in ast.walk(tree):
        operands: list[ast.expr] = []
        if isinstance(node, ast.Compare):
            operands = [node.left, *node.comparators]
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in COMPARING:
            operands = [node.func.value]
        if any(_wordy(each) for each in operands) and not _emptiness(operands):
            yield node.lineno  # type: ignore[attr-defined]


def _wordy(node: ast.expr) -> bool:
    names = WORDY - {"families"} | {"broken_by", "broken"}  # a part's own `families` is a list, not words
    return isinstance(node, ast.Attribute) and node.attr in names


def _emptiness(operands: list[ast.expr]) -> bool:
    return any(isinstance(each, ast.Constant) and each.value in ("", None) for each in operands)


def test_the_search_finds_what_it_is_for() -> None:
    assert {"because", "sound_broken_by", "control_broken_by"} <= WORDY
    assert faults("camera.sound_broken_by.startsWith('there is no picture')")
    assert faults("link.because == mode.because")
    assert faults("camera.kind == 'no such kind'")
    assert faults("has(camera.sound_broken_by) && camera.sound_cause == 'no-picture'") == []
    assert list(wordy_comparisons(ast.parse("if 'no line' in verdict.broken_by: pass")))
    assert list(wordy_comparisons(ast.parse("link.because.startswith('x')")))
    assert not list(wordy_comparisons(ast.parse("a = check.cause == 'line-input'; b = link.because")))


FILES = [path for path in sorted((ROOT / "rules").rglob("*.yaml")) if not path.name.endswith(".cases.yaml")]


def test_no_rule_or_pattern_compares_a_sentence() -> None:
    seen, found = 0, []
    for path in FILES:
        for text in expressions(yaml.safe_load(path.read_text(encoding="utf-8"))):
            seen += 1
            found += [f"{path.name}: {each}" for each in faults(text)]
    assert seen > 500
    assert found == []


@pytest.mark.parametrize("room", ["facts", "rulebook", "fixes", "pairing", "quiz", "topology", "diagnosis"])
def test_no_code_compares_a_sentence(room: str) -> None:
    found = [
        f"{path.name}:{line}"
        for path in sorted((ROOT / "engine" / "coaxwright" / room).rglob("*.py"))
        for line in wordy_comparisons(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert found == []


def test_every_code_is_explained() -> None:
    page = (ROOT / "docs" / "how-facts-are-computed.md").read_text(encoding="utf-8")
    assert [code for code in BROKEN if f"`{code}`" not in page] == []


def test_whatever_is_broken_has_a_code() -> None:
    """A condition of the chains that can fail and has no code would read as `none`."""
    for module in ("picture/sound.py", "picture/control.py", "picture/link_binding.py", "network/network_cameras.py"):
        tree = ast.parse((ROOT / "engine" / "coaxwright" / "facts" / module).read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in {"Check", "Verdict"}:
                assert _cannot_fail(node) or _has_code(node), f"{module}:{node.lineno}"


def _cannot_fail(call: ast.Call) -> bool:
    """What is said where it fails is empty: it can only hold or be open."""
    said = call.args[1] if len(call.args) > 1 else None
    return said is None or (isinstance(said, ast.Constant) and said.value == "")


def _has_code(call: ast.Call) -> bool:
    codes = [*call.args[3:4], *(each.value for each in call.keywords if each.arg == "cause")]
    return any(not isinstance(each, ast.Constant) or each.value in BROKEN for each in codes)
