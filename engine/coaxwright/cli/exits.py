"""The exit statuses, the same for every command and format."""

from __future__ import annotations

from typing import Literal

from coaxwright.findings import LEVELS, Report

CLEAN = 0
FINDINGS = 1
UNCHECKED = 2
STILL_OPEN = 3
INTERRUPTED = 130

FailOn = Literal["error", "warning", "note", "never"]
FAIL_ON: tuple[FailOn, ...] = (*LEVELS, "never")


def check_status(report: Report, fail_on: FailOn, strict: bool) -> int:
    """The status that `report` stands for.

    What could not be read, or a rule that could not be carried out, comes before findings, findings before
    what is open: a program must not take half a check for a whole one.
    """
    if report.unread or not report.sites or any(site.summary.fault for site in report.sites):
        return UNCHECKED
    counting = () if fail_on == "never" else LEVELS[: LEVELS.index(fail_on) + 1]
    if any(getattr(site.summary, level) for site in report.sites for level in counting):
        return FINDINGS
    if strict and any(site.summary.open for site in report.sites):
        return STILL_OPEN
    return CLEAN
