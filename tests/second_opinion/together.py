"""Leaving out every value of one word at once, in a site and in its parts: for what is stated twice.

Leaving out one value at a time (`facts.provenance`) cannot see what two values say alike: two ends in another
building that stand on another earth besides. Here a word goes from the whole of both files, then more words with it.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.provenance import _texts
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.topology.wiring import build_topology

DRAWN_WORDS = {"video", "network", "power", "control", "over", "cable", "box", "kind", "parts", "label"}
"""Words of the plan itself: with them it would be another plan, not one of which less is known."""


def words_of(loaded: LoadedSite) -> list[str]:
    """Every word of the site and of its parts that may be left out, is written, and is none of the plan's own."""
    found: dict[str, None] = {}
    for record in (loaded.site, *_parts(loaded).values()):
        for name, value, required in _written(record):
            if not required and name not in DRAWN_WORDS and not _entries(value):
                found[name] = None
    return sorted(found)


def rests_together(loaded: LoadedSite, subject: str, words: list[str], values: Callable[[Facts], Any]) -> bool:
    """Whether `values` of a subject changes, or the subject goes, as more and more words are left out together."""
    base, gone = values(compute_facts(loaded, build_topology(loaded))), set[str]()
    for word in words:
        less = _without_words(loaded, gone | {word})
        try:
            found = compute_facts(less, build_topology(less))
        except (Refusal, KeyError, AttributeError, StopIteration, TypeError, ValueError, IndexError):
            continue
        if not found.of(subject) or values(found) != base:
            return True
        gone.add(word)
    return False


def _parts(loaded: LoadedSite) -> dict[str, BaseModel]:
    """The parts that the site names, built in ones too."""
    catalogue, named = loaded.catalogue, _texts(loaded.site.model_dump(exclude={"parts", "waivers", "rules"}))
    return {full: catalogue.part(full) for full in {catalogue.full_id(name) for name in named if catalogue.has(name)}}


def _entries(value: Any) -> bool:
    return isinstance(value, dict) and any(isinstance(each, BaseModel) for each in value.values())


def _written(value: Any) -> Iterator[tuple[str, Any, bool]]:
    """Word, value and whether it has to be there, of all that stands in a record and below it."""
    if isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            inner, required = getattr(value, name), field.is_required()
            if required or inner != field.get_default(call_default_factory=True):
                yield name, inner, required
                yield from _written(inner)
    elif isinstance(value, dict | tuple):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _written(each)


def _without_words(loaded: LoadedSite, words: set[str]) -> LoadedSite:
    catalogue = copy.copy(loaded.catalogue)
    catalogue.parts = {**catalogue.parts, **{name: _less(part, words) for name, part in _parts(loaded).items()}}
    return replace(loaded, site=_less(loaded.site, words), catalogue=catalogue)


def _less(value: Any, words: set[str]) -> Any:
    """A copy of a value whose records have those words at what stands for nothing written."""
    if isinstance(value, BaseModel):
        fields = type(value).model_fields.items()
        return value.model_copy(update={name: _default(value, name, field, words) for name, field in fields})
    if isinstance(value, dict):
        return {name: _less(each, words) for name, each in value.items()}
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        return tuple(_less(each, words) for each in value)
    return value


def _default(record: BaseModel, name: str, field: Any, words: set[str]) -> Any:
    if name in words and not field.is_required():
        return field.get_default(call_default_factory=True)
    return _less(getattr(record, name), words)
