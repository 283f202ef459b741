"""The report as JUnit XML, which build services read: a suite for each site, a case for each finding.

The elements that readers have in common (testsuites, testsuite, testcase, failure, error, skipped; the form has no
standard body, what is written here is common practice). What fails is a failure with the level as its type; what could
not be judged, a waived finding, and against a baseline one that was known before, are skipped with the reason, never
passed; an unread file or a rule that could not be carried out is an error.
"""

from __future__ import annotations

from xml.etree import ElementTree

from coaxwright.errors import Problem
from coaxwright.findings import Finding, Report, Since
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import news_of
from coaxwright.show.painter import visible


def render(report: Report, setting: Setting) -> str:
    """Return one XML document, sites in the order of the report, findings in order of place."""
    root = ElementTree.Element("testsuites", name="coaxwright check")
    for problem in report.unread:
        suite = _suite(root, problem.file, report.today)
        _case(suite, "site/unread", problem.file, ("error", "unread", _unread(problem)))
    for site in report.sites:
        suite = _suite(root, site.file, report.today)
        for each in ordering.by_place(site.findings):
            _case(suite, each.rule, each.subject, _since(site.since, each) or _outcome(each))
        if not site.findings:
            _case(suite, "site/nothing-found", site.file, None)
    for suite in root:
        _count(suite)
    _count(root)
    ElementTree.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ElementTree.tostring(root, encoding="unicode")}\n'


def _suite(root: ElementTree.Element, file: str, today: str) -> ElementTree.Element:
    """A suite named after its file; the day that was given stands as a property, where readers of the form take it."""
    suite = ElementTree.SubElement(root, "testsuite", name=visible(file))
    if today:
        ElementTree.SubElement(ElementTree.SubElement(suite, "properties"), "property", name="today", value=today)
    return suite


def _case(suite: ElementTree.Element, rule: str, subject: str, outcome: tuple[str, str, str] | None) -> None:
    """A case named after subject and rule: what a finding is known by, so that services follow it from run to run."""
    case = ElementTree.SubElement(suite, "testcase", classname=visible(rule), name=visible(subject))
    if outcome is not None:
        element, kind, said = outcome
        told = ElementTree.SubElement(case, element, type=kind, message=visible(" ".join(said.split())))
        told.text = told.get("message")


def _unread(problem: Problem) -> str:
    place = f"{problem.file}:{problem.span.line}" if problem.span else problem.file
    return f"{place}: not judged: {problem.what}" + (f"; {problem.right}" if problem.right else "")


def _outcome(finding: Finding) -> tuple[str, str, str]:
    place = f"{finding.file}:{finding.span.line}" if finding.span else finding.file
    if finding.waived:
        return "skipped", "waived", f"{place}: waived: {finding.waived.reason}"
    if finding.kind == "open":
        return "skipped", "open", f"{place}: not judged; supply {wording.supply(finding.missing)}."
    caution = f" Caution: {finding.caution}" if finding.caution else ""
    said = f"{place}: {finding.message}{caution}"
    return ("error", "fault", said) if finding.kind == "fault" else ("failure", finding.level, said)


def _since(since: Since | None, finding: Finding) -> tuple[str, str, str] | None:
    """How a finding stands that was known before, or became worse; None for what is told as it is."""
    news = "new" if since is None else news_of(since, finding)
    if since is None or news == "new" or finding.waived or finding.kind == "fault":
        return None
    element, kind, said = _outcome(finding)
    if news == "known":
        return "skipped", "known", f"{said} Known before, in {since.against}."
    return element, kind, f"{said} Worse than in {since.against}: {since.worse[finding.key][1]}."


def _count(element: ElementTree.Element) -> None:
    for name, tag in (("tests", "testcase"), ("failures", "failure"), ("errors", "error"), ("skipped", "skipped")):
        element.set(name, str(sum(1 for _ in element.iter(tag))))
