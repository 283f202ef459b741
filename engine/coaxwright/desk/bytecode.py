"""Bytecode for the runtime of the single file, so that nothing is compiled before the first verdict in a page.

It is made by the runtime itself, run by `node` (which comes with npm, as the runtime does). Without node there is none:
the file works the same and starts slower.
"""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

from coaxwright.desk.parcel import packed, unpacked

WITHOUT = "`node` was not found or could not run the runtime: the page will take longer to start"
_SECONDS = 300
_MADE: dict[str, dict[str, bytes]] = {}


def bytecode(runtime: Mapping[str, bytes], engine: Mapping[str, bytes]) -> dict[str, bytes]:
    """By place in the page's file system (`/engine/...`, `/lib/python314.zip/...`), each with `c` at its end.

    Empty without node, and where it fails. The same content is compiled once in a process.
    """
    parcel = packed(engine)
    state = hashlib.sha256(parcel)
    for name in sorted(runtime):
        state.update(name.encode() + hashlib.sha256(runtime[name]).digest())
    key = state.hexdigest()
    if key not in _MADE:
        _MADE.clear()
        _MADE[key] = _made(runtime, parcel)
    return _MADE[key]


def lacking() -> str:
    """What to tell who made a file without any; empty where there was some."""
    return "" if any(_MADE.values()) else WITHOUT


def _made(runtime: Mapping[str, bytes], parcel: bytes) -> dict[str, bytes]:
    node = shutil.which("node")
    if node is None:
        return {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        for each, content in {**runtime, "engine.bin": parcel, "bytecode.mjs": _script()}.items():
            (folder / each).write_bytes(content)
        call = [node, str(folder / "bytecode.mjs"), folder.as_posix()]
        try:
            subprocess.run(call, check=True, capture_output=True, timeout=_SECONDS)
            return unpacked((folder / "bytecode.bin").read_bytes())
        except (OSError, subprocess.SubprocessError):
            return {}


def _script() -> bytes:
    return files("coaxwright.desk.page").joinpath("bytecode.mjs").read_bytes()
