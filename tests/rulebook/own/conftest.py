"""A folder of rules as a user writes one."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.loading import load_rulebook

Write = Callable[..., Path]


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


@pytest.fixture(autouse=True)
def _few(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program of one rule: what a user adds does not hang on how many there are."""
    (tmp_path / "program" / "plain").mkdir(parents=True)
    (tmp_path / "program" / "plain" / "low.yaml").write_text(
        "id: plain/low\ntitle: A title\nlevel: note\nabout: feed\nrequire: feed.volts_night > 0.0\nsays: low\n"
        'why: Because.\nsources: [{title: common practice}]\nsince: "0.1"\n'
    )
    monkeypatch.setattr("coaxwright.rulebook.rule_files.own_folder", lambda: tmp_path / "program")


@pytest.fixture
def mine(tmp_path: Path) -> Write:
    """Writes files by name (`__` for a stroke) below a folder, and gives the folder."""

    def write(**files: str) -> Path:
        folder = tmp_path / "mine"
        for name, text in files.items():
            path = folder / f"{name.replace('__', '/').replace('_cases', '.cases').replace('_', '-')}.yaml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(textwrap.dedent(text), encoding="utf-8")
        return folder

    return write


@pytest.fixture
def book(mine: Write) -> Callable[..., Rulebook]:
    """The rulebook with such a folder."""
    return lambda **files: load_rulebook([mine(**files)])
