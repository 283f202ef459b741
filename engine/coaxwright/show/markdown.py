"""Markdown that shows exactly the characters of its text."""

from __future__ import annotations

import re

from coaxwright.show.painter import visible

# What CommonMark and common extensions read as more than itself: anywhere, at the start of a line, in links.
_ANYWHERE = re.compile(r"[\\`*_\[\]<>|~&$#@]")
_AT_START = re.compile(r"^(\d{0,9})([-+=.):])")
_IN_LINKS = re.compile(r"(?<=\w)(?=://)|(?<=www)(?=\.)", re.IGNORECASE)


def escaped(text: str) -> str:
    """`text` on one line such that Markdown shows exactly its characters."""
    shown = visible(" ".join(text.split("\n")).strip())
    return _IN_LINKS.sub(r"\\", _AT_START.sub(r"\1\\\2", _ANYWHERE.sub(r"\\\g<0>", shown)))
