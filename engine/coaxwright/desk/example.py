"""The example that comes with the program, copied into a folder to be tried there."""

from __future__ import annotations

import os
from importlib.resources.abc import Traversable
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.resources import data_root

EXAMPLE = "plant-nursery"
"""The example with three faults of different kinds: the one that `coaxwright demo` shows."""


OF_CASES = "boatyard"
"""The example that holds, into which the faults of guided diagnosis are put."""


def copied(root: Path) -> str:
    """Copy the example into a new folder below `root`; the name of its site file. A copy that is there is used."""
    source = data_root("examples") / EXAMPLE
    site = next(each.name for each in source.iterdir() if each.name.endswith(SITE_SUFFIX))
    target = root / EXAMPLE
    if not os.path.lexists(target):
        try:
            _copy(source, target)
        except OSError as error:
            raise Refusal([Problem(EXAMPLE, f"cannot be written: {error.strerror or error}")]) from error
    return f"{EXAMPLE}/{site}"


PARTS = "parts"


def sample_parts(root: Path) -> None:
    """Copy the invented parts of the example into `parts/`, where there is no such folder yet."""
    target = root / PARTS
    if os.path.lexists(target):
        return
    try:
        _copy(data_root("examples") / EXAMPLE / PARTS, target)
    except OSError as error:
        raise Refusal([Problem(PARTS, f"cannot be written: {error.strerror or error}")]) from error


def _copy(source: Traversable, target: Path) -> None:
    target.mkdir()
    for each in source.iterdir():
        if each.is_dir():
            _copy(each, target / each.name)
        elif each.name.endswith(".yaml"):
            (target / each.name).write_bytes(each.read_bytes())
