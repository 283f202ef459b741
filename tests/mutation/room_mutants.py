"""Mutation of rooms of the engine, each with the tests of its own room alone.

    python -m tests.mutation.room_mutants ROOM... [--sample 25] [--seed N] [--kept FOLDER] [--control]

Run from the root of the repository with `engine` on PYTHONPATH, `nice`. Without `--seed` one is drawn and printed, so that
mutants are fresh and can be made again. What is changed, and how a mutant is tried, is `code_mutants`' and
`code_changes`': no file of
the engine is touched, and a mutant runs only those tests of its room that touch its lines, until one fails. What survives is
printed; what stays so stands with its reason in `room_survivors.md`.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

from . import code_mutants, touching
from .code_changes import ENGINE, Mutant, mutants
from .touching import ROOT


@dataclass(frozen=True)
class Room:
    """Modules below `coaxwright`, a trailing dot for all of a folder, and the tests below `tests` that are the room's own."""

    modules: tuple[str, ...]
    tests: tuple[str, ...]


ROOMS = {
    "proofs": Room(
        ("fixes.proving", "fixes.rejudging", "fixes.against", "fixes.case_proofs", "fixes.outcomes", "fixes.reads",
         "fixes.rule_reach", "fixes.replaying", "fixes.certificates"),
        ("fixes/test_proofs.py", "fixes/test_rejudging.py", "fixes/test_against.py", "fixes/test_promise.py",
         "fixes/test_bounding.py", "fixes/test_commands.py", "fixes/test_least_cost.py", "fixes/test_choices.py"),
    ),
    "repair": Room(
        ("fixes.repair", "fixes.stepping", "fixes.branching", "fixes.cutting", "fixes.polishing", "fixes.least_cost",
         "fixes.costs"),
        ("fixes/test_repair.py", "fixes/test_bounding.py", "fixes/test_least_cost.py", "fixes/test_choices.py",
         "fixes/test_commands.py", "fixes/test_riding_school.py"),
    ),
    "limits": Room(
        ("fixes.limits", "fixes.limit_words", "fixes.varying", "fixes.beginning", "fixes.numbers", "fixes.standard_sizes"),
        ("fixes/test_limits.py", "fixes/test_limits_stand.py", "fixes/test_varying.py", "fixes/test_commands.py",
         "fixes/test_what_if.py", "fixes/test_against.py"),
    ),
    "ranking": Room(
        ("pairing.ranking", "pairing.tables", "pairing.table_forms", "pairing.verdicts", "pairing.everywhere"),
        ("pairing/test_tables.py", "pairing/test_tables_tell_all.py", "pairing/test_replacing.py", "pairing/test_tiers.py",
         "pairing/test_parts_that_differ.py", "pairing/test_counter_questions.py"),
    ),
    "pairing": Room(("pairing.",), ("pairing",)),
    "schedules": Room(("schedules.",), ("schedules",)),
    "catalogues": Room(("catalogues.",), ("catalogues",)),
    "quiz": Room(("quiz.",), ("quiz",)),
    "reporting": Room(("reporting.",), ("reporting", "report", "comparing")),
    "cli": Room(("cli.",), ("cli",)),
}  # fmt: skip


def modules_of(room: Room) -> list[str]:
    """Names below `coaxwright` of all modules of a room."""
    base = ENGINE / "coaxwright"
    every = {path.relative_to(base).with_suffix("").as_posix().replace("/", ".") for path in base.rglob("*.py")}
    return sorted(
        name
        for name in every
        if not name.endswith("__init__")
        and any(name == each or (each.endswith(".") and name.startswith(each)) for each in room.modules)
    )


def drawn(name: str, sample: int, seed: int) -> list[Mutant]:
    """So many mutants of a room, the same for the same seed and the same source."""
    every = [each for module in modules_of(ROOMS[name]) for each in mutants(module)]
    return Random(f"{seed} {name}").sample(every, min(sample, len(every)))


def try_room(name: str, sample: int, seed: int, kept: Path, control: bool) -> int:
    """How many of a room's mutants survive; with `control` how many tests fail with nothing changed."""
    room, names = ROOMS[name], modules_of(ROOMS[name])
    code_mutants.modules = lambda: names
    code_mutants.room_of = lambda module: name
    file = kept / f"touching-{name}.json"
    if not file.exists():
        packages = [f"coaxwright.{each}" for each in names]
        code_mutants.forked(lambda _: touching.measure(file, room.tests, packages) or 0)
    known = touching.read(file)
    wanted = drawn(name, sample, seed)
    print(f"{name}: {len(wanted)} mutants of {len(names)} modules, seed {seed}, {len(known.tests)} tests", flush=True)
    if control:
        return code_mutants.controlled(wanted, known)
    counts = code_mutants.run(wanted, known, kept / f"fates-{name}-{seed}.jsonl", again=True)
    return counts[name, code_mutants.SURVIVED]


def main(arguments: Sequence[str]) -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("rooms", nargs="+", choices=sorted(ROOMS), metavar="ROOM")
    options.add_argument("--sample", type=int, default=25, help="so many mutants of each room")
    options.add_argument("--seed", type=int, default=Random().randrange(1, 100_000))
    options.add_argument("--kept", type=Path, default=ROOT / "build" / "mutation", help="folder for what was measured")
    options.add_argument("--control", action="store_true", help="change nothing: what is killed then, this script killed")
    asked = options.parse_args(arguments)
    os.environ["COAXWRIGHT_CACHE"] = "off"
    os.chdir(ROOT)
    code_mutants._preload()
    left = [try_room(name, asked.sample, asked.seed, asked.kept.resolve(), asked.control) for name in asked.rooms]
    return int(any(left))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
