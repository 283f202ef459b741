"""Ten draws of a pattern side by side: what a writer of patterns sees."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coaxwright.cli.main import run

NEVER = """
id: channels/mine
title: Inputs of a recorder with none in use
kind: value
level: recall
about: recorder
when: recorder.channels_used > 100
ask: "How many inputs has {recorder.name}?"
answer: recorder.channels
printed: {unit: inputs, decimals: 0}
slips: [half-counted, twice-counted]
shows: [models, inputs]
sources: [{title: common practice, for: "one camera an input"}]
"""


def test_ten_draws_with_their_slips(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["quiz", "patterns", "--try", "channels/inputs-free", "--format", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert len(found["draws"]) == 10
    for draw in found["draws"]:
        right = [letter for letter, option in draw["options"].items() if not option["slips"]]
        assert right == [draw["key"]]
        assert draw["options"][draw["key"]]["text"] == draw["answer"]
    assert {draw["key"] for draw in found["draws"]} == {"A", "B", "C"}


def test_what_never_comes_out_says_what_to_change(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "channels").mkdir()
    (tmp_path / "channels" / "mine.yaml").write_text(NEVER)
    assert run(["quiz", "patterns", "--patterns", str(tmp_path), "--try", "channels/mine"]) == 1
    said = capsys.readouterr().out
    assert "0 questions of 2" in said
    assert "widen `when`" in " ".join(said.split())
    assert run(["quiz", "patterns", "--patterns", str(tmp_path), "--try", "channels/mino"]) == 2
    assert "channels/mine" in capsys.readouterr().err
