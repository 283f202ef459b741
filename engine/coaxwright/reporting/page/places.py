"""Subjects as links to their places on the page."""

from __future__ import annotations

from coaxwright.reporting.page.survey import Survey
from coaxwright.show.markup import Child, Markup, tag
from coaxwright.show.pieces import link


def placed(survey: Survey, subject: str, words: Child = None) -> Markup:
    """A subject as a link to its place on the page, where it has one."""
    shown = subject if words is None else words
    return link(survey.anchor(subject), shown) if subject in survey.shown else tag("span", shown)
