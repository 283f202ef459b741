"""Seldom ways through limits, sentences, pages and the words of cases: what each of them prints, or refuses."""

from __future__ import annotations

import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.facts.sheets.kinds import _type_of, known_units
from coaxwright.language.templates import NOT_KNOWN, check_template, fill
from coaxwright.language.types import Bool, Int, ListOf, Num, Ref, Text, Unit
from coaxwright.language.typing_check import check_expression
from coaxwright.rulebook import judging
from coaxwright.rulebook.cases import CaseResult
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.limits import read_limit
from coaxwright.rulebook.scope import kind_scope

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import Facts, make, rule


def _said(text: str, **known: Any) -> str:
    environment = rule_environment(kind_scope("feed"), {})
    sheet = make("feed", "cameras/c1", **known)
    return fill(check_template(text, environment, check_expression), {"feed": sheet})


def test_what_cannot_be_computed_says_why() -> None:
    assert _said("{size(feed.cable) / (size(feed.cable) - size(feed.cable))}", cable="dc").startswith("not computable (")


@pytest.mark.parametrize(("modes", "said"), [(["a", "b"], "a, b"), ([], "none")])
def test_lists_are_told_item_by_item(modes: list[str], said: str) -> None:
    """No field of a sheet is a list of plain values yet; a macro makes one."""
    feeds = [make("feed", f"cameras/{name}", cable=name) for name in modes]
    environment = rule_environment(kind_scope("output"), {})
    template = check_template("{output.feeds.map(f, f.cable)}", environment, check_expression)
    assert fill(template, {"output": make("output", "supplies/p/1", feeds=feeds)}) == said


def test_a_variable_that_is_not_bound_is_not_known() -> None:
    environment = rule_environment(kind_scope("feed"), {})
    assert fill(check_template("{feed.cable}", environment, check_expression), {}) == NOT_KNOWN


@pytest.mark.parametrize("unit", ["furlong", "V//", "§"])
def test_a_unit_that_is_none_is_refused_with_the_right_one(unit: str) -> None:
    environment = rule_environment(kind_scope("feed"), {})
    with pytest.raises(Refusal) as refused:
        check_template(f"{{feed.volts_night|{unit}}}", environment, check_expression)
    (problem,) = refused.value.problems
    assert f"is in V, not in `{unit}`" in problem.what
    assert problem.right == "write `{feed.volts_night|V}`"


@pytest.mark.parametrize(("problems", "case", "line"), [
    ((), "near", "a.yaml:7: ok: mine/volts (near)"),
    (("one", "two"), "", "a.yaml:7: failed: mine/volts: one; two"),
])  # fmt: skip
def test_results_of_cases_in_one_line(problems: tuple[str, ...], case: str, line: str) -> None:
    status = "failed" if problems else "ok"
    found = CaseResult(rule="mine/volts", case=case, status=status, problems=problems, file="a.yaml", line=7)
    assert str(found) == line


def _field(kind: str, **about: Any) -> Any:
    return SimpleNamespace(type=kind, metadata={"ref": "", "many": "", "unit": "", "choices": (), **about})


@pytest.mark.parametrize(("field", "kind"), [
    (_field("list[float]", unit="m"), ListOf(Num(Unit.parse("m")))),
    (_field("tuple[str, ...]", choices=("a",)), ListOf(Text(frozenset({"a"})))),
    (_field("int"), Int()), (_field("bool"), Bool()), (_field("float", unit="V"), Num(Unit.parse("V"))),
    (_field("str"), Text()), (_field("Any", ref="feed"), Ref("feed")), (_field("list[Any]", many="feed"), ListOf(Ref("feed"))),
])  # fmt: skip
def test_types_of_fields(field: Any, kind: Any) -> None:
    assert _type_of("feed.x", field) == kind


def test_a_field_that_no_type_fits_is_an_error_of_the_program() -> None:
    with pytest.raises(TypeError, match=r"feed\.x: no type of the rule language fits `complex`"):
        _type_of("feed.x", _field("complex"))


def test_a_limit_in_wire_gauge() -> None:
    """18 AWG: 0.127 mm x 92^((36 - 18) / 39) across, 0.823 mm2; ASTM B258."""
    across = 0.127 * 92 ** ((36 - 18) / 39)
    found = read_limit("thinnest", {"value": "18 AWG", "about": "a", "source": "ASTM B258"}, known_units())
    assert found.value == pytest.approx(3.14159265 / 4 * across**2, rel=1e-3)
    assert found.unit == "mm2"


def test_a_rule_without_cases_has_a_page_without_them() -> None:
    from coaxwright.rulebook.pages import _cases

    assert list(_cases([])) == []
    assert next(iter(_cases([{"name": "far", "outcome": "fails"}]))) == "## Tried on"


def test_a_loaded_rule_as_the_model_of_rule_files() -> None:
    named = rule(about="camera", require="camera.name == 'c9'", says="{camera.name} alone")
    assert (named.rule.id, named.rule.about, named.rule.level) == ("power/sag", "camera", "error")
    (found,) = judge_rule(named, Facts(make("camera", "cameras/c1", name="c1"))).judgements
    assert judging.told(found, named.says) == "c1 alone"


# Places in lists, and lists of nought


@pytest.mark.parametrize(("metres", "kind"), [(0.0, "pass"), (3.0, "fail")])
def test_nought_needs_no_unit_in_a_list_either(metres: float, kind: str) -> None:
    bare = rule(about="feed", require="feed.metres in [0.0, 0.0]")
    verdict = judge_rule(bare, Facts(make("feed", "cameras/c1", metres=metres)))
    assert (verdict.passed == 1) == (kind == "pass")


@pytest.mark.parametrize("text", ["feed.nonsense[0] == 1", "feed.load.name[feed.nonsense] == 'a'"])
def test_one_fault_is_told_once(text: str) -> None:
    with pytest.raises(Refusal) as refused:
        check_expression(text, rule_environment(kind_scope("feed"), {}))
    (problem,) = refused.value.problems
    assert "nonsense" in problem.what
