"""The lowest versions that `dependencies` allows give the same bytes as those that the tests run with.

The long form (COAXWRIGHT_FULL=1) installs them into an environment of their own, from the package index.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SITE = "examples/cider-press/quill-orchard.site.yaml"
PARTS = "examples/cider-press/parts/*.yaml"
CALLS = [
    ["check", SITE, "--format", "json"],
    ["check", SITE, "--format", "html"],
    ["check", "examples", "--format", "statistics"],
    ["limits", SITE, "cameras/yard", "--format", "json"],
    ["fix", SITE, "--on", "cameras/yard", "--format", "json"],
    ["explain", SITE, "cameras/yard"],
    ["pair", "brackwater/dome-2", "tarnwell/middle-8", "--parts", PARTS, "--format", "html"],
    ["quiz", "make", "--count", "3", "--format", "json"],
    ["rules", "list", "--format", "json"],
]


def lowest() -> list[str]:
    """Each dependency at its lower bound."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [line.replace(">=", "==") for line in project["dependencies"]]


def test_every_dependency_has_a_lower_bound() -> None:
    assert all(re.fullmatch(r"[a-z-]+==[0-9.]+", each) for each in lowest())


@pytest.mark.skipif(os.environ.get("COAXWRIGHT_FULL") != "1", reason="installs packages: the long form does")
def test_the_lowest_versions_give_the_same_bytes(tmp_path: Path) -> None:
    subprocess.run([sys.executable, "-m", "venv", tmp_path / "low"], check=True)
    subprocess.run([tmp_path / "low" / "bin" / "pip", "install", "-q", *lowest()], check=True)
    for call in CALLS:
        told = [
            subprocess.run(
                [python, "-m", "coaxwright", *call], cwd=ROOT, capture_output=True, check=False,
                env={**os.environ, "PYTHONPATH": str(ROOT / "engine"), "XDG_CACHE_HOME": str(tmp_path / "cache")},
            ).stdout
            for python in (sys.executable, str(tmp_path / "low" / "bin" / "python"))
        ]  # fmt: skip
        assert told[0] == told[1] != b"", call
