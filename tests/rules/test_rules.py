"""The rules of the program: all load, each holds its cases, and the base site passes every one of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from coaxwright.facts.binding import compute_facts
from coaxwright.fixes.case_proofs import claim_problems
from coaxwright.model.rules import Case
from coaxwright.rulebook import cases, judging
from coaxwright.rulebook.cases import case_site, load_bases, run_cases
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.topology.wiring import build_topology

ROOT = Path(__file__).resolve().parents[2]


@cache
def _rulebook() -> Rulebook:
    return load_rulebook(use_cache=False)


RULES = [rule.id for rule in load_rulebook().rules]
WITH_CASES = [rule.id for rule in load_rulebook().rules if rule.cases_count]


@pytest.fixture(scope="module", autouse=True)
def _files_found_once() -> Iterator[None]:
    """The files of rules are looked for once, and not for each rule anew."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("find_rule_files", "load_bases"):
            patch.setattr(cases, name, cache(getattr(cases, name)))
        yield


def test_there_are_as_many_rules_as_rule_files() -> None:
    other = ("tables", "cases", "quiz", "facts", "diagnosis", "course")
    topics = [folder for folder in (ROOT / "rules").iterdir() if folder.name not in other]
    files = [path for folder in topics for path in folder.rglob("*.yaml") if not path.name.endswith(".cases.yaml")]
    assert len(RULES) == len(files) > 50


@pytest.mark.parametrize("identifier", WITH_CASES)
def test_cases_hold(identifier: str) -> None:
    failed = [str(result) for result in run_cases(_rulebook(), [identifier], prover=claim_problems) if result.status == "failed"]
    assert failed == []


@pytest.mark.skipif(not WITH_CASES, reason="no rule has cases")
def test_some_rules_are_tried() -> None:
    assert len(WITH_CASES) >= 6


def test_every_rule_has_cases() -> None:
    assert sorted(set(RULES) - set(WITH_CASES)) == []


@pytest.mark.parametrize("name", list(load_bases()))
def test_a_base_passes_every_rule(name: str) -> None:
    loaded = case_site(load_bases(), Case(name="as it is", base=name))
    facts = compute_facts(loaded, build_topology(loaded))
    verdicts = judging.judge(_rulebook().rules, facts)
    found = [(each.kind, each.rule.id, each.missing, each.fault) for verdict in verdicts for each in verdict.judgements]
    assert found == []
    assert sum(verdict.passed for verdict in verdicts) > 40


def test_titles_are_not_used_twice() -> None:
    titles = Counter(rule.title for rule in _rulebook().rules)
    assert [title for title, count in titles.items() if count > 1] == []


@pytest.mark.parametrize("identifier", RULES)
def test_page_states_what_the_file_states(identifier: str) -> None:
    rule = _rulebook().rule(identifier)
    page = _rulebook().page(identifier)
    assert page.startswith("<!-- ")
    for text in (
        f"# {rule.id}",
        " ".join(rule.title.split()),
        rule.plain["require"].strip(),
        " ".join(rule.why.split()),
    ):
        assert text in page
    for source in rule.plain["sources"]:
        assert " ".join(source["title"].split()) in page
    for name in rule.limits:
        assert f"| `{name}` |" in page
