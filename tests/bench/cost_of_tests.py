"""What each test costs in processor time: `PYTHONPATH=tests/bench python -m pytest -q -n 2 -p cost_of_tests`.

A plugin of pytest: user and system time of the test's process and of those that it started and that have ended, setting up and
tearing down with it. A browser that stays open for several tests counts nowhere: `/usr/bin/time -v` before the call has it
in its sum. At the end the folders, files and tests that cost most; on a busy machine the same work costs more.
"""

from __future__ import annotations

import json
import os
import resource
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

PLACE = "COAXWRIGHT_COST_OF_TESTS"
MOST = {"folders": 40, "files": 30, "tests": 40}


def spent() -> float:
    """Seconds of processor of this process and of children that have ended."""
    return time.process_time() + sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])


def pytest_configure() -> None:
    """The first process names the folder into which all write."""
    os.environ.setdefault(PLACE, tempfile.mkdtemp(prefix="cost-of-tests-"))


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[Any]:
    before = spent()
    try:
        return (yield)
    finally:
        with (Path(os.environ[PLACE]) / str(os.getpid())).open("a", encoding="utf-8") as file:
            file.write(json.dumps([item.nodeid, spent() - before]) + "\n")


def pytest_terminal_summary(terminalreporter: Any) -> None:
    counts: dict[str, Counter[str]] = {name: Counter() for name in MOST}
    for path in Path(os.environ[PLACE]).iterdir():
        for line in path.read_text(encoding="utf-8").splitlines():
            test, seconds = json.loads(line)
            file = test.partition("::")[0]
            for name, key in (("folders", "/".join(file.split("/")[:2])), ("files", file), ("tests", test)):
                counts[name][key] += seconds
    terminalreporter.write_line(f"processor time of all tests: {sum(counts['tests'].values()):.0f} s")
    for name, most in MOST.items():
        terminalreporter.write_line(f"{name} that cost most:")
        for key, seconds in counts[name].most_common(most):
            terminalreporter.write_line(f"  {seconds:7.1f} s  {key}")
