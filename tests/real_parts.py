"""Tests that need a program of other people's at work: browsers, clients from npm, an office, the WebAssembly runtime.

They take most of the time of a whole run, so they are a group of their own behind one switch. `COAXWRIGHT_REAL=1` runs
them, `.ci/run` sets it, and COAXWRIGHT_FULL=1 has them too. The default run keeps those that are marked `by_default`:
one short journey in each browser, and the page of a report. A test belongs to the group when a fixture of it opens
Chromium, or by `pytest.mark.real("what")`. Behind the same switch stand a few that are marked `slow("why")`: many seconds
of processor for what others look at too.
"""

from __future__ import annotations

import os
from collections.abc import Iterable

import pytest

SWITCH = "COAXWRIGHT_REAL"
REAL = "1" in (os.environ.get(SWITCH), os.environ.get("COAXWRIGHT_FULL"))
MARKS = (
    "real(part): needs a program of other people's at work, which it names; runs with COAXWRIGHT_REAL=1",
    "slow(why): takes many seconds of processor, others look at the same; runs with COAXWRIGHT_REAL=1",
    "by_default: of the real group, and short: runs without the switch too",
)


def reason(item: pytest.Item) -> str | None:
    """Why a test needs the switch, if it does."""
    real, slow = item.get_closest_marker("real"), item.get_closest_marker("slow")
    if slow is not None:
        return str(slow.args[0])
    if real is not None:
        return f"{real.args[0]} at work"
    return "Chromium at work" if "chromium" in getattr(item, "fixturenames", ()) else None


def leave_out(items: Iterable[pytest.Item]) -> None:
    """Skip what only the switch runs, and say so in the reason."""
    for item in items:
        why = reason(item)
        if why is not None and item.get_closest_marker("by_default") is None:
            item.add_marker(pytest.mark.skip(reason=f"{why}: {SWITCH}=1 runs it"))
