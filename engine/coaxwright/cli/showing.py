"""Documents to the user; apart from `output`, so that a command pays for the tree only when it shows one."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from coaxwright.cli.output import deliver
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import to_json
from coaxwright.show.painter import ColourChoice
from coaxwright.show.screen import Screen, screen_of
from coaxwright.show.tree import Document, Item, Listing, Words


def show(document: Document, form: str, output: Path | None = None) -> None:
    """Give a document to the user in one of `FORMS`: to `output`, or as wide as standard output is.

    Raises Refusal when it cannot be written.
    """
    deliver(rendered(document, form, screen(output)), output)


def give(form: str, output: Path | None, data: Callable[[], object], document: Callable[[], Document]) -> None:
    """Give an answer to the user: its data as JSON where that is the form, else a document in the form."""
    if form == "json":
        deliver(to_json(data()), output)
    else:
        show(document(), form, output)


def lines(said: Iterable[Item | Words]) -> Listing:
    """Lines that a search tool can read: one each, however long, where nobody knows how wide the screen is."""
    return Listing(tuple(said), "none", whole=True)


def show_lines(said: Iterable[Words], output: Path | None = None) -> None:
    """Give lines to the user."""
    show(Document("", (lines(said),)), "text", output)


def screen(output: Path | None = None, choice: ColourChoice = "auto") -> Screen:
    """What a result goes to: the file `output`, or standard output."""
    return screen_of(None if output else sys.stdout, choice)
