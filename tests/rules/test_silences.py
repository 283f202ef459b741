"""No rule is silent unless its file says under which other rule's failing, and why; each such pair happens in a case.

Judged here by the whole rulebook on the sites of the cases, not by what `coaxwright rules test` says of itself.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.checking import check, facts_of
from coaxwright.language.evaluating import evaluate
from coaxwright.model.rules import Case, CaseFile
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import read_document
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.judging import frame_of, judge_exactly, judge_rule
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.subjects import subjects

ROOT = Path(__file__).resolve().parents[2]
RULES = {
    path.relative_to(ROOT / "rules").as_posix().removesuffix(".yaml"): yaml.safe_load(path.read_text("utf-8"))
    for path in sorted((ROOT / "rules").glob("*/*.yaml"))
    if not path.name.endswith(".cases.yaml")
    and path.parent.name not in ("tables", "cases", "quiz", "facts", "diagnosis", "course")
}
PAIRS = [(name, place) for name, rule in RULES.items() for place in range(len(rule.get("silent_when", ())))]
BASES = load_bases()


@cache
def cases_of(name: str) -> tuple[Case, ...]:
    file = ROOT / "rules" / f"{name}.cases.yaml"
    return validated(CaseFile, read_document(file, file.name)).cases


@cache
def facts_of_case(name: str, place: int) -> Any:
    """Facts of the site of a case, for all pairs of its rule."""
    return facts_of(case_site(BASES, cases_of(name)[place]))


def test_there_are_pairs_to_walk() -> None:
    assert len(PAIRS) > 150


@pytest.mark.parametrize(("name", "place"), PAIRS, ids=lambda each: str(each))
def test_some_case_shows_the_one_failing_and_the_other_silent(name: str, place: int) -> None:
    book, silence = load_rulebook(), RULES[name]["silent_when"][place]
    rule, other = book.rule(name), book.rule(silence["rule"])
    assert silence["because"].strip()
    for number in range(len(cases_of(name))):
        facts = facts_of_case(name, number)
        if not judge_rule(other, facts).of("fail"):
            continue
        frame = frame_of(rule, facts)
        for subject in subjects(rule.scope, facts):
            bound = frame.bind(rule, subject)
            meant = evaluate(rule.silences[place].condition, bound) is True
            applies = rule.applies is None or evaluate(rule.applies, bound) is not False
            if meant and applies:
                assert judge_exactly(rule, subject, frame).kind == "not-applicable"
                return
    raise AssertionError(f"no case of {name} has {silence['rule']} failing where `{silence['while']}`")


# Each of these says how much is drawn, spent, warmed or withstood; no fault elsewhere makes that question meaningless.
LOAD_HEAT_AND_VOLTS = (
    "power/output-overloaded", "power/supply-overloaded", "power/conductor-overloaded", "power/protective-device-overloaded",
    "power/autonomy-short", "power/recharge-overloads-supply", "place/camera-too-hot", "place/camera-too-cold",
    "place/recorder-too-hot", "place/supply-too-hot", "power/poe-budget-overdrawn",
)  # fmt: skip


@pytest.mark.parametrize("name", LOAD_HEAT_AND_VOLTS)
def test_load_and_heat_are_not_silenced_by_a_collapse_or_a_wrong_place(name: str) -> None:
    silencing = {each["rule"] for each in RULES[name].get("silent_when", ())}
    # cable/not-for-this-use: only where nobody states what such a cable may carry
    unasked = {"power/no-such-output", "power/supply-unused", "power/junction-unpowered", "cable/not-for-this-use"}
    assert silencing <= unasked
    assert "collapsed" not in RULES[name].get("when", "")


def site_of(**changes: Any) -> Any:
    return case_site(BASES, Case.model_validate({"name": "made here", "passes": ["x"], **changes}))


def found(site: Any) -> set[tuple[str, str]]:
    return {(each.rule, each.subject) for each in check(site).findings if each.kind == "fail"}


PTZ = {
    "kind": "camera", "source": "invented datasheet TW-Z1, revision A", "emits": [{"family": "tvi", "mode": "1920x1080@25"}],
    "power": {"kind": "dc", "volts": "12 V", "watts_day": "24 W", "watts_night": "24 W", "load": "constant-power"},
}  # fmt: skip


def test_a_battery_feeds_what_collapses_at_the_watts_stated() -> None:
    """24 W at 12 V are 2 A (Ohm's law), on whatever cable; two constant currents of 0.5 A come on top: 3 A."""
    site = site_of(
        base="trunk-and-port",
        site={"cameras": {"z1": {"part": "tarnwell/ptz", "power": {"from": "psu1/2", "over": [
            {"cable": "dc-0.5mm2", "length": "200 m", "temperature": "20 °C"}]}}}},
        parts={"tarnwell/ptz": PTZ},
    )  # fmt: skip
    facts: Any = facts_of(site)
    assert facts.sheet("cameras/z1", "feed").collapsed is True
    assert facts.sheet("supplies/psu1/battery", "battery").amps == pytest.approx(3.0, rel=1e-9)
    assert facts.sheet("supplies/psu1", "supply").amps_night == pytest.approx(3.0, rel=1e-9)


def test_a_collapsed_trunk_still_overloads_its_fuse_its_cable_and_its_output() -> None:
    """24 W at 12 V are 2 A: more than a fuse of 1 A, a cable of 1.5 A and an output of 1.1 A."""
    over = [{"cable": "hollin/thin", "length": "300 m", "temperature": "20 °C"}]
    thin = {
        "kind": "cable", "source": "invented datasheet HL-T, revision A", "carries": ["power"], "rated": "outdoor",
        "conductor": {"material": "copper", "resistance": "20 ohm/km", "amps": "1.5 A"},
    }  # fmt: skip
    told = found(site_of(
        site={
            "junctions": {"j1": {"power": {"from": "psu1/1", "over": over}, "protective_device": "1 A"}},
            "cameras": {"c1": {"part": "tarnwell/ptz", "set": None, "power": {"from": "j1", "over": []}}},
        },
        parts={"tarnwell/ptz": PTZ, "hollin/thin": thin},
    ))  # fmt: skip
    assert {
        ("power/collapse", "cameras/c1"), ("power/output-overloaded", "supplies/psu1/1"),
        ("power/protective-device-overloaded", "junctions/j1"), ("power/conductor-overloaded", "junctions/j1/power/over/0"),
    } <= told  # fmt: skip
    assert not any(rule.startswith("power/undervoltage") for rule, _ in told)


def test_collapse_by_day_only_is_a_collapse_and_no_voltage_of_nothing() -> None:
    site = site_of(
        base="trunk-and-port",
        parts={"tarnwell/case-turret-p": {"power": {"watts_day": "120 W", "watts_night": "3 W", "volts_min": "9.5 V"}}},
    )
    report = check(site)
    told = [each for each in report.findings if each.rule == "power/collapse" and each.kind == "fail"]
    assert [each.subject for each in told] == ["cameras/c1"]
    assert "by day" in told[0].message
    assert "at night" not in told[0].message
    assert not [each.message for each in report.findings if "gets 0 V" in each.message]
