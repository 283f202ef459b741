"""What stands beside a finding is what an engineer would name: nothing that the case itself rules out, least work first.

The site is a brewery of its own. What is expected is common practice: a plug is moved before a microphone and its cable are
bought, one camera cannot be spread over two outputs, a camera of another maker does not listen for being switched to another
family, and a transformer for a camera on alternating current is not replaced by a plug supply of 12 V DC.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import load_site
from coaxwright.findings import Finding
from coaxwright.fixes.advice import Advice, advise
from coaxwright.fixes.rejudging import start

SITE = Path(__file__).parent / "brewery" / "otterburn.site.yaml"


@pytest.fixture(scope="module")
def state(rulebook: Any, day: Any) -> Any:
    return start(load_site(SITE), rulebook=rulebook, today=day)


@pytest.fixture(scope="module")
def findings(state: Any) -> dict[tuple[str, str], Finding]:
    return {finding.key: finding for finding in state.report().findings if finding.kind == "fail"}


def could_try(findings: dict[tuple[str, str], Finding], rule: str, subject: str) -> list[str]:
    return [fix.title for fix in findings[rule, subject].fixes]


def advice(state: Any, rule: str, subject: str) -> Advice:
    return next(each for each in advise(state, on=rule) if each.finding.subject == subject)


def test_a_suggestion_that_the_cause_rules_out_is_not_told(findings: dict[tuple[str, str], Finding]) -> None:
    control = could_try(findings, "control/coax-control-broken", "cameras/gate")  # the cause: another maker
    sound = could_try(findings, "sound/coax-sound-broken", "cameras/till")  # the cause: its input takes no sound
    assert control
    assert sound
    assert not [title for title in (*control, *sound) if "family" in title]


def test_one_camera_is_not_spread_over_outputs(findings: dict[tuple[str, str], Finding]) -> None:
    told = could_try(findings, "power/output-overloaded", "supplies/trafo/1")
    assert told == ["a supply with a higher limit per output"]
    assert not any("share the loads" in each for each in could_try(findings, "power/collapse", "cameras/gate"))


def test_what_moves_a_plug_stands_before_what_is_bought_and_laid(state: Any) -> None:
    titles = [fix.title for fix in advice(state, "sound/coax-sound-broken", "cameras/till").fixes]
    assert titles[0].startswith("let till and ")
    assert "change inputs" in titles[0]
    assert any("line-pickup" in title for title in titles[1:])


def test_why_a_rule_does_not_apply_any_more_is_told_once_and_alone(state: Any) -> None:
    fix = advice(state, "control/coax-control-broken", "cameras/gate").fixes[0]
    assert fix.cleared_because == (
        "control/coax-control-broken on cameras/gate: \"How control is meant to travel\" is serial now and was coax",
    )


def test_another_kind_of_current_is_no_replacement(state: Any) -> None:
    told = advice(state, "power/output-overloaded", "supplies/trafo/1")
    assert not told.fixes
    assert "dc12" not in told.why
    assert told.why.endswith("not among the parts that the site knows: a supply with a higher limit per output")


def test_a_camera_that_cannot_be_switched_here_may_be_replaced(state: Any) -> None:
    told = advice(state, "signal/needs-setting", "cameras/bottling")
    assert "wren/t5 for bottling, in place of wren/b8" in told.why  # it starts in a mode that the input takes
    assert "ptz" not in told.why  # it takes 24 V AC, and 12 V DC is there
