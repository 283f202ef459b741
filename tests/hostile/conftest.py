"""The command as a process of its own in a folder, with what it used of time and memory."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Run:
    """`seconds` are of the processor, not of the clock: other work on the machine does not count."""

    status: int
    told: str
    seconds: float
    megabytes: float


@pytest.fixture
def run(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Run]:
    home = tmp_path_factory.getbasetemp() / "home"

    def in_folder(folder: Path, *call: str) -> Run:
        environment = {"PATH": os.environ["PATH"], "HOME": str(home), "PYTHONPATH": str(ROOT / "engine"), "LANG": "C.UTF-8"}
        process = subprocess.Popen(
            [sys.executable, "-m", "coaxwright", *call], cwd=folder, env=environment,
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip
        assert process.stdout is not None
        told = process.stdout.read().decode()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        return Run(process.returncode, told, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)

    return in_folder
