"""Workers end with the process that started them, also when it is killed and can tell nobody."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 300
"""Looks, a fifth of a second apart, before a worker is said to stay for good: a busy machine is no fault."""


def _children(parent: int) -> set[int]:
    """Processes whose parent this is, but for those that are dead and only waited for."""
    found = set()
    for entry in Path("/proc").iterdir():
        if entry.name.isdecimal():
            state, ppid = _stat(entry)
            if ppid == parent and state != "Z":
                found.add(int(entry.name))
    return found


def _stat(entry: Path) -> tuple[str, int]:
    try:
        fields = (entry / "stat").read_text().rpartition(")")[2].split()
    except OSError:
        return "Z", 0
    return fields[0], int(fields[1])


def _lives(pid: int) -> bool:
    return _stat(Path("/proc", str(pid)))[0] not in "ZX"


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="no /proc here, which tells who is whose child")
@pytest.mark.parametrize("form", ["jsonl", "json"])
def test_workers_end_when_their_parent_is_killed(tmp_path: Path, form: str) -> None:
    for number in range(300):
        shutil.copytree(ROOT / "examples" / "tram-depot", tmp_path / str(number))
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    call = [sys.executable, "-m", "coaxwright", "check", str(tmp_path), "--format", form, "--jobs", "2"]
    parent = subprocess.Popen(call, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    workers: set[int] = set()
    for _ in range(PATIENCE):
        workers = _children(parent.pid)
        if len(workers) == 2:
            break
        time.sleep(0.05)
    assert len(workers) == 2
    parent.send_signal(signal.SIGKILL)
    parent.wait()
    for _ in range(PATIENCE):
        left = {worker for worker in workers if _lives(worker)}
        if not left:
            return
        time.sleep(0.2)
    for worker in left:
        os.kill(worker, signal.SIGKILL)
    pytest.fail(f"{len(left)} of 2 workers stayed")
