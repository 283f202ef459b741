"""Forms for other people's tools: changes in SARIF that can be applied, commands of code hosts, counts, standard input.

SARIF: OASIS 2.1.0, 3.55 to 3.58 (fix, artifactChange, replacement), from memory beside the schema; a replacement is
applied here by our own arithmetic and the text judged again by the engine.
"""

from __future__ import annotations

import io
import json
import re
import sys
from pathlib import Path
from typing import Any

import pytest
from tests.conftest import FULL

from coaxwright import check, load_text
from coaxwright.cli.main import run

from .conftest import NAME

ROOT = Path(__file__).resolve().parents[2]


def _offset(text: str, line: int, column: int) -> int:
    return sum(len(each) for each in text.splitlines(keepends=True)[: line - 1]) + column - 1


def _applied(text: str, replacements: list[dict[str, Any]]) -> str:
    for each in replacements:
        region = each["deletedRegion"]
        start = _offset(text, region["startLine"], region["startColumn"])
        end = _offset(text, region["endLine"], region["endColumn"])
        text = text[:start] + each["insertedContent"]["text"] + text[end:]
    return text


@pytest.mark.parametrize("ends", ["\n", "\r\n"] if FULL else ["\r\n"])
def test_sarif_fixes_clear_what_they_are_for(
    press: Path, capsysbinary: pytest.CaptureFixture[bytes], ends: str
) -> None:
    text = press.read_text(encoding="utf-8").replace("\n", ends)
    press.write_bytes(text.encode())
    run(["check", NAME, "--fixes", "--format", "sarif"])
    results = json.loads(capsysbinary.readouterr().out)["runs"][0]["results"]
    mended = [each for each in results if each.get("fixes")]
    assert len(mended) > 5
    for result in mended[:: 3 if FULL else 9]:
        change = result["fixes"][0]["artifactChanges"][0]
        assert change["artifactLocation"]["uri"] == NAME
        after = check(load_text(_applied(text, change["replacements"]), folder=press.parent))
        about = (result["ruleId"], result["locations"][0]["logicalLocations"][0]["fullyQualifiedName"])
        assert about not in {each.key for each in after.failed()}


def test_sarif_help_is_markdown_that_no_rule_can_break(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    run(["check", NAME, "--format", "sarif"])
    rules = json.loads(capsysbinary.readouterr().out)["runs"][0]["tool"]["driver"]["rules"]
    assert all(each["help"]["markdown"].startswith("# ") for each in rules)
    assert all("<" not in each["help"]["markdown"].replace("\\<", "") for each in rules)


COMMAND = re.compile(r"::(error|warning|notice) file=([^,:]+)(?:,line=(\d+),col=(\d+))?,title=([^,:]+)::(.+)")
DAY = re.compile(r"Judged as of \d{4}-\d\d-\d\d\.")


def test_annotations_are_one_command_a_finding(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert run(["check", NAME, "--format", "annotations"]) == 1
    lines = capsysbinary.readouterr().out.decode().splitlines()
    report = check(press)
    assert DAY.fullmatch(lines.pop())
    told = [COMMAND.fullmatch(line) for line in lines]
    assert all(told)
    expected = sorted((each.rule, each.span.line) for each in report.findings if each.span and not each.waived)
    assert sorted((each[5], int(each[3])) for each in told if each) == expected


def test_a_name_cannot_start_a_command(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    text = press.read_text(encoding="utf-8")
    hostile = text.replace("site: ", 'site: "x\\n::error file=a::b %0A" # ', 1)
    (press.parent / "a,b.site.yaml").write_text(hostile, encoding="utf-8")
    run(["check", "a,b.site.yaml", "--format", "annotations"])
    lines = capsysbinary.readouterr().out.decode().splitlines()
    assert DAY.fullmatch(lines.pop())
    assert lines
    assert all(COMMAND.fullmatch(line) for line in lines), lines[:3]
    assert all("file=a%2Cb.site.yaml" in line for line in lines)


def test_statistics_count_what_the_reports_hold(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    run(["check", ".", "--format", "statistics"])
    rows = [line.split("\t") for line in capsysbinary.readouterr().out.decode().splitlines()]
    report = check(press)
    fails = {row[5]: int(row[0]) for row in rows[1:-1]}
    for rule, count in fails.items():
        assert count == sum(each.rule == rule for each in report.failed())
    assert sum(fails.values()) == len(report.failed()) == int(rows[-1][0])
    assert [int(row[0]) for row in rows[1:-1]] == sorted((int(row[0]) for row in rows[1:-1]), reverse=True)


def _with_stdin(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))


@pytest.mark.parametrize("form", ["json", "text", "sarif"])
def test_standard_input_is_judged_as_the_file(
    press: Path, capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch, form: str
) -> None:
    by_name = run(["check", NAME, "--format", form]), capsysbinary.readouterr().out
    _with_stdin(monkeypatch, press.read_bytes())
    assert (run(["check", "-", "--stdin-filename", NAME, "--format", form]), capsysbinary.readouterr().out) == by_name


@pytest.mark.parametrize("data", [b"site: [", b"\xff\xfe", b"", b"x: 1\n"])
def test_a_bad_text_on_standard_input_is_status_2(
    capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch, data: bytes
) -> None:
    _with_stdin(monkeypatch, data)
    assert run(["check", "-"]) == 2
    assert capsysbinary.readouterr().err.startswith(b"stdin.site.yaml")


@pytest.mark.parametrize(
    "words", [["-", NAME], [NAME, "--stdin-filename", "x.site.yaml"], ["-", "--fixes"], ["-", "--format", "jsonl"]]
)
def test_standard_input_stands_alone(press: Path, words: list[str]) -> None:
    assert run(["check", *words]) == 2
