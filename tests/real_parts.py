"""Tests that need a program of other people's at work: browsers, clients from npm, an office, the WebAssembly runtime.

They take most of the time of a whole run, so they are a group of their own behind one switch. `COAXWRIGHT_REAL=1` runs
them, `.ci/run` sets it, and COAXWRIGHT_FULL=1 has them too. The default run keeps those that are marked `by_default`:
one short journey in each browser, and one of each kind of page. A test belongs to the group when a fixture of it opens
Chromium, or by `pytest.mark.real("what")`.
"""

from __future__ import annotations

import os
from collections.abc import Iterable

import pytest

SWITCH = "COAXWRIGHT_REAL"
REAL = "1" in (os.environ.get(SWITCH), os.environ.get("COAXWRIGHT_FULL"))
MARKS = (
    "real(part): needs a program of other people's at work, which it names; runs with COAXWRIGHT_REAL=1",
    "by_default: of the real group, and short: runs without the switch too",
)


def part_of(item: pytest.Item) -> str | None:
    """The program that a test drives, if it drives one."""
    marked = item.get_closest_marker("real")
    if marked is not None:
        return str(marked.args[0])
    return "Chromium" if "chromium" in getattr(item, "fixturenames", ()) else None


def leave_out(items: Iterable[pytest.Item]) -> None:
    """Skip what only the switch runs, and say so in the reason."""
    for item in items:
        part = part_of(item)
        if part is not None and item.get_closest_marker("by_default") is None:
            item.add_marker(pytest.mark.skip(reason=f"{part} at work: {SWITCH}=1 runs it"))
