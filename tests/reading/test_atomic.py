"""A failure at any step of writing leaves the old file, whole, and nothing beside it."""

from __future__ import annotations

import multiprocessing
import os
import resource
import signal
import stat
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.reading.atomic import write_atomically


def test_writes_what_was_given(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    for text in ("a: 1\r\nb: é\n", "", "x" * 10**6):
        write_atomically(path, text)
        assert path.read_bytes() == text.encode()
    assert [entry.name for entry in tmp_path.iterdir()] == ["site.yaml"]


def test_mode_is_kept_and_links_are_followed(tmp_path: Path) -> None:
    target = tmp_path / "real.yaml"
    target.write_text("old")
    target.chmod(0o640)
    link = tmp_path / "link.yaml"
    link.symlink_to("real.yaml")
    write_atomically(link, "new")
    assert link.is_symlink()
    assert target.read_text() == "new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_new_files_obey_the_umask(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_atomically(tmp_path / "new.yaml", "x")
        assert os.umask(0o027) == 0o027
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "new.yaml").stat().st_mode) == 0o640


def test_longest_file_name(tmp_path: Path) -> None:
    path = tmp_path / ("é" * 125 + ".yaml")
    write_atomically(path, "x")
    assert path.read_text() == "x"


@pytest.mark.parametrize("step", ["tempfile.mkstemp", "os.fdopen", "os.fsync", "os.fchmod", "os.replace"])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_failure_at_each_step(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, error: BaseException
) -> None:
    path = tmp_path / "site.yaml"
    path.write_text("old")

    def fail(*_arguments: Any, **_named: Any) -> None:
        raise error

    monkeypatch.setattr(f"coaxwright.reading.atomic.{step}", fail)
    with pytest.raises(type(error)):
        write_atomically(path, "new")
    monkeypatch.undo()
    assert path.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["site.yaml"]


def test_failure_to_sync_the_folder_leaves_the_new_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.fsync

    def only_files(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(22, "Invalid argument")
        real(handle)

    monkeypatch.setattr("os.fsync", only_files)
    write_atomically(tmp_path / "site.yaml", "new")
    assert (tmp_path / "site.yaml").read_text() == "new"


def in_process(work: Callable[..., None], *arguments: Any) -> int:
    """Exit status of a forked process that does this work."""
    process = multiprocessing.get_context("fork").Process(target=work, args=arguments)
    process.start()
    process.join(30)
    assert process.exitcode is not None
    return process.exitcode


def write_with_little_room(path: Path) -> None:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
    try:
        write_atomically(path, "x" * 100_000)
    except OSError as error:
        sys.exit(error.errno)


def test_file_size_limit_of_the_system(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_text("old")
    assert in_process(write_with_little_room, path) == 27  # EFBIG
    assert path.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["site.yaml"]


def write_for_ever(path: Path) -> None:
    for number in range(10**9):
        write_atomically(path, f"{number % 10}" * 200_000)


def test_killed_while_writing(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_text("old")
    for wait in range(20):
        process = multiprocessing.get_context("fork").Process(target=write_for_ever, args=(path,))
        process.start()
        process.join(0.01 + wait * 0.003)
        process.kill()
        process.join()
        text = path.read_text()
        assert text == "old" or (len(text) == 200_000 and len(set(text)) == 1)
    leftovers = [entry.name for entry in tmp_path.iterdir() if entry.name != "site.yaml"]
    assert all(name.startswith(".site.yaml.") and name.endswith(".tmp") for name in leftovers)


def test_folders_and_devices_are_not_replaced(tmp_path: Path) -> None:
    with pytest.raises(OSError):  # noqa: PT011 - which error is the system's choice
        write_atomically(tmp_path, "x")
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(OSError, match="not a regular file"):
        write_atomically(tmp_path / "pipe", "x")
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)
    with pytest.raises(FileNotFoundError):
        write_atomically(tmp_path / "no" / "x.yaml", "x")
