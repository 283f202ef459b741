"""A rule of three lines: for a user's own folder alone, and labelled wherever a source would stand."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.checking import check_many
from coaxwright.errors import Refusal
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import render as as_json
from coaxwright.reporting.text import render as as_text
from coaxwright.rulebook.cases import run_cases
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.rule_checks import check_rule_files
from coaxwright.rulebook.rule_files import RuleFile

BOATYARD = Path(__file__).resolve().parents[3] / "examples/boatyard/alder-wharf.site.yaml"
SHORT = 'about: camera\nrequire: "camera.name == \\"gate\\""\nsays: "{camera.name} is not the gate."\n'
Write = Callable[..., Path]


def test_it_judges_and_says_that_it_has_no_source(mine: Write) -> None:
    book = load_rulebook([mine(own__gate_only=SHORT)])
    rule = book.rule("own/gate-only")
    assert (rule.level, rule.title) == ("warning", rule.id.partition("/")[2].replace("-", " ").capitalize())
    report = check_many([BOATYARD], rulebook=book)
    found = [each for each in report.sites[0].findings if each.rule == rule.id]
    assert {each.subject for each in found} == {
        f"cameras/{name}" for name in ("slipway", "fuel", "chandlery", "loft", "workshop")
    }
    assert all([str(source) for source in each.sources] == ["no source"] for each in found)
    (first, *_) = [each for each in json.loads(as_json(report, Setting()))["sites"][0]["findings"] if each["rule"] == rule.id]
    assert first["sources"][0]["title"] == "no source"
    assert "no source" in as_text(report, Setting())
    page = book.page(rule.id)
    assert "| source | no source |" in page
    assert page.rstrip().endswith("## Sources\n\n- no source")


def test_it_needs_no_cases_and_those_it_has_are_run(mine: Write) -> None:
    book = load_rulebook([mine(own__gate=SHORT)])
    assert [each.status for each in run_cases(book, ["own/gate"])] == ["ok"]
    again = load_rulebook([mine(own__gate_cases="cases: [{name: none, passes: [cameras/none]}]\n")])
    assert "failed" in {each.status for each in run_cases(again, ["own/gate"])}


@pytest.mark.parametrize("line", ["about", "require", "says"])
def test_a_line_that_is_left_out_is_asked_for(mine: Write, line: str) -> None:
    text = "".join(each for each in SHORT.splitlines(keepends=True) if not each.startswith(line))
    with pytest.raises(Refusal, match=f"`{line}`"):
        load_rulebook([mine(own__gate=text)])


def test_a_rule_that_names_more_is_a_whole_rule(mine: Write) -> None:
    with pytest.raises(Refusal) as caught:
        load_rulebook([mine(own__gate=SHORT + "title: A title\n")])
    assert {"sources", "why", "since"} <= {word for each in caught.value.problems for word in str(each).split("`")}


def test_the_program_s_own_rules_name_their_sources() -> None:
    with pytest.raises(Refusal, match="sources"):
        check_rule_files([RuleFile(Path("x"), "rules/own/gate.yaml", ("own/gate",), SHORT.encode(), None)])


def test_the_digest_covers_it(mine: Write) -> None:
    first = load_rulebook([mine(own__gate=SHORT)]).digest
    assert load_rulebook([mine(own__gate=SHORT.replace("is not", "was not"))]).digest != first


def test_a_name_that_is_no_id_is_told(mine: Write) -> None:
    folder = mine(own__gate=SHORT)
    (folder / "own" / "gate.yaml").rename(folder / "own" / "Gate 2.yaml")
    with pytest.raises(Refusal, match=r"Gate 2.yaml:1:1: the id `own/Gate 2`, which the file's place gives, is none"):
        load_rulebook([folder])
