"""The command line run in this process, and as a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Told:
    """What a call came to: the names are those of a process that has ended."""

    returncode: int
    stdout: bytes
    stderr: bytes


@pytest.fixture
def here(capfd: pytest.CaptureFixture[str]) -> Callable[..., Told]:
    """Run the command in this process: for calls whose words and status are asked, and not how a process starts."""

    def call(*words: str) -> Told:
        capfd.readouterr()
        status = run(list(words))
        out, err = capfd.readouterr()
        return Told(status, out.encode(), err.encode())

    return call


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home that was empty at first: rules are read and kept there once, not for every test."""
    return tmp_path_factory.mktemp("home")


@pytest.fixture
def coaxwright(tmp_path: Path, home: Path) -> Callable[..., subprocess.CompletedProcess[bytes]]:
    """Run the command as its own process in an empty folder, with a home of the tests' own and little environment."""

    def process(*words: str, cwd: Path = tmp_path, stdout: int = subprocess.PIPE, program: str = "", **environ: str) -> object:
        environment = {
            "PATH": os.environ["PATH"],
            "HOME": str(home),
            "LANG": "C.UTF-8",
            "PYTHONPATH": str(ROOT / "engine"),
            **environ,
        }
        call = [sys.executable, *(["-c", program] if program else ["-m", "coaxwright"]), *words]
        return subprocess.run(
            call, cwd=cwd, env=environment, stdin=subprocess.DEVNULL, stdout=stdout, stderr=subprocess.PIPE,
            check=False, timeout=600,
        )  # fmt: skip

    return process  # type: ignore[return-value]
