"""Processor time of `fix --all` on sites of 24 to 30 cameras with some 26 errors planted, with the bound that it gives.

    PYTHONPATH=engine:. python tests/bench/repair_speed.py [--sites 3] [--budget 2000]

To reach: a set that clears all, with its bound, within 10 s of processor time. Sites and faults: `tests/fixes/planted.py`.
"""

from __future__ import annotations

import argparse
import datetime
import time
from collections.abc import Iterator

from tests.fixes import random_sites
from tests.fixes.planted import Planted, planted

from coaxwright.fixes.rejudging import start
from coaxwright.fixes.repair import Search
from coaxwright.rulebook.loading import load_rulebook

DAY = datetime.date(2026, 5, 4)


def sites(count: int) -> Iterator[Planted]:
    """So many sites, of 24, 27 and 30 cameras in turn."""
    for seed in range(count):
        yield planted(f"bench/{seed}", 24 + 3 * (seed % 3), 10)


def main() -> None:
    """Print a line for each site."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--sites", type=int, default=3)
    asked.add_argument("--budget", type=int, default=2000)
    how = asked.parse_args()
    parts, rulebook = random_sites.catalogue(), load_rulebook()
    for made in sites(how.sites):
        state = start(random_sites.load(made.faulty, parts), rulebook=rulebook, today=DAY)
        search = Search(state, budget=how.budget)
        errors, before = len(search.wanted(state)), time.process_time()
        plan = search.run()
        took = time.process_time() - before
        print(f"{len(made.clean['cameras'])} cameras, {len(made.faults)} faults, {errors} errors:", end=" ")
        print(f"{len(plan.steps)} changes (bound {plan.bound}), {len(plan.in_the_way)} left,", end=" ")
        print(f"{plan.trials} trials of {plan.considered} changes, {took:.1f} s", flush=True)


if __name__ == "__main__":
    main()
