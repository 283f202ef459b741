"""The report as workflow commands, a line each, that code hosts show beside the lines of a change: `::error file=...::...`.

Text of a site or a rule can neither end a command nor begin one: `%`, line ends and, in properties, `:` and `,` are
written as percent escapes (the form of that command language, from memory).
"""

from __future__ import annotations

import os
from pathlib import Path

from coaxwright.errors import Problem, Span
from coaxwright.findings import Finding, Report
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.formats import Setting
from coaxwright.show.painter import visible

_WORDS = {"error": "error", "warning": "warning", "note": "notice"}


def render(report: Report, setting: Setting) -> str:
    """Return a command for everything that is told, in order of place, then the day as a plain line of the log."""
    lines = [_unread(each) for each in report.unread]
    lines += [_finding(each) for site in report.sites for each in ordering.by_place(site.findings) if not each.waived]
    # No command: a remark of its own beside the changed lines would take the place of a finding where a host shows few.
    lines += [day] if (day := wording.judged_as_of(report).strip()) else []
    return "".join(f"{line}\n" for line in lines)


def _unread(problem: Problem) -> str:
    said = f"Not judged: {problem.what}; {problem.right}" if problem.right else f"Not judged: {problem.what}"
    return _command("error", problem.file, problem.span, "site/unread", said)


def _finding(finding: Finding) -> str:
    if finding.kind == "open":
        said = f"Not judged; supply {wording.supply(finding.missing)}."
        return _command("notice", finding.file, finding.span, finding.rule, said)
    word = "error" if finding.kind == "fault" else _WORDS[finding.level]
    caution = f" Caution: {finding.caution}" if finding.caution else ""
    return _command(word, finding.file, finding.span, finding.rule, f"{finding.subject}: {finding.message}{caution}")


def _command(word: str, file: str, span: Span | None, title: str, said: str) -> str:
    place = [f"file={_property(_relative(file))}"]
    if span is not None and span.line > 0:
        place += [f"line={span.line}", f"col={max(span.column, 1)}"]
    place.append(f"title={_property(title)}")
    return f"::{word} {','.join(place)}::{_escaped(' '.join(said.split()))}"


def _relative(file: str) -> str:
    """The file as code hosts name it: from the current folder, with `/`."""
    path = Path(file)
    return Path(os.path.relpath(path)).as_posix() if path.is_absolute() else path.as_posix()


def _escaped(text: str) -> str:
    return visible(text).replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _escaped(text).replace(":", "%3A").replace(",", "%2C")
