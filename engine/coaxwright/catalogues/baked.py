"""A catalogue made ready in one file, to be searched where no part file can be read: on a page without a server.

The same tables as the index beside part files, and the lines of every entry, so that what is worked out from it, places
and digests included, is what the part files themselves give. It says nothing of where they lay on the disk.
"""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from coaxwright.catalogues.entries import slices_of
from coaxwright.catalogues.index import NAME, Index
from coaxwright.catalogues.records import Records
from coaxwright.errors import Problem
from coaxwright.model.parts import PartFile
from coaxwright.reading.catalogue import PartSource
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import decode, parse_document, read_bytes

_TEXTS = """
create table texts (path text primary key, shown text, sha text, head text, tail text, begin_ integer, end_ integer);
create table lines (path text, id text, first_ integer, said text);
create index by_entry on lines (id);
create table mine (path text primary key);

drop table made;
"""


def baked(files: Sequence[str]) -> bytes:
    """These part files as one catalogue: the bytes of an SQLite database. Raises Refusal for a file that cannot be read."""
    with tempfile.TemporaryDirectory() as folder:
        with Index(files, Path(folder)) as index:
            paths = dict(zip(index.files, _shown(files), strict=True))
        place = Path(folder) / NAME
        store = sqlite3.connect(place)
        try:
            with store:
                store.executescript(_TEXTS)
                for (path, shown), name in zip(paths.items(), files, strict=True):
                    _take(store, path, shown, name)
            store.execute("insert into words (words) values ('optimize')")
            store.commit()
            store.execute("vacuum")
        finally:
            store.close()
        return place.read_bytes()


def _shown(files: Sequence[str]) -> list[str]:
    """Names of files as a page may tell them: no folder of this machine, and each once."""
    names = [name if not Path(name).is_absolute() else Path(name).name for name in files]
    return names if len(set(names)) == len(names) else [f"{place:03}-{name}" for place, name in enumerate(names)]


def _take(store: sqlite3.Connection, path: str, shown: str, name: str) -> None:
    """The lines of one file; its path gives way to its name everywhere."""
    text = decode(read_bytes(path, name), name).removeprefix("\ufeff")
    sha = store.execute("select sha from files where path = ?", (path,)).fetchone()[0]
    slices = slices_of(text)
    if slices is None:
        store.execute("insert into texts values (?, ?, ?, ?, '', -1, -1)", (shown, shown, sha, text))
    else:
        head, tail = "".join(slices.lines[: slices.begin]), "".join(slices.lines[slices.end :])
        store.execute(
            "insert into texts values (?, ?, ?, ?, ?, ?, ?)", (shown, shown, sha, head, tail, slices.begin, slices.end)
        )
        rows = [(shown, each, first, "".join(slices.lines[first:last])) for each, (first, last) in slices.spans.items()]
        store.executemany("insert into lines values (?, ?, ?, ?)", rows)
    store.execute("insert into mine values (?)", (shown,))
    for table in ("parts", "bad", "names", "files"):
        store.execute(f"update {table} set path = ? where path = ?", (shown, path))
    store.execute("update files set state = '' where path = ?", (shown,))


class Baked(Records):
    """A catalogue that was made ready, opened from its file. `with` closes it."""

    def __init__(self, path: Path) -> None:
        """sqlite3.DatabaseError for a file that is none."""
        store = sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False)
        shown = dict(store.execute("select path, shown from texts order by path").fetchall())
        super().__init__(store, shown)
        self._bad: dict[str, tuple[Problem, ...]] | None = None

    def bad(self) -> dict[str, tuple[Problem, ...]]:
        """What is wrong with entries that cannot be used; worked out once, since nothing changes here."""
        if self._bad is None:
            self._bad = super().bad()
        return self._bad

    def sources(self, names: Iterable[str]) -> list[PartSource]:
        """Part files with these entries alone, each at its place."""
        by_file: dict[str, list[str]] = {}
        for name in dict.fromkeys(names):
            for (path,) in self._all("select path from parts where id = ?", name):
                by_file.setdefault(path, []).append(name)
        return [self._source(path, wanted) for path, wanted in sorted(by_file.items())]

    def _source(self, path: str, names: Sequence[str]) -> PartSource:
        shown, sha, head, tail, begin, end = self._one(
            "select shown, sha, head, tail, begin_, end_ from texts where path = ?", path
        )
        text = head
        if begin >= 0:
            kept = ["\n"] * (end - begin)
            for name in names:
                first, said = self._one("select first_, said from lines where id = ? and path = ?", name, path)
                lines = said.splitlines(keepends=True)
                kept[first - begin : first - begin + len(lines)] = lines
            text = "".join((head, *kept, tail))
        document = parse_document(text, shown)
        document.sha256 = sha
        if begin < 0:
            document.value = {**document.value, "parts": {name: document.value["parts"][name] for name in names}}
        return PartSource(shown, document, validated(PartFile, document))
