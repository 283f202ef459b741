"""Where the catalogue of this user is: what a call names, else COAXWRIGHT_PARTS, else the user's data folder."""

from __future__ import annotations

import os
from collections.abc import Sequence
from glob import glob
from pathlib import Path

from coaxwright.errors import Problem, Refusal

VARIABLE = "COAXWRIGHT_PARTS"
_ENDINGS = (".yaml", ".yml")


def data_folder() -> Path | None:
    """`coaxwright/parts` in the user's data folder: XDG_DATA_HOME, LOCALAPPDATA, else ~/.local/share; None without a home."""
    for variable in ("XDG_DATA_HOME", "LOCALAPPDATA"):
        named = os.environ.get(variable, "")
        if named and Path(named).is_absolute():
            return Path(named) / "coaxwright" / "parts"
    home = os.environ.get("HOME", "")
    return Path(home) / ".local" / "share" / "coaxwright" / "parts" if home and Path(home).is_absolute() else None


def catalogue_files(globs: Sequence[str]) -> list[str]:
    """Part files of a call, each once, sorted: those of `globs`, else of the default catalogue (none where there is none).

    A folder stands for all part files below it. Raises Refusal for a glob, of the call or the variable, that names no file.
    """
    if globs:
        return _named(globs, "write a path such as 'parts/*.yaml'")
    stated = [each for each in os.environ.get(VARIABLE, "").split(os.pathsep) if each]
    if stated:
        return _named(stated, f"mend {VARIABLE}, or name part files with --parts")
    folder = data_folder()
    return below(folder) if folder is not None and folder.is_dir() else []


def default_folder() -> Path:
    """The folder that `catalogue add` writes to: the first folder of the variable, else the user's. Raises Refusal."""
    for each in os.environ.get(VARIABLE, "").split(os.pathsep):
        if each and not any(sign in each for sign in "*?["):
            return Path(each)
    folder = data_folder()
    if folder is None:
        raise Refusal([Problem("catalogue", "there is no folder for it", f"set {VARIABLE}, or name one with --catalogue")])
    return folder


def _named(patterns: Sequence[str], right: str) -> list[str]:
    files: dict[str, None] = {}
    for pattern in patterns:
        if Path(pattern).is_dir():
            found = below(Path(pattern))
        else:
            found = [name for name in sorted(glob(pattern, recursive=True)) if Path(name).is_file()]
        if not found:
            raise Refusal([Problem(pattern, "names no file", right)])
        files.update(dict.fromkeys(found))
    return list(files)


def below(folder: Path) -> list[str]:
    """Part files in a folder and those within it, sorted; hidden ones left out."""
    return sorted(str(path) for path in folder.rglob("*") if path.suffix in _ENDINGS and path.is_file() and path.name[0] != ".")
