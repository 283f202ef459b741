"""The table of output formats, and what a format is told besides the report.

To add a format: write a module here with `render(report, setting) -> str` and give it a line in `FORMATS`.
Modules are imported when asked for, so that a command pays only for the format it prints.
"""

from __future__ import annotations

from dataclasses import field
from importlib import import_module
from typing import Literal, Protocol, cast

from coaxwright.findings import Report
from coaxwright.immutable import immutable
from coaxwright.show.painter import Painter

Detail = Literal["grouped", "full", "concise"]

FORMATS: dict[str, str] = {
    "text": "coaxwright.reporting.text",
    "json": "coaxwright.reporting.json_report",
    "sarif": "coaxwright.reporting.sarif",
    "md": "coaxwright.reporting.markdown",
    "html": "coaxwright.reporting.html",
    "annotations": "coaxwright.reporting.annotations",
    "statistics": "coaxwright.reporting.statistics",
    "junit": "coaxwright.reporting.junit",
}


@immutable
class Setting:
    """What a format may need besides the report: how much to say, in what colour, the exit status to come, and how many
    columns the terminal has, None where there is none.
    """

    detail: Detail = "grouped"
    painter: Painter = field(default_factory=Painter)
    exit_status: int = 0
    width: int | None = None


class Format(Protocol):
    """What a format module offers."""

    def render(self, report: Report, setting: Setting) -> str:
        """Return the whole report, ending in a newline; the same text for the same report and setting."""
        ...


def render(name: str, report: Report, setting: Setting) -> str:
    """Return `report` in the format `name`, one of `FORMATS`; KeyError for any other."""
    module = cast(Format, import_module(FORMATS[name]))
    return module.render(report, setting)
