"""The files of the page: its frame, its script, its stylesheet (with the drawing's own rules from the report), an icon."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from coaxwright.show.page import stylesheet

_FILES = {"/": "desk.html", "/desk.js": "desk.js", "/host.js": "host.js", "/icon.svg": "icon.svg"}


@cache
def asset(path: str) -> bytes:
    """What stands at an address of `guard.PAGES`; and `/host.js`, which only the single file has."""
    if path == "/desk.css":
        return f"{_text('desk.css')}\n{drawing_rules()}".encode()
    return _text(_FILES[path]).encode()


def _text(name: str) -> str:
    return files("coaxwright.desk.page").joinpath(name).read_text(encoding="utf-8")


def drawing_rules() -> str:
    """The rules of the report's stylesheet that are about the drawing and the gauges; one rule stands on one line."""
    css = stylesheet("style.css")
    screen = css.partition("@page")[0]
    return "\n".join(line for line in screen.split("\n") if line.startswith((".plan", ".chart")))
