"""Where data is found: in the package first, then beside engine/, and a clear refusal otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxwright import resources


def test_checkout_is_found() -> None:
    assert Path(str(resources.data_root("rules"))).name == "rules"


def test_packaged_data_comes_first(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "_rules").mkdir()
    monkeypatch.setattr(resources, "files", lambda name: tmp_path)
    assert resources.data_root("rules") == tmp_path / "_rules"


def test_absence_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(resources, "files", lambda name: tmp_path)
    monkeypatch.setattr(resources, "__file__", str(tmp_path / "a" / "b" / "c.py"))
    with pytest.raises(FileNotFoundError, match="schemas/ is neither"):
        resources.data_root("schemas")
