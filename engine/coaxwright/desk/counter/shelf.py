"""The catalogue at the counter: searched as one types, and read only as far as a question needs it.

It is a file that was made ready (a page without a server has one inside), or part files: those that the call named, those
of the user's default catalogue, or those of the opened folder.
"""

from __future__ import annotations

import fnmatch
from collections.abc import Sequence
from pathlib import Path

from coaxwright.catalogues.baked import Baked
from coaxwright.catalogues.finding import search
from coaxwright.catalogues.index import Index
from coaxwright.catalogues.loading import load_all, named
from coaxwright.catalogues.places import below, catalogue_files, default_folder
from coaxwright.catalogues.records import Entry, Records
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.reading.catalogue import Catalogue

CATALOGUE = "catalogue.sqlite"
"""The name of a catalogue made ready; it is laid beside the engine."""
MOST_WHOLE = 1000
"""Parts up to which all are compared with each other within a page; more have to be narrowed by words or patterns."""
MOST_LISTED = 100_000
"""The same of a desk with a server, which reads as many as the command line does."""
MOST_HITS = 12
MOST_COUNTED = 1000
"""So many hits are counted; of more it is said that there are more."""
_KEPT = 8


@immutable
class Hits:
    """What a search found: the first few, and how many there are."""

    entries: tuple[Entry, ...]
    count: int


class Shelf:
    """One catalogue. Raises Refusal, where asked for anything, for files that are named and not there."""

    def __init__(
        self, root: Path, globs: Sequence[str] = (), ready: Path | None = None, most: int = MOST_WHOLE
    ) -> None:
        """`ready` is a catalogue made ready; else `globs`, the default catalogue, or part files below `root`. Up to `most`
        parts are compared with each other.
        """
        self._most = most
        self._root, self._globs, self.ready, self._inside = root, tuple(globs), ready, ready
        self._files: tuple[str, ...] = ()
        self._records: Records | None = None
        self._made: dict[tuple[str, ...], Catalogue] = {}
        self.version = 0

    def close(self) -> None:
        """Let go of the index."""
        if self._records is not None:
            self._records.close()
        self._records = None
        self._forget()

    def _forget(self) -> None:
        """What was worked out from parts that may have changed."""
        self._made.clear()
        self.version += 1

    @property
    def laid_over(self) -> bool:
        """Whether opened files stand in the place of the catalogue that was made ready."""
        return self._inside is not None and self.ready is None

    def over(self, opened: bool) -> None:
        """Take the part files of the folder in place of the catalogue that was made ready, or that again."""
        self.close()
        self.ready = None if opened else self._inside

    @property
    def files(self) -> list[str]:
        """The part files; none where the catalogue was made ready."""
        return [] if self.ready is not None else list(catalogue_files(self._globs) or self._own())

    def _own(self) -> list[str]:
        """Part files of the opened folder: those in a folder called `parts`."""
        return [name for name in below(self._root) if "parts" in Path(name).relative_to(self._root).parts[:-1]]

    def _home(self) -> Path | None:
        """Where the index is kept: with the default catalogue; that of other files is kept in the user's cache."""
        if self._globs or not catalogue_files(()):
            return None
        folder = default_folder()
        return folder if folder.is_dir() else None

    def records(self) -> Records:
        """The index, brought up to date."""
        if self.ready is not None:
            self._records = self._records or Baked(self.ready)
            return self._records
        files = tuple(self.files)
        if self._records is None or files != self._files:
            self.close()
            self._files = files
            self._records = Index(list(files), self._home())
        elif isinstance(self._records, Index) and self._records.refresh():
            self._forget()
        return self._records

    def count(self, kind: str | None = None) -> int:
        """How many parts there are, of a kind."""
        return self.records().count(kind)

    @property
    def small(self) -> bool:
        """Whether all parts can be compared with each other."""
        return self.count() <= self._most

    def find(self, words: str, kind: str, most: int = MOST_HITS) -> Hits:
        """Parts of a kind for the words typed so far; what is called just so first, what is no longer sold last."""
        records = self.records()
        found = [each for each in search(records, words, kind, most) if each.kind == kind]
        return Hits(tuple(found), max(records.count(kind, words, MOST_COUNTED), len(found)))

    def first(self, kind: str, most: int = MOST_HITS) -> Hits:
        """The first few of a kind, before anything is typed."""
        return Hits(tuple(self.records().first(kind, most)), self.count(kind))

    def articles(self, entries: Sequence[Entry]) -> dict[str, str]:
        """Article numbers of entries, by id; only of those that have any."""
        marks = ", ".join("?" * len(entries))
        values = self.records().values(f"id in ({marks})", *(each.id for each in entries)) if entries else {}
        return {name: ", ".join(map(str, value["articles"])) for name, value in values.items() if value.get("articles")}

    def catalogue(self, names: Sequence[str]) -> Catalogue:
        """The catalogue in which these parts stand, with what they are compared with. Raises Refusal."""
        records, key = self.records(), tuple(dict.fromkeys(names))
        if key not in self._made:
            self._made[key] = named(records, key).catalogue
            for old in list(self._made)[:-_KEPT]:
                del self._made[old]
        return self._made[key]

    def whole(self) -> Catalogue:
        """All parts. Raises Refusal where they are too many to be compared with each other."""
        if not self.small:
            what = f"{self.count():,} parts are too many to be compared with each other here"
            raise Refusal([Problem("", what, "narrow them by words")])
        key = ("",)
        if key not in self._made:
            files = self.files
            self._made[key] = load_all(files, self._home()).catalogue if files else self.catalogue(self.records().names())
        return self._made[key]

    def of_lists(self, *lists: tuple[str, str], beside: Sequence[str] = ()) -> Catalogue:
        """The catalogue for lists (text with commas, kind) of ids and patterns: of a large one what they name, and what
        of `beside` it knows. Raises Refusal where that is too much.
        """
        if self.small:
            return self.whole()
        names = [name for text, kind in lists for piece in text.split(",") for name in self._named(piece.strip(), kind)]
        if len(names) > MOST_WHOLE:
            what = f"{len(names):,} parts are too many to be compared with each other here"
            raise Refusal([Problem("", what, "name fewer, or narrow the pattern")])
        records = self.records()
        return self.catalogue([*(each for each in beside if records.has(each) or records.called(each)), *names])

    def _named(self, piece: str, kind: str) -> list[str]:
        """What a piece of a list may name: the ids that a pattern fits, else what stands there."""
        pattern = piece.partition(":")[0]
        if not any(sign in pattern for sign in "*?["):
            return [pattern] if pattern else []
        return [name for name in self.records().names(kind) if fnmatch.fnmatchcase(name, pattern)]

    def among(self, words: str, kind: str, beside: Sequence[str]) -> Catalogue:
        """The parts to compare with: all of a small catalogue, else those of a kind that are found by words."""
        if not words and self.small:
            return self.whole()
        if not words:
            self.whole()  # says that they are too many
        found = self.find(words, kind, MOST_WHOLE)
        if not found.entries:
            raise Refusal([Problem("", f"no {kind} is called that", "try other words")])
        return self.catalogue([*beside, *(each.id for each in found.entries)])

