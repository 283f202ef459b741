"""The report as SARIF 2.1.0 (OASIS), the open format for results of analysis, for services that collect them.

Outcomes are results of kind `fail` or `open`; what was waived carries a suppression with its reason. Passes
are counted in the run's properties and not listed. A rule that could not be carried out, or a file that could
not be read, is a notification, and the invocation then says that it did not succeed; the file is a result too.
"""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path
from typing import Any
from urllib.parse import quote

from coaxwright.errors import Problem, Span
from coaxwright.findings import COUNTS, Before, Finding, Related, Report, RuleInfo, Since, TextEdit, Waived
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import news_of
from coaxwright.show.json_text import to_json
from coaxwright.show.markdown import escaped
from coaxwright.show.painter import visible
from coaxwright.show.plain_data import plain

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def render(report: Report, setting: Setting) -> str:
    """Return the report as SARIF."""
    return to_json({"$schema": SCHEMA, "version": "2.1.0", "runs": [_run(report, setting)]})


def _run(report: Report, setting: Setting) -> dict[str, Any]:
    order = {rule.id: index for index, rule in enumerate(report.rules)}
    found = [each for site in report.sites for each in ordering.by_place(site.findings)]
    texts = {site.file: site.text for site in report.sites}
    states = {id(each): _state(site.since, each) for site in report.sites for each in site.findings}
    counted = ordering.total(site.summary for site in report.sites)
    return {
        "tool": {"driver": _driver(report)},
        "columnKind": "unicodeCodePoints",
        "newlineSequences": ["\r\n", "\n", "\r"],
        "invocations": [_invocation(report, found, setting.exit_status)],
        "results": [
            *(_unread_result(problem) for problem in report.unread),
            *({**_result(each, order, texts.get(each.file, "")), **states[id(each)]} for each in found if each.kind != "fault"),
            *(_gone(site.file, was, order) for site in report.sites if site.since for was, _ in site.since.gone),
        ],
        "properties": {
            "summary": {name: getattr(counted, name) for name in (*COUNTS, "judged")},
            **({"today": report.today} if report.today else {}),
        },
    }


def _driver(report: Report) -> dict[str, Any]:
    return {
        "name": "coaxwright",
        "version": report.version,
        "semanticVersion": report.version,
        "rules": [_rule(rule) for rule in report.rules],
        "properties": {"rulebook": report.rulebook},
    }


def _rule(rule: RuleInfo) -> dict[str, Any]:
    text = [rule.why.strip(), *(f"Source: {source}" for source in rule.sources)]
    text += [f"Caution: {rule.caution.strip()}"] if rule.caution else []
    return {
        "id": rule.id,
        "shortDescription": {"text": _words(rule.title)},
        "fullDescription": {"text": _words(" ".join(rule.why.split("\n")).strip())},
        "help": {"text": "\n".join(_words(" ".join(line.split("\n"))) for line in text), "markdown": _markdown(rule)},
        "defaultConfiguration": {"level": rule.level},
        "properties": {"tags": [rule.topic]},
    }


def _markdown(rule: RuleInfo) -> str:
    """The same for services that show Markdown; text of a rule can neither format nor link."""
    lines = [f"# {escaped(rule.title)}", "", escaped(" ".join(rule.why.split())), ""]
    lines += [f"- Source: {escaped(str(source))}" for source in rule.sources]
    lines += ["", f"**Caution:** {escaped(' '.join(rule.caution.split()))}"] if rule.caution else []
    return "\n".join(lines).replace("{", "{{").replace("}", "}}")


def _invocation(report: Report, found: list[Finding], status: int) -> dict[str, Any]:
    broken = [_notification(_broken(each), each.file, each.span) for each in found if each.kind == "fault"]
    unread = [_notification(_unread(problem), problem.file, problem.span) for problem in report.unread]
    return {
        "executionSuccessful": status != 2 and not report.unread,
        "exitCode": status,
        "toolExecutionNotifications": [*unread, *broken],
    }


def _broken(finding: Finding) -> str:
    return f"{finding.rule} could not be carried out for {finding.subject}: {finding.message}"


def _unread(problem: Problem) -> str:
    return f"{problem.what}; {problem.right}" if problem.right else problem.what


def _notification(text: str, file: str, span: Span | None) -> dict[str, Any]:
    return {"level": "error", "message": {"text": _words(text)}, "locations": [_physical(file, span)]}


UNREAD = "site/unread"
"""Rule id of a result that says that a site could not be read."""


def _unread_result(problem: Problem) -> dict[str, Any]:
    """Services show results and pass over notifications: a site that was not judged must not look clean there."""
    key = "\0".join((UNREAD, problem.file, problem.what)).encode("utf-8", "backslashreplace")
    return {
        "ruleId": UNREAD,
        "kind": "fail",
        "level": "error",
        "message": {"text": _words(f"Not judged, since it could not be read: {_unread(problem)}")},
        "locations": [_physical(problem.file, problem.span)],
        "partialFingerprints": {"coaxwrightFinding/v1": hashlib.sha256(key).hexdigest()},
    }


def _result(finding: Finding, order: dict[str, int], text: str = "") -> dict[str, Any]:
    is_open = finding.kind == "open"
    result: dict[str, Any] = {
        "ruleId": finding.rule,
        "kind": "open" if is_open else "fail",
        "level": "none"
        if is_open
        else finding.level,  # SARIF 2.1.0, 3.27.10: `none` unless the kind is `fail`
        "message": {"text": _message(finding)},
        "locations": [_location(finding)],
        "partialFingerprints": {"coaxwrightFinding/v1": _fingerprint(finding.key)},
        "properties": _properties(finding),
    }
    if finding.related:
        result["relatedLocations"] = [_related(number, each) for number, each in enumerate(finding.related, 1)]
    changes = [_fix(fix.title, fix.edit, finding.file, text) for fix in finding.fixes if fix.proven and fix.edit]
    if changes:
        result["fixes"] = changes
    if finding.rule in order:
        result["ruleIndex"] = order[finding.rule]
    if finding.waived:
        result["suppressions"] = [_suppression(finding.waived)]
    return result


_STATES = {"new": "new", "worse": "updated", "known": "unchanged"}


def _state(since: Since | None, finding: Finding) -> dict[str, str]:
    """How a result stands to those of before (SARIF 2.1.0, 3.27.24)."""
    return {} if since is None else {"baselineState": _STATES[news_of(since, finding)]}


def _gone(file: str, was: Before, order: dict[str, int]) -> dict[str, Any]:
    """A result of before that is not found any more: it is listed as absent, at the head of the file."""
    level = "none" if was.kind == "open" else was.level
    result: dict[str, Any] = {
        "ruleId": was.rule,
        "kind": "open" if was.kind == "open" else "fail",
        "level": level,
        "baselineState": "absent",
        "message": {"text": "Not found any more."},
        "locations": [{**_physical(file, Span(1, 1)), "logicalLocations": [{"fullyQualifiedName": was.subject}]}],
        "partialFingerprints": {"coaxwrightFinding/v1": _fingerprint((was.rule, was.subject))},
    }
    return {**result, "ruleIndex": order[was.rule]} if was.rule in order else result


def _fix(title: str, edit: TextEdit, file: str, text: str) -> dict[str, Any]:
    """A change that can be applied to the file (SARIF 2.1.0, 3.55 to 3.57)."""
    start, end = _place(text, edit.start), _place(text, edit.end)
    region = {"startLine": start[0], "startColumn": start[1], "endLine": end[0], "endColumn": end[1]}
    replacement = {"deletedRegion": region, "insertedContent": {"text": edit.text}}
    change = {"artifactLocation": {"uri": relative_uri(file)}, "replacements": [replacement]}
    return {"description": {"text": _words(title)}, "artifactChanges": [change]}


def _place(text: str, offset: int) -> tuple[int, int]:
    """Line and column from 1 of a character offset; lines end as `newlineSequences` says."""
    before = re.split("\r\n|\n|\r", text[:offset])
    return len(before), len(before[-1]) + 1


def _message(finding: Finding) -> str:
    if finding.kind == "open":
        return _words(f"Not judged; supply {wording.supply(finding.missing)}.")
    return _words(finding.message)


def _words(text: str) -> str:
    """A message string that shows exactly these words.

    SARIF 2.1.0, from memory: braces are doubled, else they are placeholders (3.11.5); `[text](target)` is a link (3.11.6).
    """
    return visible(text).replace("{", "{{").replace("}", "}}").replace("](", "\\](")


def _properties(finding: Finding) -> dict[str, Any]:
    return {
        "subject": finding.subject,
        "pointer": finding.pointer,
        "margin": plain(finding.margin),
        "values": plain(finding.values),
        "working": list(finding.working),
        "missing": list(finding.missing),
        "cause": finding.cause,
        "confidence": finding.confidence,
        "fixes": [plain(fix) for fix in finding.fixes if fix.proven],
    }


def _suppression(waived: Waived) -> dict[str, Any]:
    """The waiver stands in the site file that is judged, hence `inSource`."""
    entry: dict[str, Any] = {
        "kind": "inSource",
        "status": "accepted",
        "justification": visible(waived.reason),
    }
    extra = {"by": waived.by, "until": waived.until}
    given = {name: value for name, value in extra.items() if value}
    return {**entry, "properties": given} if given else entry


def _fingerprint(key: tuple[str, str]) -> str:
    """Rule and subject, never a line, so that a result is known again after the file was edited."""
    return hashlib.sha256("\0".join(key).encode("utf-8", "backslashreplace")).hexdigest()


def _location(finding: Finding) -> dict[str, Any]:
    place = _physical(finding.file, finding.span)
    return {**place, "logicalLocations": [{"fullyQualifiedName": finding.subject}]}


def _related(number: int, place: Related) -> dict[str, Any]:
    """Another place with its sentence (SARIF 2.1.0, 3.27.22)."""
    where = _physical(place.file, place.span)
    logical = [{"fullyQualifiedName": place.subject}]
    return {"id": number, **where, "logicalLocations": logical, "message": {"text": _words(place.message)}}


def _physical(file: str, span: Span | None) -> dict[str, Any]:
    place: dict[str, Any] = {"artifactLocation": {"uri": relative_uri(file)}}
    if span and span.line > 0:
        place["region"] = _region(span)
    return {"physicalLocation": place}


def _region(span: Span) -> dict[str, int]:
    region = {"startLine": span.line, "startColumn": max(span.column, 1)}
    if span.end_line >= span.line:
        region["endLine"] = span.end_line
        if span.end_column > 0 and (span.end_line > span.line or span.end_column > span.column):
            region["endColumn"] = span.end_column
    return region


def relative_uri(file: str) -> str:
    """`file` as a URI reference relative to the current folder, links resolved, odd bytes percent-encoded."""
    path = Path(file)
    if path.is_absolute():
        path = Path(os.path.relpath(path.resolve(), Path.cwd().resolve()))
    uri = quote(os.fsencode(path.as_posix()), safe="/~")
    return f"./{uri}" if ":" in uri.partition("/")[0] else uri
