"""Mutation of the engine's own code: one small change (`code_changes`), then the tests that run the changed lines.

    python -m tests.mutation.code_mutants [--sample N] [--seed N] [--only PREFIX]... [--at MODULE:LINE]... [--tests NAME]...
        [--kept FOLDER]

Run from the root of the repository with `engine` on PYTHONPATH. No file of the engine is touched. `touching` tells once
which test runs which line. A change inside a function is made in a process forked from one that has all tests collected:
the new code takes the place of the old in every function that has it, the caches of the engine are emptied, and the tests
of these lines run, likely and quick ones first, until one fails. Every change outside functions, and with `--again` what
survived, gets a process that imports the changed module afresh, with the tests of the whole module. Killed: a test failed,
or nothing ended in the time given. Each mutant is reported with its fate, all are counted by room. What is in the log of
the folder already is only counted.
"""

from __future__ import annotations

import argparse
import gc
import importlib
import importlib.abc
import importlib.util
import json
import os
import resource
import signal
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from types import CodeType, FunctionType
from typing import Any

from . import touching
from .code_changes import ENGINE, Mutant, changed, mutants, path_of
from .touching import ROOT, Touching

JUDGING = ("checking", "findings", "rulebook.judging", "language.sweeping")
LONGEST = 24.0  # s of tests for one mutant, as measured: with coverage on, about four times as long as without
LONGEST_AFRESH = 20.0
SLOWER, BEFORE = 3.0, 8.0  # a mutant may take that many times as long, and so many s more
MEMORY = 6 << 30
KILLED, SLOW, SURVIVED = "killed", "slow", "survived"
UNTOUCHED = "no test runs the line: it may have run on import"


def room_of(module: str) -> str:
    return "judging" if module in JUDGING else module.partition(".")[0]


def modules() -> list[str]:
    """All modules that are mutated."""
    base = ENGINE / "coaxwright"
    folders = (base / name for name in ("facts", "language", "rulebook"))
    files = [*(file for each in folders for file in each.rglob("*.py")), base / "checking.py", base / "findings.py"]
    names = [path.relative_to(base).with_suffix("").as_posix().replace("/", ".") for path in files]
    return sorted(name for name in names if not name.endswith("__init__"))


@dataclass
class Kills:
    """Which test files have killed how often: those go first."""

    ran: Counter[str] = field(default_factory=Counter)
    killed: Counter[str] = field(default_factory=Counter)

    def order(self, known: Touching, tests: Iterable[int]) -> list[int]:
        """Tests by seconds over likelihood, as many as fit into the longest time."""

        def cost(test: int) -> float:
            file = known.tests[test].partition("::")[0]
            return (known.seconds[test] + 0.002) * (self.ran[file] + 10) / (self.killed[file] + 1)

        chosen, total = [], 0.0
        for test in sorted(tests, key=cost):
            if total + known.seconds[test] <= LONGEST:
                chosen.append(test)
                total += known.seconds[test]
        return chosen

    def note(self, known: Touching, ran: Sequence[int], killed: bool) -> None:
        self.ran.update(known.tests[test].partition("::")[0] for test in ran)
        if killed and ran:
            self.killed[known.tests[ran[-1]].partition("::")[0]] += 1


def limited(seconds: float) -> None:
    """End this process after so many seconds, and keep it from taking all the memory."""
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)


def forked(work: Callable[[int], int]) -> tuple[int, int, str]:
    """Run `work(pipe)` in a process of its own: exit status, signal that ended it, what it wrote to the pipe."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        status = 70
        try:
            status = work(into)
        finally:
            os._exit(status)
    os.close(into)
    with os.fdopen(out) as told:
        text = told.read()
    _, ended = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(ended), os.WTERMSIG(ended), text


def fate_of(status: int, signalled: int) -> str:
    if signalled:
        return SLOW if signalled == signal.SIGALRM else KILLED
    return SURVIVED if status == 0 else KILLED


# Code put in the place of code


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield from _codes(each)


def functions_by_file() -> dict[str, list[FunctionType]]:
    found: dict[str, list[FunctionType]] = defaultdict(list)
    gc.unfreeze()  # tests/conftest.py froze what was collected
    for each in gc.get_objects():
        if isinstance(each, FunctionType):
            found[each.__code__.co_filename].append(each)
    return found


def swap(mutant: Mutant, functions: Iterable[FunctionType]) -> bool:
    """Give the functions of the module the changed code; False where that cannot be done."""
    whole = compile(changed(mutant), str(path_of(mutant.module)), "exec", dont_inherit=True)
    fresh = {(code.co_qualname, code.co_firstlineno): code for code in _codes(whole)}
    swapped = False
    for function in functions:
        old = function.__code__
        new = fresh.get((old.co_qualname, old.co_firstlineno))
        if new is None or len(new.co_freevars) != len(old.co_freevars):
            return False
        function.__code__ = new
        swapped = True
    return swapped


class Server:
    """In the place of pytest's own loop: a fork for each mutant, with the tests collected already."""

    def __init__(
        self, wanted: Sequence[Mutant], known: Touching, said: Callable[[Mutant, str, str], None], control: bool
    ) -> None:
        self.wanted, self.known, self.said, self.control = wanted, known, said, control
        self.kills, self.caches = Kills(), []

    def pytest_runtestloop(self, session: Any) -> bool:
        for name in modules():
            importlib.import_module(f"coaxwright.{name}")
        items = {item.nodeid: item for item in session.items}
        functions, self.caches = functions_by_file(), touching.emptied_caches()
        gc.freeze()  # what is frozen gc.get_objects() no longer tells of
        for mutant in self.wanted:
            tests = self.known.of(mutant.module, mutant.first, mutant.last)
            chosen = [each for each in self.kills.order(self.known, tests) if self.known.tests[each] in items]
            self.said(mutant, *self._fate(mutant, chosen, items, functions.get(str(path_of(mutant.module)), [])))
        return True

    def _fate(self, mutant: Mutant, chosen: list[int], items: Any, functions: list[FunctionType]) -> tuple[str, str]:
        allowed = sum(self.known.seconds[each] for each in chosen) * SLOWER + BEFORE

        def work(pipe: int) -> int:
            limited(allowed)
            if not self.control and not swap(mutant, functions):
                os.write(pipe, b"-1")
                return 0
            for each in self.caches:
                each.cache_clear()
            return _run_items([items[self.known.tests[each]] for each in chosen], pipe)

        if not chosen:
            return SURVIVED, UNTOUCHED
        status, signalled, text = forked(work)
        fate = fate_of(status, signalled)
        last = int(text.split()[-1]) if text.split() else -1
        self.kills.note(self.known, chosen[: last + 1], fate == KILLED)
        return fate, self.known.tests[chosen[last]] if fate == KILLED and last >= 0 else ""


class _Failures:
    """Which tests have failed."""

    def __init__(self) -> None:
        self.names: set[str] = set()

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed:
            self.names.add(report.nodeid)


def _run_items(items: list[Any], pipe: int) -> int:
    """Run the tests until one fails; the number of each goes into the pipe before it starts."""
    if not items:
        return 0
    watch = _Failures()
    items[0].config.pluginmanager.register(watch)
    for at, item in enumerate(items):
        os.write(pipe, f"{at} ".encode())
        following = items[at + 1] if at + 1 < len(items) else None
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if watch.names:
            return 1
    return 0


def in_server(
    wanted: Sequence[Mutant], known: Touching, said: Callable[[Mutant, str, str], None], control: bool = False
) -> None:
    """Fates of changes inside functions; the tests are collected in a process of their own. `control`: nothing is changed."""
    if not wanted:
        return
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        import pytest

        from coaxwright import __version__  # noqa: F401 - the engine, imported once for all mutants

        def tell(mutant: Mutant, fate: str, by: str) -> None:
            os.write(into, (json.dumps([wanted.index(mutant), fate, by]) + "\n").encode())

        silent = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silent, 1)
        files = sorted({name.partition("::")[0] for name in known.tests})
        pytest.main([*touching.PLAIN, *files], plugins=[Server(wanted, known, tell, control)])
        os._exit(0)
    os.close(into)
    with os.fdopen(out) as told:
        for line in told:
            number, fate, by = json.loads(line)
            said(wanted[number], fate, by)
    os.waitpid(child, 0)


# A changed module imported afresh


class Replaced(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Runs the changed tree for one module, and lets all else be imported as ever."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant, self.name = mutant, f"coaxwright.{mutant.module}"

    def find_spec(self, name: str, path: Any = None, target: Any = None) -> Any:
        if name != self.name:
            return None
        return importlib.util.spec_from_file_location(name, path_of(self.mutant.module), loader=self)

    def create_module(self, spec: Any) -> None:
        return None

    def exec_module(self, module: Any) -> None:
        code = compile(changed(self.mutant), str(path_of(self.mutant.module)), "exec", dont_inherit=True)
        exec(code, module.__dict__)  # noqa: S102 - the changed source is the point


def _files_of_module(known: Touching, module: str) -> list[str]:
    """All tests of every file that touches the module, the quickest files first, as many as fit."""
    named = {known.tests[test].partition("::")[0] for test in known.of_module(module)}
    by_file: dict[str, list[int]] = defaultdict(list)
    for test, name in enumerate(known.tests):
        if (file := name.partition("::")[0]) in named:
            by_file[file].append(test)
    cost = {file: sum(known.seconds[each] for each in tests) for file, tests in by_file.items()}
    chosen: list[str] = []
    total = 0.0
    for file in sorted(by_file, key=lambda each: cost[each]):
        for test in sorted(by_file[file], key=lambda each: known.seconds[each])[:400]:
            if total + known.seconds[test] <= LONGEST_AFRESH:
                chosen.append(known.tests[test])
                total += known.seconds[test]
    return chosen


def afresh(mutant: Mutant, known: Touching, tests: Sequence[str] | None = None) -> str:
    """The fate of a mutant in a process that imports the changed module."""
    chosen = list(tests) if tests is not None else _files_of_module(known, mutant.module)

    def work(_: int) -> int:
        limited(LONGEST_AFRESH * SLOWER + BEFORE)
        sys.meta_path.insert(0, Replaced(mutant))
        import pytest

        return 1 if pytest.main([*touching.PLAIN, "-x", *chosen]) != 0 else 0

    status, signalled, _ = forked(work)
    return fate_of(status, signalled)


# Which mutants, and what is told


def chosen_mutants(options: argparse.Namespace) -> list[Mutant]:
    """All mutants asked for, or a sample of so many a room, drawn with the seed."""
    every = [each for name in modules() for each in mutants(name)]
    if options.at:
        wanted = {tuple(each.rsplit(":", 1)) for each in options.at}
        return [each for each in every if (each.module, str(each.first)) in wanted]
    if options.only:
        every = [each for each in every if each.module.startswith(tuple(options.only))]
    by_room: dict[str, list[Mutant]] = defaultdict(list)
    for each in every:
        by_room[room_of(each.module)].append(each)
    if not options.sample:
        return every
    drawn = [
        Random(f"{options.seed} {room}").sample(found, min(options.sample, len(found)))
        for room, found in sorted(by_room.items())
    ]
    return [each for found in drawn for each in found]


def _preload() -> None:
    """What every child needs, loaded once: libraries, never the engine."""
    for name in ("pytest", "hypothesis", "pydantic", "yaml", "networkx", "lark", "lark.parsers.lalr_parser", "openpyxl"):
        importlib.import_module(name)


def arguments_of(arguments: Sequence[str]) -> argparse.Namespace:
    options = argparse.ArgumentParser()
    options.add_argument("--sample", type=int, default=0, help="so many of each room; 0: all")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--only", action="append", default=[], help="modules whose names begin so")
    options.add_argument("--control", action="store_true", help="change nothing: what is killed then, this script killed")
    options.add_argument("--again", action="store_true", help="try afresh what survived inside functions too")
    options.add_argument("--at", action="append", default=[], help="MODULE:LINE")
    options.add_argument("--tests", action="append", default=[], help="only these, as named below tests/")
    options.add_argument("--kept", type=Path, default=ROOT / "build" / "mutation", help="folder for what was measured")
    return options.parse_args(arguments)


def main(arguments: Sequence[str]) -> int:
    options = arguments_of(arguments)
    os.environ["COAXWRIGHT_CACHE"] = "off"
    os.chdir(ROOT)
    _preload()
    kept = options.kept / "touching.json"
    if not kept.exists():
        forked(lambda _: touching.measure(kept, options.tests or touching.FOLDERS) or 0)
    if options.control:
        return controlled(chosen_mutants(options), touching.read(kept))
    run(chosen_mutants(options), touching.read(kept), options.kept / "fates.jsonl", options.again)
    return 0


def controlled(wanted: Sequence[Mutant], known: Touching) -> int:
    """The same forks and tests with nothing changed: 1 where any would count as killed."""
    killed: list[str] = []

    def said(mutant: Mutant, fate: str, by: str) -> None:
        if fate != SURVIVED:
            killed.append(f"{mutant} {fate} by {by}")

    in_server([each for each in wanted if each.inside], known, said, control=True)
    print(f"{len(wanted)} tried with nothing changed, {len(killed)} killed all the same", *killed, sep="\n")
    return int(bool(killed))


def run(wanted: Sequence[Mutant], known: Touching, log: Path, again: bool = False) -> Counter[tuple[str, str]]:
    """Fates of these mutants, printed and logged; `again`: what survived in the server is tried afresh."""
    counts: Counter[tuple[str, str]] = Counter()
    started = time.monotonic()
    done = {each["mutant"]: each["fate"] for each in map(json.loads, log.read_text().splitlines())} if log.exists() else {}
    for each in wanted:
        if str(each) in done:
            counts[room_of(each.module), done[str(each)]] += 1
    wanted = [each for each in wanted if str(each) not in done]
    left: list[Mutant] = [each for each in wanted if not each.inside]
    with log.open("a") as lines:

        def told(mutant: Mutant, fate: str, by: str) -> None:
            counts[room_of(mutant.module), fate] += 1
            seconds = round(time.monotonic() - started, 1)
            lines.write(json.dumps({"mutant": str(mutant), "fate": fate, "by": by, "after": seconds}) + "\n")
            lines.flush()
            if fate != KILLED:
                print(f"{fate}: {mutant}", flush=True)

        def first(mutant: Mutant, fate: str, by: str) -> None:
            if fate == SURVIVED and (again or by == UNTOUCHED):
                left.append(mutant)
            else:
                told(mutant, fate, by)

        in_server([each for each in wanted if each.inside], known, first)
        print(f"{len(left)} left to be imported afresh after {time.monotonic() - started:.0f} s", flush=True)
        for mutant in left:
            told(mutant, afresh(mutant, known), "afresh")
    _summary(counts, time.monotonic() - started)
    return counts


def _summary(counts: Counter[tuple[str, str]], seconds: float) -> None:
    for room in sorted({room for room, _ in counts}):
        tried = sum(count for (each, _), count in counts.items() if each == room)
        killed = tried - counts[room, SURVIVED]
        print(f"{room}: {tried} mutants, {killed} killed ({100 * killed / tried:.1f} %), of them {counts[room, SLOW]} slow")
    print(f"{sum(counts.values())} mutants in {seconds:.0f} s")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
