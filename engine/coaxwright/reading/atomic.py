"""Writing a file so that at any moment either all of the old text or all of the new is there."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

STALE_SECONDS = 600
"""Age from which a temporary file is taken for one that a killed process left: no write takes so long."""


def write_atomically(path: str | os.PathLike[str], text: str, like: str | os.PathLike[str] | None = None) -> None:
    """Replace the file with this text in UTF-8; see `write_bytes_atomically`."""
    write_bytes_atomically(path, text.encode(), like)


def write_bytes_atomically(
    path: str | os.PathLike[str], data: bytes, like: str | os.PathLike[str] | None = None
) -> None:
    """Replace the file with these bytes; see `writing_atomically`."""
    with writing_atomically(path, like) as stream:
        stream.write(data)


@contextlib.contextmanager
def writing_atomically(
    path: str | os.PathLike[str], like: str | os.PathLike[str] | None = None
) -> Iterator[IO[bytes]]:
    """A stream whose bytes take the place of the file once the block ends well. Links are followed; mode and owner are
    kept, or those of the file `like`.

    Steps: temporary file `.NAME.PID.*.tmp` beside the target, write, flush, fsync, mode, rename, sync.
    On failure the old file is untouched, the temporary file is removed and what failed is raised. Temporary files of this
    target that killed processes left behind are removed.
    """
    target = Path(os.path.realpath(path))
    _sweep(target)
    handle, temporary = _temporary(target)
    try:
        with os.fdopen(handle, "wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
            _keep_mode(stream.fileno(), Path(os.path.realpath(like)) if like else target)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    _sync_folder(target.parent)


@contextlib.contextmanager
def only_writer(path: str | os.PathLike[str]) -> Iterator[None]:
    """Wait until no other process writes a file of this folder under `only_writer`, and keep others waiting.

    Makes no file. Where the system or the file system has no such locks, nothing is waited for.
    """
    try:
        import fcntl

        handle = os.open(Path(os.path.realpath(path)).parent, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _stem(target: Path) -> str:
    """The name, cut so that a 255-byte file name still leaves room for what a temporary name adds."""
    return os.fsencode(target.name)[:200].decode(errors="ignore")


def _temporary(target: Path) -> tuple[int, str]:
    """An open file beside the target."""
    return tempfile.mkstemp(prefix=f".{_stem(target)}.{os.getpid()}.", suffix=".tmp", dir=target.parent)


def _sweep(target: Path) -> None:
    """Remove old temporary files of this target; what cannot be listed or removed stays."""
    start = f".{_stem(target)}."
    with contextlib.suppress(OSError), os.scandir(target.parent) as entries:
        for entry in entries:
            if entry.name.startswith(start) and entry.name.endswith(".tmp") and _is_stale(entry, start):
                os.unlink(entry.path)


def _is_stale(entry: os.DirEntry[str], start: str) -> bool:
    """Whether it is a file named as `_temporary` names them, and has not been written to for long."""
    process, _, rest = entry.name[len(start) : -len(".tmp")].partition(".")
    state = entry.stat(follow_symlinks=False)
    named = process.isdecimal() and rest.replace("_", "").isalnum()
    return named and stat.S_ISREG(state.st_mode) and time.time() - state.st_mtime > STALE_SECONDS


def _keep_mode(handle: int, target: Path) -> None:
    """Mode and owner of the old file; of a new one, what the umask leaves of 0666."""
    try:
        old = target.stat()
    except FileNotFoundError:
        _set_mode(handle, 0o666 & ~_umask())
        return
    if not stat.S_ISREG(old.st_mode):
        raise OSError(f"{target.name} is not a regular file")
    if hasattr(os, "fchown"):
        with contextlib.suppress(PermissionError):
            os.fchown(handle, old.st_uid, old.st_gid)
    _set_mode(handle, stat.S_IMODE(old.st_mode))


def _set_mode(handle: int, mode: int) -> None:
    """Where files have modes by handle; elsewhere the system's own rule holds."""
    if hasattr(os, "fchmod"):
        os.fchmod(handle, mode)


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _sync_folder(folder: Path) -> None:
    """Make the rename outlast a power cut. Where a folder cannot be synced, the file is whole even so."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY | getattr(os, "O_DIRECTORY", 0))
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
