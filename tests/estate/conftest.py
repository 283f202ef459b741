"""Two small sites in a folder of their own, which is the current one, and a way to call commands in this process."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
Call = Callable[..., tuple[int, str, str]]
YARD = Path("yard") / "alder-wharf.site.yaml"


@pytest.fixture
def sites(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """`yard` and `dock`: one site twice, with nothing that fails and four remarks each."""
    for name in ("dock", "yard"):
        shutil.copytree(ROOT / "examples" / "boatyard", tmp_path / name)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def call(capfd: pytest.CaptureFixture[str]) -> Call:
    """Run a command: its status, what it said, what it complained of."""

    def called(*words: str) -> tuple[int, str, str]:
        status = run(words)
        out, err = capfd.readouterr()
        return status, out, err

    return called


def edit(path: Path, old: str, new: str) -> None:
    """Put one text for another that stands there once or more."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
