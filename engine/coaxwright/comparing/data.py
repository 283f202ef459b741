"""A comparison as JSON data: keys are only added, `format` says of which edition they are."""

from __future__ import annotations

from typing import Any

from coaxwright.comparing.judged import LISTS
from coaxwright.comparing.records import Comparison, EntryChange, FindingChange
from coaxwright.findings import SiteReport
from coaxwright.reporting.json_report import finding_data
from coaxwright.show.json_text import FORMAT, to_json
from coaxwright.show.plain_data import plain


def comparison_json(found: Comparison) -> str:
    """The whole comparison as JSON."""
    return to_json(comparison_data(found))


def comparison_data(found: Comparison) -> dict[str, Any]:
    """The whole comparison as JSON data."""
    lists = {name: [_finding(each) for each in getattr(found, name)] for name in LISTS}
    return {
        "format": FORMAT,
        "same": found.same,
        "before": _side(found.before),
        "after": _side(found.after),
        "renamed": plain(found.renamed),
        "parts": {
            "devices": plain(found.devices),
            "quantities": plain(found.quantities),
            "entries": [{**plain_entry(each), "part": each.part, "field": each.field} for each in found.entries],
        },
        "runs": plain(found.runs),
        "settings": plain(found.settings),
        "facts": plain(found.facts),
        "findings": lists,
    }


def plain_entry(change: EntryChange) -> dict[str, Any]:
    """Both sides of a value of a part entry, which may be of any kind, as words where JSON has no form for it."""
    return {name: _plain(getattr(change, name)) for name in ("before", "after")}


def _plain(value: object) -> float | str | None:
    return value if value is None or isinstance(value, bool | int | float | str) else f"{value}"


def _side(report: SiteReport) -> dict[str, Any]:
    return {"site": report.site, "file": report.file, "summary": plain(report.summary)}


def _finding(change: FindingChange) -> dict[str, Any]:
    return {
        "rule": change.one.rule,
        "subject": change.one.subject,
        "because": change.because,
        "before": None if change.before is None else finding_data(change.before),
        "after": None if change.after is None else finding_data(change.after),
    }
