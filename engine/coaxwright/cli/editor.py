"""`coaxwright editor`: the language server."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from coaxwright.cli.exits import CLEAN
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import rules_option, today_option
from coaxwright.errors import Problem, Refusal


@click.command(cls=Exampled, examples=("coaxwright editor", "coaxwright editor --rules our-rules"))
@today_option
@rules_option
def editor(today: datetime.date | None, extra_rules: tuple[Path, ...]) -> int:
    """Serve an editor on standard input and output by the Language Server Protocol.

    The editor starts it; docs/editor.md tells how for the common ones. Needs the extra `editor`.
    """
    try:
        from coaxwright.editor.server import serve
    except ModuleNotFoundError as error:
        if error.name not in ("pygls", "lsprotocol"):
            raise
        right = "pip install 'coaxwright[editor]'"
        raise Refusal([Problem("coaxwright editor", "needs a library that is not installed (pygls)", right)]) from None
    serve(extra_rules, today)
    return CLEAN
