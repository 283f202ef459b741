"""For all tests: no test asserts a time in seconds, and a run says at its end what it skipped and why.

Machines differ and are busy with other things: a guard against runaways counts processor time in units of a piece of
plain work that is done beside it, and is wide. hypothesis gives no deadline, for the same reason.
"""

from __future__ import annotations

import gc
import os
import resource
import signal
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache, partial
from importlib import import_module
from typing import Any

import pytest
import yaml
from hypothesis import settings
from tests.browsing import axe, browser, chromium, one_face, watched
from tests.items_once import items_once
from tests.real_parts import MARKS, REAL, SWITCH, leave_out

__all__ = ["axe", "browser", "chromium", "items_once", "one_face", "watched"]

settings.register_profile("coaxwright", deadline=None)
settings.load_profile("coaxwright")

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
"""The one switch for the long forms of tests."""

yaml.safe_load = partial(yaml.load, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
"""Where tests read a file by PyYAML it is the same reader of safe values, in C: some ten times as fast."""


def _without_constants_of_modules() -> None:
    """Keep hypothesis from reading the source of some 900 modules for numbers and words to try: seconds of each process.

    In the long form it reads them.
    """
    providers = import_module("hypothesis.internal.conjecture.providers")
    if not FULL and hasattr(providers, "_get_local_constants") and hasattr(providers, "_local_constants"):
        providers._get_local_constants = lambda: providers._local_constants


def pytest_configure(config: pytest.Config) -> None:
    """Set up a process of tests.

    A run in the background of a shell ignores interruptions, and hands that on: processes under test shall not.
    """
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    _without_constants_of_modules()
    for mark in MARKS:
        config.addinivalue_line("markers", mark)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    if not REAL:
        leave_out(items)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """`-n 2` gives each process one stretch of the tests, and what one has left to the other when that is done.

    What a module, or a room, makes once is then made in one process, and not in both.
    """
    if config.getoption("dist") != "load":
        return None
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Iterator[object]:
    """Eleven thousand tests are a large heap that stays: the collector, which would walk it over and over, leaves it out.

    A quarter of the processor time of plain tests was that. While tests run it collects as ever, only less often.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.set_threshold(20_000, 20, 20)
        gc.enable()


def processor_seconds() -> float:
    """Processor time of this process and of children that have ended."""
    return time.process_time() + sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])


def unit() -> float:
    """Seconds that a fixed piece of plain Python work takes here and now: 10 ms on a machine of 2025."""
    start = time.process_time()
    words = {f"c{number}": [number] for number in range(25_000)}
    assert len(sorted(words, key=lambda name: name[::-1])) == 25_000
    return time.process_time() - start


@cache
def usual_unit() -> float:
    """The same, measured once in a process."""
    return min(unit(), unit())


@pytest.fixture
def guarded() -> Callable[[float], Any]:
    """`with guarded(500):` what stands inside may take as much processor time as 500 such pieces of work."""

    @contextmanager
    def guard(units: float) -> Iterator[None]:
        start = processor_seconds()
        yield
        took = processor_seconds() - start
        if took >= units * usual_unit():  # the machine may have become slower since that was measured
            assert took < units * max(usual_unit(), unit(), unit()), f"{took:.1f} s of processor time: a runaway"

    return guard


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Skipped tests by reason, counted and named, whatever the options of the call; what a switch leaves out by file."""
    skipped: Counter[tuple[str, str]] = Counter()
    for report in terminalreporter.stats.get("skipped", ()):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
        test = report.nodeid.partition("::" if SWITCH in reason else "[")[0]
        skipped[test, reason.removeprefix("Skipped: ")] += 1
    if not FULL:
        terminalreporter.write_line("long forms of random tests were not run: COAXWRIGHT_FULL=1 runs them")
        terminalreporter.write_line("  docs/quality.md: what that leaves out, how many of each; they take hours")
    if not REAL:
        terminalreporter.write_line(f"tests that drive browsers and other programs were left out, all but a few: {SWITCH}=1")
    if skipped:
        terminalreporter.write_line(f"skipped, {sum(skipped.values())} in all:")
    for (test, reason), count in sorted(skipped.items()):
        terminalreporter.write_line(f"  {count} x {test}: {reason}")
