"""The frame of a page of its own: nothing is loaded, and what it may style or run is named by digest."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.resources import files

from coaxwright.show import markup
from coaxwright.show.markup import Child, Markup, tag
from coaxwright.show.painter import visible
from coaxwright.show.tree import softened


@cache
def stylesheet(name: str) -> str:
    """A stylesheet of this room: `style.css` for every page, `document.css` for pages made of a tree."""
    return files("coaxwright.show").joinpath(name).read_text(encoding="utf-8")


def finished(title: str, body: Iterable[Child], *, css: str = "", script: str = "", common: bool = True) -> str:
    """The whole page. `css` comes after the style of every page, if it has that; `script` is code of the program."""
    sheets = [*([stylesheet("style.css")] if common else []), *([css] if css else [])]
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=_policy(sheets, script)),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark") if common else None,
        tag("title", title),
        [markup.stylesheet(sheet) for sheet in sheets],
    )
    return markup.page(head, tag("body", body, markup.script(script) if script else None))


def _policy(sheets: Sequence[str], script: str) -> str:
    """Nothing may be loaded, sent or run but what stands here by its digest."""
    run = f" script-src {_digest(script)};" if script else ""
    return f"default-src 'none'; style-src {' '.join(map(_digest, sheets))};{run} base-uri 'none'; form-action 'none'"


def _digest(code: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(code.encode()).digest()).decode()}'"


def foot(words: str) -> str:
    """Style that prints words and the number of the page at the foot of each; every sign but letters is escaped."""
    said = "".join(each if each.isascii() and each.isalnum() else f"\\{ord(each):06x}" for each in visible(softened(words)))
    return f'@page{{@bottom-left{{content:"{said}"}}}}\n'


def frame(title: str, *content: Child, paper: str = "") -> Markup:
    """A heading over the main part of a page that is one document; `paper` is for whom it is printed."""
    kind = f"document paper {paper}" if paper else "document"
    return tag("div", tag("header", tag("h1", tag("b", title))), tag("main", content), class_=kind)
