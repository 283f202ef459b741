"""How the command is called: help, names that were nearly right, streams, and how fast it starts."""

from __future__ import annotations

import os
import pty
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pydantic_core import SchemaError

ROOT = Path(__file__).resolve().parents[2]
Run = Callable[..., Any]
COMMANDS = ["check", "explain", "rules", "parts", "schema", "demo"]
ALL = [[], *([name] for name in COMMANDS), ["rules", "list"], ["rules", "test"], ["rules", "docs"],
       ["parts", "list"], ["parts", "show"]]  # fmt: skip


@pytest.mark.parametrize("option", ["-h", "--help"])
@pytest.mark.parametrize("words", ALL, ids=" ".join)
def test_help_begins_with_examples(here: Run, words: list[str], option: str) -> None:
    done = here(*words, option)
    lines = done.stdout.decode().splitlines()
    assert done.returncode == 0
    assert lines[0] == "Examples:"
    assert lines[1].startswith("  coaxwright " + " ".join(words[:1]))
    assert done.stderr == b""


def test_bare_call_is_short(here: Run) -> None:
    done = here()
    assert done.returncode == 0
    lines = done.stdout.decode().splitlines()
    assert len(lines) <= 25
    named = {name.strip() for line in lines[4:-1] for name in line[16:].split(",")}
    assert set(COMMANDS) <= named


def test_version(coaxwright: Run) -> None:
    """The version, and the digest of the rules that every report of the program's own rules carries."""
    from coaxwright import __version__, load_rulebook

    assert coaxwright("--version").stdout.decode() == f"coaxwright {__version__}\nrules {load_rulebook().digest}\n"


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
def test_nearly_right_names(here: Run, words: list[str], meant: str) -> None:
    done = here(*words)
    assert done.returncode == 2
    assert done.stdout == b""
    assert meant in done.stderr.decode()
    assert "Traceback" not in done.stderr.decode()


def test_no_command_is_ever_guessed(here: Run) -> None:
    assert here("chec", "--help").returncode == 2


@pytest.mark.parametrize(
    "words",
    [["check"], ["explain"], ["explain", "a", "b", "c"], ["zzz"], ["check", "a", "--fail-on", "x"],
     ["parts", "show"], ["check", "--rules"], ["demo", "nowhere"], ["schema", "zzz"], ["\x1b[2J"],
     ["check", "\x1b[2J\u202e"]],
    ids=ascii,
)  # fmt: skip
def test_wrong_calls_are_status_2_without_traceback(here: Run, words: list[str]) -> None:
    done = here(*words)
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


@pytest.mark.parametrize("words", [["--help"], ["check", "--help"]], ids=" ".join)
def test_help_starts_quickly(coaxwright: Run, words: list[str]) -> None:
    """Processor time against a Python that only imports the library of the command line; 1.6 times as much."""
    ours, plain = [], []
    for _ in range(4):
        ours.append(_seconds(lambda: coaxwright(*words)))
        plain.append(_seconds(lambda: subprocess.run([sys.executable, "-c", "import click"], check=True)))
    assert min(ours) < 5 * min(plain)


def _seconds(work: Callable[[], object]) -> float:
    """Processor time of the processes that it starts."""
    before = sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])
    work()
    return sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2]) - before


@pytest.mark.parametrize("words", [["--help"], ["check", "--help"], ["explain", "--help"]], ids=" ".join)
def test_help_imports_nothing_heavy(coaxwright: Run, words: list[str]) -> None:
    done = coaxwright(*words, PYTHONPROFILEIMPORTTIME="1")
    imported = {line.rpartition("|")[2].strip() for line in done.stderr.decode().splitlines()}
    assert "coaxwright.cli.main" in imported
    assert not imported & {"pydantic", "networkx", "lark", "yaml", "coaxwright.model", "coaxwright.checking"}


@pytest.fixture(scope="module")
def many_sites(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """More sites than any machine checks before the last of the delays."""
    folder = tmp_path_factory.mktemp("many")
    for number in range(300):
        shutil.copytree(ROOT / "examples" / "tram-depot", folder / str(number))
    return folder


@pytest.mark.parametrize("delay", [0.02, 0.1, 0.4, 0.8])
@pytest.mark.parametrize("jobs", ["1", "2"])
def test_interruption_is_quiet(tmp_path: Path, many_sites: Path, delay: float, jobs: str) -> None:
    """At any moment after Python itself has started: status 130 and one line, with several processes as well."""
    program = (
        "import sys, gc; from coaxwright.__main__ import main;"
        "gc.set_threshold = lambda *_: print('up', file=sys.stderr, flush=True);"  # the first thing that it does
        "sys.argv[1:] = ['check', '.', '--format', 'json', '--jobs', sys.argv[1]]; main()"
    )
    environment = {"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PYTHONPATH": str(ROOT / "engine")}
    process = subprocess.Popen(
        [sys.executable, "-c", program, jobs], cwd=many_sites, env=environment, start_new_session=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stderr is not None
    assert process.stderr.readline() == "up\n"
    time.sleep(delay)
    os.killpg(process.pid, signal.SIGINT)
    out, err = process.communicate(timeout=600)
    assert "Traceback" not in err
    assert err.strip() == "coaxwright: interrupted"
    assert process.returncode == 130
    assert out == ""


@pytest.mark.parametrize("wrapped", [RuntimeError, SchemaError])
def test_an_interruption_that_is_wrapped_is_one(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], wrapped: type[Exception]
) -> None:
    """Python 3.11 makes a RuntimeError of what comes while a class is being made, pydantic an error without a cause."""
    from coaxwright.cli import main

    def interrupted(*_: object, **__: object) -> None:
        try:
            raise KeyboardInterrupt
        except KeyboardInterrupt as error:
            raise wrapped("KeyboardInterrupt: while 'Field' was made") from (error if wrapped is RuntimeError else None)

    monkeypatch.setattr(main.group, "main", interrupted)
    assert main.run(["check", "x"]) == 130
    assert capfd.readouterr().err == "coaxwright: interrupted\n"


def _on_a_terminal(coaxwright: Run, *words: str, **environ: str) -> bytes:
    """What a terminal would be given."""
    ours, theirs = pty.openpty()
    try:
        coaxwright(*words, stdout=theirs, **environ)
        os.set_blocking(ours, False)
        return os.read(ours, 1_000_000)
    finally:
        os.close(ours)
        os.close(theirs)


def test_colour_on_a_terminal(coaxwright: Run, tmp_path: Path) -> None:
    site = tmp_path / "small.site.yaml"
    site.write_text("site: small\n", encoding="utf-8")
    call = ("check", str(site))
    assert b"\x1b[" in _on_a_terminal(coaxwright, *call, TERM="xterm")
    assert b"\x1b" not in _on_a_terminal(coaxwright, *call, TERM="xterm", NO_COLOR="1")
    assert b"\x1b" not in _on_a_terminal(coaxwright, *call, TERM="dumb")
    assert b"\x1b[" in _on_a_terminal(coaxwright, *call, TERM="xterm", NO_COLOR="")
