"""The race: every peer judges the same rows, in turn, round after round; each must find the same."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib.metadata import version
from typing import Any

from peers.answer_sets import Clingo
from peers.cel_bindings import CppCel, PythonCel, RustCel
from peers.hand import Broken, Hand
from peers.ours import Ours
from peers.rows import Rows
from peers.rule_libraries import BusinessRules, RuleEngine
from peers.sql import Duck, Lite

PEERS: tuple[Callable[[], Any], ...] = (
    Hand, Ours, Duck, Lite, RustCel, CppCel, PythonCel, Clingo, RuleEngine, BusinessRules,
)  # fmt: skip
LONG = 2.0
"""Seconds of one round from which on a peer takes part in three rounds only."""


@dataclass
class Runner:
    """A peer with its times in processor seconds, round by round."""

    peer: Any
    loads: list[float] = field(default_factory=list)
    judges: list[float] = field(default_factory=list)

    @property
    def title(self) -> str:
        """Its name and version."""
        return f"{self.peer.name} {version(self.peer.package)}" if self.peer.package else str(self.peer.name)

    @property
    def totals(self) -> list[float]:
        """Loading and judging together."""
        return [one + other for one, other in zip(self.loads, self.judges, strict=True)]

    def run(self, rows: Rows) -> Broken:
        """One round. Both clocks stop before anything is taken apart."""
        gc.collect()
        start = time.process_time()
        data = self.peer.load(rows)
        loaded = time.process_time()
        found: Broken = self.peer.judge(data)
        end = time.process_time()
        self.loads.append(loaded - start)
        self.judges.append(end - loaded)
        return found

    def is_done(self, rounds: int) -> bool:
        """Whether it has run often enough."""
        return len(self.loads) >= (rounds if not self.loads or self.totals[-1] < LONG else 3)


def present() -> tuple[list[Runner], list[str]]:
    """Peers whose libraries are installed, and the names of those that are not."""
    runners, absent = [], []
    for make in PEERS:
        try:
            runners.append(Runner(make()))
        except ImportError:
            absent.append(str(getattr(make, "name", make)))
    return runners, absent


def race(runners: list[Runner], rows: Rows, rounds: int) -> dict[str, int]:
    """Run them in turn after one round that does not count; how many subjects break each rule.

    Raises AssertionError where two do not find the same.
    """
    expected = _sets(Hand().judge(rows))
    was_on = gc.isenabled()
    gc.disable()
    try:
        for number in range(rounds + 1):
            for runner in runners:
                if not runner.is_done(rounds):
                    assert _sets(runner.run(rows)) == expected, runner.title
                    if number == 0 and runner.totals[0] < LONG:
                        runner.loads.clear()
                        runner.judges.clear()
    finally:
        if was_on:
            gc.enable()
    return {name: len(subjects) for name, subjects in expected.items()}


def _sets(broken: Broken) -> dict[str, set[str]]:
    for subjects in broken.values():
        assert len(set(subjects)) == len(subjects), "a subject was named twice"
    return {name: set(subjects) for name, subjects in broken.items()}


def ratios(runner: Runner, base: Runner) -> tuple[float, float]:
    """Median of its time against that of `base` in the same round: load and judging together, and judging alone."""
    return _median(runner.totals, base.totals), _median(runner.judges, base.totals)


def _median(these: list[float], those: list[float]) -> float:
    return statistics.median(one / other for one, other in zip(these, those, strict=False))
