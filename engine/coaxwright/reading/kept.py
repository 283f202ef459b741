"""Keeps between runs what was made of the program's own files, as plain JSON, so that a run need not make it again.

A file is named after a digest of everything it was made from, written atomically, and ignored when it cannot be read
or written. It holds no code. What it may hold, and whether it fits, is for the caller.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from coaxwright import __version__

_PACKAGE = Path(__file__).resolve().parents[1]


def cache_folder() -> Path | None:
    """Where caches of this user lie: XDG_CACHE_HOME, else ~/.cache; None where neither is to be had."""
    named = os.environ.get("XDG_CACHE_HOME", "")
    if named and Path(named).is_absolute():
        return Path(named) / "coaxwright"
    home = os.environ.get("HOME", "")
    return Path(home) / ".cache" / "coaxwright" if home and Path(home).is_absolute() else None


def key_of(parts: Iterable[str]) -> str:
    """A name for what is made from all this by this version and this Python."""
    return hashlib.sha256("\n".join((__version__, sys.version, *parts)).encode()).hexdigest()


def state_of(path: str | os.PathLike[str]) -> str:
    """What tells a file from any other version of it without reading it; OSError where there is none."""
    state = os.stat(path)
    times = f"{state.st_mtime_ns} {state.st_ctime_ns}"
    return f"{os.path.basename(path)} {state.st_size} {times} {state.st_ino} {state.st_dev}"


def code_state(folders: Iterable[str]) -> Iterator[str]:
    """Name, size and time of every module in folders of the package, for those who work on them."""
    for folder in folders:
        with os.scandir(_PACKAGE / folder) as entries:
            for entry in sorted(entries, key=lambda each: each.name):
                if entry.name.endswith(".py"):
                    state = entry.stat()
                    yield f"{folder}/{entry.name} {state.st_size} {state.st_mtime_ns}"


def read_kept(place: Path | None) -> Any:
    """The data kept there; None where there are none that can be read."""
    if place is None:
        return None
    try:
        return json.loads(place.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None


def write_kept(place: Path | None, data: Any, most: int) -> None:
    """Keep the data; says nothing where that cannot be done. Of its folder the latest `most` files stay."""
    if place is None:
        return
    scratch = place.with_name(f".{place.stem}.{os.getpid()}.tmp")
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        scratch.write_text(json.dumps(data, separators=(",", ":")), encoding="utf-8")
        scratch.replace(place)
        _forget_oldest(place.parent, most)
    except OSError:
        with suppress(OSError):
            scratch.unlink()


def _forget_oldest(folder: Path, most: int) -> None:
    kept = sorted(folder.glob("*.json"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
    for path in kept[most:]:
        path.unlink(missing_ok=True)
