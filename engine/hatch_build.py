"""Puts into a wheel what the program would otherwise make on its first run: rules checked, tables read.

Found again by content (`reading.kept.shipped`), so that what does not fit any more is made anew and never believed.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class CustomBuildHook(BuildHookInterface):  # type: ignore[misc]
    """The hook that hatchling calls; an editable install has its rules beside it and needs nothing."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Make the files and name them to the builder. A rule that is wrong fails the build."""
        if version == "editable":
            return
        made = _made(Path(self.root) / "engine")
        self._folder = _folder(Path(self.directory))
        for name, data in made:
            path = Path(self._folder.name) / f"{name}.json"
            path.write_bytes(data)
            build_data["force_include"][str(path)] = f"coaxwright/_kept/{path.name}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Take the files away once they are in the wheel."""
        if version != "editable":
            self._folder.cleanup()


def _folder(output: Path) -> tempfile.TemporaryDirectory[str]:
    """Where the files wait for the builder: beside the wheel, so that a build that is killed leaves nothing elsewhere;
    gone at the latest when the process ends, since a build that fails never comes to `finalize`.
    """
    output.mkdir(parents=True, exist_ok=True)
    return tempfile.TemporaryDirectory(prefix="coaxwright-kept-", dir=output, ignore_cleanup_errors=True)


def _made(engine: Path) -> list[tuple[str, bytes]]:
    """Name and content of every file to carry, made by the engine of this very source."""
    sys.path.insert(0, str(engine))
    try:
        from coaxwright.reading.kept import to_ship
        from coaxwright.reading.tables import plain_bodies
        from coaxwright.rulebook.cache import SHIPPED
        from coaxwright.rulebook.loading import checked_files, shipped_key
        from coaxwright.rulebook.rule_files import find_rule_files
    finally:
        sys.path.remove(str(engine))
    files = find_rule_files()
    made = [(SHIPPED, to_ship(shipped_key(files), checked_files(files).body))]
    return [*made, *((name, to_ship(content, body)) for name, content, body in plain_bodies())]
