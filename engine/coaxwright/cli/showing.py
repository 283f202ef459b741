"""Documents to the user; apart from `output`, so that a command pays for the tree only when it shows one."""

from __future__ import annotations

import sys
from pathlib import Path

from coaxwright.cli.output import deliver
from coaxwright.show.forms import rendered
from coaxwright.show.screen import Screen, screen_of
from coaxwright.show.tree import Document


def show(document: Document, form: str, output: Path | None = None) -> None:
    """Give a document to the user in one of `FORMS`: to `output`, or as wide as standard output is.

    Raises Refusal when it cannot be written.
    """
    deliver(rendered(document, form, screen(output)), output)


def screen(output: Path | None) -> Screen:
    """What a result goes to: the file `output`, or standard output."""
    return screen_of(None if output else sys.stdout)
