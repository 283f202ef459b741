"""Files that a person brings to the page, and those of the folder to be kept: site files and the part files beside them."""

from __future__ import annotations

import base64
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from coaxwright.desk.arriving import decoded, name_of
from coaxwright.errors import Problem, Refusal
from coaxwright.model.quantities import quoted
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import wrong_name

MOST = 8 * 1024 * 1024
PARTS = "parts"


def brought(work: Workspace, files: object, *, replace: bool = False) -> list[str]:
    """Write these files into the folder: sites where their names say, other YAML files into `parts/`.

    Returns the names of the sites. Raises Refusal, and writes nothing, for a name that leads anywhere else, or that is
    taken (without `replace`).
    """
    planned = [_planned(work, each, replace) for each in files] if isinstance(files, list) else []
    if not planned:
        raise Refusal([Problem("", "no file came", f"choose a {SITE_SUFFIX} file, and the part files that it names")])
    for path, data, _ in planned:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return [name for _, _, name in planned if name.endswith(SITE_SUFFIX)]


def _planned(work: Workspace, file: dict[str, Any], replace: bool) -> tuple[Path, bytes, str]:
    """Where a file goes, and what it holds."""
    said = name_of(file)
    name = said if "/" in said or said.endswith(SITE_SUFFIX) else f"{PARTS}/{said}"
    asked = name if name.endswith(SITE_SUFFIX) else f"{name.removesuffix('.yaml').removesuffix('.yml')}{SITE_SUFFIX}"
    what = wrong_name(asked) or ("" if name.endswith((".yaml", ".yml")) else "is no YAML file")
    path = work.store.root.joinpath(*name.split("/"))
    if what or not Path(os.path.realpath(path)).is_relative_to(work.store.root):
        raise Refusal([Problem(quoted(name), what or "is not in the opened folder", "choose site files and part files")])
    if not replace and os.path.lexists(path):
        raise Refusal([Problem(name, "there is a file of that name", "rename it, or open that one")])
    return path, decoded(name, file["base64"]), name


def kept(work: Workspace) -> Mapping[str, str]:
    """Every site and part file of the folder, in base 64, with the open site as it is edited; what a browser may keep."""
    found, size = {}, 0
    for path in sorted(work.store.root.rglob("*.yaml")):
        data = path.read_bytes()
        size += len(data)
        if size <= MOST:
            found[path.relative_to(work.store.root).as_posix()] = base64.b64encode(data).decode()
    return found
