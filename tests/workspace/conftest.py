"""Workspaces on copies of the examples."""

from __future__ import annotations

import datetime
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import reply
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
DAY = datetime.date(2026, 11, 30)
PRESS = "quill-orchard.site.yaml"

Ask = Callable[..., dict[str, Any]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the cider press: faults of many kinds, one length not given."""
    return Path(shutil.copytree(ROOT / "examples" / "cider-press", tmp_path / "press"))


@pytest.fixture
def work(folder: Path) -> Workspace:
    made = Workspace(FolderStore(folder), today=DAY)
    made.open(PRESS)
    return made


@pytest.fixture
def ask(work: Workspace) -> Ask:
    """A request to that workspace that saw its last version."""

    def asked(do: str, **rest: Any) -> dict[str, Any]:
        return reply(work, {"id": 1, "do": do, "version": work.site.version, **rest})

    return asked
