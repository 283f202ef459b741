"""The command as a process of its own in a folder, with what it used of time and memory."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
WATCH = """
import json, os, subprocess, sys
child = subprocess.Popen(sys.argv[1:], stderr=subprocess.STDOUT)
_, status, used = os.wait4(child.pid, 0)
print(json.dumps([status, used.ru_utime + used.ru_stime, used.ru_maxrss]), file=sys.stderr)
"""
"""Between us and the command: a process counts as its own what its parent held when it was made, and we hold a lot."""


@dataclass(frozen=True)
class Run:
    """`seconds` are of the processor, not of the clock: other work on the machine does not count."""

    status: int
    told: str
    seconds: float
    megabytes: float


@pytest.fixture(scope="session")
def run(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Run]:
    home = tmp_path_factory.getbasetemp() / "home"

    def in_folder(folder: Path, *call: str) -> Run:
        environment = {"PATH": os.environ["PATH"], "HOME": str(home), "PYTHONPATH": str(ROOT / "engine"), "LANG": "C.UTF-8"}
        watched = [sys.executable, "-S", "-c", WATCH, sys.executable, "-m", "coaxwright", *call]
        done = subprocess.run(watched, cwd=folder, env=environment, stdin=subprocess.DEVNULL, capture_output=True, check=True)
        status, seconds, kilobytes = json.loads(done.stderr)
        return Run(os.waitstatus_to_exitcode(status), done.stdout.decode(), seconds, kilobytes / 1024)

    return in_folder
