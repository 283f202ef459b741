"""Every example site says what is committed beside it, and together the examples show what they are for."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from expected import EXAMPLES, expected_file, told

TOPICS = {"signal", "picture", "channels", "sound", "control", "cable", "power", "storage", "place"}


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda path: path.parent.name)
def test_example_says_what_is_expected(site: Path) -> None:
    assert json.loads(expected_file(site).read_text(encoding="utf-8")) == json.loads(json.dumps(told(site)))


def _expected(name: str) -> dict:
    (site,) = (each for each in EXAMPLES if each.parent.name == name)
    return json.loads(expected_file(site).read_text(encoding="utf-8"))


def test_the_sound_site_has_neither_errors_nor_warnings() -> None:
    summary = _expected("boatyard")["summary"]
    assert (summary["error"], summary["warning"], summary["open"]) == (0, 0, 0)


def test_the_first_site_has_three_faults_and_nothing_else_to_mend() -> None:
    told = _expected("plant-nursery")
    failed = [each["rule"] for each in told["findings"] if each["level"] != "note"]
    assert sorted(rule.split("/")[0] for rule in failed) == ["cable", "power", "storage"]
    assert told["summary"]["open"] == 0


def test_the_mixed_site_fails_in_every_topic() -> None:
    findings = _expected("cider-press")["findings"]
    assert {each["rule"].split("/")[0] for each in findings if each["kind"] == "fail"} >= TOPICS
    assert any(each["kind"] == "open" for each in findings)
    assert any("waived" in each for each in findings)


def test_the_depot_shares_trunks() -> None:
    depot = _expected("tram-depot")
    assert len(depot["facts"]) == 32
    assert any(each["rule"].startswith("power/collapse") for each in depot["findings"])
