"""What an index of part files knows, and how it is asked: by id, by other names, by the beginnings of words.

The tables are filled by `index` (of files that may change) or come ready-made (`baked`). Not here: the files.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Self

from coaxwright.errors import Problem, Span
from coaxwright.immutable import immutable
from coaxwright.reading.cable_names import plain_name
from coaxwright.reading.catalogue import PartSource


@immutable
class Entry:
    """One part as the index knows it."""

    id: str
    kind: str
    maker: str
    title: str | None
    price: float | None
    currency: str | None
    retired: bool
    since: str | None
    successor: str | None
    path: str


_RANKED = 2000
"""Entries with the words up to which they are put in order: among more, words tell nothing apart."""


class Records:
    """Entries of part files by what is asked of them. `with` closes it."""

    def __init__(self, store: sqlite3.Connection, shown: Mapping[str, str]) -> None:
        """`shown` is under which name each file is told of."""
        self._store, self._shown = store, shown

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the store."""
        self._store.close()

    def has(self, identifier: str) -> bool:
        """Whether there is a good entry of that id."""
        return self._one("select 1 from parts where id = ? and path in mine", identifier) is not None

    def called(self, name: str) -> list[str]:
        """Ids of parts with that other name or article number, or with that last word of the id, capitals and signs apart."""
        rows = self._all("select distinct id from names where plain = ? and path in mine order by id", plain_name(name))
        return [row[0] for row in rows]

    def entries(self, where: str = "1", *values: object) -> list[Entry]:
        """Entries by a condition of SQL over the columns of `parts`, by id."""
        columns = "id, kind, maker, title, price, currency, retired, since, successor, path"
        rows = self._all(f"select {columns} from parts where path in mine and ({where}) order by id", *values)
        return [_entry(row, self._shown[row[9]]) for row in rows]

    def found(self, words: str, most: int, kind: str | None = None) -> list[Entry]:
        """Entries (of a kind) in which every one of these words begins one of theirs, the most fitting first."""
        asked = _prefixes(words)
        if not asked:
            return []
        where, values = ("", ()) if kind is None else ("and p.kind = ?", (kind,))
        many = self._one("select count(*) from words where words match ?", asked)[0] > _RANKED
        rows = self._all(
            "select p.id from words w join parts p on p.rowid = w.rowid where words match ? and p.path in mine"
            f" {where} order by {'w.rowid' if many else 'bm25(words), p.id'} limit ?", asked, *values, most,
        )  # fmt: skip
        known = {each.id: each for each in self._named([row[0] for row in rows])}
        return [known[row[0]] for row in rows if row[0] in known]

    def first(self, kind: str, most: int) -> list[Entry]:
        """The first entries of a kind by id."""
        rows = self._all("select id from parts where kind = ? and path in mine order by id limit ?", kind, most)
        return self._named([row[0] for row in rows])

    def count(self, kind: str | None = None, words: str = "", most: int = -1) -> int:
        """How many entries there are, of a kind, with these words in them as `found` finds them; counted up to `most`."""
        of_kind, values = ("1", ()) if kind is None else ("p.kind = ?", (kind,))
        asked = _prefixes(words)
        if words.strip() and not asked:
            return 0
        begun = "words w join parts p on p.rowid = w.rowid where words match ? and" if asked else "parts p where"
        query = f"select count(*) from (select 1 from {begun} {of_kind} and p.path in mine limit ?)"
        return int(self._one(query, *((asked,) if asked else ()), *values, most)[0])

    def _named(self, names: Sequence[str]) -> list[Entry]:
        marks = ", ".join("?" * len(names))
        return self.entries(f"id in ({marks})", *names) if names else []

    def names(self, kind: str | None = None) -> list[str]:
        """All ids, or those of one kind."""
        return [each.id for each in (self.entries() if kind is None else self.entries("kind = ?", kind))]

    def other_names(self) -> list[str]:
        """All other names, article numbers and last words of ids."""
        return [row[0] for row in self._all("select distinct name from names where path in mine")]

    def bad(self) -> dict[str, tuple[Problem, ...]]:
        """What is wrong with entries that cannot be used, by id; under the name of the file what is wrong with it."""
        rows = self._all("select id, problems, path from bad where path in mine order by id")
        found = {row[0]: problems_of(row[1], self._shown[row[2]]) for row in rows}
        rows = self._all("select path, problems from files where problems <> '[]' and path in mine order by path")
        found.update({self._shown[row[0]]: problems_of(row[1], self._shown[row[0]]) for row in rows})
        twice = self._all("select id from parts where path in mine group by id having count(*) > 1")
        for (name,) in twice:
            files = [
                self._shown[row[0]] for row in self._all("select path from parts where id = ? and path in mine", name)
            ]
            what = f"the part `{name}` stands in {' and in '.join(files)}, so that it is used from neither"
            found[name] = (Problem(files[0], what, "keep one of the two, or rename one"),)
        return found

    def values(self, where: str, *values: object) -> dict[str, Any]:
        """Entries by a condition as plain values, as their files state them."""
        rows = self._all(f"select id, entry from parts where path in mine and ({where})", *values)
        return {row[0]: json.loads(row[1]) for row in rows}

    def sources(self, names: Iterable[str]) -> list[PartSource]:
        """Part files with these entries alone, each at its place."""
        raise NotImplementedError

    def _all(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        return self._store.execute(query, values).fetchall()

    def _one(self, query: str, *values: object) -> tuple[Any, ...]:
        """The first row; Refusal by whoever asks where there is none."""
        found: tuple[Any, ...] = self._store.execute(query, values).fetchone()
        return found


def _entry(row: Sequence[Any], shown: str) -> Entry:
    name, kind, maker, title, price, currency, retired, since, successor, _ = row
    return Entry(name, kind, maker, title, price, currency, bool(retired), since, successor, shown)


def _prefixes(words: str) -> str:
    """A search of FTS5 for the beginnings of words, which can hold nothing but letters and figures; empty for none."""
    return " ".join(f'"{word}"*' for word in _words(words))


def _words(text: str) -> list[str]:
    """Words of a search as the index splits them."""
    return "".join(sign if sign.isalnum() else " " for sign in text).split()


def problems_of(text: str, file: str) -> tuple[Problem, ...]:
    """Problems as an index keeps them."""
    return tuple(Problem(file, what, right, Span(*span) if span else None) for what, right, span in json.loads(text))
