"""What a view of the page besides the site is: an address of its own, one fragment, and its own acts."""

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
