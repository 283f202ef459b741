"""`fix`, `limits` and `what-if` from the command line: output, files, exit status."""

from __future__ import annotations

import json
import os
import shutil

import pytest

from coaxwright.checking import check
from coaxwright.cli.main import run
from coaxwright.fixes.patching import applied
from coaxwright.reading.yaml_source import read_document

from . import random_sites

SITE = """\
site: Two cameras     # kept
recorders:
  r1: {part: tarnwell/middle-8, disks: [generic/disk-8tb]}
supplies:
  p1: {part: generic/dc12-10a-9way, trim: 12 V}
parts: [parts/*.yaml]
cameras:
  c1:
    part: tarnwell/turret-5
    video: {into: r1/9, over: [{cable: rg59-copper, length: 30 m}]}   # no such input
    power: {from: p1/1, over: [{cable: dc-0.5mm2, length: 80 m}]}
"""


@pytest.fixture
def site(tmp_path):
    shutil.copytree(random_sites.REPO / "examples" / "cider-press" / "parts", tmp_path / "parts")
    path = tmp_path / "two.site.yaml"
    path.write_text(SITE, encoding="utf-8")
    return path


def errors(path):
    return [each for each in check(path).findings if each.kind == "fail" and each.level == "error"]


def test_fixes_as_json_can_be_applied(site, capsys):
    assert run(["fix", str(site), "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert {each["rule"] for each in data["findings"]} == {each.rule for each in errors(site)}
    for finding in data["findings"]:
        best = finding["fixes"][0]
        assert f"{finding['rule']} on {finding['subject']}" in best["clears"]
        assert applied(read_document(site).value, best["patch"])
        assert {"title", "patch", "cost", "clears", "introduces", "stays_open", "margin", "hides"} <= best.keys()


def test_text_names_each_finding_with_what_its_fixes_bring(site, capsys):
    assert run(["fix", str(site)]) == 0
    text = capsys.readouterr().out
    assert "1. move c1 to r1/1" in text
    assert "clears channels/no-such-input on recorders/r1/9" in text
    assert "2 of 2 findings can be cleared by one change" in text


def test_only_the_findings_that_are_asked_for(site, capsys):
    run(["fix", str(site), "--on", "power/undervoltage", "--format", "json"])
    assert [each["rule"] for each in json.loads(capsys.readouterr().out)["findings"]] == ["power/undervoltage"]


def test_diff_changes_nothing_and_write_does_what_it_showed(site, capsys):
    assert run(["fix", str(site), "--diff"]) == 0
    shown = capsys.readouterr().out
    assert site.read_text(encoding="utf-8") == SITE
    assert run(["fix", str(site), "--write"]) == 0
    assert capsys.readouterr().out == shown
    assert not errors(site)
    text = site.read_text(encoding="utf-8")
    assert "# kept" in text
    assert "# no such input" in text
    assert run(["fix", str(site), "--undo"]) == 0
    assert site.read_text(encoding="utf-8") == SITE
    assert sorted(os.listdir(site.parent)) == ["parts", "two.site.yaml"]


def test_all_clears_the_site_and_says_how_good_it_is(site, capsys):
    assert run(["fix", str(site), "--all", "--budget", "60", "--format", "json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["in_the_way"] == []
    assert plan["after"]["error"] == 0
    assert len(plan["steps"]) == 2
    assert run(["fix", str(site), "--all", "--write", "--budget", "60"]) == 0
    assert not errors(site)
    assert run(["fix", str(site), "--all"]) == 0
    assert "Nothing to mend at level error." in capsys.readouterr().out


def test_what_nothing_clears_is_told_with_status_1(site, capsys):
    text = SITE.replace("r1/9", "r1/1") + "    wants: {rate: 60 fps}\n"
    site.write_text(text, encoding="utf-8")
    assert run(["fix", str(site), "--all", "--budget", "800"]) == 1
    assert "only if the need does" in capsys.readouterr().out
    assert run(["fix", str(site), "--write", "--on", "picture/rate-below-wanted"]) == 1
    assert site.read_text(encoding="utf-8") == text


def test_limits_as_text_and_json(site, capsys):
    assert run(["limits", str(site), "cameras/c1"]) == 0
    text = capsys.readouterr().out
    assert "power length: 80 m; fails now: power/undervoltage; holds from" in text
    assert run(["limits", str(site), "supplies/p1", "--format", "json"]) == 0
    (trim,) = json.loads(capsys.readouterr().out)["limits"]
    assert trim["path"] == "supplies/p1/trim"
    assert run(["limits", str(site), "cameras/c2"]) == 2
    assert "cameras/c1" in capsys.readouterr().err


def test_what_if_shows_only_what_changes(site, capsys):
    assert run(["what-if", str(site), "--set", "cameras/c1/video/into=r1/1"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Cleared:\n  error channels/no-such-input on recorders/r1/9")
    assert "power" not in text
    assert (
        run(
            [
                "what-if",
                str(site),
                "--set",
                "cameras/c1/video/into=r1/1",
                "--set",
                "cameras/c1/video/over/0/length=900m",
            ]
        )
        == 1
    )
    assert run(["what-if", str(site)]) == 2
    assert site.read_text(encoding="utf-8") == SITE


def test_check_proves_fixes_when_asked(site, capsys):
    assert run(["check", str(site), "--format", "json", "--fixes"]) == 1
    (report,) = json.loads(capsys.readouterr().out)["sites"]
    proven = [each for each in report["findings"] if each["level"] == "error" and each["kind"] == "fail"]
    assert all(each["fixes"] and not each["could_try"] for each in proven)
    run(["check", str(site), "--format", "json"])
    (report,) = json.loads(capsys.readouterr().out)["sites"]
    assert not any(each["fixes"] for each in report["findings"])
