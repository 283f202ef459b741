"""The report as one self-contained page: no script, nothing loaded, prints on A4 and Letter. Laid out in `page`."""

from __future__ import annotations

from coaxwright.findings import Report
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.page import document


def render(report: Report, setting: Setting) -> str:
    """Return the report as HTML; several sites come one after the other behind an index. Full detail prints in full."""
    return document.document(report, full=setting.detail == "full")


def pages(report: Report, *, full: bool = False) -> dict[str, str]:
    """A page for each site and an `index.html` that leads to them, by file name."""
    return document.folder(report, full=full)
