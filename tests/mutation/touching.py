"""Which test touches which line of the engine, and how long each test takes: measured once, then kept as a file.

The caches of the engine are emptied before each test, so that what one test made is not missing from the next one's lines.
"""

from __future__ import annotations

import functools
import gc
import json
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("facts", "physics", "language", "rulebook", "rules", "network", "checking", "tables", "topology", "examples",
           "second_opinion")  # fmt: skip
PLAIN = ("-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:randomly", "--hypothesis-seed=0", "--capture=no")
PACKAGES = ("coaxwright.facts", "coaxwright.language", "coaxwright.rulebook", "coaxwright.checking", "coaxwright.findings")


@dataclass(frozen=True)
class Touching:
    """`seconds` by test; `lines[module][line]`: numbers of the tests that run it, in the order of `tests`."""

    tests: list[str]
    seconds: list[float]
    lines: dict[str, dict[int, list[int]]]

    def of(self, module: str, first: int, last: int) -> list[int]:
        """Numbers of the tests that run any of these lines."""
        found = self.lines.get(module, {})
        return sorted({test for line in range(first, last + 1) for test in found.get(line, ())})

    def of_module(self, module: str) -> list[int]:
        return sorted({test for tests in self.lines.get(module, {}).values() for test in tests})


def emptied_caches() -> list[Any]:
    """Every cache of a function of the engine, emptied."""
    gc.unfreeze()  # what tests/conftest.py takes out of the collector's sight is not among its objects either
    found = [
        each
        for each in gc.get_objects()
        if isinstance(each, functools._lru_cache_wrapper) and each.__module__.startswith("coaxwright")
    ]
    for each in found:
        each.cache_clear()
    return found


class Measure:
    """Tells coverage which test runs, and times it."""

    def __init__(self, recorder: Any) -> None:
        self.recorder, self.seconds, self.caches, self.failed = recorder, {}, [], set()

    def pytest_collection_finish(self) -> None:
        # the grammar of expressions is data, and slow to build
        self.caches = [each for each in emptied_caches() if each.__module__ != "coaxwright.language.parsing"]

    def pytest_runtest_logreport(self, report: Any) -> None:
        if report.failed:
            self.failed.add(report.nodeid)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        for each in self.caches:
            each.cache_clear()
        self.recorder.switch_context(item.nodeid)
        start = time.perf_counter()
        result = yield
        self.seconds[item.nodeid] = time.perf_counter() - start
        return result


def measure(kept: Path, folders: Iterable[str] = FOLDERS, packages: Sequence[str] = PACKAGES) -> None:
    """Run the tests once with every line told apart, write what was seen to `kept`, and print the branches not taken."""
    import coverage

    recorder = coverage.Coverage(data_file=None, branch=True, source_pkgs=list(packages), messages=False, config_file=False)
    recorder.start()
    watch = Measure(recorder)
    pytest.main([*PLAIN, *(str(ROOT / "tests" / each) for each in folders)], plugins=[watch])
    recorder.stop()
    print(f"measured {len(watch.seconds)} tests, left out as failing: {sorted(watch.failed)}", flush=True)
    recorder.report(show_missing=True, skip_covered=True, file=sys.stdout)
    tests = [each for each in watch.seconds if each not in watch.failed]  # what fails by itself kills nothing
    numbers = {name: at for at, name in enumerate(tests)}
    data, lines = recorder.get_data(), {}
    for file in data.measured_files():
        module = Path(file).relative_to(ROOT / "engine" / "coaxwright").with_suffix("").as_posix().replace("/", ".")
        by_line = data.contexts_by_lineno(file)
        lines[module] = {
            line: sorted(numbers[each] for each in seen if each in numbers) for line, seen in by_line.items()
        }
    kept.parent.mkdir(parents=True, exist_ok=True)
    kept.write_text(json.dumps({"tests": tests, "seconds": [watch.seconds[each] for each in tests], "lines": lines}))


def read(kept: Path) -> Touching:
    plain = json.loads(kept.read_text())
    lines = {name: {int(line): tests for line, tests in each.items()} for name, each in plain["lines"].items()}
    return Touching(plain["tests"], plain["seconds"], lines)
