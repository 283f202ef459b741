"""Exit status: one table for every format. The numbers are the project's published contract."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.cli import check as check_module
from coaxwright.cli import main as main_module
from coaxwright.cli.exits import check_status
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Report, SiteReport, Summary
from coaxwright.reporting.formats import FORMATS


def made(*summaries: Summary, unread: tuple[Problem, ...] = ()) -> Report:
    sites = tuple(
        SiteReport(f"site {number}", f"{number}.site.yaml", "", summary, (), (), {})
        for number, summary in enumerate(summaries)
    )
    return Report("0", "sha256:0", (), sites, unread)


PASSED = Summary(passed=3)
ERROR = Summary(error=1)
WARNING = Summary(warning=1)
NOTE = Summary(note=1)
OPEN = Summary(open=1)
FAULT = Summary(fault=1, error=1)
WAIVED = Summary(waived=1, not_applicable=1)
LOST = (Problem("x.site.yaml", "cannot be read"),)

TABLE = [
    (made(PASSED), "error", False, 0),
    (made(WAIVED), "note", True, 0),
    (made(WARNING), "error", False, 0),
    (made(NOTE), "warning", False, 0),
    (made(ERROR), "never", False, 0),
    (made(OPEN), "note", False, 0),
    (made(ERROR), "error", False, 1),
    (made(WARNING), "warning", False, 1),
    (made(ERROR), "warning", False, 1),
    (made(NOTE), "note", False, 1),
    (made(PASSED, ERROR), "error", False, 1),
    (made(ERROR, OPEN), "error", True, 1),
    (made(FAULT), "never", False, 2),
    (made(ERROR, unread=LOST), "error", False, 2),
    (made(unread=LOST), "never", False, 2),
    (made(), "error", False, 2),
    (made(OPEN), "error", True, 3),
    (made(PASSED, OPEN), "never", True, 3),
    (made(WARNING, OPEN), "error", True, 3),
]


OF_REPORTS_ALONE = sorted(set(FORMATS) - {"html"})
"""The page draws the site itself, so it is tried on sites, not on reports made by hand."""
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.mark.parametrize("form", sorted(FORMATS))
@pytest.mark.parametrize(
    ("name", "more", "status"),
    [
        ("boatyard", (), 0),
        ("boatyard", ("--fail-on", "note"), 1),
        ("cider-press", (), 1),
        ("cider-press", ("--fail-on", "never"), 0),
        ("cider-press", ("--fail-on", "never", "--strict"), 3),
        ("nowhere", (), 2),
    ],
)
def test_status_of_example_sites(form: str, name: str, more: tuple[str, ...], status: int, tmp_path: Path) -> None:
    target = tmp_path / "report"
    assert main_module.run(["check", str(EXAMPLES / name), "--format", form, "-o", str(target), *more]) == status
    assert target.exists() == (status != 2 or form != "text")


@pytest.mark.parametrize("form", OF_REPORTS_ALONE)
@pytest.mark.parametrize(("report", "fail_on", "strict", "status"), TABLE)
def test_status_is_the_same_in_every_format(
    form: str,
    report: Report,
    fail_on: str,
    strict: bool,
    status: int,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(check_module, "checked", lambda *_, **__: report)
    call = ["check", "x", "--format", form, "--fail-on", fail_on, *(["--strict"] if strict else [])]
    assert main_module.run(call) == status
    told = capfd.readouterr()
    assert ("cannot be read" in told.err) == bool(report.unread)
    if form == "sarif":
        invocation = json.loads(told.out)["runs"][0]["invocations"][0]
        assert invocation["exitCode"] == status
        assert invocation["executionSuccessful"] == (status != 2)


def test_the_table_holds_every_status() -> None:
    assert {status for *_, status in TABLE} == {0, 1, 2, 3}


def test_default_is_error_and_not_strict() -> None:
    assert check_status(made(WARNING, OPEN), "error", False) == 0


def _raise(error: BaseException) -> Callable[..., Report]:
    def fail(*_: object, **__: object) -> Report:
        raise error

    return fail


@pytest.mark.parametrize("form", sorted(FORMATS))
@pytest.mark.parametrize(
    ("error", "status", "told"),
    [
        (KeyboardInterrupt(), 130, "interrupted"),
        (Refusal([Problem("a.yaml", "bad \x1b[2J", "good")]), 2, "a.yaml: bad \\x1b[2J; good"),
        (Refusal([Problem("a.yaml", "one"), Problem("b.yaml", "two")]), 2, "a.yaml: one\nb.yaml: two"),
        (PermissionError(13, "Permission denied", "x\x1by"), 2, "x\\x1by: Permission denied"),
        (RuntimeError("odd"), 2, "a fault in the program itself (RuntimeError: odd)"),
        (RecursionError(), 2, "a fault in the program itself"),
        (MemoryError(), 2, "a fault in the program itself"),
    ],
)
def test_trouble_is_told_in_plain_words(
    form: str,
    error: BaseException,
    status: int,
    told: str,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(check_module, "checked", _raise(error))
    assert main_module.run(["check", "x", "--format", form]) == status
    out, err = capfd.readouterr()
    assert out == ""
    assert told in err
    assert "Traceback" not in err
    assert len(err.splitlines()) <= 2


def test_traceback_only_when_asked_for(monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(check_module, "checked", _raise(RuntimeError("odd")))
    monkeypatch.setenv("COAXWRIGHT_TRACEBACK", "1")
    assert main_module.run(["check", "x"]) == 2
    assert "Traceback" in capfd.readouterr().err


@pytest.mark.parametrize("form", OF_REPORTS_ALONE)
def test_output_file_holds_what_would_be_printed(
    form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(check_module, "checked", lambda *_, **__: made(ERROR))
    assert main_module.run(["check", "x", "--format", form]) == 1
    printed = capfd.readouterr().out
    target = tmp_path / "report"
    target.write_text("old", encoding="utf-8")
    assert main_module.run(["check", "x", "--format", form, "--output", str(target)]) == 2
    assert capfd.readouterr().err == f"{target}: exists already; name a new file, or add --replace\n"
    assert target.read_text(encoding="utf-8") == "old"
    assert main_module.run(["check", "x", "--format", form, "--output", str(target), "--replace"]) == 1
    assert capfd.readouterr().out == ""
    assert target.read_text(encoding="utf-8") == printed


def test_output_that_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(check_module, "checked", lambda *_, **__: made(PASSED))
    assert main_module.run(["check", "x", "--output", str(tmp_path / "no" / "folder")]) == 2
    assert len(capfd.readouterr().err.splitlines()) == 1


def test_a_report_never_replaces_a_site(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    site = tmp_path / "a.site.yaml"
    site.write_text("site: a\n", encoding="utf-8")
    (tmp_path / "link").symlink_to(site)
    for target in (site, tmp_path / "link"):
        assert main_module.run(["check", str(site), "--output", str(target)]) == 2
        assert "is a site file" in capfd.readouterr().err
    assert site.read_text(encoding="utf-8") == "site: a\n"
