"""The check for fragments of the changelog, on small repositories of its own. That every change has one: common practice."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PLAIN = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}


def _git(folder: Path, *words: str) -> None:
    call = ["git", "-c", "user.name=n", "-c", "user.email=e@x", *words]
    subprocess.run(call, cwd=folder, check=True, env=PLAIN, capture_output=True)


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("repository")
    _git(folder, "init", "-q", "-b", "main")
    _write(folder, "engine/coaxwright/a.py", "rules/power/r.yaml", "rules/quiz/q.yaml", "docs/x.md", text="old")
    _git(folder, "add", "-A")
    _git(folder, "commit", "-qm", "first")
    return folder


def _write(folder: Path, *names: str, text: str) -> None:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


@pytest.mark.parametrize(
    ("names", "message", "told"),
    [
        (["docs/x.md"], "", ""),
        (["engine/coaxwright/a.py"], "", "a.py changed, and no fragment"),
        (["engine/coaxwright/a.py", "docs/changes/a.fixed.md"], "", ""),
        (["engine/coaxwright/a.py"], "\n\nChanges: nothing for users", ""),
        (["rules/power/r.yaml", "docs/changes/a.added.md"], "", "type verdict, figure or rule"),
        (["rules/power/r.yaml", "docs/changes/a.figure.md"], "", ""),
        (["rules/quiz/q.yaml", "docs/changes/a.added.md"], "", ""),
        (["docs/changes/a.news.md"], "", "a.news.md: a fragment is called"),
    ],
)
def test_what_a_change_has_to_say(begun: Path, names: list[str], message: str, told: str) -> None:
    _git(begun, "checkout", "-q", "-B", "change", "main")
    _write(begun, *names, text="new")
    _git(begun, "add", "-A")
    _git(begun, "commit", "-qm", f"change{message}")
    done = subprocess.run([ROOT / ".ci" / "fragments", "main"], cwd=begun, env=PLAIN, capture_output=True, text=True, check=False)
    assert done.returncode == bool(told), done.stderr
    assert told in done.stderr
    _git(begun, "checkout", "-q", "main")
