"""What topology and facts need of a site that was read: the model, its parts, and where each value stands.

Not a reader: `reading` makes the objects that fit these protocols.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from coaxwright.errors import Span
from coaxwright.model.site import Site


class Spans(Protocol):
    """Finds the place of a value or key by its document path."""

    def nearest_span(self, path: Sequence[str | int]) -> Span | None:
        """Span of the value at `path`, or of the nearest thing around it that is written."""
        ...


class Parts(Protocol):
    """The catalogue entries that a site may name."""

    def part(self, identifier: str) -> Any:
        """The part of that id (or of `generic/` and that id); KeyError where there is none."""
        ...

    def names_a_size(self, identifier: str) -> bool:
        """Whether this is a name of a generic part that says no more than a size, as `RG-59`."""
        ...


class SiteSource(Protocol):
    """One site as read."""

    @property
    def file(self) -> str:
        """The file's name as messages show it."""
        ...

    @property
    def site(self) -> Site:
        """The site as its model."""
        ...

    @property
    def document(self) -> Spans:
        """Where its values stand."""
        ...

    @property
    def catalogue(self) -> Parts:
        """The parts that it may name."""
        ...
