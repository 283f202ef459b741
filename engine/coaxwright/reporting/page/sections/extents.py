"""How far numbers may move before a rule fails, beside other conductors, cables and disks, where it was worked out."""

from __future__ import annotations

from coaxwright.findings import Extent
from coaxwright.reporting.page.charts.extents import extent_picture
from coaxwright.reporting.page.charts.frame import figure
from coaxwright.reporting.page.survey import Survey
from coaxwright.show.markup import Markup, tag
from coaxwright.show.pieces import section

_ABOUT = (
    "Each bar is where the number holds: nothing gets worse there than now, and what hangs on it passes. Each end was "
    "judged, and the step beyond it. All else stays as it is drawn; a bar is no leave to exceed what local codes allow."
)


def extents(survey: Survey) -> Markup | None:
    """A picture for each."""
    found = survey.report.extents
    if not found:
        return None
    drawn = tag("div", [_picture(each) for each in found], class_="pictures")
    return section(survey.section("extents"), "How far it may go", tag("p", _ABOUT, class_="quiet"), drawn)


def _picture(extent: Extent) -> Markup:
    svg, said = extent_picture(extent)
    return figure(svg, said)
