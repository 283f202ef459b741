"""The case runner: what it accepts, and that every wrong case is noticed.

Each test has a case that must not hold.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.language.checked import Checked, Fault, Unknown
from coaxwright.language.syntax import Literal
from coaxwright.language.types import Num, Unit
from coaxwright.rulebook.case_checks import agrees
from coaxwright.rulebook.cases import CaseResult, load_bases, merged, run_cases
from coaxwright.rulebook.loading import load_rulebook

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import rule_text

RULE = {
    "about": "feed",
    "require": "feed.volts_night >= limit.least",
    "limits": "{least: {value: 11 V, source: common practice}}",
    "says": "{feed.load.name} gets {feed.volts_night|V}",
}
# No cable between: the camera has the supply's voltage, 12 V, exactly.
NEAR = "{cameras: {c1: {power: {over: [{cable: dc-1.5mm2, length: 0 m}]}}}}"
FAR = "{cameras: {c1: {power: {over: [{cable: dc-1.5mm2, length: 80 m}]}}}}"
NO_LENGTH = "{cameras: {c1: {power: {over: [{cable: dc-1.5mm2}]}}}}"
LENGTH = "cameras/c1/power/over/0/length"
GOOD = f"""\
cases:
  - {{name: far, site: {FAR}, fails: [{{on: cameras/c1}}]}}
  - {{name: near, site: {NEAR}, passes: [cameras/c1], near_miss: true}}
  - {{name: limit, site: {{supplies: {{psu1: {{trim: 11.5 V}}}},
      cameras: {{c1: {{power: {{over: [{{cable: dc-1.5mm2, length: 0 m}}]}}}}}},
      rules: {{mine/volts: {{limits: {{least: 11.5 V}}}}}}}}, passes: [cameras/c1], on_limit: true}}
  - {{name: open, site: {NO_LENGTH}, opens: [{{on: cameras/c1, missing: [{LENGTH}]}}]}}
"""


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def _run(folder: Path, cases: str | None, **keys: str) -> list[CaseResult]:
    topic = folder / "rules" / "mine"
    topic.mkdir(parents=True, exist_ok=True)
    (topic / "volts.yaml").write_text(rule_text("mine/volts", **{**RULE, **keys}))
    if cases is not None:
        (topic / "volts.cases.yaml").write_text(cases)
    return run_cases(load_rulebook([folder / "rules"]), ["mine/volts"])


def _problems(folder: Path, case: str, **keys: str) -> tuple[str, ...]:
    """What the one case is told; demands on the cases as a whole are left out."""
    (result, _) = _run(folder, f"cases:\n  - {{name: it, {case}}}\n", **keys)
    return result.problems


def test_good_cases_hold(tmp_path: Path) -> None:
    results = _run(tmp_path, GOOD)
    assert [(result.case, result.status) for result in results] == [
        ("far", "ok"), ("near", "ok"), ("limit", "ok"), ("open", "ok"), ("", "ok"),
    ]  # fmt: skip
    assert [result.line for result in results] == [2, 3, 4, 7, 1]


@pytest.mark.parametrize(
    ("case", "told"),
    [
        (f"site: {NEAR}, fails: [{{on: cameras/c1}}]", "cameras/c1 should fail and does not"),
        (f"site: {FAR}, passes: [cameras/c1]", "cameras/c1 should not fail"),
        (f"site: {FAR}, passes: [cameras/c1]", "cameras/c1 should come to pass and comes to fail"),
        (f"site: {FAR}, fails: [{{on: cameras/c2}}]", "cameras/c2 should fail and does not"),
        (f"site: {FAR}, fails: [{{on: cameras/c1}}, {{on: cameras/c1}}]", "named twice"),
        (
            f"site: {NO_LENGTH}, fails: [{{on: cameras/c1}}]",
            f"cameras/c1 should not stay open (missing {LENGTH})",
        ),
        (f"site: {NEAR}, opens: [{{on: cameras/c1}}]", "cameras/c1 should stay open and does not"),
        (
            f"site: {NO_LENGTH}, opens: [{{on: cameras/c1, missing: [cameras/c1/power]}}]",
            "should miss cameras/c1/power, and",
        ),
        (f"site: {NEAR}, not_applicable: [cameras/c1]", "should come to not-applicable and comes to pass"),
        (f"site: {NEAR}, passes: [cameras/c9]", "there is no feed `cameras/c9` in this case"),
        (f"site: {NEAR}", "the case expects nothing"),
        (
            f"site: {NEAR}, passes: [cameras/c1], on_limit: true",
            "no two numbers that the rule compares are equal",
        ),
        (f"site: {FAR}, fails: [{{on: cameras/c1, values: {{feed.volts_night: 11.9}}}}]", "not 11.9"),
        (f"site: {FAR}, fails: [{{on: cameras/c1, values: {{feed.volt: 11.9}}}}]", "a feed has no `volt`"),
        (f"base: nowhere, site: {FAR}, fails: [{{on: cameras/c1}}]", "there is no base `nowhere`"),
        (
            "site: {cameras: {c1: {part: tarnwell/none}}}, passes: [cameras/c1]",
            "the site of the case is refused",
        ),
        (
            "site: {cameras: {c1: {power: {from: psu9/1}}}}, passes: [cameras/c1]",
            "the site of the case is refused",
        ),
        (
            "site: {rules: {mine/volts: {limits: {least: 3 m}}}}, passes: [cameras/c1]",
            "the site of the case is refused",
        ),
    ],
)
def test_a_wrong_case_is_noticed(tmp_path: Path, case: str, told: str) -> None:
    assert any(told in problem for problem in _problems(tmp_path, case))


def test_a_fault_is_never_a_case_that_holds(tmp_path: Path) -> None:
    keys = {"about": "input", "require": "input.camera_count / (input.number - input.number) <= limit.least",
            "says": "it fails",
            "limits": "{least: {value: 1, source: common practice}}"}  # fmt: skip
    problems = _problems(tmp_path, "passes: [recorders/rec1/1]", **keys)
    assert any("could not be carried out" in problem for problem in problems)


def test_a_sentence_with_a_value_that_is_not_known_is_noticed(tmp_path: Path) -> None:
    says = "{feed.load.name} hangs on {feed.junction.name}"
    problems = _problems(tmp_path, f"site: {FAR}, fails: [{{on: cameras/c1}}]", says=says)
    assert problems == ("its sentence on cameras/c1 has a value that is not known: c1 hangs on not known",)


@pytest.mark.parametrize(
    ("drop", "told"),
    [
        ("far", "no case shows it failing"),
        ("near", "near_miss"),
        ("limit", "on_limit"),
        ("open", "never_open"),
    ],
)
def test_what_is_demanded_of_all_cases(tmp_path: Path, drop: str, told: str) -> None:
    entries = GOOD.partition("cases:\n")[2].split("  - ")[1:]
    kept = "cases:\n" + "".join(
        f"  - {entry}" for entry in entries if not entry.startswith(f"{{name: {drop},")
    )
    results = _run(tmp_path, kept)
    assert [result.status for result in results[:-1]] == ["ok"] * 3
    assert results[-1].status == "failed"
    assert told in results[-1].problems[0]


def test_a_rule_without_cases_fails(tmp_path: Path) -> None:
    (result,) = _run(tmp_path, None)
    assert (result.status, result.problems) == ("failed", ("the rule has no cases",))


def test_never_open_is_taken_and_may_not_be_said_where_a_case_is_open(tmp_path: Path) -> None:
    without = GOOD[: GOOD.index("  - {name: open")]
    assert _run(tmp_path, without + "never_open: it is always known\n")[-1].status == "ok"
    assert (
        "`never_open` is stated" in _run(tmp_path, GOOD + "never_open: it is always known\n")[-1].problems[0]
    )


def test_two_cases_of_one_name_are_noticed(tmp_path: Path) -> None:
    assert _run(tmp_path, GOOD.replace("name: near", "name: far"))[-1].problems == (
        "two cases are named `far`",
    )


def test_a_fix_that_cannot_be_tried_yet_is_counted_as_todo(tmp_path: Path) -> None:
    fails = "fails: [{on: cameras/c1}], fixed_by: {do: change_cable}"
    case = f"cases:\n  - {{name: it, site: {FAR}, {fails}}}\n"
    assert _run(tmp_path, case)[0].status == "todo"
    wrong = case.replace("fails: [{on: cameras/c1}]", "passes: [cameras/c1]")
    assert _run(tmp_path, wrong)[0].status == "failed"


def test_an_added_folder_may_bring_bases_of_its_own(tmp_path: Path) -> None:
    (tmp_path / "rules" / "cases").mkdir(parents=True)
    bases = tmp_path / "rules" / "cases" / "bases.yaml"
    bases.write_text("bases: {bare: {site: {site: Bare}}}\n")
    (result, _) = _run(tmp_path, "cases: [{name: it, base: bare, passes: [cameras/c1]}]\n")
    assert result.problems == ("there is no feed `cameras/c1` in this case",)
    bases.write_text("bases: {one-camera: {site: {site: Bare}}}\n")
    with pytest.raises(Refusal, match="there is a base `one-camera` already"):
        load_bases([tmp_path / "rules"])


def test_run_cases_knows_no_unknown_rule() -> None:
    with pytest.raises(KeyError):
        run_cases(load_rulebook(), ["power/none"])


def test_merging_lays_one_over_the_other() -> None:
    base = {"a": {"b": 1, "c": 2}, "d": [1, 2], "e": 3}
    assert merged(base, {"a": {"b": None, "f": 4}, "d": [5], "e": None, "g": {"h": {"i": 1}, "j": None}}) == {
        "a": {"c": 2, "f": 4}, "d": [5], "g": {"h": {"i": 1}},
    }  # fmt: skip
    assert base == {"a": {"b": 1, "c": 2}, "d": [1, 2], "e": 3}


VOLTS = Checked("x", Num(Unit.parse("V")), (), Literal(0, 1, 0.0))


@pytest.mark.parametrize(
    ("value", "wanted", "same"),
    [
        (9.8149, 9.81, True),
        (9.8151, 9.81, False),
        (9.8149, 9.8, True),
        (9.85, 9.8, True),
        (9.86, 9.8, False),
        (12.4, 12, True),
        (12.6, 12, False),
        (1.5e-9, 1e-9, True),
        (1.6e-9, 1e-9, False),
        (9.806, "9.81 V", True),
        (9.804, "9.81 V", False),
        (2, 2, True),
        (2, 3, False),
        (True, True, True),
        (True, 1, False),
        (1, True, False),
        ("tvi", "tvi", True),
        ("tvi", "ahd", False),
        (Unknown(()), 0, False),
        (Fault("x"), 0, False),
    ],
)
def test_values_agree_to_the_printed_digit(value: Any, wanted: Any, same: bool) -> None:
    assert agrees(value, wanted, VOLTS) is same
