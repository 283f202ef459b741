"""Errors in part files, told by every command that rests an answer on those parts: once each, on standard error."""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.cli.handed import Catalogue, LoadedSite
from coaxwright.cli.output import complain

MOST = 20
"""Lines told; `coaxwright parts check` tells all."""


def tell_contradictions(catalogue: Catalogue, names: Iterable[str]) -> None:
    """Say what contradicts itself in the entries of these parts, in the words and at the places of `parts check`."""
    from coaxwright.facts.contradictions import contradictions_of

    tell_once(contradictions_of(catalogue, names))


def tell_of_site(loaded: LoadedSite) -> None:
    """The same of all parts that a site uses."""
    from coaxwright.checking import contradictions_in

    tell_once(contradictions_in(loaded))


def tell_once(lines: Iterable[str]) -> None:
    """Say these lines, each once however many sites they come from."""
    told = list(dict.fromkeys(lines))
    for each in told[:MOST]:
        complain(each)
    if len(told) > MOST:
        complain(f"and {len(told) - MOST} more of these: `coaxwright parts check` tells them all")
