"""Writing several files as one: a new folder comes into being whole, in one that is there each file is replaced whole."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.atomic import write_bytes_atomically


def write_folder(folder: Path, files: Mapping[str, str | bytes], replace: bool = False) -> None:
    """Write all files, by path below it, text in UTF-8. Refusal for a folder that is not empty, unless `replace`, and for a
    file; other files in it stay as they are.
    """
    if folder.exists() and not folder.is_dir():
        raise Refusal([Problem(str(folder), "is a file", "name a folder")])
    full = folder.is_dir() and next(folder.iterdir(), None) is not None
    if full and not replace:
        raise Refusal([Problem(str(folder), "is a folder that is not empty", "name a new folder, or add --replace")])
    try:
        if full:
            _into(folder, files)
        else:
            _anew(folder, files)
    except OSError as error:
        raise Refusal([Problem(str(folder), f"cannot be written: {error.strerror or error}")]) from error


def _into(folder: Path, files: Mapping[str, str | bytes]) -> None:
    for name, data in files.items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        write_bytes_atomically(target, data.encode() if isinstance(data, str) else data)


def _anew(folder: Path, files: Mapping[str, str | bytes]) -> None:
    """Into a folder beside it, which then takes its name."""
    target = Path(os.path.realpath(folder))
    target.parent.mkdir(parents=True, exist_ok=True)
    made = Path(tempfile.mkdtemp(prefix=f".{target.name[:100]}.", suffix=".tmp", dir=target.parent))
    try:
        _into(made, files)
        mask = os.umask(0o077)
        os.umask(mask)
        made.chmod(0o777 & ~mask)
        os.replace(made, target)
    except BaseException:
        shutil.rmtree(made, ignore_errors=True)
        raise
