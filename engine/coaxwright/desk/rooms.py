"""The views of the page besides the site: each has an address of its own, makes one fragment, and answers its own acts."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from coaxwright.desk.answers import Act, Held
from coaxwright.immutable import immutable
from coaxwright.show.markup import Markup


@immutable
class Room:
    """One view. `#/NAME/REST` leads to it; `shown` makes it from REST; `acts` are what its buttons and fields ask."""

    name: str
    word: str
    shown: Callable[[Held, str], Markup]
    acts: Mapping[str, Act]


ROOMS: tuple[Room, ...] = ()
"""In the order of the bar, after the site."""


def room_of(at: str) -> tuple[Room, str] | None:
    """The room at an address (`/counter/matrix`) and the rest of it; None for the site and for whatever is no address."""
    name, _, rest = at.strip("/").partition("/")
    found = next((each for each in ROOMS if each.name == name), None)
    return None if found is None else (found, rest)
