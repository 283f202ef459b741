"""What an act of the page is given, and what it may bring besides its result: parts of the page, a dialog, a file."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping
from dataclasses import field
from typing import Any, NamedTuple, TypeVar

from coaxwright.immutable import immutable
from coaxwright.show.markup import Markup
from coaxwright.workspace.project import Workspace

Request = Mapping[str, Any]
K = TypeVar("K")
V = TypeVar("V")


class Download(NamedTuple):
    """A file to be kept by the browser."""

    name: str
    type: str
    data: bytes


def once(known: dict[K, V], key: K, made: Callable[[], V], most: int) -> V:
    """What is known under a key, else made and kept: of `most` the one that was asked for longest ago goes."""
    if key in known:
        known[key] = known.pop(key)
        return known[key]
    found = made()
    while len(known) >= most:
        del known[next(iter(known))]
    known[key] = found
    return found


class Held:
    """What one page's acts work on. `inside`: the engine runs in the page itself, so that files go to the browser.

    `kept` is for what a view wants to remember between requests, by its own name.
    """

    def __init__(self, work: Workspace, *, inside: bool = False) -> None:
        self.work, self.inside = work, inside
        self.kept: dict[str, Any] = {}


@immutable
class Shown:
    """What an act brings. `parts`: elements of the page by id; `focus`: ids, of which the first that is there gets focus;
    `say`: words for ears before the verdict; `go`: the address to be at; `close`: the dialog has done its work.
    """

    result: Any = None
    parts: Mapping[str, Markup] = field(default_factory=dict)
    dialog: tuple[str, Markup] | None = None
    file: Download | None = None
    notice: Markup | None = None
    say: str = ""
    focus: tuple[str, ...] = ()
    go: str = ""
    close: bool = False

    def data(self) -> dict[str, Any]:
        """As the page reads it; what is not there is left out."""
        file = self.file
        found = {
            "parts": dict(self.parts),
            "dialog": {"title": self.dialog[0], "html": self.dialog[1]} if self.dialog else None,
            "file": {"name": file.name, "type": file.type, "base64": base64.b64encode(file.data).decode()} if file else None,
            "notice": self.notice, "say": self.say, "focus": list(self.focus), "go": self.go, "close": self.close,
        }  # fmt: skip
        return {name: value for name, value in found.items() if value or (name == "notice" and value is not None)}


Act = Callable[[Held, Request], Shown]
