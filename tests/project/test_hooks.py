"""What other programs load: the hook definitions and the completion script."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
HOOKS = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
EXAMPLES = sorted((ROOT / "examples").glob("*/*.site.yaml"))


@pytest.mark.parametrize("hook", HOOKS, ids=lambda hook: hook["id"])
def test_hook_calls_a_command_that_exists(hook: dict) -> None:
    assert {"id", "name", "entry", "language", "files"} <= set(hook)
    name, *args = hook["entry"].split()
    assert name == "coaxwright"
    done = _run(*args[:1], "--help")
    assert done.returncode == 0


def test_the_check_hook_takes_the_names_of_sites() -> None:
    (hook,) = (each for each in HOOKS if each["id"] == "coaxwright-check")
    assert all(re.search(hook["files"], str(path)) for path in EXAMPLES)
    assert not re.search(hook["files"], "parts/makers.yaml")
    done = _run(*hook["entry"].split()[1:], *map(str, EXAMPLES))
    assert done.returncode == 1, "some examples have errors, and a hook must fail on them"


def test_the_hook_for_all_sites_sees_changes_of_parts_prices_settings_and_rules(tmp_path: Path) -> None:
    """A part that asks for more power is the commonest edit that turns a verdict, and touches no site file."""
    (hook,) = (each for each in HOOKS if each["id"] == "coaxwright-check-all")
    for name in ("parts/makers.yaml", "yard/prices.yml", "coaxwright.project.yaml", "house/own/rule.yaml", "a.site.yaml"):
        assert re.search(hook["files"], name), name
    assert hook["pass_filenames"] is False
    shutil.copytree(ROOT / "examples" / "boatyard", tmp_path / "yard")
    words = hook["entry"].split()[1:]
    assert _run(*words, cwd=tmp_path).returncode == 0
    part = tmp_path / "yard" / "parts" / "tarnwell.yaml"
    part.write_text(part.read_text(encoding="utf-8").replace("watts_night: 5.2 W", "watts_night: 25 W"), encoding="utf-8")
    assert _run(*words, cwd=tmp_path).returncode == 1


def test_completion_loads_in_bash_and_completes() -> None:
    script = _run(env={"_COAXWRIGHT_COMPLETE": "bash_source"}).stdout
    loaded = subprocess.run(["bash", "-n"], input=script, capture_output=True, text=True, check=False)
    assert (loaded.returncode, loaded.stderr) == (0, "")
    words = {"_COAXWRIGHT_COMPLETE": "bash_complete", "COMP_WORDS": "coaxwright che", "COMP_CWORD": "1"}
    assert _run(env=words).stdout.split() == ["plain,check"]


def _run(*args: str, env: dict[str, str] | None = None, cwd: Path = ROOT / "engine") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "coaxwright", *args]
    return subprocess.run(
        command,
        capture_output=True,
        text=True,
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT / "engine"), **(env or {})},
        timeout=600,
        check=False,
    )
