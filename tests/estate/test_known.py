"""Baselines and revisions: what is new, worse and gone, told by rule and subject; the exit status counts news alone.

The expected is worked out here from two plain reports (`check --format json`), finding by finding. States of results in
SARIF: 3.27.24 of the standard.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from .conftest import YARD, Call, edit

LONGER = ("length: 85 m, setting: sheltered}]}\n    power", "length: 285 m, setting: sheltered}]}\n    power")


def _json(call: Call, *words: str) -> dict[str, Any]:
    return json.loads(call("check", *words, "--format", "json")[1])


def _keys(site: dict[str, Any]) -> dict[tuple[str, str], dict[str, Any]]:
    return {(each["rule"], each["subject"]): each for each in site["findings"]}


def test_nothing_is_new_against_itself(sites: Path, call: Call) -> None:
    status, _, said = call("check", ".", "--write-baseline", "known.json")
    assert status == 0
    assert "findings of 2 sites written to known.json" in said
    status, out, _ = call("check", ".", "--baseline", "known.json", "--fail-on", "note", "--strict")
    assert status == 0
    assert "0 new, 0 worse, 0 gone, 4 known before" in out


def test_what_is_new_worse_and_gone(sites: Path, call: Call) -> None:
    edit(YARD, *LONGER)
    before = _json(call, ".")
    call("check", ".", "--write-baseline", "known.json")
    edit(YARD, "length: 285 m", "length: 300 m")
    edit(YARD, "length: 45 m, setting: sheltered}]}\n    power", "length: 400 m, setting: sheltered}]}\n    power")
    after = _json(call, ".")
    marked = _json(call, ".", "--baseline", "known.json")
    assert [site["file"] for site in marked["sites"]] == [site["file"] for site in after["sites"]]
    for old, new, site in zip(before["sites"], after["sites"], marked["sites"], strict=True):
        was, now, told = _keys(old), _keys(new), _keys(site)
        assert told.keys() == now.keys(), "JSON tells all findings"
        assert {key for key, each in told.items() if each["since"] == "new"} == now.keys() - was.keys()
        assert {(each["rule"], each["subject"]) for each in site["since"]["gone"]} == was.keys() - now.keys()
        for key in now.keys() & was.keys():
            fallen = None not in (was[key]["margin"], now[key]["margin"]) and was[key]["margin"] - now[key]["margin"] > 1e-6
            turned = (was[key]["kind"], was[key]["level"]) != (now[key]["kind"], now[key]["level"])
            assert (told[key]["since"] == "worse") == (fallen or turned), key
    worse = marked["sites"][1]["since"]["worse"]
    assert ("cable/loss-beyond-limit", "cameras/slipway") in {(each["rule"], each["subject"]) for each in worse}
    status, out, _ = call("check", ".", "--baseline", "known.json", "--detail", "concise")
    assert status == 1
    assert {line.split(": ")[0].partition(":")[0] for line in out.splitlines()[:-1]} == {YARD.as_posix()}


def test_counts_still_add_up(sites: Path, call: Call) -> None:
    """Every judgement is in exactly one count, also where some are not told."""
    before = call("check", ".", "--detail", "concise")[1].splitlines()[-1]
    call("check", ".", "--write-baseline", "known.json")
    after = call("check", ".", "--baseline", "known.json", "--detail", "concise")[1].splitlines()[-1]
    total = before.partition("(")[2].partition(" judgements")[0]
    assert f"({total} judgements)" in after
    assert "8 known before" in after
    assert "known before" not in before


def test_better_or_answered_for_is_no_news(sites: Path, call: Call) -> None:
    edit(YARD, *LONGER)
    call("check", ".", "--write-baseline", "known.json")
    edit(YARD, "length: 285 m", "length: 260 m")
    assert call("check", ".")[0] == 1
    assert call("check", ".", "--baseline", "known.json")[0] == 0


def test_a_waiver_that_ends_is_news(sites: Path, call: Call) -> None:
    edit(YARD, *LONGER)
    waiver = "\nwaivers:\n  - {rule: cable/loss-beyond-limit, on: cameras/slipway, reason: known, until: 2027-01-31}\n"
    YARD.write_text(YARD.read_text(encoding="utf-8") + waiver, encoding="utf-8")
    assert call("check", ".", "--write-baseline", "known.json", "--today", "2026-12-01")[0] == 0
    assert call("check", ".", "--baseline", "known.json", "--today", "2027-02-01")[0] == 1
    assert "nobody answers for it any more" in call("check", ".", "--baseline", "known.json", "--today", "2027-02-01")[1]


def test_a_renamed_subject_is_told_not_guessed(sites: Path, call: Call) -> None:
    edit(YARD, *LONGER)
    call("check", ".", "--write-baseline", "known.json")
    edit(YARD, "\n  slipway:", "\n  crane:")
    status, out, _ = call("check", ".", "--baseline", "known.json")
    assert status == 1
    assert "gone: cable/loss-beyond-limit on cameras/slipway (its subject is gone)" in " ".join(out.split())


def test_moved_with_its_sites(sites: Path, call: Call, monkeypatch: pytest.MonkeyPatch) -> None:
    """A baseline names files as from its own folder, whatever the current one is."""
    call("check", ".", "--write-baseline", "known.json")
    shutil.copytree(".", "elsewhere", ignore=shutil.ignore_patterns("elsewhere"))
    monkeypatch.chdir("elsewhere/yard")
    status, out, _ = call("check", ".", "--baseline", "../known.json", "--fail-on", "note")
    assert status == 0
    assert "0 new, 0 worse, 0 gone, 4 known before" in out


def test_a_site_that_is_not_in_it_is_all_new(sites: Path, call: Call) -> None:
    call("check", "dock", "--write-baseline", "known.json")
    (site,) = _json(call, str(YARD), "--baseline", "known.json")["sites"]
    assert site["since"]["listed"] is False
    assert {each["since"] for each in site["findings"]} == {"new"}


@pytest.mark.parametrize("form", ["json", "jsonl"])
def test_a_saved_report_serves_too(sites: Path, call: Call, form: str) -> None:
    call("check", ".", "--format", form, "--output", "before.json")
    assert call("check", ".", "--since", "before.json", "--fail-on", "note")[0] == 0
    edit(YARD, *LONGER)
    assert call("check", ".", "--since", "before.json")[0] == 1


def test_a_revision(sites: Path, call: Call) -> None:
    identity = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
    for words in (["init", "-q"], ["add", "-A"], ["-c", "user.name=n", "-c", "user.email=e@x", "commit", "-qm", "first"]):
        subprocess.run(["git", *words], check=True, env=identity)
    assert call("check", ".", "--since", "HEAD", "--fail-on", "note")[0] == 0
    edit(Path("yard/parts/tarnwell.yaml"), "watts_night: 5.2 W", "watts_night: 25 W")
    status, out, _ = call("check", ".", "--since", "HEAD", "--detail", "concise")
    assert status == 1, "a part that asks for more is news of the site that names it"
    assert "dock" not in out
    shutil.copytree("dock", "quay")
    added = _json(call, "quay", "--since", "HEAD")["sites"][0]["since"]
    assert (added["listed"], added["known"]) == (False, 0)
    status, _, said = call("check", ".", "--since", "no-such-thing")
    assert status == 2
    assert "there is no such revision" in said


def test_states_in_sarif(sites: Path, call: Call) -> None:
    edit(YARD, *LONGER)
    call("check", ".", "--write-baseline", "known.json")
    edit(YARD, "length: 285 m", "length: 300 m")
    edit(YARD, "length: 60 m, setting: sheltered}]}\n    power", "length: 500 m, setting: sheltered}]}\n    power")
    (run,) = json.loads(call("check", ".", "--baseline", "known.json", "--format", "sarif")[1])["runs"]
    states = {each["baselineState"] for each in run["results"]}
    assert {"new", "updated", "unchanged"} <= states <= {"new", "updated", "unchanged", "absent"}
    edit(YARD, "length: 300 m", "length: 85 m")
    (run,) = json.loads(call("check", ".", "--baseline", "known.json", "--format", "sarif")[1])["runs"]
    absent = [each for each in run["results"] if each["baselineState"] == "absent"]
    assert "cable/loss-beyond-limit" in {each["ruleId"] for each in absent}
    assert len({each["partialFingerprints"]["coaxwrightFinding/v1"] for each in run["results"]}) >= len(absent)


def test_the_project_names_one(sites: Path, call: Call) -> None:
    edit(YARD, *LONGER)
    call("check", ".", "--write-baseline", "known.json")
    Path("coaxwright.project.yaml").write_text("baseline: known.json\n", encoding="utf-8")
    assert call("check", ".")[0] == 0
    assert call("check", ".", "--no-project")[0] == 1
    assert call("check", ".", "--write-baseline", "newer.json")[0] == 0


@pytest.mark.parametrize(
    ("text", "told"),
    [("{", "known.json:1:2: this is no JSON"), ("[1]", "this is no report of findings"), ('{"baseline": [3]}', "no report"),
     ('{"sites": [{"file": "a", "findings": [{"rule": 3}]}]}', "no report"), (None, "there is no such file"), ("", "no JSON")],
)  # fmt: skip
def test_what_is_no_baseline(sites: Path, call: Call, text: str | None, told: str) -> None:
    if text is not None:
        Path("known.json").write_text(text, encoding="utf-8")
    status, out, said = call("check", ".", "--baseline", "known.json")
    assert (status, out) == (2, "")
    assert told in said


@pytest.mark.parametrize(
    "words",
    [("--baseline", "a", "--since", "b"), ("--baseline", "a", "--write-baseline", "b"), ("--since", "a", "--format", "html"),
     ("--baseline", "a", "--format", "jsonl")],
)  # fmt: skip
def test_what_does_not_go_together(sites: Path, call: Call, words: tuple[str, ...]) -> None:
    status, out, said = call("check", ".", *words)
    assert (status, out) == (2, "")
    assert "coaxwright check: " in said


def test_an_old_baseline_is_not_written_over(sites: Path, call: Call) -> None:
    call("check", "yard", "--write-baseline", "known.json")
    old = Path("known.json").read_bytes()
    assert call("check", ".", "--write-baseline", "known.json")[0] == 2
    assert Path("known.json").read_bytes() == old
    assert call("check", ".", "--write-baseline", "known.json", "--replace")[0] == 0
    assert Path("known.json").read_bytes() != old


def test_what_cannot_be_read_still_counts(sites: Path, call: Call) -> None:
    call("check", ".", "--write-baseline", "known.json")
    YARD.write_text("site: [\n", encoding="utf-8")
    assert call("check", ".", "--baseline", "known.json")[0] == 2
