"""Keeps checked rules between runs, as plain JSON, so that a run needs neither the parser nor the type check.

A file is named after a digest of everything it was made from (rules, cases, version, Python, sheets, the
engine's own code), written atomically, and ignored when it cannot be read or written or is not of this form.
It holds no code.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from coaxwright import __version__
from coaxwright.rulebook.environment import kinds_digest

FORMAT = 1
MAX_KEPT = 8
_PACKAGE = Path(__file__).resolve().parents[1]
_CODE = ("rulebook", "facts/sheets", "model")


def cache_folder() -> Path | None:
    """Where caches of this user lie: XDG_CACHE_HOME, else ~/.cache; None where neither is to be had."""
    named = os.environ.get("XDG_CACHE_HOME", "")
    if named and Path(named).is_absolute():
        return Path(named) / "coaxwright"
    home = os.environ.get("HOME", "")
    return Path(home) / ".cache" / "coaxwright" if home and Path(home).is_absolute() else None


def cache_key(state: str) -> str:
    """The name of the cache of rules in that state, for this version, this Python and these fact sheets."""
    parts = (state, __version__, str(FORMAT), sys.version, kinds_digest(), *_code_state())
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def _code_state() -> Iterator[str]:
    """Name, size and time of every module that has a say in what a rule means, for those who work on them."""
    for folder in _CODE:
        with os.scandir(_PACKAGE / folder) as entries:
            for entry in sorted(entries, key=lambda each: each.name):
                if entry.name.endswith(".py"):
                    stat = entry.stat()
                    yield f"{folder}/{entry.name} {stat.st_size} {stat.st_mtime_ns}"


def read_cache(key: str) -> list[dict[str, Any]] | None:
    """The records kept under that key; None where there are none that can be used."""
    folder = cache_folder()
    if folder is None:
        return None
    try:
        kept = json.loads((folder / f"{key}.json").read_bytes())
    except (OSError, ValueError, RecursionError):
        return None
    whole = isinstance(kept, dict) and kept.get("format") == FORMAT and isinstance(kept.get("records"), list)
    return kept["records"] if whole and all(isinstance(record, dict) for record in kept["records"]) else None


def write_cache(key: str, records: Sequence[Any]) -> None:
    """Keep the records; says nothing where that cannot be done. Of older caches the latest few stay."""
    folder = cache_folder()
    if folder is None:
        return
    target, scratch = folder / f"{key}.json", folder / f".{key}.{os.getpid()}.tmp"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        scratch.write_text(
            json.dumps({"format": FORMAT, "records": records}, separators=(",", ":")), encoding="utf-8"
        )
        scratch.replace(target)
        _forget_oldest(folder)
    except OSError:
        with suppress(OSError):
            scratch.unlink()


def _forget_oldest(folder: Path) -> None:
    kept = sorted(folder.glob("*.json"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
    for path in kept[MAX_KEPT:]:
        path.unlink(missing_ok=True)
