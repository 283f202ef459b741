"""Writing a fix while everything fails: each write, sync and rename in turn, kills, a full disk, a locked folder, two
writers, a reader that leaves, Ctrl-C.

At any moment the site file holds all of the old text or all of the new. Kinds of failure after Pillai et al., "All File
Systems Are Not Created Equal" (OSDI 2014), from memory. COAXWRIGHT_FULL=1 kills 500 times, a normal run 12.
"""

from __future__ import annotations

import contextlib
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.fixes.writing import undo, undo_path, write_patch
from coaxwright.reading import atomic
from coaxwright.reading.yaml_source import read_document

ROOT = Path(__file__).resolve().parents[2]
KILLS = 500 if os.environ.get("COAXWRIGHT_FULL") == "1" else 12
OLD = "site: Reed Landing\ncountry: fr   # kept\n" + "# a remark\n" * 5_000
NEW = OLD.replace("fr ", "de ")
PATCH = [{"op": "replace", "path": "/country", "value": "de"}]
CODE = """\
import sys
from coaxwright.fixes.writing import undo, write_patch
from coaxwright.reading.yaml_source import read_document
path, rounds = sys.argv[1], int(sys.argv[2])
print("ready", flush=True)
for _ in range(rounds):
    write_patch(path, read_document(path), [{"op": "replace", "path": "/country", "value": "de"}])
    undo(path)
"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    path = tmp_path / "a.site.yaml"
    path.write_text(OLD, encoding="utf-8")
    return path


def _write(site: Path) -> None:
    write_patch(site, read_document(site), PATCH)


STEPS = ("os.fsync", "os.replace", "os.fchmod", "os.fdopen", "tempfile.mkstemp", "os.scandir", "os.open", "os.fchown")


class Failing:
    """Counts the calls of all the steps together, and lets the n-th fail."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, failing: int, error: BaseException) -> None:
        self.calls, self.failing, self.error = 0, failing, error
        for step in STEPS:
            owner, _, name = step.partition(".")
            module = {"os": os, "tempfile": atomic.tempfile}[owner]
            monkeypatch.setattr(module, name, self._wrapped(getattr(module, name)))

    def _wrapped(self, real: Any) -> Any:
        def step(*arguments: Any, **named: Any) -> Any:
            self.calls += 1
            if self.calls == self.failing:
                raise self.error
            return real(*arguments, **named)

        return step


def _each_call(site: Path, error: BaseException) -> Iterator[tuple[int, BaseException | None]]:
    """One write for every n, the n-th call failing, until no call is left to fail."""
    for number in range(1, 200):
        site.write_text(OLD, encoding="utf-8")
        undo_path(site).unlink(missing_ok=True)
        with pytest.MonkeyPatch.context() as patched:
            failing = Failing(patched, number, error)
            try:
                _write(site)
                raised = None
            except (Refusal, KeyboardInterrupt) as caught:
                raised = caught
        if failing.calls < number:
            return
        yield number, raised


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), OSError(5, "Input/output error"), KeyboardInterrupt()])
def test_the_nth_call_fails_for_every_n(site: Path, error: BaseException) -> None:
    count = kept = 0
    for _number, raised in _each_call(site, error):
        text = site.read_text(encoding="utf-8")
        assert text == (OLD if raised is not None and text == OLD else NEW)
        assert not [each for each in os.listdir(site.parent) if each.endswith(".tmp")]
        count += 1
        kept += text == OLD
        if text == NEW:
            undo(site)
            assert site.read_text(encoding="utf-8") == OLD
    assert count >= 12
    assert kept >= 5


def _process(site: Path, rounds: int, **more: Any) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    call = [sys.executable, "-c", CODE, str(site), str(rounds)]
    return subprocess.Popen(call, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE, **more)


def test_killed_again_and_again(site: Path) -> None:
    states = set()
    for number in range(KILLS):
        process = _process(site, 10_000)
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        time.sleep(0.001 * (number * 7 % 40))
        process.kill()
        process.communicate()
        text = site.read_text(encoding="utf-8")
        assert text in (OLD, NEW), f"torn at kill {number}"
        states.add(text)
        with contextlib.suppress(Refusal):
            undo(site)
        assert site.read_text(encoding="utf-8") == OLD
        assert not undo_path(site).exists()
    assert states == {OLD, NEW} or KILLS < 100


def test_what_killed_processes_left_is_swept_up_when_old(site: Path) -> None:
    old, young = (site.with_name(f".{site.name}.{process}.abc_1234.tmp") for process in (999_999, 999_998))
    others = [site.with_name(name) for name in (".a.site.yaml.notes.tmp", ".b.site.yaml.5.abcd.tmp", "a.site.yaml.tmp")]
    for path in (old, young, *others):
        path.write_text("x", encoding="utf-8")
        os.utime(path, (1, 1))
    os.utime(young)
    _write(site)
    assert not old.exists()
    assert young.exists()
    assert all(path.exists() for path in others)


def test_no_room(site: Path) -> None:
    """A limit on the size of files gives what a full disk gives: a write that ends half-way."""

    def limited() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))

    process = _process(site, 1, preexec_fn=limited)
    _, told = process.communicate()
    assert process.returncode != 0
    assert "cannot be written: File too large" in told
    assert site.read_text(encoding="utf-8") == OLD
    assert os.listdir(site.parent) == [site.name]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere; see the next test")
def test_read_only_folder(site: Path) -> None:
    site.parent.chmod(0o555)
    try:
        with pytest.raises(Refusal, match="cannot be written: Permission denied"):
            _write(site)
    finally:
        site.parent.chmod(0o755)
    assert site.read_text(encoding="utf-8") == OLD


def test_read_only_file_system(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        raise OSError(30, "Read-only file system")

    document = read_document(site)
    monkeypatch.setattr(atomic.tempfile, "mkstemp", refuse)
    with pytest.raises(Refusal, match="cannot be written: Read-only file system"):
        write_patch(site, document, PATCH)
    assert site.read_text(encoding="utf-8") == OLD
    assert os.listdir(site.parent) == [site.name]


def test_two_writers_of_one_reading(site: Path) -> None:
    """Both read, both write: the second is told, and nothing of the first is lost."""
    first, second = read_document(site), read_document(site)
    write_patch(site, first, PATCH)
    with pytest.raises(Refusal, match="the file has changed since it was read"):
        write_patch(site, second, [{"op": "replace", "path": "/country", "value": "it"}])
    assert site.read_text(encoding="utf-8") == NEW
    undo(site)
    assert site.read_text(encoding="utf-8") == OLD


def test_two_processes_write_at_once(site: Path) -> None:
    """Each either writes or is told; the file is never mixed and its undo always fits it."""
    both = [_process(site, 50) for _ in range(2)]
    errors = [process.communicate()[1] for process in both]
    assert site.read_text(encoding="utf-8") in (OLD, NEW)
    told = ("has changed since", "nothing to undo", "no such file", "`country` is already", "what was kept")
    assert all(not error or "Refusal" in error or any(words in error for words in told) for error in errors)


def _command(*words: str, cwd: Path) -> subprocess.Popen[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine")}
    call = [sys.executable, "-m", "coaxwright", *words]
    return subprocess.Popen(call, cwd=cwd, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def test_the_reader_leaves(tmp_path: Path) -> None:
    process = _command("rules", "list", cwd=tmp_path)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    assert process.stderr.read() == b""
    assert process.wait() == 0


def test_interrupted(site: Path) -> None:
    """Ctrl-C while it works: status 130, one line, no traceback, nothing left behind."""
    folder = site.parent
    site.write_bytes((ROOT / "examples/ferry-terminal/kestrel-reach.site.yaml").read_bytes())
    (folder / "parts").mkdir()
    for part in (ROOT / "examples/ferry-terminal/parts").iterdir():
        (folder / "parts" / part.name).write_bytes(part.read_bytes())
    before = site.read_bytes()
    process = _command("fix", site.name, "--all", "--level", "note", "--budget", "1000000", "--write", cwd=folder)
    time.sleep(0.7)
    assert process.poll() is None, "it was over before it could be interrupted"
    process.send_signal(signal.SIGINT)
    _, told = process.communicate()
    assert process.returncode == 130
    assert told.decode().split("\n")[-2:] == ["coaxwright: interrupted", ""]
    assert len(told.split()) == 2
    assert site.read_bytes() == before
    assert not [each for each in os.listdir(folder) if each.endswith((".tmp", ".undo"))]


def test_what_is_kept_is_as_private_as_the_site(site: Path) -> None:
    site.chmod(0o600)
    _write(site)
    assert undo_path(site).stat().st_mode & 0o777 == 0o600
    assert site.stat().st_mode & 0o777 == 0o600


def test_killed_between_what_is_kept_and_the_site(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The undo lies there, and the write never happened: told, and removed, so that the next call says the same as ever."""
    from coaxwright.fixes import writing

    real = writing.write_atomically

    def killed(path: Any, *words: Any) -> None:
        if os.fspath(path) == os.fspath(site):
            raise KeyboardInterrupt
        real(path, *words)

    monkeypatch.setattr(writing, "write_atomically", killed)
    with pytest.raises(KeyboardInterrupt):
        _write(site)
    assert undo_path(site).exists()
    monkeypatch.undo()
    with pytest.raises(Refusal, match="nothing was written, or it was taken back already: there is nothing to undo"):
        undo(site)
    assert os.listdir(site.parent) == [site.name]
    with pytest.raises(Refusal, match="there is nothing to undo"):
        undo(site)
    assert site.read_text(encoding="utf-8") == OLD


@pytest.mark.parametrize(
    "kept", ["", "[]", "7", "{}", '{"before": 1, "after": 2}', "[" * 100_000, '{"earlier":' * 50_000, '"' + "x" * 9, "\0"]
)
def test_what_was_kept_is_not_readable(site: Path, kept: str) -> None:
    undo_path(site).write_text(kept, encoding="utf-8")
    with pytest.raises(Refusal, match="what was kept cannot be read"):
        undo(site)
    _write(site)
    undo(site)
    assert site.read_text(encoding="utf-8") == OLD
