"""What CONTRIBUTING says is done as it stands there, with a rule folder and a part catalogue made by its words alone."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
MADE = Path(__file__).with_name("contributed")


def _calls() -> list[str]:
    text = (ROOT / ".github" / "CONTRIBUTING.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
    return [line for block in blocks for line in block.splitlines() if line]


def test_its_commands_do_what_they_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """The parts have no fault, the rule has every case that it needs, and it judges a camera of that catalogue."""
    shutil.copytree(MADE, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    calls = _calls()
    assert len(calls) >= 3
    said = {}
    for line in calls:
        words = shlex.split(line)
        assert words[0] == "coaxwright"
        status = run(words[1:])
        said[words[1]] = status, "".join(capfd.readouterr())
    assert said["parts"][0] == 0
    assert "0 errors, 0 warnings" in said["parts"][1]
    assert said["rules"][0] == 0
    assert "4 cases of 1 rule: 4 hold, 0 do not." in said["rules"][1]
    assert said["check"][0] == 1
    assert "power/run-too-thin" in said["check"][1]
    assert "the house allows 1.5 V" in said["check"][1]


def test_a_case_that_is_left_out_is_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(MADE, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)
    cases = tmp_path / "our-rules" / "power" / "run-too-thin.cases.yaml"
    text = cases.read_text(encoding="utf-8")
    cases.write_text(text[: text.index("  - name: just inside")], encoding="utf-8")
    assert run(["rules", "test", "power/run-too-thin", "--rules", "our-rules"]) == 1
    told = "".join(capfd.readouterr())
    assert "no case is marked near_miss" in told
    assert "no case leaves it open" in told
