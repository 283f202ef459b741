"""What goes dark if one part fails: the parts that take most cameras, each with what is lost."""

from __future__ import annotations

from coaxwright.reporting import failing as told
from coaxwright.reporting.page.survey import Survey
from coaxwright.show.markup import Child, Markup, tag
from coaxwright.show.pieces import section, table


def failing(survey: Survey) -> Markup | None:
    """The table of single parts with which cameras go dark."""
    found = told.table_of(survey.report)
    if found is None:
        return None
    rows: list[list[Child]] = [[row.words, row.lost, str(row.cameras)] for row in found.rows]
    made = table("Most cameras first", ("part", "what is lost", "cameras"), rows, class_="stacked")
    more = tag("p", f"{found.more[0].upper()}{found.more[1:]}.") if found.more else None
    return section(survey.section("failing"), "If one thing fails", tag("p", told.ABOUT, class_="quiet"), made, more)
