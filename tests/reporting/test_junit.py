"""JUnit XML for build services, read back by the XML reader of Python.

Elements and counts: common practice of readers (no standard body); counts are held against the report itself.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

import pytest

from coaxwright import check
from coaxwright.cli.main import run

from .conftest import NAME


def _read(capsysbinary: pytest.CaptureFixture[bytes], *names: str) -> tuple[int, ElementTree.Element]:
    status = run(["check", *names, "--format", "junit"])
    return status, ElementTree.fromstring(capsysbinary.readouterr().out)


def test_a_case_for_each_finding_and_nothing_open_passes(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    status, root = _read(capsysbinary, NAME)
    told = Counter((case.get("classname"), case.get("name"), case[0].tag, case[0].get("type")) for case in root.iter("testcase"))
    expected: Counter[tuple[str | None, str | None, str, str | None]] = Counter()
    for each in check(press).findings:
        failed = ("skipped", "open") if each.kind == "open" else ("failure", each.level)
        outcome = ("skipped", "waived") if each.waived else failed
        expected[(each.rule, each.subject, *outcome)] += 1
    assert status == 1
    assert told == expected
    counts = Counter(element.tag for element in root.iter())
    for element in (root, root[0]):
        assert int(element.get("tests", "")) == counts["testcase"]
        assert int(element.get("failures", "")) == counts["failure"]
        assert int(element.get("skipped", "")) == counts["skipped"] > 0


def test_what_cannot_be_read_is_an_error_with_its_place(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    broken = press.with_name("broken.site.yaml")
    broken.write_text('site: "a\n', encoding="utf-8")
    status, root = _read(capsysbinary, broken.name)
    (error,) = root.iter("error")
    assert status == 2
    assert "broken.site.yaml:" in error.get("message", "")
    assert root.get("errors") == "1"


def test_text_of_a_site_stays_text(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    text = press.read_text(encoding="utf-8").replace("site: ", 'site: "]]></testcase><b>&\\u0007\\u001b[31m" # ', 1)
    odd = press.with_name("a&b.site.yaml")
    odd.write_text(text, encoding="utf-8")
    _, root = _read(capsysbinary, odd.name)
    assert root[0].get("name") == odd.name
    known = {"testsuites", "testsuite", "properties", "property", "testcase", "failure", "error", "skipped"}
    assert {element.tag for element in root.iter()} <= known


def test_against_a_baseline_only_news_fail(press: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    """What was known is skipped and says so; a longer run makes one worse; what was not known before fails as ever."""
    assert run(["check", NAME, "--write-baseline", "known.json"]) == 0
    capsysbinary.readouterr()
    status, root = _read(capsysbinary, NAME, "--baseline", "known.json")
    assert status == 0
    assert root.get("failures") == "0"
    was = len(check(press).findings)
    kinds = Counter(case[0].get("type") for case in root.iter("testcase"))
    assert kinds["known"] + kinds["waived"] == was
    text = press.read_text(encoding="utf-8")
    assert text.count("length: 240 m") == 1
    press.write_text(text.replace("length: 240 m", "length: 260 m"), encoding="utf-8")
    status, root = _read(capsysbinary, NAME, "--since", "known.json")
    cases = [case for case in root.iter("testcase") if case[0].tag == "failure"]
    failed = {(case.get("classname"), case.get("name")): case[0].get("message", "") for case in cases}
    assert status == 1
    assert "Worse than in known.json: margin" in failed["cable/loss-beyond-limit", "cameras/cellar"]
    assert len(failed) < was / 2
