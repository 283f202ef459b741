"""Work that was killed goes on: the same bytes as in one go, nothing of old that is not true any more, memory bounded.

The expected bytes are those of one process that was left alone.
"""

from __future__ import annotations

import datetime
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import islice
from multiprocessing import active_children
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.estate import Line, job_of, lines_over, site_lines, write_lines
from coaxwright.estate.lines import DEATHS

from .conftest import ROOT, YARD, Call, edit

JOB = job_of(today=datetime.date(2026, 11, 1))


@pytest.fixture
def many(sites: Path) -> list[str]:
    """Eight sites in folders of their own, one of which cannot be read."""
    for number in range(5):
        shutil.copytree("yard", f"s{number}")
    (Path("s3") / "broken.site.yaml").write_text("site: [\n", encoding="utf-8")
    return sorted(str(path) for path in Path().rglob("*.site.yaml"))


def _whole(paths: list[str]) -> bytes:
    return "".join(f"{line.text}\n" for line in site_lines(paths, JOB)).encode()


def _some(file: Path, paths: list[str], count: int) -> None:
    """Work that ends after a few lines, as if it had been killed."""
    lines = write_lines(file, paths, JOB)
    assert len(list(islice(lines, count))) == count
    lines.close()
    assert not file.exists()


@pytest.mark.parametrize("count", [1, 5, 8])
def test_the_same_bytes_at_the_end(many: list[str], count: int) -> None:
    file = Path("out.jsonl")
    _some(file, many, count)
    begun: list[str] = []

    def counting(paths: object, job: object) -> Iterator[Line]:
        listed = list(paths)  # type: ignore[call-overload]
        begun.extend(listed)
        return site_lines(listed, job)  # type: ignore[arg-type]

    told = list(write_lines(file, many, JOB, counting))
    assert file.read_bytes() == _whole(many)
    assert [line.text for line in told] == file.read_text(encoding="utf-8").splitlines()
    done = [each for each in many[:count] if "broken" not in each]
    assert begun == [each for each in many if each not in done], "what is kept is not worked out again"
    assert not list(Path().glob("out.jsonl.*"))


def test_half_a_line_at_the_end_is_no_line(many: list[str]) -> None:
    file, journal = Path("out.jsonl"), Path("out.jsonl.unfinished")
    _some(file, many, 5)
    journal.write_bytes(journal.read_bytes()[:-40])
    list(write_lines(file, many, JOB))
    assert file.read_bytes() == _whole(many)


@pytest.mark.parametrize("what", ["site", "parts", "new part file", "rules", "day", "gone", "rubbish"])
def test_nothing_of_old_that_is_not_true_any_more(many: list[str], what: str) -> None:
    file, job, paths = Path("out.jsonl"), JOB, list(many)
    _some(file, many, 8)
    if what == "site":
        edit(Path(many[0]), "length: 85 m", "length: 285 m")
    elif what == "parts":
        edit(Path(many[0]).parent / "parts" / "tarnwell.yaml", "watts_night: 5.2 W", "watts_night: 25 W")
    elif what == "new part file":
        (Path(many[0]).parent / "parts" / "more.yaml").write_text("parts: {}\n", encoding="utf-8")
    elif what == "rules":
        rule = Path("house/own/all-fed.yaml")
        rule.parent.mkdir(parents=True)
        text = "about: feed\nrequire: \"feed.load.name == 'nobody'\"\nsays: \"{feed.load.name} is fed.\"\n"
        rule.write_text(text, encoding="utf-8")
        job = job_of(["house"], datetime.date(2026, 11, 1))
    elif what == "day":
        job = job_of(today=datetime.date(2027, 11, 1))
    elif what == "gone":
        paths = many[1:]
    else:
        Path("out.jsonl.unfinished").write_bytes(b"\xff\x00 no journal\n[1]\n")
    list(write_lines(file, paths, job))
    assert file.read_text(encoding="utf-8") == "".join(f"{line.text}\n" for line in site_lines(paths, job))


def test_two_do_not_write_the_same(many: list[str]) -> None:
    if sys.platform == "win32":
        pytest.skip("no such locks here")
    first = write_lines(Path("out.jsonl"), many, JOB)
    next(first)
    with pytest.raises(Refusal, match="another process"):
        next(write_lines(Path("out.jsonl"), many, JOB))
    list(first)
    assert Path("out.jsonl").read_bytes() == _whole(many)


def test_a_process_that_is_killed_is_replaced(many: list[str]) -> None:
    lines = site_lines(many, JOB, 2)
    found = [next(lines)]
    os.kill(active_children()[0].pid, signal.SIGKILL)  # type: ignore[arg-type]
    found += lines
    assert found == list(site_lines(many, JOB))


def test_processes_that_are_killed_again_and_again_are_given_up(many: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """What kills its process each time does not go on for ever."""
    monkeypatch.setattr("coaxwright.estate.lines.site_batch", _kills)
    with pytest.raises(Refusal, match=f"killed {DEATHS} times"):
        list(site_lines(many, JOB, 2))


def _kills(paths: object, job: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.mark.parametrize("batch", [1, 5, 100])
def test_any_pool_gives_the_same(many: list[str], batch: int) -> None:
    with ThreadPoolExecutor(2) as pool:
        assert list(lines_over(pool, many, JOB, batch)) == list(site_lines(many, JOB))


def test_no_more_is_under_way_than_asked(many: list[str]) -> None:
    taken = 0

    def paths() -> Iterator[str]:
        nonlocal taken
        for each in many * 4:
            taken += 1
            yield each

    with ThreadPoolExecutor(1) as pool:
        lines = lines_over(pool, paths(), JOB, batch=2, ahead=8)
        next(lines)
        assert taken <= 8 + 2
        lines.close()


def test_command(many: list[str], call: Call) -> None:
    """Killed with no chance to tidy up, then called again: the bytes of a run that was left alone."""
    for number in range(12):
        shutil.copytree("yard", f"t{number}")
    words = ["check", ".", "--format", "jsonl", "--resume", "out.jsonl", "--today", "2026-11-01"]
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    running = subprocess.Popen([sys.executable, "-m", "coaxwright", *words], env=environment, stderr=subprocess.DEVNULL)
    journal = Path("out.jsonl.unfinished")
    while running.poll() is None and not (journal.exists() and journal.read_bytes().count(b"\n") > 3):
        time.sleep(0.01)
    running.kill()
    running.wait()
    assert not Path("out.jsonl").exists()
    status, out, said = call(*words[:-2])
    assert (status, out) == (2, "")
    assert "goes on with out.jsonl, by the day 2026-11-01" in said
    call("check", ".", "--format", "jsonl", "--output", "whole.jsonl", "--today", "2026-11-01")
    assert Path("out.jsonl").read_bytes() == Path("whole.jsonl").read_bytes()
    assert call(*words)[0] == 2
    assert "exists already" in call(*words)[2]


def test_what_does_not_go_together(sites: Path, call: Call) -> None:
    assert call("check", str(YARD), "--resume", "a")[0] == 2
    assert call("check", str(YARD), "--format", "jsonl", "--resume", "a", "--output", "b")[0] == 2
