"""Per camera: picture, rates, volts, reach and days, each with what is left before its limit."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.findings import Finding
from coaxwright.reporting.page.margins import gauge
from coaxwright.reporting.page.rows import CameraRow, Measure, camera_rows
from coaxwright.reporting.page.sections.brief import found_briefly
from coaxwright.reporting.page.survey import Survey
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import link, part_name, section, sign, table

_HEADS = ("camera", "picture", "acquired", "recorded", "volts by day", "volts by night", "cable", "days kept", "found")


def cameras(survey: Survey) -> Markup | None:
    """The table of cameras; None where there are none or their facts are not at hand."""
    rows = camera_rows(survey)
    if not rows:
        return None
    made = table(
        f"{count(len(rows), 'camera')}: what each will do, and what is left before a limit",
        _HEADS,
        [_row(survey, row) for row in rows],
        class_="cameras stacked",
        ids=[survey.anchor(row.subject) for row in rows],
    )
    how = (
        "The notch in each bar is the limit. What is left grows to its right, what is short to its left; a full side is"
        " half the limit or more. A picture's bar is the share of it that arrives."
    )
    return section(survey.section("cameras"), "Camera by camera", tag("p", how, class_="quiet long"), made, class_="wide")


def _row(survey: Survey, row: CameraRow) -> list[Child]:
    measures = (row.acquired, row.recorded, row.day, row.night, row.reach, row.days)
    return [_name(row), _picture(row), *map(measured, measures), found(survey, row.findings, row.open)]


def _name(row: CameraRow) -> Markup:
    label = tag("span", row.label, class_="quiet") if row.label else None
    return join([tag("b", row.name), label, part_name(row.part)], " ")


def _picture(row: CameraRow) -> Markup:
    return tag(
        "span",
        tag("b", row.picture), " ", row.outcome, share_kept(row.kept),
        title=row.because or None,
    )  # fmt: skip


def share_kept(kept: float | None) -> Markup:
    """The share of a picture that arrives, as a filled length of the whole and in words."""
    words = "not known" if kept is None else f"{kept * 100:.0f} % kept"
    wide = 0.0 if kept is None else 72.0 * kept
    bar = tag(
        "svg",
        tag("path", class_="whole", d="M.5 2.5h71v5h-71z"),
        tag("path", class_="fill", d=f"M0 2h{wide:.1f}v6h-{wide:.1f}z") if wide else None,
        class_="bar", viewBox="0 0 72 10", aria_hidden="true",
    )  # fmt: skip
    state = "none" if kept is None else "spare" if kept > 0.999 else "close" if kept else "short"
    return tag("span", bar, tag("span", words, class_="left"), class_=f"gauge {state}")


def measured(measure: Measure) -> Markup:
    """One figure with what it is measured against and what is left."""
    against = tag("span", measure.against, class_="quiet") if measure.against else None
    return join([tag("b", measure.value), against, gauge(measure.margin)], " ")


def found(survey: Survey, findings: Sequence[Finding], opened: Sequence[Finding]) -> Markup:
    """Links to the findings of a device, and how many questions are open."""
    items = [
        tag("span", sign(each.level), link(survey.finding(each), each.rule), class_="one") for each in findings
    ]
    if opened:
        words = count(len(opened), "question")
        items.append(tag("span", link(survey.section("open"), f"{words} open"), class_="one"))
    if not items:
        return tag("span", "nothing", class_="quiet level")
    return found_briefly(findings, opened, join(items, " "))
