"""Keeps checked rules between runs, so that a run needs neither the parser nor the type check.

A cache is named after a digest of everything it was made from (rules, cases, version, Python, sheets, the
engine's own code) and ignored when it is not of this form. How files are kept: `reading.kept`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from coaxwright.reading.kept import cache_folder, code_state, key_of, read_kept, write_kept
from coaxwright.rulebook.environment import kinds_digest

__all__ = ["cache_folder", "cache_key", "read_cache", "write_cache"]

FORMAT = 1
MAX_KEPT = 8
_CODE = ("rulebook", "facts/sheets", "model")


def cache_key(state: str) -> str:
    """The name of the cache of rules in that state, for this version, this Python and these fact sheets."""
    return key_of((state, str(FORMAT), kinds_digest(), *code_state(_CODE)))


def read_cache(key: str) -> list[dict[str, Any]] | None:
    """The records kept under that key; None where there are none that can be used."""
    kept = read_kept(_place(key))
    whole = isinstance(kept, dict) and kept.get("format") == FORMAT and isinstance(kept.get("records"), list)
    return kept["records"] if whole and all(isinstance(record, dict) for record in kept["records"]) else None


def write_cache(key: str, records: Sequence[Any]) -> None:
    """Keep the records; says nothing where that cannot be done. Of older caches the latest few stay."""
    write_kept(_place(key), {"format": FORMAT, "records": records}, MAX_KEPT)


def _place(key: str) -> Path | None:
    folder = cache_folder()
    return folder and folder / f"{key}.json"
