"""What closes the page: open questions, waivers, assumptions, and what the check was made with."""

from __future__ import annotations

import hashlib

from coaxwright.findings import Report
from coaxwright.reporting import ordering
from coaxwright.reporting.page.places import placed
from coaxwright.reporting.page.survey import Survey, device_of
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import facts, mark, section, table


def opened(survey: Survey) -> Markup | None:
    """Every question that stayed open, by what would answer it."""
    groups = ordering.by_missing(ordering.opened(survey.report))
    if not groups:
        return None
    rows = [_question(survey, wanted) for wanted in groups]
    made = table(f"{count(len(groups), 'fact')} to supply", ("supply", "for rules", "of"), rows, class_="open")
    return section(
        survey.section("open"), "Open: what to supply",
        tag("p", mark("open"), " Nothing is passed because it was not known. Supply these, then check again."), made,
    )  # fmt: skip


def _question(survey: Survey, wanted: ordering.Wanted) -> list[Child]:
    """Facts to supply, the rules that wait for them, and the devices that they are about."""
    rules = join([tag("code", rule) for rule in wanted.rules], ", ")
    on = dict.fromkeys(device_of(each) for each in wanted.findings)
    devices = join([placed(survey, each) for each in on], ", ")
    facts_wanted = join([tag("code", each) for each in wanted.facts], ", ")
    return [facts_wanted if wanted.facts else wanted.findings[0].message, rules, devices]


def waived(survey: Survey) -> Markup | None:
    """Findings that someone answers for."""
    found = ordering.waived(survey.report)
    if not found:
        return None
    rows: list[list[Child]] = []
    for each in found:
        if each.waived is not None:
            who = each.waived.by or "not named"
            rows.append(
                [tag("code", each.rule), each.subject, each.message, each.waived.reason, who, each.waived.until or "no end"]
            )
    heads = ("rule", "on", "found", "reason", "by", "until")
    return section(
        survey.section("waived"), "Waived: who answers for what", table(count(len(rows), "waiver"), heads, rows, class_="stacked")
    )


def assumed(survey: Survey) -> Markup | None:
    """Values that stood for what nobody gave."""
    if not survey.report.assumed:
        return None
    rows = [[each.what, each.value, each.source, str(each.count)] for each in survey.report.assumed]
    made = table("Values assumed, since nobody gave them", ("what", "value", "source", "times used"), rows)
    return section(survey.section("assumed"), "Assumed", made)


def colophon(survey: Survey, report: Report) -> Markup:
    """What was checked and with what, so that anyone can check it again."""
    digest = hashlib.sha256(survey.report.text.encode()).hexdigest()[:16]
    rules = count(len(report.rules), "rule")
    pairs: list[tuple[str, Child]] = [
        ("site file", survey.report.file),
        ("its SHA-256 begins", tag("code", digest)),
        ("rules", f"{rules}, {report.rulebook}"),
        ("coaxwright", report.version),
        *([("day, for waivers", report.today)] if report.today else []),
    ]
    words = (
        "This page says what follows from the site file and the parts it names. It does not replace a survey on site, the"
        " makers' instructions, or the review that local codes ask of licensed people."
    )
    return section(survey.section("colophon"), "What this was made with", facts(pairs), tag("p", words))
