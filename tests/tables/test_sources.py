"""No figure without its source: tables, parts, assumptions, rules and constants in code are walked."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from basis import modules, unsourced_cells, unsourced_constants, unsourced_in_rule

from coaxwright.reading.yaml_source import parse_document
from coaxwright.resources import data_root
from coaxwright.rulebook.loading import load_rulebook

ROOT = Path(__file__).resolve().parents[2]
TABLES = sorted((ROOT / "rules" / "tables").glob("*.yaml"))
RULES = {rule.id: rule.plain for rule in load_rulebook().rules}
FACTS = modules(ROOT / "engine" / "coaxwright" / "facts")
METHODS = {"ac_network.py", "power_limit.py", "power_network.py", "power_solving.py"}
"""Solvers: their literals are steps and tolerances of a numerical method, held by the outside oracles of tests/physics."""


@pytest.mark.parametrize("file", TABLES, ids=lambda file: file.stem)
def test_every_figure_of_a_table_has_a_source(file: Path) -> None:
    plain = parse_document(file.read_text(encoding="utf-8"), file.name).value
    assert list(unsourced_cells(plain)) == []


@pytest.mark.parametrize("identifier", RULES)
def test_every_figure_of_a_rule_has_a_source(identifier: str) -> None:
    assert list(unsourced_in_rule(RULES[identifier])) == []


@pytest.mark.parametrize("file", FACTS, ids=lambda file: str(file.relative_to(FACTS[0].parent)))
def test_every_constant_in_code_has_a_source(file: Path) -> None:
    if file.name not in METHODS:
        assert list(unsourced_constants(file.read_text(encoding="utf-8"))) == []


def test_all_tables_and_rules_were_walked() -> None:
    folder = data_root("rules")
    assert {file.name for file in TABLES} == {file.name for file in (folder / "tables").iterdir() if file.name.endswith(".yaml")}
    assert len(RULES) >= 90
    assert len(FACTS) > 50


# The walkers themselves: each of these has one figure that nothing backs.
@pytest.mark.parametrize(
    "planted",
    [
        {"rows": [{"name": "a", "size": 1.5}]},
        {"source": "common practice", "rows": [{"size": 1}, {"size": 2, "source": "a page somewhere"}]},
        {"parts": {"x/y": {"capacity": "4 TB"}}},
        {"parts": {"x/y": {"modes": ["1920x1080@25"]}}},
    ],
)
def test_a_planted_cell_is_found(planted: dict) -> None:
    assert len(list(unsourced_cells(planted))) == 1


RULE = {
    "title": "t", "says": "{a.b|V} at 20 W", "why": "w",
    "limits": {"far": {"value": "20 W", "source": "common practice"}},
    "sources": [{"title": "IEC 60228", "for": "resistance"}],
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({}, 0),
        ({"limits": {"far": {"value": "20 W", "source": "someone said"}}}, 1),
        ({"sources": [{"title": "a dealer"}]}, 1),
        ({"says": "at 21 W"}, 1),
        ({"working": ["loses 2 V and 30 m"]}, 2),
        ({"why": "Class 2 of IEC 60529 in 3 rooms"}, 0),
        ({"fixes": [{"do": "x", "says": "a 100 ohm pair"}]}, 1),
    ],
)
def test_a_planted_figure_of_a_rule_is_found(change: dict, found: int) -> None:
    assert len(list(unsourced_in_rule(RULE | change))) == found


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("A = 7.5\n", 1),
        ('A = 7.5\n"""From memory of nothing."""\n', 1),
        ('A = 7.5\nB = 6.5\n"""IEC 60228 table 1."""\n', 0),
        ("# common practice\nA = 7.5\n", 0),
        ("def f():\n    return 7.5 + 2 + 1000\n", 1),
        ('def f():\n    """Ohm, IEC 60228."""\n    return 7.5\n', 0),
        ("class C:\n    def f(self):\n        return 7.5\n", 1),
    ],
)
def test_a_planted_constant_is_found(code: str, found: int) -> None:
    assert len(list(unsourced_constants(code))) == found
