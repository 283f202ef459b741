"""Keeps checked rules between runs, so that a run needs neither the parser nor the type check.

A cache is named after a digest of everything it was made from (rules, cases, version, Python, sheets, the
engine's own code) and ignored when it is not of this form. How files are kept: `reading.kept`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from coaxwright.reading.kept import cache_folder, code_state, key_of, read_kept, write_kept
from coaxwright.rulebook.environment import kinds_digest

__all__ = ["Kept", "cache_folder", "cache_key", "read_cache", "write_cache"]

FORMAT = 2
_TOLD = ("says", "working", "fixes", "cases")
"""Parts of a record that only a rule with something to tell needs: kept as text inside, read when asked for."""
MAX_KEPT = 8
_CODE = ("rulebook", "facts/sheets", "model")


class Kept(NamedTuple):
    """What is kept: the records of all rules, and the digest of the files they were made from."""

    records: Sequence[dict[str, Any]]
    digest: str


def cache_key(state: str) -> str:
    """The name of the cache of rules in that state, for this version, this Python and these fact sheets."""
    return key_of((state, str(FORMAT), kinds_digest(), *code_state(_CODE)))


def read_cache(key: str) -> Kept | None:
    """What is kept under that key; None where there is nothing that can be used."""
    kept = read_kept(_place(key))
    if not isinstance(kept, dict) or kept.get("format") != FORMAT or not isinstance(kept.get("digest"), str):
        return None
    records = kept.get("records")
    if not isinstance(records, list) or not all(isinstance(record, dict) for record in records):
        return None
    return Kept(records, kept["digest"])


def write_cache(key: str, kept: Kept) -> None:
    """Keep the rules; says nothing where that cannot be done. Of older caches the latest few stay."""
    records = [_packed(record) for record in kept.records]
    write_kept(_place(key), {"format": FORMAT, "digest": kept.digest, "records": records}, MAX_KEPT)


def _packed(record: Mapping[str, Any]) -> dict[str, Any]:
    early = {name: value for name, value in record.items() if name not in _TOLD}
    return {**early, "told": json.dumps({name: record[name] for name in _TOLD}, separators=(",", ":"))}


def told_of(record: Mapping[str, Any]) -> Mapping[str, Any]:
    """The sentences, workings, fixes and cases of a record, as made or as kept."""
    return json.loads(record["told"]) if "told" in record else record


def _place(key: str) -> Path | None:
    folder = cache_folder()
    return folder and folder / f"{key}.json"
