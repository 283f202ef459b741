"""What README and docs/fixes.md show is what the commands print today: each block is compared with the command in it."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
FIXES = (ROOT / "docs" / "fixes.md").read_text(encoding="utf-8")
SITE = "examples/cider-press/quill-orchard.site.yaml"


def blocks_of(text: str) -> list[str]:
    return [body for mark, body in re.findall(r"^```(\w*)\n(.*?)^```$", text, flags=re.MULTILINE | re.DOTALL) if not mark]


BLOCKS = blocks_of(TEXT)
COMMANDS = [
    block
    for block in (*BLOCKS, *blocks_of(FIXES))
    if block.startswith("$ coaxwright ") and "--output" not in block.splitlines()[0]
]
SLOW = "fix"


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What a command says, then what it prints; how far it has come is left out."""
    run(list(words))
    shown = capsys.readouterr()
    return "".join(line for line in shown.err.splitlines(keepends=True) if not line.startswith("coaxwright: ")) + shown.out


def words_of(line: str) -> list[str]:
    return [word.strip("'") for word in line.removeprefix("$ coaxwright ").split()]


@pytest.mark.parametrize("block", COMMANDS, ids=lambda block: " ".join(block.partition("\n")[0].split()[2:]))
def test_a_command_with_its_output(
    block: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    line, _, shown = block.partition("\n")
    words = words_of(line)
    if words[0] == SLOW and "--on" not in words and os.environ.get("COAXWRIGHT_FULL") != "1":
        pytest.skip("takes some seconds: the long form does")
    monkeypatch.chdir(ROOT)
    assert shown.strip() in printed(capsys, *words).strip()


def test_parts_of_a_check(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    out = printed(capsys, "check", SITE, "--today", "2026-11-30")
    parts = [block for block in BLOCKS if not block.startswith("$ ")]
    assert len(parts) >= 3
    for block in parts:
        assert block.strip().removesuffix("...").strip() in out


def test_something_was_compared() -> None:
    assert len(COMMANDS) >= 3
