"""Watching: what changed is judged again and nothing else, whichever of its files it was; an interruption ends it quietly."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from coaxwright.cli import watch

from .conftest import ROOT, YARD, Call, edit

DOCK = Path("dock") / YARD.name
Step = Callable[[], object]


@pytest.fixture
def watched(call: Call, monkeypatch: pytest.MonkeyPatch) -> Callable[..., tuple[int, str, str]]:
    """Watch while steps are taken, one in each pause; then interrupt it."""

    def run(*steps: Step, words: tuple[str, ...] = (".",)) -> tuple[int, str, str]:
        left: Iterator[Step] = iter(steps)

        def pause(seconds: float) -> None:
            step = next(left, None)
            if step is None:
                raise KeyboardInterrupt
            step()

        monkeypatch.setattr(watch, "pause", pause)
        return call("check", *words, "--watch", "--detail", "concise")

    return run


def _closings(out: str) -> list[str]:
    return [line for line in out.splitlines() if "judgements)" in line]


def test_only_what_changed_is_judged_again(sites: Path, watched: Callable[..., tuple[int, str, str]]) -> None:
    status, out, said = watched(lambda: None, lambda: edit(YARD, "length: 85 m", "length: 285 m"), lambda: None)
    assert status == 130
    first, second = _closings(out)
    assert first.startswith("2 sites: 0 errors")
    assert second.startswith("1 error,")
    after = out.partition(first)[2]
    assert "cable/loss-beyond-limit cameras/slipway" in after
    assert "dock" not in after
    assert next(line for line in said.splitlines() if "changed" in line).endswith(f"changed: {YARD}")
    assert "interrupted" not in said


def test_a_part_file_changes_the_sites_that_name_it(sites: Path, watched: Callable[..., tuple[int, str, str]]) -> None:
    part = Path("dock/parts/tarnwell.yaml")
    _, out, said = watched(lambda: edit(part, "watts_night: 5.2 W", "watts_night: 25 W"))
    assert len(_closings(out)) == 2
    assert "errors" in _closings(out)[1]
    assert said.count("changed: ") == 1
    assert f"changed: {DOCK}" in said


def test_a_new_part_file_counts(sites: Path, watched: Callable[..., tuple[int, str, str]]) -> None:
    _, out, said = watched(lambda: Path("dock/parts/more.yaml").write_text("parts: [\n", encoding="utf-8"))
    assert "more.yaml" in said
    assert len(_closings(out)) == 1, "what cannot be read is told and has no counts"


def test_broken_and_mended(sites: Path, watched: Callable[..., tuple[int, str, str]]) -> None:
    """While the text is broken its part files are looked at still."""
    text = YARD.read_text(encoding="utf-8")
    _, out, said = watched(
        lambda: YARD.write_text(text + "\nsite: [\n", encoding="utf-8"), lambda: None,
        lambda: YARD.write_text(text, encoding="utf-8"),
    )  # fmt: skip
    assert len(_closings(out)) == 2
    assert said.count(f"changed: {YARD}") == 2


def test_sites_that_come_and_go(sites: Path, watched: Callable[..., tuple[int, str, str]]) -> None:
    quay = Path("quay") / YARD.name
    _, out, said = watched(lambda: shutil.copytree("dock", "quay"), lambda: shutil.rmtree("dock"))
    assert f"changed: {quay}" in said
    assert f"{DOCK} is gone" in said
    assert len(_closings(out)) == 2


def test_a_rule_changes_all(sites: Path, watched: Callable[..., tuple[int, str, str]]) -> None:
    rule = Path("house/own/all-fed.yaml")
    rule.parent.mkdir(parents=True)
    text = "about: feed\nrequire: \"feed.load.name == 'nobody'\"\nsays: \"{feed.load.name} is fed.\"\n"
    rule.write_text(text, encoding="utf-8")
    _, out, said = watched(
        lambda: rule.write_text("about: [\n", encoding="utf-8"),
        lambda: rule.write_text(text.replace("fed.", "well fed."), encoding="utf-8"),
        words=(".", "--rules", "house"),
    )  # fmt: skip
    assert said.count("changed: the rules") == 2
    assert "house/own/all-fed.yaml:" in said
    assert [closing.startswith("2 sites") for closing in _closings(out)] == [True, True]
    assert "is well fed." in out


def test_with_a_baseline(sites: Path, call: Call, watched: Callable[..., tuple[int, str, str]]) -> None:
    call("check", ".", "--write-baseline", "known.json")
    step = lambda: edit(YARD, "length: 85 m", "length: 285 m")  # noqa: E731
    _, out, _ = watched(step, words=(".", "--baseline", "known.json"))
    assert "8 known before" in _closings(out)[0]
    assert _closings(out)[1].startswith("1 error,")


def test_nothing_to_watch(sites: Path, call: Call) -> None:
    Path("empty").mkdir()
    assert call("check", "empty", "--watch")[0] == 2
    for words in (("--format", "json"), ("--output", "x"), ("--write-baseline", "x")):
        assert call("check", ".", "--watch", *words)[0] == 2
    assert call("check", "-", "--watch")[0] == 2


@pytest.mark.skipif(sys.platform == "win32", reason="signals")
def test_an_interruption_ends_the_process_quietly(sites: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    call = [sys.executable, "-m", "coaxwright", "check", ".", "--watch", "--detail", "concise"]
    running = subprocess.Popen(call, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert running.stdout is not None
    while "judgements)" not in running.stdout.readline():
        assert running.poll() is None
    time.sleep(0.1)
    running.send_signal(signal.SIGINT)
    _, said = running.communicate(timeout=60)
    assert running.returncode == 130
    assert [line for line in said.splitlines() if "watching" not in line] == []
