"""Mutants of rules that live stand in rule_survivors.md with a reason, and nothing else stands there.

Held against a sample of rules, for time: those that the list names, and every 12th of the others.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.checking import check
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.rule_files import RuleFile, find_rule_files

from . import rule_mutants

LIST = Path(__file__).with_name("rule_survivors.md")
SURVIVOR = re.compile(r"[a-z0-9-]+/[a-z0-9-]+: (?:when|require|limit)\b.*")
NAMING = "signal/frame-families-mixed"
ALL_THREE = {
    "cameras": {
        "c2": {"set": {"mode": "2592x1944@20"}},
        "c3": {
            "part": "fennick/case-turret",
            "set": {"family": "tvi", "mode": "1920x1080@30"},
            "video": {"into": "rec1/3", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
        },
    }
}
"""Frames of 12.5, 20 and 30 a second, of which 20 belong to neither family; as in tests/rules/test_named_cameras.py."""


def listed() -> list[str]:
    return [line for line in LIST.read_text(encoding="utf-8").splitlines() if SURVIVOR.fullmatch(line)]


def all_rules() -> list[str]:
    return [yaml.safe_load(file.data)["id"] for file in find_rule_files()]


@pytest.mark.slow("mutants of some fifty rules; others of the rules are tried by default")
def test_survivors_of_a_sample_are_those_listed():
    named = list(dict.fromkeys(line.partition(":")[0] for line in listed()))
    sample = named + [rule for rule in all_rules() if rule not in named][::12]
    survivors = [f"{each.rule}: {each.how}" for each in rule_mutants.run(sample) if each.fate == "survived"]
    assert sorted(survivors) == sorted(listed())


def test_every_line_stands_under_a_reason():
    for section in LIST.read_text(encoding="utf-8").split("\n## ")[1:]:
        reason, _, lines = section.partition("```text\n")
        assert len(reason.split()) > 10, section
        assert all(SURVIVOR.fullmatch(line) for line in lines.partition("\n```")[0].splitlines()), section


def naming_file() -> RuleFile:
    return next(each for each in find_rule_files() if each.name.endswith(f"{NAMING}.yaml"))


def naming_mutants() -> list[rule_mutants.Mutant]:
    lines = {line for line in listed() if line.startswith(f"{NAMING}:")}
    found = [
        each for each in rule_mutants.of_rule(yaml.safe_load(naming_file().data)) if f"{each.rule}: {each.how}" in lines
    ]
    assert len(found) == len(lines) > 0
    return found


def who_decides(plain: dict[str, Any]) -> list[str]:
    """What the rule of that data says of who decides, of the three cameras."""
    bases = load_bases()
    rule = rule_mutants.Cases(naming_file(), bases).loaded(plain)
    loaded = case_site(bases, Case(name="named", base="two-makers", site=ALL_THREE))
    finding = next(each for each in check(loaded, rulebook=Rulebook([rule.record], "")).findings if each.rule == NAMING)
    return [line for line in finding.working if line.startswith("decided by: ")]


def test_the_rule_as_it_is_names_the_camera_of_the_other_family():
    assert who_decides(yaml.safe_load(naming_file().data)) == ["decided by: cameras/c3"]


@pytest.mark.parametrize("mutant", naming_mutants(), ids=lambda mutant: mutant.how)
def test_mutants_that_change_only_who_is_named_name_others(mutant: rule_mutants.Mutant):
    assert who_decides(mutant.plain) != ["decided by: cameras/c3"]
