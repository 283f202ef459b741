"""The exit statuses, the same for every command and format."""

from __future__ import annotations

from collections.abc import Mapping
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
    names = (*LEVELS, "open", "fault")
    totals = {name: sum(getattr(site.summary, name) for site in report.sites) for name in names}
    return totals_status(totals, not report.unread and bool(report.sites), fail_on, strict)


def totals_status(totals: Mapping[str, int], all_read: bool, fail_on: FailOn, strict: bool) -> int:
    """The status of counts summed over all sites; `all_read` is false where a site, or all, could not be read."""
    if not all_read or totals.get("fault"):
        return UNCHECKED
    counting = () if fail_on == "never" else LEVELS[: LEVELS.index(fail_on) + 1]
    if any(totals.get(level) for level in counting):
        return FINDINGS
    return STILL_OPEN if strict and totals.get("open") else CLEAN
