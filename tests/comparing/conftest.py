"""Two versions of a site of an example, side by side in a folder of their own."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
YARD = ROOT / "examples" / "boatyard"
PRESS = ROOT / "examples" / "cider-press"

Edited = Callable[..., tuple[Path, Path]]


@pytest.fixture
def edited(tmp_path: Path) -> Edited:
    """The site of an example and a copy in which texts were replaced; each has to stand there."""

    def make(folder: Path, *changes: tuple[str, str]) -> tuple[Path, Path]:
        place = tmp_path / folder.name
        if not place.exists():
            shutil.copytree(folder, place)
        old = next(place.glob("*.site.yaml"))
        text = old.read_text(encoding="utf-8")
        for before, after in changes:
            assert before in text, before
            text = text.replace(before, after)
        new = place / "after.site.yaml"
        new.write_text(text, encoding="utf-8")
        return old, new

    return make
