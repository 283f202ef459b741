"""The report as JSON for programs: ASCII, so that every locale gives the same bytes; keys are only added.

Every site has `summary`, `findings`, `facts` and `assumed`. Findings are in order of place; `fixes` holds
proven changes only, `could_try` the titles of those that nobody has tried. A number without end is null.
"""

from __future__ import annotations

from typing import Any

from coaxwright.errors import Problem
from coaxwright.findings import (
    COUNTS,
    Assumed,
    Before,
    Finding,
    Fix,
    Related,
    Report,
    Since,
    SiteReport,
    Source,
    Summary,
    Worsened,
)
from coaxwright.reporting import ordering
from coaxwright.reporting.formats import Setting
from coaxwright.show.json_text import FORMAT, to_json
from coaxwright.show.plain_data import plain


def render(report: Report, setting: Setting) -> str:
    """Return the report as JSON."""
    return to_json(report_data(report))


def report_data(report: Report) -> dict[str, Any]:
    """The report as JSON data."""
    return {
        "format": FORMAT,
        "tool": {"name": "coaxwright", "version": report.version, "rulebook": report.rulebook},
        "sites": [site_data(site) for site in report.sites],
        "unread": [unread_data(problem) for problem in report.unread],
        **({"today": report.today} if report.today else {}),
    }


def site_data(site: SiteReport, *, facts: bool = True) -> dict[str, Any]:
    """One site as JSON data, with its facts or without: they are worked out only when they are told."""
    data = {
        "site": site.site,
        "file": site.file,
        "summary": _summary(site.summary),
        "findings": [{**finding_data(each), **_news(site.since, each)} for each in ordering.by_place(site.findings)],
        "facts": plain(site.facts) if facts else None,
        "assumed": [_assumed(each) for each in site.assumed],
    }
    if site.contradictions:
        data["contradictions"] = list(site.contradictions)
    if site.not_used:
        data["not_used"] = list(site.not_used)
    if site.since is not None:
        data["since"] = _since(site.since)
    return data if facts else {name: value for name, value in data.items() if name != "facts"}


def _news(since: Since | None, finding: Finding) -> dict[str, str]:
    """Whether a finding is new, worse or known, where it was compared."""
    return {"since": news_of(since, finding)} if since is not None else {}


def news_of(since: Since, finding: Finding) -> str:
    """`new`, `worse` or `known`."""
    return "new" if finding.key in since.new else "worse" if finding.key in since.worse else "known"


def _since(since: Since) -> dict[str, Any]:
    worse = [{**_before(was), "because": why} for was, why in since.worse.values()]
    gone = [{**_before(was), "because": why} for was, why in since.gone]
    return {"against": since.against, "listed": since.listed, "new": len(since.new), "worse": worse, "gone": gone,
            "known": len(since.same)}  # fmt: skip


def _before(was: Before) -> dict[str, Any]:
    return {"rule": was.rule, "subject": was.subject, "level": was.level, "kind": was.kind, "margin": plain(was.margin)}


def _summary(summary: Summary) -> dict[str, int]:
    return {name: getattr(summary, name) for name in (*COUNTS, "judged")}


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as JSON data."""
    span = finding.span
    return {
        "rule": finding.rule,
        "title": finding.title,
        "level": finding.level,
        "kind": finding.kind,
        "subject": finding.subject,
        "pointer": finding.pointer,
        "file": finding.file,
        "line": span.line if span else None,
        "column": span.column if span else None,
        "message": finding.message,
        "why": finding.why,
        "working": list(finding.working),
        "margin": plain(finding.margin),
        "values": plain(finding.values),
        "missing": list(finding.missing),
        "sources": [_source(source) for source in finding.sources],
        "caution": finding.caution,
        "fixes": [fix_data(fix) for fix in finding.fixes if fix.proven],
        "could_try": [fix.title for fix in finding.fixes if not fix.proven],
        "waived": plain(finding.waived),
        "related": [related_data(each) for each in finding.related],
        "cause": finding.cause,
        "confidence": finding.confidence,
    }


def related_data(place: Related) -> dict[str, Any]:
    """One place that a finding has to do with, as JSON data."""
    span = place.span
    return {
        "subject": place.subject,
        "file": place.file,
        "pointer": place.pointer,
        "line": span.line if span else None,
        "column": span.column if span else None,
        "message": place.message,
    }


def _source(source: Source) -> dict[str, str | None]:
    return {"title": source.title, "edition": source.edition, "clause": source.clause, "for": source.basis}


def fix_data(fix: Fix) -> dict[str, Any]:
    """One proven change as JSON data; `patch` is RFC 6902."""
    return {
        "title": fix.title,
        "patch": plain(fix.patch),
        "cost": plain(fix.cost),
        "currency": fix.currency,
        "clears": list(fix.clears),
        "introduces": list(fix.introduces),
        "stays_open": list(fix.stays_open),
        "margin": plain(fix.margin),
        "hides": fix.hides,
        "cleared_because": list(fix.cleared_because),
        "opens": list(fix.opens),
        "worsens": [worsened_data(each) for each in fix.harms if each.how != "needless"],
        "gives_up": list(fix.gives_up),
        "loses": list(fix.loses),
        "up_to": plain(fix.up_to),
        "cautions": [{"of": care.name, "says": care.words} for care in fix.cautions],
    }


def worsened_data(worse: Worsened) -> dict[str, Any]:
    """What gets worse, as JSON data."""
    return {
        "rule": worse.rule,
        "subject": worse.subject,
        "level": worse.level,
        "margin_before": plain(worse.margin_before),
        "margin_after": plain(worse.margin_after),
        "missing": list(worse.missing),
    }


def _assumed(assumed: Assumed) -> dict[str, Any]:
    return {"what": assumed.what, "value": assumed.value, "source": assumed.source, "count": assumed.count}


def unread_data(problem: Problem) -> dict[str, Any]:
    """What could not be read, as JSON data."""
    span = problem.span
    return {
        "file": problem.file,
        "line": span.line if span else None,
        "column": span.column if span else None,
        "what": problem.what,
        "right": problem.right,
    }
