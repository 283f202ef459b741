"""Five rules on the same rows by other ways to do it: `python tests/bench/peers.py [--rounds N] [--json] [SIZE...]`.

Each is hand-written Python, this project, or a general-purpose library; what is timed is loading the rows into the
peer's own form and judging, in processor time of all threads, the cyclic collector off. Rules are parsed beforehand
where a peer can. Rounds take turns; figures are medians of ratios to hand-written Python in the same round. All must
find the same subjects. Libraries: the extra `bench`. No test needs their speed. What it means: docs/performance.md.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "engine"))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from peers.race import Runner, present, race, ratios
from peers.rows import facts, rows_of

SIZES = (100, 1_000, 10_000)


def measured(size: int, rounds: int) -> dict[str, Any]:
    """All peers on one size."""
    with tempfile.TemporaryDirectory() as folder:
        rows = rows_of(facts(size, Path(folder)))
    runners, absent = present()
    found = race(runners, rows, rounds)
    base = runners[0]
    return {
        "cameras": size, "found": found, "absent": absent,
        "peers": {runner.title: _figures(runner, base) for runner in runners},
    }  # fmt: skip


def _figures(runner: Runner, base: Runner) -> dict[str, Any]:
    total, judging = ratios(runner, base)
    return {
        "ratio": total, "judging": judging, "ms": 1e3 * statistics.median(runner.totals), "rounds": len(runner.loads),
        "includes": runner.peer.includes,
    }  # fmt: skip


def table(results: list[dict[str, Any]]) -> str:
    """Markdown: a row a peer, a column a size; in brackets judging without loading."""
    sizes = [f"{each['cameras']:,} cameras" for each in results]
    lines = ["| way | " + " | ".join(sizes) + " | what is in it |", "| --- " * (len(sizes) + 2) + "|"]
    for title, last in results[-1]["peers"].items():
        cells = [f"{each['peers'][title]['ratio']:.3g} ({each['peers'][title]['judging']:.3g})" for each in results]
        lines.append(f"| {title} | " + " | ".join(cells) + f" | {last['includes']} |")
    milliseconds = [f"{next(iter(each['peers'].values()))['ms']:.3g} ms" for each in results]
    lines.append("| 1 is | " + " | ".join(milliseconds) + " | |")
    return "\n".join(lines)


def main() -> None:
    """Measure, and print a table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("sizes", nargs="*", type=int, default=list(SIZES), metavar="SIZE")
    asked.add_argument("--rounds", type=int, default=9)
    asked.add_argument("--json", action="store_true")
    options = asked.parse_args()
    results = [measured(size, options.rounds) for size in options.sizes]
    if options.json:
        print(json.dumps(results, indent=1))
        return
    print(table(results))
    for each in results:
        print(f"{each['cameras']:,} cameras: {each['found']}; not installed: {', '.join(each['absent']) or 'none'}")


if __name__ == "__main__":
    main()
