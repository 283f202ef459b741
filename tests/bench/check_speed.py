"""How fast `check` is, as ratios within one run: `python tests/bench/check_speed.py [--check] [--json] [--quick]`.

No test needs it. Every figure is the median of several rounds in which what is compared takes turns, in processor
time (user and system), with the cyclic collector off on both sides. What the figures mean: docs/performance.md.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import yaml

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "engine"))

from big_sites import write_site

from coaxwright.checking import check, load_rulebook, load_site
from coaxwright.facts.physics.power_network import PowerTree, loading_margin, solve

ROOT = Path(__file__).resolve().parents[2]
LIMITS = {
    "whole check / base": 2.0,
    "after reading / base": 1.0,
    "100,000 cameras / 10,000": 11.0,
    "100,000 cameras, GiB": 6.0,
    "cold start / imports": 5.0,
    "first run / warm": 1.5,
    "power solve, us a node": 3.0,
}
"""What `--check` holds against: ratios, save the memory and the solver's time, which holds on an idle machine."""
Figures = dict[str, float]


def _took(work: Callable[[], object]) -> float:
    """Processor seconds of one call; what it made is dropped after the clock has stopped."""
    gc.collect()
    start = time.process_time()
    made = work()
    took = time.process_time() - start
    del made
    return took


def whole_check(path: Path, rounds: int) -> Figures:
    """Reading and checking a site against loading its text with the C loader of YAML: the base."""
    text, rulebook = path.read_text(encoding="utf-8"), load_rulebook()
    bases, reads, checks = [], [], []
    gc.disable()
    for _ in range(rounds):
        bases.append(_took(lambda: yaml.load(text, Loader=yaml.CSafeLoader)))
        reads.append(_took(lambda: load_site(path)))
        loaded = load_site(path)
        checks.append(_took(lambda loaded=loaded: check(loaded, rulebook=rulebook)))
        del loaded
    gc.enable()
    return {
        "base, s": statistics.median(bases),
        "reading / base": _ratio(reads, bases),
        "after reading / base": _ratio(checks, bases),
        "whole check / base": _ratio([one + other for one, other in zip(reads, checks, strict=True)], bases),
        "rules": len(rulebook.rules),
    }


def _ratio(these: list[float], those: list[float]) -> float:
    return statistics.median(one / other for one, other in zip(these, those, strict=True))


def _child(command: list[str], environment: dict[str, str] | None = None) -> tuple[float, str]:
    """Processor seconds of a process, and what it printed; its exit status may tell of findings."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(command)} ended with {done.returncode}: {done.stderr}")
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime, done.stdout


def one_check(path: str) -> None:
    """The child's part of `growth`: one whole check; prints seconds and the most memory that it held."""
    rulebook = load_rulebook()
    gc.disable()
    start = time.process_time()
    report = check(path, rulebook=rulebook)
    took = time.process_time() - start
    print(json.dumps([took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20, len(report.findings)]))
    sys.stdout.flush()
    os._exit(0)


def growth(small: Path, large: Path, rounds: int) -> Figures:
    """Ten times the cameras, each size in a process of its own."""
    took: dict[Path, list[float]] = {small: [], large: []}
    memory = 0.0
    for _ in range(rounds):
        for path, seconds in took.items():
            _, printed = _child([sys.executable, __file__, "--one", str(path)])
            second, gibibytes, _ = json.loads(printed)
            seconds.append(second)
            memory = max(memory, gibibytes)
    return {
        "100,000 cameras / 10,000": _ratio(took[large], took[small]),
        "100,000 cameras, s": statistics.median(took[large]),
        "100,000 cameras, GiB": memory,
    }


def installed(folder: Path) -> tuple[str, dict[str, str]]:
    """A wheel of this checkout, unpacked into a folder with its bytecode: its command, and the environment for it."""
    wheels, home = folder / "wheels", folder / "installed"
    pip = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index", "--target", str(home)]
    subprocess.run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(wheels)], cwd=ROOT, check=True,
                   capture_output=True)  # fmt: skip
    subprocess.run([*pip, *map(str, wheels.glob("*.whl"))], check=True, capture_output=True)
    subprocess.run([sys.executable, "-m", "compileall", "-q", str(home)], check=True)
    environment = {**os.environ, "PYTHONPATH": str(home), "XDG_CACHE_HOME": str(folder / "cache")}
    return str(home / "bin" / "coaxwright"), environment


def cold_start(folder: Path, rounds: int) -> Figures:
    """A whole process that checks 16 cameras against one that imports the two libraries of any such command.

    The wheel is installed, its bytecode compiled, the rulebook's cache filled by a run that does not count. Beside it the
    first run of such a wheel on a machine, which finds no cache.
    """
    command, environment = installed(folder)
    ours = [sys.executable, command, "check", str(write_site(16, folder / "sixteen"))]
    theirs = [sys.executable, "-c", "import click, yaml"]
    _child(ours, environment)
    pairs = [(_child(ours, environment)[0], _child(theirs, environment)[0]) for _ in range(rounds)]
    firsts = [_child(ours, {**environment, "XDG_CACHE_HOME": str(folder / f"cache{number}")})[0] for number in range(rounds)]
    return {
        "first run / warm": statistics.median(first / warm for first, (warm, _) in zip(firsts, pairs, strict=True)),
        "cold start, ms": 1e3 * statistics.median(check for check, _ in pairs),
        "imports, ms": 1e3 * statistics.median(imports for _, imports in pairs),
        "cold start / imports": statistics.median(check / imports for check, imports in pairs),
    }


def power(rounds: int) -> Figures:
    """The solver alone: 10,000 nodes of a random tree, and the limit of a trunk of eight cameras."""
    rng, size = random.Random(5), 10_000
    parents = [-1] + [rng.randrange(max(-1, index - 50), index) for index in range(1, size)]
    none, ohms = [0.0] * size, [rng.uniform(0, 1e-3) for _ in parents]
    watts = [rng.choice([0.0, 5.0]) for _ in parents]
    factor = 0.3 * loading_margin(PowerTree(parents, ohms, watts, none, none, 48.0))
    big = PowerTree(parents, ohms, [factor * watt for watt in watts], none, none, 48.0)
    taps = [-1, 0, 0, 0, 3, 3, 3, 6, 6, 6, 9, 9]
    loads = [0.0 if node in taps else 5.2 for node in range(len(taps))]
    none = [0.0] * len(taps)
    trunk = PowerTree(taps, [0.1 if node in taps else 0.4 for node in range(len(taps))], loads, none, none, 13.0)
    return {
        "power solve, us a node": 1e6 / size * statistics.median(_took(lambda: solve(big)) for _ in range(rounds)),
        "limit of a trunk of eight, us": 1e6 / 100 * statistics.median(
            _took(lambda: [loading_margin(trunk) for _ in range(100)]) for _ in range(rounds)
        ),
    }  # fmt: skip


def measured(rounds: int, quick: bool) -> Figures:
    """All figures; `quick` leaves out the 100,000 cameras."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        small = write_site(10_000, folder)
        figures = {**whole_check(small, rounds), **cold_start(folder, 4 * rounds), **power(rounds)}
        if not quick:
            figures |= growth(small, write_site(100_000, folder), max(1, rounds // 3))
    return figures


def main() -> int:
    """Print the figures; with `--check`, 1 where one is beyond its limit."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="exit status 1 where a limit is missed")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--quick", action="store_true", help="leave out the 100,000 cameras")
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--one", metavar="SITE", help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.one:
        one_check(arguments.one)
    figures = measured(arguments.rounds, arguments.quick)
    missed = [name for name, most in LIMITS.items() if figures.get(name, 0.0) > most]
    if arguments.json:
        print(json.dumps({"figures": figures, "limits": LIMITS, "missed": missed}, indent=2))
    else:
        for name, value in figures.items():
            limit = f"   at most {LIMITS[name]:g}" if name in LIMITS else ""
            print(f"{name:32}{value:10.2f}{limit}{'   MISSED' if name in missed else ''}")
    return 1 if arguments.check and missed else 0


if __name__ == "__main__":
    sys.exit(main())
