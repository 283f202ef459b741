"""The true cause is among those that are told, for random sites with one fault and with two, and few measurements find it.

Faults are put in by `planting`, which shares no data with the program; what is seen is worked out there too. The
optimum is found by search over all sets of measurements, knowing what each would show: no strategy needs fewer.
"""

from __future__ import annotations

import random
import statistics
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest
from tests.diagnosis.conftest import FULL
from tests.diagnosis.planting import Broken, broken

from coaxwright.diagnosis.knowledge import load_knowledge
from coaxwright.diagnosis.measuring import Bench, Spot, left_by, steps
from coaxwright.diagnosis.observing import Measured, Reading, read_seen, reading_of
from coaxwright.diagnosis.suspects import Search, Suspect, suspects_of
from coaxwright.fixes.rejudging import start
from coaxwright.quiz.bank import Bank

KNOWN = load_knowledge()
RUNS, ONE, TWO = (5, 60, 40) if FULL else (2, 12, 8)
"""Runs, and sites a run: 24 with one fault and 16 with two over all runs; 300 and 200 in the long form."""


def planted(bank: Bank, folder: Path, run: int, faults: int, wanted: int) -> Iterator[Broken]:
    seed = found = 0
    while found < wanted:
        seed += 1
        made = broken(bank, random.Random(f"{run}/{faults}/{seed}"), folder, faults)
        if made is not None:
            found += 1
            yield made


def search_of(bank: Bank, made: Broken) -> Search:
    state = start(made.drawn, rulebook=bank.rulebook)
    return Search(KNOWN, state, tuple(read_seen(each, KNOWN, state.facts.subjects()) for each in made.seen))


@pytest.mark.parametrize("run", range(RUNS))
def test_two_faults_are_among_what_is_told(bank: Bank, tmp_path: Path, run: int) -> None:
    """From memory: a diagnosis that leaves out the true cause is worse than none."""
    for made in planted(bank, tmp_path, run, 2, TWO):
        told = [each.key for each in suspects_of(search_of(bank, made))]
        assert any(key and key <= made.keys for key in told), (made.keys, made.seen, told)


COUNTS: list[tuple[int, int]] = []


@pytest.mark.parametrize("run", range(RUNS))
def test_one_fault_is_told_and_found_by_few_measurements(bank: Bank, tmp_path: Path, run: int) -> None:
    """The median stays within one and a half times the optimum (at least one measurement)."""
    counts = []
    for made in planted(bank, tmp_path, run, 1, ONE):
        search = search_of(bank, made)
        bench, suspects = Bench(search), suspects_of(search)
        assert made.keys in [each.key for each in suspects], (made.keys, made.seen, [each.key for each in suspects])
        left, made_so_far = followed(bench, suspects, made)
        assert made.keys in [each.key for each in left], (made.keys, made_so_far)
        counts.append((len(made_so_far), optimum(bench, suspects, made, len(left))))
    spent, least = (statistics.median(each) for each in zip(*counts, strict=True))
    assert spent <= 1.5 * max(1.0, least), counts


def followed(bench: Bench, suspects: list[Suspect], made: Broken) -> tuple[list[Suspect], list[Spot]]:
    """The measurements that the program asks for, one after the other, until it asks for no more."""
    left, done = suspects, list[Spot]()
    while True:
        asked = next((each.spot for each in steps(bench, left, done) if shown(bench, made, each.spot) is not None), None)
        if asked is None:
            return left, done
        done.append(asked)
        left = measured(bench, left, made, asked)


def measured(bench: Bench, suspects: list[Suspect], made: Broken, spot: Spot) -> list[Suspect]:
    reading = shown(bench, made, spot)
    assert reading is not None
    return left_by(bench, suspects, [Measured(spot[1], spot[0], reading)])


def shown(bench: Bench, made: Broken, spot: Spot) -> Reading | None:
    """What a meter shows on the broken site; what no fact tells is known of the true cause's device or is as usual."""
    name, subject = spot
    for cause, device in made.keys:
        told = KNOWN.causes[cause].shows.get(name)
        if told is not None and device == subject:
            return told
    if KNOWN.measurements[name].reads is None:
        return None if any(device == subject for _, device in made.keys) else bench.drawn(spot)
    return reading_of(KNOWN, made.facts, name, subject)


def optimum(bench: Bench, suspects: list[Suspect], made: Broken, goal: int) -> int:
    """The fewest measurements that leave no more suspects than that, by trying all sets, smallest first."""
    keys = frozenset(each.key for each in suspects)
    left = [
        frozenset(each.key for each in measured(bench, suspects, made, spot))
        for spot in bench.spots() if shown(bench, made, spot) is not None
    ]  # fmt: skip
    useful = list({each for each in left if each != keys})
    for size in range(5):
        if any(len(frozenset(keys).intersection(*chosen)) <= goal for chosen in combinations(useful, size)):
            return size
    raise AssertionError("no five measurements do what was done")
