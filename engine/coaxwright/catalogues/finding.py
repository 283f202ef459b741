"""Search in the catalogue: an id or other name outright, then entries in which all words begin one, then near names."""

from __future__ import annotations

from coaxwright.catalogues.records import Entry, Records
from coaxwright.reading.suggest import did_you_mean


def search(index: Records, words: str, kind: str | None, most: int) -> list[Entry]:
    """Entries for these words: those so called first (of every maker), then the most fitting; what is still sold first."""
    called = list(dict.fromkeys(([words] if index.has(words) else []) + index.called(words)))
    exact = [each for name in called for each in index.entries("id = ?", name)]
    rest = [each for each in index.found(words, most * 4, kind) if each.id not in called]
    found = [each for each in (*exact, *rest) if kind is None or each.kind == kind]
    return sorted(found, key=lambda each: (each.id not in called, each.retired))[:most]


def near(index: Records, words: str, kind: str | None) -> str:
    """`did you mean ...` over ids and other names of every maker; empty where nothing is near."""
    return did_you_mean(words, [*index.names(kind), *index.other_names()])
