"""A whole check: counts, places, order, waivers, settings, several sites, and facts as shown."""

from __future__ import annotations

import datetime
import pickle
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from coaxwright import Refusal, check, check_many, load_rulebook, load_site
from coaxwright.checking import explain_subject
from coaxwright.findings import Finding, SiteReport
from coaxwright.telling import json_pointer, natural_key

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(ROOT.glob("examples/*/*.site.yaml"))
TODAY = datetime.date(2026, 6, 15)
SITE = """\
site: Reed Quay
video_rate: 25
parts: [parts.yaml]
supplies:
  psu1: {part: tarnwell/dc, trim: 12 V}
cameras:
  c2:
    part: fennick/cam
    power: {from: psu1/1, over: [{cable: dc-0.75mm2, length: 120 m}]}
  c10:
    part: fennick/cam
    power: {from: psu1/2, over: [{cable: dc-0.75mm2, length: 120 m}]}
  c11:
    part: fennick/cam
    power: {from: psu1/3, over: [{cable: dc-0.75mm2}]}
"""
PARTS = """\
parts:
  tarnwell/dc:
    {kind: supply, source: invented, volts: 12 V, amps: 5 A, outputs: 4, trim_min: 11.5 V, trim_max: 13.8 V}
  fennick/cam:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: 1920x1080@25}]
    power: {kind: dc, volts: 12 V, volts_min: 10.8 V, volts_max: 13.2 V, watts_day: 2.4 W, watts_night: 5 W}
"""
SAG = "power/undervoltage"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / "cache"))


def _file(folder: Path, more: str = "") -> Path:
    (folder / "parts.yaml").write_text(PARTS)
    file = folder / "quay.site.yaml"
    file.write_text(SITE + more)
    return file


def _check(folder: Path, more: str = "") -> SiteReport:
    return check(_file(folder, more), today=TODAY)


def _of(report: SiteReport, rule: str) -> list[Finding]:
    return [finding for finding in report.findings if finding.rule == rule]


def test_a_finding_has_all_its_parts(tmp_path: Path) -> None:
    report = _check(tmp_path)
    c2, c10, c11 = _of(report, SAG)
    assert (c2.subject, c10.subject, c11.subject) == ("cameras/c2", "cameras/c10", "cameras/c11")
    assert (c2.kind, c2.level) == ("fail", "error")
    assert c2.pointer == "/cameras/c2/power"
    assert c2.span is not None
    line = report.text.split("\n")[c2.span.line - 1]
    assert line[c2.span.column - 1 :].startswith("{from: psu1/1")
    assert c2.file == str(tmp_path / "quay.site.yaml")
    assert c2.margin is not None
    assert c2.margin < 0
    assert c2.values["feed.load.volts_min"] == 10.8
    assert f"{c2.values['feed.volts_night']:.2f}"[:3] in c2.message
    assert c2.working
    assert c2.sources
    assert c2.caution
    assert c2.fixes
    assert not any(fix.proven for fix in c2.fixes)
    assert (c11.kind, c11.missing, c11.margin) == ("open", ("cameras/c11/power/over/0/length",), None)


def test_every_judgement_is_counted_once(tmp_path: Path) -> None:
    report = _check(tmp_path, f"waivers: [{{rule: {SAG}, on: cameras/c2, reason: known}}]\n")
    kinds = Counter("waived" if each.waived else each.kind for each in report.findings)
    summary = report.summary
    assert summary.error + summary.warning + summary.note == kinds["fail"]
    assert (summary.open, summary.waived, summary.fault) == (kinds["open"], kinds["waived"], 0)
    assert summary.waived == 1
    assert summary.judged == summary.passed + summary.not_applicable + len(report.findings)


def test_findings_are_in_the_order_promised(tmp_path: Path) -> None:
    report = _check(tmp_path)
    ranks = [
        ({"fault": 0, "fail": 1, "open": 2}[f.kind], {"error": 0, "warning": 1, "note": 2}[f.level], f.rule)
        for f in report.findings
    ]
    assert ranks == sorted(ranks)
    assert len({rank[:2] for rank in ranks}) > 2, "too few kinds of finding to tell"
    assert natural_key("cameras/c2") < natural_key("cameras/c10")
    assert sorted(["b1", "a10", "a9", "10", "9", "a"], key=natural_key) == ["9", "10", "a", "a9", "a10", "b1"]


def test_a_check_is_the_same_every_time(tmp_path: Path) -> None:
    assert _check(tmp_path).findings == _check(tmp_path).findings


def test_a_waiver_in_force_a_spent_one_and_an_idle_one(tmp_path: Path) -> None:
    waivers = f"""\
waivers:
  - {{rule: {SAG}, on: cameras/c2, reason: renewed in autumn, until: 2026-06-15, by: site office}}
  - {{rule: {SAG}, on: cameras/c10, reason: was tolerated, until: 2026-06-14}}
  - {{rule: {SAG}, on: cameras/none, reason: copied}}
  - {{rule: {SAG}, on: cameras/c11, reason: length comes on Monday}}
"""
    report = _check(tmp_path, waivers)
    c2, c10, c11 = _of(report, SAG)
    assert c2.waived is not None
    assert (c2.waived.reason, c2.waived.until, c2.waived.by) == (
        "renewed in autumn",
        "2026-06-15",
        "site office",
    )
    assert c10.waived is None
    assert c11.waived is not None
    (idle,) = _of(report, "waiver/unused")
    assert (idle.level, idle.subject, idle.pointer) == ("warning", "waivers/2", "/waivers/2")
    (spent,) = _of(report, "waiver/expired")
    assert (spent.subject, spent.pointer) == ("waivers/1", "/waivers/1/until")
    assert "2026-06-14" in spent.message
    assert spent.span is not None
    assert report.text.split("\n")[spent.span.line - 1][spent.span.column - 1 :].startswith("2026-06-14")
    assert report.summary.waived == 2


@pytest.mark.parametrize(
    ("more", "at", "what"),
    [
        (
            "waivers: [{rule: power/undervoltag, on: cameras/c2, reason: x}]\n",
            "power/undervoltag",
            "did you mean `power/undervoltage`?",
        ),
        ("rules: {power/undervoltag: {level: note}}\n", "{level", "names no rule"),
        (
            "rules: {place/water-rating-low: {limits: {watre: 4}}}\n",
            "4}",
            "has no limit `watre`; did you mean `water`?",
        ),
        ("rules: {place/water-rating-low: {limits: {water: 4 V}}}\n", "4 V}", "not a whole number"),
    ],
)
def test_settings_that_name_nothing_are_refused(tmp_path: Path, more: str, at: str, what: str) -> None:
    with pytest.raises(Refusal) as caught:
        _check(tmp_path, more)
    (problem,) = caught.value.problems
    assert str(problem).startswith(f"{tmp_path}/quay.site.yaml:16:{more.index(at) + 1}: "), str(problem)
    assert what in str(problem)


def test_a_site_changes_a_level_and_says_so(tmp_path: Path) -> None:
    report = _check(tmp_path, f"rules: {{{SAG}: {{level: note, reason: to be rebuilt}}}}\n")
    assert {finding.level for finding in _of(report, SAG)} == {"note"}
    (told,) = [each for each in report.assumed if SAG in each.what]
    assert (told.value, told.source) == ("note (the rule: error)", "this site's file: to be rebuilt")


def test_a_rule_that_is_off_is_told_and_never_silent(tmp_path: Path) -> None:
    more = f"rules: {{{SAG}: {{level: off, reason: all on one trunk}}}}\n"
    more += f"waivers: [{{rule: {SAG}, on: cameras/c2, reason: x}}]\n"
    report = _check(tmp_path, more)
    assert _of(report, SAG) == []
    (told,) = _of(report, "setting/rule-off")
    assert (told.level, told.pointer) == ("note", "/rules/power~1undervoltage")
    assert "all on one trunk" in told.message
    assert "the rule is off" in _of(report, "waiver/unused")[0].message


def test_a_limit_set_by_the_site_is_used_and_told(tmp_path: Path) -> None:
    rules = tmp_path / "mine" / "custom"
    rules.mkdir(parents=True)
    (rules / "low.yaml").write_text(
        "id: custom/low\ntitle: Low\nlevel: note\nabout: feed\nrequire: feed.volts_night >= limit.least\n"
        "says: low\nwhy: Because.\nlimits: {least: {value: 1 V, source: from memory}}\n"
        "sources: [{title: common practice}]\nsince: '0.1'\n"
    )
    book = load_rulebook([tmp_path / "mine"])
    assert [f.kind for f in _of(check(_file(tmp_path), rulebook=book), "custom/low")] == ["open"]
    changed = check(
        _file(tmp_path, "rules: {custom/low: {limits: {least: 11 V}, reason: long leads}}\n"), rulebook=book
    )
    fails = [finding for finding in _of(changed, "custom/low") if finding.kind == "fail"]
    assert len(fails) == 2
    assert any(str(source).startswith("this site's file") for source in fails[0].sources)
    assert ("limit least of custom/low", "11 V (the rule: 1 V)") in [
        (each.what, each.value) for each in changed.assumed
    ]


def test_a_broken_rule_is_told_and_the_others_go_on(tmp_path: Path) -> None:
    rules = tmp_path / "mine" / "custom"
    rules.mkdir(parents=True)
    (rules / "broken.yaml").write_text(
        "id: custom/broken\ntitle: Broken\nlevel: warning\nabout: feed\n"
        "require: 1 / (feed.output.runs - feed.output.runs) > 0\n"
        "says: low\nwhy: Because.\nsources: [{title: common practice}]\nsince: '0.1'\n"
    )
    report = check(_file(tmp_path), rulebook=load_rulebook([tmp_path / "mine"]))
    (fault,) = _of(report, "custom/broken")
    assert (fault.kind, report.summary.fault) == ("fault", 3)
    assert report.findings[0] is fault
    assert "and for 2 more" in fault.message
    assert _of(report, SAG)


def test_several_sites_and_what_cannot_be_read(tmp_path: Path) -> None:
    good = _file(tmp_path)
    bad = tmp_path / "bad.site.yaml"
    bad.write_text("site: X\ncolour: red\n")
    report = check_many([good, bad, tmp_path / "none.site.yaml"], today=TODAY)
    assert [site.site for site in report.sites] == ["Reed Quay"]
    assert len(report.unread) == 2
    assert report.rulebook == load_rulebook().digest
    assert {info.id for info in report.rules} > {SAG, "waiver/unused", "waiver/expired", "setting/rule-off"}


def test_more_processes_give_the_same_report(tmp_path: Path) -> None:
    files = [*EXAMPLES, _file(tmp_path), tmp_path / "none.site.yaml"]
    alone, spread = check_many(files, today=TODAY), check_many(files, jobs=2, today=TODAY)
    for one, other in zip(alone.sites, spread.sites, strict=True):
        assert (one.file, one.summary, one.findings, one.assumed) == (
            other.file,
            other.summary,
            other.findings,
            other.assumed,
        )
        assert {name: dict(one.facts[name]) for name in one.facts} == dict(other.facts)
    assert alone.unread == spread.unread
    bare = check_many(files, jobs=2, today=TODAY, facts=False)
    assert [dict(site.facts) for site in bare.sites] == [{} for _ in bare.sites]


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda path: path.name)
def test_examples_are_judged_without_fault(file: Path) -> None:
    report = check(file, today=TODAY)
    assert report.summary.fault == 0
    assert report.summary.passed > 0
    lines = report.text.split("\n")
    for finding in report.findings:
        assert finding.span is not None
        assert 1 <= finding.span.line <= len(lines)
        assert 1 <= finding.span.column <= len(lines[finding.span.line - 1]) + 1
        assert finding.message
        assert (finding.kind == "open") == bool(finding.missing)


def test_facts_are_shown_by_subject() -> None:
    report = check(ROOT / "examples" / "boatyard" / "alder-wharf.site.yaml")
    slipway: Any = report.facts["cameras/slipway"]
    assert set(slipway["settled"]) == {"outcome", "family", "width", "height", "acquired_fps", "recorded_fps"}
    assert slipway["volts_day"] >= slipway["volts_night"] > 0
    assert "recorders/rec1" in report.facts
    assert len(report.facts) == len(list(report.facts))
    with pytest.raises(KeyError):
        report.facts["cameras/none"]
    pickle.dumps({name: dict(report.facts[name]) for name in report.facts})


def test_a_subject_is_explained_fact_by_fact(tmp_path: Path) -> None:
    site = load_site(_file(tmp_path))
    shown = {fact.name: fact for fact in explain_subject(site, "cameras/c2")}
    volts = shown["feed.volts_night"]
    assert volts.unit == "V"
    assert volts.doc
    assert 0 < volts.value < 12
    assert volts.working
    lacking = {fact.name: fact for fact in explain_subject(site, "cameras/c11")}["feed.volts_night"]
    assert lacking.value is None
    assert "cameras/c11/power/over/0/length" in lacking.working[0]
    with pytest.raises(Refusal, match="did you mean `cameras/c2`"):
        explain_subject(site, "camera/c2")


def test_json_pointers_follow_rfc_6901() -> None:
    # RFC 6901, section 3 and the examples of section 5.
    assert json_pointer(()) == ""
    assert json_pointer(("a/b",)) == "/a~1b"
    assert json_pointer(("m~n", 0)) == "/m~0n/0"
