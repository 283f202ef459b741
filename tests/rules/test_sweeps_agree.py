"""The fast loop of every rule against the exact evaluator, on facts spoiled at random so that all outcomes occur."""

from __future__ import annotations

import random
from collections import Counter
from typing import Any

import pytest

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.model.rules import Case, CaseBase
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.judging import judge_exactly, judge_rule
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.subjects import subjects
from coaxwright.topology.wiring import build_topology

CAMERAS = 160
SPOILED_KINDS = ("camera", "link", "feed", "output", "supply", "recorder", "input", "disk_group", "run")
UNTOUCHED = {"subject", "pointer", "absent", "site"}


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load_rulebook(use_cache=False)


def _facts() -> Facts:
    """Many copies of the base site's camera, four to a recorder and a supply."""
    base = load_bases()["one-camera"]
    camera, site = base.site["cameras"]["c1"], dict(base.site)
    numbers = range(CAMERAS)
    site["recorders"] = {f"r{n // 4}": base.site["recorders"]["rec1"] for n in numbers}
    site["supplies"] = {f"p{n // 4}": base.site["supplies"]["psu1"] for n in numbers}
    site["cameras"] = {
        f"c{n}": {
            **camera,
            "video": {**camera["video"], "into": f"r{n // 4}/{n % 4 + 1}"},
            "power": {**camera["power"], "from": f"p{n // 4}/{n % 4 + 1}"},
        }
        for n in numbers
    }
    loaded = case_site({"many": CaseBase(site=site, parts=base.parts)}, Case(name="many"))
    return compute_facts(loaded, build_topology(loaded))


def _spoil(facts: Facts, chance: random.Random) -> None:
    for kind in SPOILED_KINDS:
        for sheet in facts.by_kind(kind):
            for name in type(sheet).__slots__:
                if name not in UNTOUCHED and hasattr(sheet, name):
                    _spoil_field(sheet, name, chance.random(), chance)


def _spoil_field(sheet: Any, name: str, draw: float, chance: random.Random) -> None:
    value = getattr(sheet, name)
    if draw < 0.02:
        delattr(sheet, name)
    elif draw < 0.08 and isinstance(value, bool):
        setattr(sheet, name, not value)
    elif draw < 0.08 and isinstance(value, int | float):
        setattr(sheet, name, type(value)(value * chance.choice([0, 0.3, 3, -1])))


def _key(rule: Any, subject: Any) -> Any:
    """Joints and paths are made anew each time, so they are known by their subject path."""
    return id(subject) if rule.scope.form == "kind" else subject.subject


@pytest.mark.parametrize("seed", [1, 2])
def test_every_rule_judges_every_subject_alike_both_ways(rulebook: Rulebook, seed: int) -> None:
    facts = _facts()
    _spoil(facts, random.Random(seed))
    outcomes: Counter[str] = Counter()
    for rule in rulebook.rules:
        fast = judge_rule(rule, facts)
        found = {_key(rule, each.subject): (each.kind, each.missing) for each in fast.judgements}
        exact = [judge_exactly(rule, subject, fast.frame) for subject in subjects(rule.scope, facts)]
        settled = [each for each in exact if each.kind in ("pass", "not-applicable")]
        rest = [each for each in exact if each.kind not in ("pass", "not-applicable")]
        assert found == {_key(rule, each.subject): (each.kind, each.missing) for each in rest}, rule.id
        counts = Counter(each.kind for each in settled)
        assert (fast.passed, fast.not_applicable) == (counts["pass"], counts["not-applicable"]), rule.id
        outcomes.update(each.kind for each in exact)
    assert min(outcomes[kind] for kind in ("pass", "fail", "open", "not-applicable")) > 100, outcomes
