"""The forms of a document: `rendered(document, "md")`. Each is imported when it is asked for."""

from __future__ import annotations

from coaxwright.show.screen import Screen
from coaxwright.show.tree import Document

FORMS = ("text", "md", "html", "csv", "json")


def rendered(document: Document, form: str, screen: Screen | None = None) -> str:
    """The document in a form, one of `FORMS`; only text asks what it goes to. ValueError for any other form."""
    if form == "text":
        from coaxwright.show import text

        return text.render(document, screen or Screen())
    if form == "md":
        from coaxwright.show import markdown

        return markdown.render(document)
    if form == "html":
        from coaxwright.show import html

        return html.render(document)
    return _data(document, form)


def _data(document: Document, form: str) -> str:
    if form == "csv":
        from coaxwright.show import csv_form

        return csv_form.render(document)
    if form == "json":
        from coaxwright.show import json_form

        return json_form.render(document)
    raise ValueError(f"`{form}` is none of {', '.join(FORMS)}")
