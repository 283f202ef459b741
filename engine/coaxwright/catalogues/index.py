"""An index of part files, kept beside them: which part stands where, under which names. The files stay the truth.

One SQLite file: `.coaxwright-index.sqlite` in the folder of the catalogue, or one in the user's cache where files are
named by globs or the folder cannot be written (in memory where neither can be). A file is read again when its size or
time changed and its content did too; the whole index is made anew for another version of the program. It holds entries
as plain values in JSON and nothing that is run; a damaged one is thrown away.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sqlite3
from collections.abc import Iterable, Sequence
from pathlib import Path

from coaxwright import pace
from coaxwright.catalogues.entries import FileEntries, read_entries
from coaxwright.catalogues.records import Records, problems_of
from coaxwright.catalogues.stored import stored_source, text_of
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.makers import maker_of
from coaxwright.model.parts import PartFile
from coaxwright.reading.cable_names import plain_name
from coaxwright.reading.catalogue import PartSource
from coaxwright.reading.collector import collector_off
from coaxwright.reading.kept import cache_folder, code_state, key_of
from coaxwright.reading.validation import validated_value
from coaxwright.reading.yaml_source import read_bytes

NAME = ".coaxwright-index.sqlite"
_FORM = "3"
_TABLES = """
create table if not exists made (key text);
create table if not exists files (path text primary key, state text, sha text, problems text, head text);
create table if not exists parts (
  path text, id text, kind text, maker text, title text, price real, currency text, retired integer, since text,
  successor text, entry text
);
create index if not exists by_id on parts (id);
create index if not exists by_maker on parts (maker, kind);
create table if not exists bad (path text, id text, problems text);
create table if not exists names (plain text, id text, name text, path text);
create index if not exists by_name on names (plain);
create virtual table if not exists words using fts5 (said, tokenize = "unicode61 remove_diacritics 2", prefix = '2 3');
"""


class Index(Records):
    """The index of some part files, up to date with them when it is opened. `with` closes it."""

    def __init__(self, files: Sequence[str], folder: Path | None = None) -> None:
        """Of these files; kept in `folder`, else in the user's cache."""
        self.files = [os.path.realpath(name) for name in files]
        super().__init__(_opened(_place(self.files, folder)), dict(zip(self.files, files, strict=True)))
        self._store.execute("create temp table mine_ (path text primary key)")
        self._store.executemany("insert or ignore into mine_ values (?)", [(path,) for path in self.files])
        self._store.execute("create temp view mine as select path from mine_")
        self.refresh()

    def sources(self, names: Iterable[str]) -> list[PartSource]:
        """Part files with these entries alone, each at its place. Raises Refusal where a file changed meanwhile."""
        by_file: dict[str, list[str]] = {}
        for name in dict.fromkeys(names):
            for (path,) in self._all("select path from parts where id = ? and path in mine", name):
                by_file.setdefault(path, []).append(name)
        return [_source(path, self._shown[path], wanted) for path, wanted in sorted(by_file.items())]

    def everything(self) -> list[FileEntries]:
        """What every file holds, in the order of the files, as `read_entries` tells it, without reading their texts."""
        bad: dict[str, dict[str, tuple[Problem, ...]]] = {}
        for path, name, told in self._all("select path, id, problems from bad where path in mine order by rowid"):
            bad.setdefault(path, {})[name] = problems_of(told, self._shown[path])
        known = {row[0]: row[1:] for row in self._all("select path, sha, problems, head from files where path in mine")}
        return [self._held(path, known[path], bad.get(path, {})) for path in dict.fromkeys(self.files)]

    def _held(self, path: str, row: tuple[str, ...], bad: dict[str, tuple[Problem, ...]]) -> FileEntries:
        """What one file holds. Raises Refusal where it cannot be opened or is no text."""
        sha, told, head = row
        shown, own = self._shown[path], problems_of(told, self._shown[path])
        if not sha:
            raise Refusal(own)
        rows = self._all("select id, entry from parts where path = ? order by rowid", path)
        bad = {**({"": own} if own else {}), **bad}
        if not rows:
            return FileEntries(shown, sha, None, bad, None)
        with collector_off():
            parts = dict(zip((row[0] for row in rows), json.loads(f"[{','.join(row[1] for row in rows)}]"), strict=True))
        return FileEntries(shown, sha, stored_source(path, shown, sha, {**json.loads(head), "parts": parts}), bad, None)

    # Keeping it up to date

    def refresh(self) -> bool:
        """Read again what changed; whether anything did."""
        known = {row[0]: row[1:] for row in self._all("select path, state, sha from files")}
        stale = [path for path in self.files if known.get(path, ("",))[0] != _state(path)]
        if stale:
            with self._store:
                for path in pace.counted(stale, "part files"):
                    self._take(path, known.get(path, ("", ""))[1])
        return bool(stale)

    def _take(self, path: str, known: str) -> None:
        """Read one file, unless its content is what is known already."""
        try:
            state, data = _state(path), read_bytes(path, self._shown[path])
            digest = hashlib.sha256(data).hexdigest()
            if digest == known:
                self._store.execute("update files set state = ? where path = ?", (state, path))
                return
            read = read_entries(path, path)
        except Refusal as refusal:
            self._forget(path)
            self._store.execute("insert into files values (?, ?, '', ?, '')", (path, "", _told(refusal.problems)))
            return
        self._forget(path)
        own = read.bad.pop("", ())
        value = {} if read.source is None else read.source.document.value
        head = json.dumps({name: each for name, each in value.items() if name != "parts"}, ensure_ascii=False)
        self._store.execute("insert into files values (?, ?, ?, ?, ?)", (path, state, digest, _told(own), head))
        bad = [(path, name, _told(each)) for name, each in read.bad.items()]
        self._store.executemany("insert into bad values (?, ?, ?)", bad)
        if read.source is not None:
            self._add(path, read.source)

    def _add(self, path: str, source: PartSource) -> None:
        for name, part in source.entries.parts.items():
            entry = source.document.value["parts"][name]
            row = (
                path, name, part.kind, maker_of(name, part), part.title, part.price, part.currency or source.entries.currency,
                part.retired, part.retired_since, part.successor, json.dumps(entry, ensure_ascii=False),
            )  # fmt: skip
            rowid = self._store.execute(f"insert into parts values ({', '.join('?' * len(row))})", row).lastrowid
            others = [name.rpartition("/")[2], name, *part.aliases, *part.articles]
            said = " ".join([*dict.fromkeys(others), part.title or "", maker_of(name, part), part.kind])
            self._store.execute("insert into words (rowid, said) values (?, ?)", (rowid, said))
            plain = {plain_name(each): (plain_name(each), name, each, path) for each in others}
            self._store.executemany("insert into names values (?, ?, ?, ?)", plain.values())

    def _forget(self, path: str) -> None:
        self._store.execute("delete from words where rowid in (select rowid from parts where path = ?)", (path,))
        for table in ("parts", "bad", "names", "files"):
            self._store.execute(f"delete from {table} where path = ?", (path,))


def _source(path: str, shown: str, names: list[str]) -> PartSource:
    """A part file with some of its entries, each at its place. Raises Refusal."""
    document = text_of(path, shown).document(names)
    wanted = {**document.value, "parts": {name: document.value["parts"][name] for name in names}}
    return PartSource(shown, document, validated_value(PartFile, wanted, document))


def _state(path: str) -> str:
    """Size and time of a file; empty where there is none."""
    try:
        state = os.stat(path)
    except OSError:
        return ""
    return f"{state.st_size} {state.st_mtime_ns} {state.st_ino}"


def _told(problems: Iterable[Problem]) -> str:
    return json.dumps([
        [each.what, each.right, None if each.span is None else [each.span.line, each.span.column]] for each in problems
    ])  # fmt: skip


# The file


def _place(files: Sequence[str], folder: Path | None) -> Path | None:
    """Where the index is kept: in the folder of the catalogue, else in the cache, by the folder that holds all the files."""
    if folder is not None and os.access(folder, os.W_OK):
        return folder / NAME
    common = os.path.commonpath([os.path.dirname(name) for name in files]) if files else ""
    cache = cache_folder()
    return None if cache is None else cache / f"parts-{hashlib.sha256(common.encode()).hexdigest()[:16]}.sqlite"


def _opened(place: Path | None) -> sqlite3.Connection:
    """The store, empty where it is new, damaged or of another version; in memory where it cannot be kept."""
    if place is not None:
        for _ in range(2):
            try:
                place.parent.mkdir(parents=True, exist_ok=True)
                return _ready(sqlite3.connect(place, timeout=30, check_same_thread=False))
            except sqlite3.DatabaseError:
                with contextlib.suppress(OSError):
                    place.unlink()
            except OSError:
                break
    return _ready(sqlite3.connect(":memory:", check_same_thread=False))


def _ready(store: sqlite3.Connection) -> sqlite3.Connection:
    """The store with its tables: made anew where another version of the program made them, in whatever form."""
    key = key_of([_FORM, *code_state(("reading", "model", "catalogues"))])
    store.execute("create table if not exists made (key text)")
    if store.execute("select key from made").fetchall() != [(key,)]:
        with store:
            for table in ("made", "files", "parts", "bad", "names", "words"):
                store.execute(f"drop table if exists {table}")
        store.executescript(_TABLES)
        with store:
            store.execute("insert into made values (?)", (key,))
    return store
