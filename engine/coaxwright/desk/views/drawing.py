"""The drawing of the site and the table that says the same, as on the report page."""

from __future__ import annotations

from coaxwright.desk.views.pieces import survey_of
from coaxwright.reporting.page.sections.drawing import drawing
from coaxwright.show.markup import Markup
from coaxwright.workspace.project import Workspace


def drawn(work: Workspace) -> Markup | None:
    """Every sheet of the drawing; None where there is nothing to draw."""
    survey = survey_of(work)
    return None if survey is None else drawing(survey)
