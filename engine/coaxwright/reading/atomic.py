"""Writing a file so that at any moment either all of the old text or all of the new is there."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path


def write_atomically(path: str | os.PathLike[str], text: str) -> None:
    """Replace the file with this text in UTF-8; see `write_bytes_atomically`."""
    write_bytes_atomically(path, text.encode())


def write_bytes_atomically(path: str | os.PathLike[str], data: bytes) -> None:
    """Replace the file with these bytes. Links are followed, mode and owner kept.

    Steps: temporary file `.NAME.PID.*.tmp` beside the target, write, flush, fsync, mode, rename, sync.
    On failure the old file is untouched, the temporary file is removed and OSError is raised.
    """
    target = Path(os.path.realpath(path))
    handle, temporary = _temporary(target)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
            _keep_mode(stream.fileno(), target)
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise
    _sync_folder(target.parent)


def _temporary(target: Path) -> tuple[int, str]:
    """An open file beside the target; its name is cut so that a 255-byte file name still works."""
    stem = os.fsencode(target.name)[:200].decode(errors="ignore")
    return tempfile.mkstemp(prefix=f".{stem}.{os.getpid()}.", suffix=".tmp", dir=target.parent)


def _keep_mode(handle: int, target: Path) -> None:
    """Mode and owner of the old file; of a new one, what the umask leaves of 0666."""
    try:
        old = target.stat()
    except FileNotFoundError:
        os.fchmod(handle, 0o666 & ~_umask())
        return
    if not stat.S_ISREG(old.st_mode):
        raise OSError(f"{target.name} is not a regular file")
    with contextlib.suppress(PermissionError):
        os.fchown(handle, old.st_uid, old.st_gid)
    os.fchmod(handle, stat.S_IMODE(old.st_mode))


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _sync_folder(folder: Path) -> None:
    """Make the rename outlast a power cut. Where a folder cannot be synced, the file is whole even so."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
