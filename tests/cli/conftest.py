"""The command line run in this process, and as a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def coaxwright(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[bytes]]:
    """Run the command as its own process in an empty folder, with an empty home and little environment."""

    def run(*words: str, cwd: Path = tmp_path, stdout: int = subprocess.PIPE, **environ: str) -> object:
        environment = {
            "PATH": os.environ["PATH"],
            "HOME": str(tmp_path / "home"),
            "LANG": "C.UTF-8",
            "PYTHONPATH": str(ROOT / "engine"),
            **environ,
        }
        call = [sys.executable, "-m", "coaxwright", *words]
        return subprocess.run(
            call, cwd=cwd, env=environment, stdin=subprocess.DEVNULL, stdout=stdout, stderr=subprocess.PIPE,
            check=False, timeout=600,
        )  # fmt: skip

    return run  # type: ignore[return-value]
