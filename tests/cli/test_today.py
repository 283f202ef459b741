"""The day by which waivers are judged: it can be given to every command that judges, and every report names it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coaxwright.cli.main import run
from coaxwright.reporting.formats import FORMATS

SITE = """\
site: Reed Landing
recorders: {rec1: {part: own/rec}}
cameras: {jetty: {part: own/cam, video: {into: rec1/2, over: [{cable: rg59-copper, length: 900 m}]}}}
parts: [parts.yaml]
waivers:
  - {rule: cable/loss-beyond-limit, on: cameras/jetty, reason: it is to be replaced, until: 2026-12-01}
"""
PARTS = """\
parts:
  own/rec: {kind: recorder, source: invented, inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}]}
  own/cam: {kind: camera, source: invented, emits: [{family: tvi, mode: 1920x1080@25}]}
"""
EXPIRED = "waiver/expired"


@pytest.fixture
def site(tmp_path: Path) -> str:
    (tmp_path / "parts.yaml").write_text(PARTS)
    path = tmp_path / "reed.site.yaml"
    path.write_text(SITE)
    return str(path)


@pytest.mark.parametrize(("day", "expired"), [("2026-12-01", False), ("2026-12-02", True)])
def test_the_last_day_of_a_waiver_is_its_own(site: str, day: str, expired: bool, capsys: pytest.CaptureFixture[str]) -> None:
    run(["check", site, "--format", "json", "--today", day])
    data = json.loads(capsys.readouterr().out)
    assert data["today"] == day
    assert (EXPIRED in {each["rule"] for each in data["sites"][0]["findings"]}) is expired
    run(["check", site, "--format", "jsonl", "--today", day])
    line = json.loads(capsys.readouterr().out)
    assert line["today"] == day
    assert (EXPIRED in {each["rule"] for each in line["findings"]}) is expired


@pytest.mark.parametrize("form", sorted(FORMATS))
def test_every_report_names_the_day(site: str, form: str, capsys: pytest.CaptureFixture[str]) -> None:
    run(["check", site, "--format", form, "--today", "2031-05-17"])
    assert capsys.readouterr().out.count("2031-05-17") == 1
    run(["check", site, "--format", form])
    assert "2031-05-17" not in capsys.readouterr().out


def test_the_page_of_report_names_the_day(site: str, tmp_path: Path) -> None:
    for form in ("html", "md"):
        assert run(["report", site, "--format", form, "--today", "2031-05-17", "--output", str(tmp_path / form)]) == 0
        assert "2031-05-17" in (tmp_path / form).read_text()


def test_fixes_limits_and_trials_are_judged_by_that_day(site: str, capsys: pytest.CaptureFixture[str]) -> None:
    """While the waiver holds there is nothing to mend; once it has run out there is."""
    told = {}
    for day in ("2026-12-01", "2026-12-02"):
        run(["fix", site, "--format", "json", "--today", day])
        run(["limits", site, "cameras/jetty", "--today", day])
        run(["check", site, "--fixes", "--today", day])
        run(["what-if", site, "--set", "cameras/jetty/video/over/0/length=901 m", "--today", day])
        told[day] = capsys.readouterr().out
    assert "cable/loss-beyond-limit" not in told["2026-12-01"].partition("waived")[0]
    assert told["2026-12-01"] != told["2026-12-02"]


@pytest.mark.parametrize("day", ["tomorrow", "2026-02-30", "01.12.2026"])
def test_what_is_no_day_is_refused(site: str, day: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", site, "--today", day]) == 2
    assert "--today" in capsys.readouterr().err


@pytest.mark.parametrize("form", ["text", "md"])
def test_what_could_not_be_read_is_the_next_thing_to_mend(tmp_path: Path, form: str,
                                                          capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    bad = tmp_path / "bad.site.yaml"
    bad.write_text("site: [")
    assert run(["check", str(bad), "--format", form]) == 2
    told = capsys.readouterr()
    assert "nothing to mend" not in told.out
    assert form == "text" or "; 1 not read" in told.out
    assert form == "text" or told.out.endswith("Next: mend what could not be read, then check again.\n")


def test_what_could_not_be_read_is_no_clean_sarif(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """OASIS SARIF 2.1.0: 3.20.14 `executionSuccessful`, 3.20.21 `toolExecutionNotifications`, 3.27.10 `level`."""
    bad = tmp_path / "bad.site.yaml"
    bad.write_text("site: [")
    assert run(["check", str(bad), "--format", "sarif"]) == 2
    (done,) = json.loads(capsys.readouterr().out)["runs"]
    (invocation,) = done["invocations"]
    assert invocation["executionSuccessful"] is False
    assert invocation["exitCode"] == 2
    (notice,) = invocation["toolExecutionNotifications"]
    assert notice["level"] == "error"
    (result,) = done["results"]
    assert (result["kind"], result["level"]) == ("fail", "error")
    assert result["locations"] == notice["locations"]
    assert result["locations"][0]["physicalLocation"]["region"]["startLine"] == 1
    assert "could not be read" in result["message"]["text"]
