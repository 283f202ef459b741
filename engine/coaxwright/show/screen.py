"""What a result goes to: how wide it is, whether it takes colour and links. The one place that asks the terminal."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path
from typing import IO
from urllib.parse import quote

from coaxwright.immutable import immutable
from coaxwright.show.painter import ColourChoice, Painter, colour_wanted, visible
from coaxwright.show.tree import Place

PROSE = 100
"""Columns: prose is never wider, however wide the screen."""
NARROWEST = 40
"""Columns: a screen that says it is narrower is taken for so wide."""
_WITHOUT_LINKS = frozenset({"dumb", "linux"})


@immutable
class Screen:
    """`width` in columns, None where nobody knows (a file, a pipe): then what is one line stays one."""

    width: int | None = None
    painter: Painter = field(default_factory=Painter)
    links: bool = False

    @property
    def prose(self) -> int:
        """Columns for paragraphs."""
        return min(self.width or PROSE, PROSE)

    def linked(self, shown: str, place: Place) -> str:
        """Final text as a link to a place (OSC 8), where the terminal follows links."""
        if not self.links:
            return shown
        line = "" if place.line is None else f"#{place.line}"
        address = f"file://{quote(Path(place.file).absolute().as_posix(), errors='replace')}{line}"
        return f"\x1b]8;;{visible(address)}\x1b\\{shown}\x1b]8;;\x1b\\"


def screen_of(
    stream: IO[str] | None, choice: ColourChoice = "auto", environ: Mapping[str, str] = os.environ
) -> Screen:
    """What `stream` is, None being a file.

    Of a terminal, COLUMNS comes before what it says of its width. Links need a terminal that is not known to lack them, and
    colour that is not refused; FORCE_HYPERLINK settles it either way, with 0 for none.
    """
    if stream is None:
        return Screen(painter=Painter(colour_wanted(choice, None, environ)))
    return Screen(_width(stream, environ), Painter(colour_wanted(choice, stream, environ)), _links(stream, choice, environ))


def _width(stream: IO[str], environ: Mapping[str, str]) -> int | None:
    """COLUMNS is about the terminal (POSIX, XBD 8.3): what goes elsewhere must not change with the window it came from."""
    if not stream.isatty():
        return None
    told = environ.get("COLUMNS", "")
    if told.isascii() and told.isdecimal() and 0 < len(told) < 6 and int(told):
        return max(int(told), NARROWEST)
    try:
        return max(os.get_terminal_size(stream.fileno()).columns, NARROWEST)
    except (OSError, ValueError):
        return None


def _links(stream: IO[str], choice: ColourChoice, environ: Mapping[str, str]) -> bool:
    forced = environ.get("FORCE_HYPERLINK", "")
    if choice == "never" or forced == "0":
        return False
    return bool(forced) or (environ.get("TERM", "dumb") not in _WITHOUT_LINKS and stream.isatty())
