"""Keeps between runs what was made of the program's own files, as plain JSON, so that a run need not make it again.

A file is named after a digest of everything it was made from and written atomically. It holds no code, and a seal over
what it holds: one that is damaged, cut off, edited, not a regular file, or open to be written by others is not believed;
it is replaced, and named in a `CacheWarning` where that cannot be done. What it may hold, and whether it fits, is for the
caller. A wheel brings the same along for its own files (`shipped`), found by their content, for the first run.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
import sys
import warnings
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

from coaxwright import __version__

_PACKAGE = Path(__file__).resolve().parents[1]
_SHIPPED = _PACKAGE / "_kept"
_MOST_BYTES = 64 * 1024 * 1024
_OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH


class CacheWarning(UserWarning):
    """A kept file cannot be used and cannot be replaced either; every run makes anew what it should hold."""


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


CODE = "code"
"""The shipped file with the digests of folders whose sources were left out for bytecode."""


def code_digest(folders: Iterable[str]) -> str:
    """A digest of every module in folders of the package, by content."""
    stated = _stated()
    return hashlib.sha256("\n".join(stated.get(each) or _digest_of(each) for each in folders).encode()).hexdigest()


def stated_code() -> dict[str, str]:
    """The digest of every folder of the package that holds modules, as `code_digest` takes it where sources are left out."""
    folders = sorted({path.parent.relative_to(_PACKAGE).as_posix() for path in _PACKAGE.rglob("*.py")})
    return {folder: _digest_of(folder) for folder in folders}


@cache
def _stated() -> dict[str, str]:
    data = _read_shipped(_SHIPPED / f"{CODE}.json")
    return {} if data is None else {str(folder): str(digest) for folder, digest in json.loads(data).items()}


def _digest_of(folder: str) -> str:
    state = hashlib.sha256()
    for path in sorted((_PACKAGE / folder).glob("*.py")):
        state.update(f"{folder}/{path.name} ".encode() + hashlib.sha256(path.read_bytes()).digest())
    return state.hexdigest()


def sealed(body: bytes) -> bytes:
    """What is written for this body (JSON): the body with a digest over it."""
    return b'{"seal":"%s","kept":%s}' % (hashlib.sha256(body).hexdigest().encode(), body)


_BEFORE, _BETWEEN, _AFTER = b'{"seal":"', b'","kept":', b"}"
_BODY = len(_BEFORE) + 64 + len(_BETWEEN)


def unsealed(data: bytes) -> bytes | None:
    """The body of what `sealed` gave; None where it is not exactly that."""
    body = data[_BODY:-1]
    return body if sealed(body) == data else None


def read_body(place: Path | None) -> bytes | None:
    """The body of a kept file; None where there is none that can be believed."""
    data = None if place is None else _read_regular(place)
    return None if data is None else unsealed(data)


def _read_regular(place: Path) -> bytes | None:
    """The bytes of a regular file that nobody else may write; opening a pipe waits for no one."""
    try:
        handle = os.open(place, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except OSError:
        return None
    with suppress(OSError), open(handle, "rb") as stream:
        state = os.fstat(handle)
        open_to_others = os.name == "posix" and state.st_mode & _OTHERS_WRITE
        if stat.S_ISREG(state.st_mode) and state.st_size <= _MOST_BYTES and not open_to_others:
            return stream.read()
    return None


def read_kept(place: Path | None) -> object:
    """The data kept there; None where there are none that can be believed."""
    body = read_body(place)
    try:
        return None if body is None else json.loads(body)
    except (ValueError, RecursionError):
        return None


def write_kept(place: Path | None, data: object, most: int) -> None:
    """Keep the data; see `write_body`."""
    if place is not None:
        write_body(place, as_body(data), most)


def as_body(data: object) -> bytes:
    """The data as JSON: the same data give the same bytes."""
    return json.dumps(data, separators=(",", ":")).encode()


def write_body(place: Path | None, body: bytes, most: int) -> None:
    """Keep this body. Of its folder the latest `most` files stay.

    Where nothing can be kept, nothing is said; where something stands in the way that could not be used, `CacheWarning`.
    """
    if place is None:
        return
    scratch = place.with_name(f".{place.stem}.{os.getpid()}.tmp")
    try:
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle = os.open(scratch, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o600)
        with open(handle, "wb") as stream:
            stream.write(sealed(body))
        scratch.replace(place)
    except OSError as error:
        with suppress(OSError):
            scratch.unlink()
        if os.path.lexists(place):
            what = f"{place}: cannot be used and cannot be replaced ({error.strerror or error})"
            warnings.warn(f"{what}; remove it, or `coaxwright rules cache --clear`", CacheWarning, stacklevel=2)
        return
    with suppress(OSError):
        _forget_oldest(place.parent, most)


def _forget_oldest(folder: Path, most: int) -> None:
    kept = sorted(folder.glob("*.json"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
    for path in kept[most:]:
        path.unlink(missing_ok=True)


def shipped(name: str, content: str) -> bytes | None:
    """The body that came with the wheel under that name, made from just that content; None where there is none."""
    data = _read_shipped(_SHIPPED / f"{name}.json")
    body = None if data is None else unsealed(data)
    start = _shipped_start(content)
    return body[len(start) : -1] if body is not None and body.startswith(start) else None


def _read_shipped(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except OSError:
        return None


def to_ship(content: str, body: bytes) -> bytes:
    """What a wheel carries for `shipped` to find."""
    return sealed(_shipped_start(content) + body + b"}")


def _shipped_start(content: str) -> bytes:
    return b'{"made_from":%s,"kept":' % json.dumps(f"{__version__} {content}").encode()


def kept_files() -> list[Path]:
    """Every file that this program keeps between runs."""
    folder = cache_folder()
    if folder is None:
        return []
    return sorted(path for part in (folder, folder / "tables") for path in part.glob("*.json") if not path.is_dir())


def forget_all() -> list[Path]:
    """Remove every kept file, whatever it is; gives back what could not be removed."""
    left = []
    for path in kept_files():
        try:
            path.unlink(missing_ok=True)
        except OSError:
            left.append(path)
    return left
