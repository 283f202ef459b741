"""How the command is called: help, names that were nearly right, streams, and how fast it starts."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[bytes]]
COMMANDS = ["check", "explain", "rules", "parts", "schema", "demo"]
ALL = [[], *([name] for name in COMMANDS), ["rules", "list"], ["rules", "test"], ["rules", "docs"],
       ["parts", "list"], ["parts", "show"]]  # fmt: skip


@pytest.mark.parametrize("option", ["-h", "--help"])
@pytest.mark.parametrize("words", ALL, ids=" ".join)
def test_help_begins_with_examples(coaxwright: Run, words: list[str], option: str) -> None:
    done = coaxwright(*words, option)
    lines = done.stdout.decode().splitlines()
    assert done.returncode == 0
    assert lines[0] == "Examples:"
    assert lines[1].startswith("  coaxwright " + " ".join(words[:1]))
    assert done.stderr == b""


def test_bare_call_is_short(coaxwright: Run) -> None:
    done = coaxwright()
    assert done.returncode == 0
    lines = done.stdout.decode().splitlines()
    assert len(lines) <= 25
    assert all(any(line.strip().startswith(name) for line in lines) for name in COMMANDS)


def test_version(coaxwright: Run) -> None:
    from coaxwright import __version__

    assert coaxwright("--version").stdout.decode() == f"coaxwright {__version__}\n"


@pytest.mark.parametrize(
    ("words", "meant"),
    [
        (["chek"], "`check`"),
        (["explian", "x"], "`explain`"),
        (["rules", "lst"], "`list`"),
        (["part"], "`parts`"),
        (["check", "x", "--fromat", "json"], "--format"),
        (["check", "x", "--format", "jsn"], "json"),
        (["schema", "sight"], "site"),
    ],
)
def test_nearly_right_names(coaxwright: Run, words: list[str], meant: str) -> None:
    done = coaxwright(*words)
    assert done.returncode == 2
    assert done.stdout == b""
    assert meant in done.stderr.decode()
    assert "Traceback" not in done.stderr.decode()


def test_no_command_is_ever_guessed(coaxwright: Run) -> None:
    assert coaxwright("chec", "--help").returncode == 2


@pytest.mark.parametrize(
    "words",
    [["check"], ["explain"], ["explain", "a", "b", "c"], ["zzz"], ["check", "a", "--fail-on", "x"],
     ["parts", "show"], ["check", "--rules"], ["demo", "nowhere"], ["schema", "zzz"], ["\x1b[2J"],
     ["check", "\x1b[2J\u202e"]],
    ids=ascii,
)  # fmt: skip
def test_wrong_calls_are_status_2_without_traceback(coaxwright: Run, words: list[str]) -> None:
    done = coaxwright(*words)
    told = done.stderr.decode()
    assert done.returncode == 2
    assert done.stdout == b""
    assert 1 <= len(told.splitlines()) <= 3
    assert "Traceback" not in told
    assert "fault in the program" not in told
    assert "\x1b" not in told
    assert "\u202e" not in told


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
def test_full_disk_on_standard_output(coaxwright: Run) -> None:
    with open("/dev/full", "wb") as full:
        done = coaxwright("schema", stdout=full.fileno())
    assert done.returncode == 2
    assert done.stderr.decode() == "standard output: cannot be written: No space left on device\n"


def test_reader_that_leaves_is_no_fault(coaxwright: Run) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = coaxwright("schema", stdout=writing)
    finally:
        os.close(writing)
    assert done.stderr == b""
    assert done.returncode == 0


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["check", "--help"]], ids=" ".join)
def test_help_starts_quickly(coaxwright: Run, words: list[str]) -> None:
    """Under 0.15 s of processor time, the median of several: other tests may keep the machine busy."""
    took = []
    for _ in range(7):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        coaxwright(*words)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    assert statistics.median(took) < 0.15


@pytest.mark.parametrize("words", [["--help"], ["check", "--help"], ["explain", "--help"]], ids=" ".join)
def test_help_imports_nothing_heavy(coaxwright: Run, words: list[str]) -> None:
    done = coaxwright(*words, PYTHONPROFILEIMPORTTIME="1")
    imported = {line.rpartition("|")[2].strip() for line in done.stderr.decode().splitlines()}
    assert "coaxwright.cli.main" in imported
    assert not imported & {"pydantic", "networkx", "lark", "yaml", "coaxwright.model", "coaxwright.checking"}
