"""What was found before: kept in a file, read from one, and set against what is found now.

A finding is known again by its rule and its subject, never by its line. A subject with another name is another subject:
nothing is guessed. What a file was compared with is told in its report (`findings.Since`).
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.findings import COUNTS, LEVELS, Before, Finding, NewsSummary, Report, Since, SiteReport, Summary
from coaxwright.reading.json_text import json_value
from coaxwright.show.json_text import FORMAT, to_json

LESS_ROOM = 1e-6
"""A margin is worse where it falls by more."""
_RIGHT = "name a file of `check --write-baseline`, or a report of `check --format json` or jsonl"
Key = tuple[str, str]
Known = dict[str, dict[Key, Before]]
"""Of each site, by the absolute path of its file, what was found."""


def known_of(report: Report) -> Known:
    """What a report holds."""
    return {_place(site.file): {each.key: _before(each) for each in site.findings} for site in report.sites}


def _before(finding: Finding) -> Before:
    waived = finding.waived is not None
    return Before(finding.rule, finding.subject, finding.level, finding.kind, finding.margin, waived)


def _place(file: str, folder: str | os.PathLike[str] = "") -> str:
    return os.path.abspath(os.path.join(folder, file))


def baseline_text(report: Report, folder: Path) -> str:
    """A report as a baseline to be kept in `folder`: files are named as from there, so that both can be moved together."""
    sites = {_named(site.file, folder): [_row(_before(each)) for each in _in_order(site.findings)] for site in report.sites}
    return to_json({
        "format": FORMAT, "baseline": dict(sorted(sites.items())), "rulebook": report.rulebook, "today": report.today,
    })  # fmt: skip


def _in_order(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda each: each.key)


def _named(file: str, folder: Path) -> str:
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:
        return Path(os.path.abspath(file)).as_posix()


def _row(was: Before) -> dict[str, Any]:
    row = {"rule": was.rule, "subject": was.subject, "level": was.level, "kind": was.kind, "margin": was.margin}
    return {**row, "waived": True} if was.waived else row


def read_known(path: Path) -> Known:
    """What a baseline, a report in JSON or lines of JSON hold. Raises Refusal for anything else.

    Files of a baseline are looked for from its own folder, those of a report from the current one.
    """
    text = _text(path)
    first = text.lstrip()[:1]
    if first == "{" and "\n" in text.strip() and _is_one_line(text):
        values = [json_value(line, str(path), _RIGHT) for line in text.splitlines() if line.strip()]
    else:
        values = [json_value(text, str(path), _RIGHT)]
    found: Known = {}
    for value in values:
        found.update(_sites_of(value, path))
    return found


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise Refusal([Problem(str(path), "there is no such file", _RIGHT)]) from None
    except (OSError, UnicodeDecodeError) as error:
        said = error.strerror if isinstance(error, OSError) else "it is not UTF-8"
        raise Refusal([Problem(str(path), f"cannot be read: {said}", _RIGHT)]) from None


def _is_one_line(text: str) -> bool:
    """Whether the first line is a whole value by itself, as in lines of JSON."""
    first = text.strip().partition("\n")[0].rstrip()
    return first.endswith("}") and first != "{"


def _sites_of(value: Mapping[str, Any], path: Path) -> Iterator[tuple[str, dict[Key, Before]]]:
    """The sites of one value: a baseline, a report, or a line. What could not be read then is not in it."""
    try:
        if "baseline" in value:
            sites = [(_place(name, path.parent), rows) for name, rows in value["baseline"].items()]
        else:
            listed = value.get("sites", [] if "unread" in value else [value])
            sites = [(_place(each["file"]), each["findings"]) for each in listed]
        yield from [(place, rows_by_key(rows)) for place, rows in sites]
    except (KeyError, TypeError, AttributeError, ValueError):
        raise Refusal([Problem(str(path), "this is no report of findings", _RIGHT)]) from None


def rows_by_key(rows: Iterable[Mapping[str, Any]]) -> dict[Key, Before]:
    """Findings of a report or a baseline. Raises KeyError, TypeError or ValueError for what is none."""
    return {(row["rule"], row["subject"]): _of_row(row) for row in rows}


def place_of(file: str) -> str:
    """What a site is known by."""
    return _place(file)


def _of_row(row: Mapping[str, Any]) -> Before:
    if row["level"] not in LEVELS or row["kind"] not in ("fail", "open", "fault"):
        raise ValueError(row["level"])
    margin = row.get("margin")
    return Before(
        str(row["rule"]), str(row["subject"]), row["level"], row["kind"], None if margin is None else float(margin),
        bool(row.get("waived")),
    )  # fmt: skip


def compared(report: Report, known: Known, against: str) -> Report:
    """The report with what is new, worse and gone in each site."""
    return replace(report, sites=tuple(_compared(site, known.get(_place(site.file)), against) for site in report.sites))


def _compared(site: SiteReport, known: dict[Key, Before] | None, against: str) -> SiteReport:
    before, now = known or {}, {each.key: each for each in site.findings}
    both = {key: (before[key], why_worse(before[key], _before(each))) for key, each in now.items() if key in before}
    worse = {key: found for key, found in both.items() if found[1]}
    gone = tuple((was, _why_gone(was, site)) for key, was in before.items() if key not in now)
    new = frozenset(now.keys() - before.keys())
    return replace(site, since=Since(against, known is not None, new, worse, gone, frozenset(now.keys() - new - worse.keys())))


def why_worse(was: Before, now: Before) -> str:
    """Why a finding is worse than it was; nothing where it is not."""
    if now.waived:
        return ""
    if was.waived:
        return "nobody answers for it any more"
    if was.kind != now.kind:
        return {"fail": "it was open and fails", "open": "nobody can judge it any more"}.get(now.kind, "it cannot be carried out")
    if LEVELS.index(now.level) < LEVELS.index(was.level):
        return f"{was.level} -> {now.level}"
    if was.margin is None or now.margin is None or was.margin - now.margin <= LESS_ROOM:
        return ""
    return f"margin {_percent(was.margin)} -> {_percent(now.margin)}"


def _percent(share: float) -> str:
    return f"{100 * share:.4g} %"


def _why_gone(was: Before, site: SiteReport) -> str:
    known = not was.subject.startswith(_WITH_ENTRIES) or was.subject in site.facts
    return "" if known else "its subject is gone"


_WITH_ENTRIES = ("cameras/", "recorders/", "supplies/", "boxes/", "junctions/", "switches/", "monitors/", "ups/")


def news_only(report: Report) -> Report:
    """The report with what is new or worse alone; the rest is counted as `known`. Faults and waivers stay."""
    return replace(report, sites=tuple(map(_news_only, report.sites)))


def _news_only(site: SiteReport) -> SiteReport:
    if site.since is None:
        return site
    known = [each for each in site.findings if each.key in site.since.same and each.kind != "fault" and each.waived is None]
    dropped = {id(each) for each in known}
    kept = tuple(each for each in site.findings if id(each) not in dropped)
    return replace(site, findings=kept, summary=_without(site.summary, known))


def _without(summary: Summary, known: Iterable[Finding]) -> NewsSummary:
    """The counts without those findings, which are counted as known."""
    left = {name: getattr(summary, name) for name in COUNTS}
    count = 0
    for each in known:
        left["open" if each.kind == "open" else each.level] -= 1
        count += 1
    return NewsSummary(**left, known=count)
