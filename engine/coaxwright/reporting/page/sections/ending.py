"""What closes the page: open questions, waivers, assumptions, and what the check was made with."""

from __future__ import annotations

import hashlib

from coaxwright.findings import Report
from coaxwright.reporting import ordering
from coaxwright.reporting.page.places import placed
from coaxwright.reporting.page.sections import brief
from coaxwright.reporting.page.sections.opening import Supply, supplies
from coaxwright.reporting.page.survey import Survey, device_of
from coaxwright.show import figures
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import facts, mark, names, section, table


def opened(survey: Survey) -> Markup | None:
    """Every fact that is missing, once, with all that waits for it."""
    wanted = supplies(ordering.opened(survey.report))
    if not wanted:
        return None
    rows = [_question(survey, each) for each in wanted]
    made = table(f"{count(len(rows), 'fact')} to supply", ("supply", "of", "waits for it"), rows, class_="open")
    return section(
        survey.section("open"), "Open: what to supply",
        tag("p", mark("open"), " Nothing is passed because it was not known. Supply these, then check again."), made,
    )  # fmt: skip


def _question(survey: Survey, wanted: Supply) -> list[Child]:
    """A fact, the entries that lack it, the rules that wait for it and how often."""
    rules = join([tag("code", rule) for rule in dict.fromkeys(each.rule for each in wanted.findings)], ", ")
    of = join([placed(survey, each) for each in wanted.entries if each], ", ")
    waiting = figures.count(len(wanted.findings), "judgement")
    others = [each for each in dict.fromkeys(map(device_of, wanted.findings)) if each not in wanted.entries]
    on = join([" on ", names([placed(survey, each) for each in others])]) if others else None
    return [tag("code", wanted.field) if wanted.exact else wanted.field, of, join([f"{waiting}: ", rules, on])]


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
    made = table("Values assumed, since nobody gave them", ("what", "value", "source", "times used"), rows, class_="assumed")
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
    left_out = tag("p", brief.LEFT_OUT, class_="short")
    return section(survey.section("colophon"), "What this was made with", facts(pairs), tag("p", words), left_out)
