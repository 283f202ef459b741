"""What each camera sees: field of view and picture density by distance."""

from __future__ import annotations

from coaxwright.reporting.page.charts.density import density_picture
from coaxwright.reporting.page.pictures import views_of
from coaxwright.reporting.page.survey import Survey
from coaxwright.show.markup import Markup, tag
from coaxwright.show.pieces import section


def views(survey: Survey) -> Markup | None:
    """Pictures of density, cameras that see alike together; None where no lens is known."""
    seen = views_of(survey)
    if not seen:
        return None
    how = (
        "Classes are those of IEC 62676-4, in the edition that has the class wanted (2014 otherwise). The fan is the field"
        " of view from above; an ideal lens is assumed, and wide lenses see somewhat more at the edges, less finely."
    )
    drawn = [density_picture(view) for view in seen]
    made = tag("div", drawn, class_="views")
    return section(survey.section("views"), "What they see", tag("p", how, class_="quiet"), made, class_="long")
