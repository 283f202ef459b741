"""Related places, causes and confidence of findings. Expected values: worked by hand from the site text beside each test."""

from __future__ import annotations

import dataclasses
import json
import os
import random
import re
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import pytest

from coaxwright.checking import check, facts_of, load_rulebook, load_site
from coaxwright.errors import Refusal
from coaxwright.facts.assumed import assumable
from coaxwright.facts.bearing import _GIVEN, bears
from coaxwright.facts.binding import compute_facts
from coaxwright.facts.declared.book import book_of
from coaxwright.facts.sheets import SHEETS
from coaxwright.findings import Finding
from coaxwright.model.common import Consequence
from coaxwright.model.rules import Case, CaseFile
from coaxwright.reading.tables import load_assumptions
from coaxwright.reading.yaml_source import parse_document
from coaxwright.reporting import ordering
from coaxwright.reporting.causes import Causes
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.related import ROWS
from coaxwright.topology.wiring import build_topology

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
RULES = EXAMPLES.parent / "rules"
MARKET = EXAMPLES / "fish-market" / "gannet-bay.site.yaml"


def found(site: dict[str, Any], parts: dict[str, Any] | None = None) -> list[Finding]:
    """Findings of the base `one-camera` with changes."""
    case = Case(name="here", base="one-camera", site=site, parts=parts or {}, passes=("cameras/c1",))
    return list(check(case_site(load_bases(), case)).findings)


def of(findings: list[Finding], rule: str, subject: str) -> Finding:
    return next(each for each in findings if (each.rule, each.subject) == (rule, subject))


THIN = {"cable": "dc-0.75mm2-outdoor", "length": "90 m", "setting": "outdoor", "temperature": "40 °C"}


def test_every_rule_says_what_is_lost() -> None:
    """One key in each rule file: no rule of the program's own is left to the default."""
    assert [rule.id for rule in load_rulebook().rules if rule.plain.get("consequence") not in get_args(Consequence)] == []


def test_every_place_names_fields_that_sheets_have() -> None:
    """The ways and slots of the general places, followed over the declarations of the sheets."""
    for kind, rows in ROWS.items():
        for row in rows:
            end = _follow(kind, row.way.split(".") if row.way else [])
            for way in re.findall(r"\{([a-z_0-9.]+)", " ".join(row.clauses)):
                first = way.split(".")[0]
                start = end if first in SHEETS[end].__dataclass_fields__ else kind  # type: ignore[attr-defined]
                _follow(start, way.split("."))
            assert not row.flag or row.flag in SHEETS[end].__dataclass_fields__  # type: ignore[attr-defined]


def _follow(kind: str, steps: list[str]) -> str:
    for step in steps:
        fields = {entry.name: entry.metadata for entry in dataclasses.fields(SHEETS[kind]) if entry.metadata}  # type: ignore[arg-type]
        assert step in fields, f"{kind} has no {step}"
        kind = fields[step]["ref"] or fields[step]["many"] or kind
    return kind


def test_a_drop_leads_to_camera_cable_and_supply() -> None:
    """The three entries that a designer looks up for one drop (common practice)."""
    finding = of(found({"cameras": {"c1": {"power": {"over": [THIN]}}}}), "power/undervoltage", "cameras/c1")
    places = {each.pointer: each.message for each in finding.related}
    assert set(places) >= {"/cameras/c1", "/cameras/c1/power/over", "/supplies/psu1"}
    assert "it needs at least 10.8 V" in places["/cameras/c1"]
    assert "90 m" in places["/cameras/c1/power/over"]
    assert "12 V" in places["/supplies/psu1"]
    assert finding.cause == "own-cable-drop:cameras/c1"
    assert all(each.span is not None and each.message and each.file for each in finding.related)


def test_a_disk_finding_leads_to_recorder_and_disks() -> None:
    finding = of(found({"retention": "4000 days"}), "storage/retention-short", "recorders/rec1/disks")
    assert {"/recorders/rec1", "/recorders/rec1/disks"} <= {each.pointer for each in finding.related}


def test_a_link_leads_to_camera_input_and_runs() -> None:
    far = {"over": [{"cable": "rg59-copper-outdoor", "length": "900 m", "setting": "outdoor"}]}
    finding = of(found({"cameras": {"c1": {"video": far}}}), "cable/loss-beyond-limit", "cameras/c1")
    assert {"/cameras/c1", "/cameras/c1/video/into", "/cameras/c1/video/over/0"} <= {each.pointer for each in finding.related}


def test_cameras_on_one_trunk_share_a_cause() -> None:
    """In the file six junctions hang one behind the other on output 1; 4 V of 13.6 V go before quay-3 (9.86 V are left),
    0.4 V on the camera's own 11 m. yard-3 hangs elsewhere and is no part of it.
    """
    findings = [each for each in check(load_site(MARKET)).findings if each.rule == "power/undervoltage"]
    trunk = {each.subject for each in findings if each.cause == "trunk-drop:supplies/quay-psu/1"}
    assert trunk == {f"cameras/quay-cam-{number}" for number in range(5, 13)}
    assert of(findings, "power/undervoltage", "cameras/yard-3").cause not in {"", "trunk-drop:supplies/quay-psu/1"}


def test_one_cause_is_told_once_and_no_finding_is_lost() -> None:
    findings = [each for each in check(load_site(MARKET)).findings if each.rule == "power/undervoltage"]
    causes = Causes(findings)
    parts = causes.parts(findings)
    assert sorted(len(part) for part in parts) == [1, 8]
    assert sorted(each.subject for part in parts for each in part) == sorted(each.subject for each in findings)
    assert [causes.told(part[0]) for part in parts if len(part) == 1] == [""]


def test_a_supply_set_too_high_is_one_cause() -> None:
    site = {"supplies": {"psu1": {"trim": "14 V"}}}
    assert of(found(site), "power/overvoltage", "cameras/c1").cause == "supply-voltage-high:supplies/psu1"


def test_confidence_follows_what_it_rests_on() -> None:
    """Two disks too many are counted, nothing else; days rest on bits a pixel, which the table assumes."""
    counted = found({"recorders": {"rec1": {"disks": ["tarnwell/case-disk"] * 4}}})
    assert of(counted, "storage/too-many-disks", "recorders/rec1/disks").confidence == "stated"
    short = of(found({"retention": "4000 days"}), "storage/retention-short", "recorders/rec1/disks")
    assert short.confidence in ("assumed", "from memory")
    stated = {"assume": {"usable_share": "93 %"}, "retention": "4000 days"}
    assert of(found(stated), "storage/retention-short", "recorders/rec1/disks").confidence in ("assumed", "from memory")


def test_a_rule_from_memory_says_so() -> None:
    """`storage/motion-share-assumed` names `from memory` as its source."""
    rules = load_rulebook()
    for example in sorted(EXAMPLES.glob("*/*.site.yaml")):
        for each in check(load_site(example)).findings:
            if each.rule in rules.by_id and "from memory" in json.dumps(rules.rule(each.rule).plain["sources"]):
                assert each.confidence == "from memory", each.key


def test_every_assumption_is_known_to_bear_on_something() -> None:
    """`supply-loading` is a planning share that no sheet carries; all other rows of the table are listed."""
    assert set(load_assumptions()) - set(bears()) <= {"supply-loading"}
    for fields in bears().values():
        for kind, field in fields:
            assert field in SHEETS[kind].__dataclass_fields__, f"{kind}.{field}"  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", ["fish-market/gannet-bay", "cider-press/quill-orchard", "salt-works/saltholm-flats"])
def test_what_a_trial_moves_is_listed(name: str) -> None:
    """By trial, apart from the map: each assumption a hundredth larger; every fact that moves has to be in it."""
    assert not unlisted(load_site(EXAMPLES / f"{name}.site.yaml"))


def test_what_a_trial_moves_in_the_cases_of_rules_is_listed() -> None:
    """The same on cases of rules: a dozen drawn ones, in the long form all."""
    cases = [case for path in sorted(RULES.glob("*/*.cases.yaml")) for case in CaseFile.model_validate(
        parse_document(path.read_text(encoding="utf-8"), path.name).value).cases or ()]  # fmt: skip
    chosen = cases if os.environ.get("COAXWRIGHT_FULL") else random.Random(41).sample(cases, 12)
    bases = load_bases()
    for case in chosen:
        try:
            loaded = case_site(bases, case)
        except Refusal:
            continue  # a case of bad values, which names no site to be tried
        assert not unlisted(loaded), case.name


def unlisted(loaded: Any) -> list[tuple[str, str, str]]:
    """Assumptions with the facts of a site that they move although the map does not say it."""
    base, topology, values = facts_of(loaded), build_topology(loaded), assumable(loaded.site.assume)
    found = []
    for row in (used.assumption for used in base.assumed):
        if isinstance(row.value, float):
            moved = compute_facts(loaded, topology, values={**values, row.name: replace(row, value=row.value * 1.01)})
            found += [(row.name, *place) for place in changed(base, moved) - bears()[row.name]]
    return found


def changed(base: Any, moved: Any) -> set[tuple[str, str]]:
    """Fields, by kind of sheet, in which two computations of one site differ."""
    return {
        (kind, entry.name)
        for kind, cls in SHEETS.items()
        for one, other in zip(base.by_kind(kind), moved.by_kind(kind), strict=True)
        for entry in dataclasses.fields(cls)  # type: ignore[arg-type]
        if isinstance(one.known(entry.name), float | str) and one.known(entry.name) != other.known(entry.name)
    }


def test_what_follows_from_others_is_worked_out() -> None:
    """Written from the declarations in `rules/facts`: usable share to usable bytes to days; the ohms of a run's far end to
    the watts that a switch gives; a flat view assumes line of sight. No declared fact is kept by hand.
    """
    assert {("disk_group", "usable"), ("disk_group", "days"), ("disk_group", "days_held")} <= bears()["usable-share"]
    assert ("poe_port", "watts_given") in bears()["copper-temperature-coefficient"]
    assert {("view", "slant"), ("view", "width"), ("view", "density")} <= bears()["line-of-sight"]
    assert ("battery", "hours") not in bears()["battery-end"]
    by_hand = {tuple(word.split(".")) for words in _GIVEN.values() for word in words.split()}
    declared = {(kind, fact.name) for kind in SHEETS if (book := book_of(kind)) for fact in book.facts}
    assert not by_hand & declared


def test_groups_stand_by_what_is_lost_never_by_name() -> None:
    """No picture before no power before recordings lost before wear, among findings of one level."""
    for example in sorted(EXAMPLES.glob("*/*.site.yaml")):
        groups = ordering.by_rule(ordering.failed(check(load_site(example))))
        for level in ("error", "warning", "note"):
            ranks = [get_args(Consequence).index(group[0].consequence) for group in groups if group[0].level == level]
            assert ranks == sorted(ranks)


