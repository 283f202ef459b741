"""The views of the page besides the site, in the order of the bar, and which of them an address leads to.

What the first verdict does not need is read when a view is opened.
"""

from __future__ import annotations

from collections.abc import Iterable
from importlib import import_module

from coaxwright.desk.answers import Act, Held, Request, Shown
from coaxwright.desk.room import Room
from coaxwright.show.markup import Markup


def _later(name: str, word: str, acts: Iterable[str]) -> Room:
    """A room that is made by the module `NAME_room` here, once it is asked for anything."""

    def made() -> Room:
        room: Room = import_module(f"coaxwright.desk.{name}_room").ROOM
        return room

    def shown(held: Held, rest: str) -> Markup:
        return made().shown(held, rest)

    def act(do: str) -> Act:
        def acted(held: Held, request: Request) -> Shown:
            return made().acts[do](held, request)

        return acted

    return Room(name, word, shown, {do: act(do) for do in acts})


ROOMS: tuple[Room, ...] = (
    _later("counter", "Counter", (
        "counter-find", "counter-look", "counter-list", "counter-table", "counter-replace", "counter-next", "counter-file",
        "counter-site", "counter-open", "counter-back",
    )),
    _later("course", "Course", (
        "course-answer", "course-working", "course-paper", "course-mark", "course-exam", "course-file", "course-case",
        "course-seen",
    )),
)  # fmt: skip
"""In the order of the bar, after the site."""


def room_of(at: str) -> tuple[Room, str] | None:
    """The room at an address (`/counter/matrix`) and the rest of it; None for the site and for whatever is no address."""
    name, _, rest = at.strip("/").partition("/")
    found = next((each for each in ROOMS if each.name == name), None)
    return None if found is None else (found, rest)
