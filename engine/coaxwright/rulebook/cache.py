"""Keeps checked rules between runs, so that a run needs neither the parser nor the type check.

A cache is named after a digest of everything it was made from (rules, cases, version, Python, sheets, the engine's own
code) and made anew when it is not what this program wrote. How files are kept: `reading.kept`. The digest that a report
prints is worked out over the bytes of the very records that judge, whether they were just made, kept, or came with the
wheel; it is never read from anywhere.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from coaxwright.facts.sheets.kinds import kinds_digest
from coaxwright.reading import kept
from coaxwright.reading.kept import as_body, cache_folder, code_digest, code_state, key_of

__all__ = ["Kept", "as_kept", "cache_folder", "cache_key", "content_key", "read_cache", "shipped_cache", "write_cache"]

FORMAT = 5
SHIPPED = "rules"
_TOLD = ("says", "working", "fixes", "fix_guards", "related", "causes")
"""Parts of a record that only a rule with something to tell needs: kept as text inside, read when asked for."""
_NEEDED = frozenset({"rule", "file", "limits", "when", "require", "margin", "told"})
_OF_FACTS = frozenset({"kind", "type", "says", "step", "file", "line", "cases", "row", "limits"})
MAX_KEPT = 8
_CODE = ("language", "rulebook", "facts/sheets", "facts/declared", "model")


class Kept(NamedTuple):
    """What is kept: the records of all rules, the digest over them (their cases apart), and the bytes of it all.

    `own` are the records of facts that users add; the digest is over these too, where there are any.
    """

    records: Sequence[dict[str, Any]]
    digest: str
    body: bytes
    own: Sequence[dict[str, Any]] = ()


def cache_key(state: str) -> str:
    """The name of the cache of rules in that state, for this version, this Python and these fact sheets."""
    return key_of((state, str(FORMAT), kinds_digest(), *code_state(_CODE)))


def content_key(files: Iterable[tuple[str, bytes]]) -> str:
    """What the records of these files (name, bytes) are made from, by content alone: the same on every machine."""
    state = hashlib.sha256(f"{FORMAT} {kinds_digest()} {code_digest(_CODE)}".encode())
    for name, data in files:
        state.update(f" {len(name)}:{name}{len(data)}:".encode() + data)
    return state.hexdigest()


def read_cache(key: str) -> Kept | None:
    """What is kept under that key; None where there is nothing that can be used."""
    return _read(kept.read_body(_place(key)))


def shipped_cache(key: str) -> Kept | None:
    """What came with the wheel for rules of that content; None where there is nothing."""
    return _read(kept.shipped(SHIPPED, key))


def write_cache(key: str, made: Kept) -> None:
    """Keep the rules; see `reading.kept.write_body`. Of older caches the latest few stay."""
    kept.write_body(_place(key), made.body, MAX_KEPT)


_START = b'{"format":%d,"length":%10d,"records":'


def as_kept(records: Iterable[Mapping[str, Any]], own: Sequence[Mapping[str, Any]] = ()) -> Kept:
    """Records just made, in the form in which they are kept and judge."""
    records = list(records)
    cases = [[record["cases_count"], json.dumps(record["cases"], separators=(",", ":"))] for record in records]
    written = as_body([_packed(record) for record in records])
    facts = b',"facts":' + as_body(list(own)) if own else b""
    body = _START % (FORMAT, len(written)) + written + b',"cases":' + as_body(cases) + facts + b"}"
    made = _read(body)
    assert made is not None, "what was just written can be read"
    return made


@lru_cache(maxsize=2)
def _read(body: bytes | None) -> Kept | None:
    """A body taken apart; None where it is not of this form. The same bytes are not taken apart twice in a row."""
    if body is None:
        return None
    start = len(_START % (FORMAT, 0))
    try:
        length = int(body[start - 21 : start - 11])
        written, rest = body[start : start + length], body[start + length :]
        if body[:start] != _START % (FORMAT, length) or not rest.startswith(b',"cases":'):
            return None
        records, beside = json.loads(written), json.loads(b"{" + rest[1:])
        own = beside.get("facts", [])
        if not _fits(records) or not _fits(own, _OF_FACTS):
            return None
        for record, (count, text) in zip(records, beside["cases"], strict=True):
            record["cases_count"], record["cases"] = int(count), str(text)
    except (TypeError, ValueError, KeyError, RecursionError):
        return None
    judging = written + as_body(own) if own else written
    return Kept(records, f"sha256:{hashlib.sha256(judging).hexdigest()}", body, own)


def _fits(records: object, needed: frozenset[str] = _NEEDED) -> bool:
    return isinstance(records, list) and all(isinstance(each, dict) and each.keys() >= needed for each in records)


def _packed(record: Mapping[str, Any]) -> dict[str, Any]:
    early = {name: value for name, value in record.items() if name not in (*_TOLD, "cases", "cases_count")}
    return {**early, "told": json.dumps({name: record[name] for name in _TOLD}, separators=(",", ":"))}


def told_of(record: Mapping[str, Any]) -> Mapping[str, Any]:
    """The sentences, workings and fixes of a record, as made or as kept."""
    return json.loads(record["told"]) if "told" in record else record


def cases_of(record: Mapping[str, Any]) -> Sequence[Mapping[str, str]]:
    """The names and reasons of the cases of a record, as made or as kept."""
    cases: Any = record["cases"]
    made: Sequence[Mapping[str, str]] = json.loads(cases) if isinstance(cases, str) else cases
    return made


def _place(key: str) -> Path | None:
    folder = cache_folder()
    return folder and folder / f"{key}.json"
