"""`coaxwright rules cache`: where it is, what lies there, and its removal."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from coaxwright.cli.main import run
from coaxwright.rulebook import rule_files
from coaxwright.rulebook.loading import load_rulebook


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "coaxwright"


def test_it_is_shown_and_cleared(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "cache"]) == 0
    assert capsys.readouterr().out == f"{folder}\n0 files, 0.0 MB\n"
    load_rulebook()
    (folder / "notes.txt").write_text("not ours")
    assert run(["rules", "cache"]) == 0
    told = capsys.readouterr().out
    assert told.startswith(f"{folder}\n1 files, ")
    assert not told.endswith(" 0.0 MB\n")
    assert run(["rules", "cache", "--clear"]) == 0
    assert capsys.readouterr().out == f"{folder}\n1 files removed\n"
    assert [path.name for path in folder.iterdir()] == ["notes.txt"], "what is not ours stays"


def test_what_cannot_be_removed_is_named(folder: Path, capsys: pytest.CaptureFixture[str],
                                         monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    folder.mkdir()
    (folder / "0.json").touch()

    def refuse(self: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "unlink", refuse)
    assert run(["rules", "cache", "--clear"]) == 2
    assert capsys.readouterr().err == f"{folder}/0.json: could not be removed\n"


def test_without_a_home_nothing_is_kept(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.delenv("HOME", raising=False)
    assert run(["rules", "cache", "--clear"]) == 0
    assert "nothing is kept" in capsys.readouterr().out


def test_the_same_rules_are_compiled_once_a_process_and_others_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = load_rulebook()
    assert load_rulebook() is first
    copy = tmp_path / "rules"
    shutil.copytree(rule_files.own_folder(), copy)
    rule = copy / "power" / "undervoltage.yaml"
    rule.write_text(rule.read_text(encoding="utf-8").replace("title: ", "title: No ", 1), encoding="utf-8")
    monkeypatch.setattr(rule_files, "own_folder", lambda: copy)
    other = load_rulebook()
    assert other.rule("power/undervoltage").title == f"No {first.rule('power/undervoltage').title}"
    assert other.digest != first.digest
