"""A power cut at every moment of `fix --write` and `fix --undo`: the site is the whole old text or the whole new one.

Every file operation of a real run is recorded; each prefix of them is replayed as the disk may hold it after a cut. What
was not synced may be there, half there or not there: bytes of a file without fsync of that file, names without fsync of
the folder, in any combination, since a file system may write them in any order (POSIX.1-2017, fsync and rename: what is
synced is on the disk, a rename happens or does not; kinds of reordering after Pillai et al., "All File Systems Are Not
Created Equal", OSDI 2014, from memory). Then `--undo` is called on what is left.
"""

from __future__ import annotations

import itertools
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.fixes.writing import undo, undo_path
from coaxwright.reading import atomic

ROOT = Path(__file__).resolve().parents[2]
SITE = """\
site: Two cameras     # kept
recorders:
  r1: {part: tarnwell/middle-8, disks: [generic/disk-8tb]}
supplies:
  p1: {part: generic/dc12-10a-9way, trim: 12 V}
parts: [parts/*.yaml]
cameras:
  c1:
    part: tarnwell/turret-5
    video: {into: r1/9, over: [{cable: rg59-copper, length: 30 m}]}   # no such input
    power: {from: p1/1, over: [{cable: dc-0.5mm2, length: 80 m}]}
"""
Operation = tuple[str, ...] | tuple[str, int, bytes] | tuple[str, int]
Disk = dict[str, bytes]
"""Files of the folder by name."""


@dataclass
class Recorder:
    """Every operation on files of one folder: create, write, sync, rename, unlink, sync of the folder.

    Files are known by the number of their creation. `unseen` are files that Python opened for writing, renamed or removed
    there without an operation recorded: there must be none.
    """

    folder: Path
    operations: list[Operation] = field(default_factory=list)
    handles: dict[int, int] = field(default_factory=dict)
    folders: set[int] = field(default_factory=set)
    made: int = 0
    told: list[tuple[str, str]] = field(default_factory=list)

    def name(self, path: Any) -> str | None:
        """The name of a file of the folder; None for any other."""
        found = Path(os.fspath(path))
        return found.name if found.parent == self.folder else None


_listening: list[Recorder] = []


def _heard(event: str, arguments: tuple[Any, ...]) -> None:
    """Python tells every open, rename and remove, whoever calls for it: that nothing is missed above."""
    if not _listening or event not in ("open", "os.rename", "os.remove", "os.truncate", "os.link", "os.symlink"):
        return
    if event == "open" and not (isinstance(arguments[2], int) and arguments[2] & (os.O_WRONLY | os.O_RDWR)):
        return
    if isinstance(arguments[0], str | os.PathLike | bytes):
        name = _listening[-1].name(os.fsdecode(arguments[0]))
        if name is not None:
            _listening[-1].told.append((event, name))


sys.addaudithook(_heard)


class Stream:
    """A stream whose writes are recorded."""

    def __init__(self, recorder: Recorder, stream: Any, number: int) -> None:
        self.recorder, self.stream, self.number = recorder, stream, number

    def __enter__(self) -> Stream:
        return self

    def __exit__(self, *_: object) -> None:
        self.stream.close()

    def write(self, data: bytes) -> int:
        self.recorder.operations.append(("write", self.number, bytes(data)))
        return int(self.stream.write(data))

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)


def _patched(recorder: Recorder, patch: pytest.MonkeyPatch, unsynced: tuple[str, ...]) -> None:
    """Put the recorder between the program and the system; syncs named in `unsynced` (`file`, `folder`) are not made."""
    real = {name: getattr(os, name) for name in ("fdopen", "fsync", "replace", "unlink", "open")}
    make = atomic.tempfile.mkstemp

    def mkstemp(*words: Any, **named: Any) -> tuple[int, str]:
        handle, path = make(*words, **named)
        recorder.made += 1
        recorder.handles[handle] = recorder.made
        recorder.folders.discard(handle)
        recorder.operations.append(("create", str(recorder.name(path)), str(recorder.made)))
        return handle, path

    def fdopen(handle: int, *words: Any, **named: Any) -> Any:
        return Stream(recorder, real["fdopen"](handle, *words, **named), recorder.handles[handle])

    def opened(path: Any, flags: int, *words: Any, **named: Any) -> int:
        handle = int(real["open"](path, flags, *words, **named))
        recorder.handles.pop(handle, None)
        recorder.folders.discard(handle)
        if isinstance(path, str | os.PathLike) and Path(path) == recorder.folder:
            recorder.folders.add(handle)
        return handle

    def fsync(handle: int) -> None:
        if handle in recorder.folders and "folder" not in unsynced:
            recorder.operations.append(("sync-folder",))
        elif handle in recorder.handles and "file" not in unsynced:
            recorder.operations.append(("sync", recorder.handles[handle]))

    def replace(source: Any, target: Any, **named: Any) -> None:
        real["replace"](source, target, **named)
        if recorder.name(target) is not None:
            recorder.operations.append(("rename", str(recorder.name(source)), str(recorder.name(target))))

    def unlink(path: Any, **named: Any) -> None:
        real["unlink"](path, **named)
        if recorder.name(path) is not None:
            recorder.operations.append(("unlink", str(recorder.name(path))))

    patch.setattr(atomic.tempfile, "mkstemp", mkstemp)
    for step in (fdopen, fsync, replace, unlink):
        patch.setattr(os, step.__name__, step)
    patch.setattr(os, "open", opened)


def recorded(site: Path, work: Callable[[], object], unsynced: tuple[str, ...] = ()) -> list[Operation]:
    """The operations of some work on the folder of the site; all of them, or an assertion fails."""
    recorder = Recorder(site.parent)
    before = _disk(site.parent)
    with pytest.MonkeyPatch.context() as patch:
        _patched(recorder, patch, unsynced)
        _listening.append(recorder)
        try:
            work()
        finally:
            _listening.pop()
    known = {word for operation in recorder.operations for word in operation if isinstance(word, str)}
    assert {name for _, name in recorder.told} <= known
    changes = [each for each in recorder.operations if each[0] in ("create", "rename", "unlink")]
    assert len(recorder.told) == len(changes)
    assert _disk(site.parent) == next(iter(_after(before, recorder.operations, all_of_it=True)))
    return recorder.operations


def _disk(folder: Path) -> Disk:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@dataclass
class _Volume:
    """What has reached the disk for certain, and what may have: names by file number, bytes by file number."""

    names: dict[str, str]
    data: dict[str, bytes]
    pending_names: list[tuple[str, ...]] = field(default_factory=list)
    pending_data: dict[str, bytes] = field(default_factory=dict)

    def take(self, operation: Any) -> None:
        """One more operation."""
        kind, *words = operation
        if kind == "write":
            number = str(words[0])
            self.pending_data[number] = self.pending_data.get(number, self.data.get(number, b"")) + words[1]
        elif kind == "sync":
            number = str(words[0])
            self.data[number] = self.pending_data.pop(number, self.data.get(number, b""))
        elif kind == "sync-folder":
            self.names = _renamed(self.names, self.pending_names)
            self.pending_names = []
        else:
            self.pending_names.append(operation)

    def cut(self) -> Iterator[Disk]:
        """Every state in which a power cut may leave the folder."""
        for chosen in _subsets(self.pending_names):
            names = _renamed(self.names, chosen)
            numbers = sorted(set(names.values()) & set(self.pending_data))
            for kept in itertools.product(*(self._part(number) for number in numbers)):
                data = {**self.data, **dict(zip(numbers, kept, strict=True))}
                yield {name: data.get(number, b"") for name, number in names.items()}

    def _part(self, number: str) -> list[bytes]:
        """Bytes of a file that was not synced: those of before, half, all, or as many zeros (the length only)."""
        whole = self.pending_data[number]
        return [self.data.get(number, b""), whole[: len(whole) // 2], whole, bytes(len(whole))]


def _subsets(operations: list[tuple[str, ...]]) -> Iterator[list[tuple[str, ...]]]:
    for chosen in itertools.product((False, True), repeat=len(operations)):
        yield [each for each, taken in zip(operations, chosen, strict=True) if taken]


def _renamed(names: dict[str, str], operations: list[tuple[str, ...]]) -> dict[str, str]:
    """Names after operations, of which some before may be lost: a rename stands for the name that it gives."""
    found = dict(names)
    for kind, name, *rest in operations:
        if kind == "create":
            found[name] = rest[0]
        elif kind == "unlink":
            found.pop(name, None)
        else:
            found[rest[0]] = rest[1]
            found.pop(name, None)
    return found


def _volume(before: Disk) -> _Volume:
    numbers = {name: f"was {name}" for name in before}
    return _Volume(numbers, {number: before[name] for name, number in numbers.items()})


def _numbered(operations: list[Operation]) -> Iterator[Any]:
    """Renames with the number of the file that they move."""
    numbers: dict[str, str] = {}
    for operation in operations:
        kind, *words = operation
        if kind == "create":
            numbers[str(words[0])] = str(words[1])
        yield (*operation, numbers[str(words[0])]) if kind == "rename" else operation


def _after(before: Disk, operations: list[Operation], all_of_it: bool = False) -> Iterator[Disk]:
    """States after a cut behind each prefix of the operations; or the one in which all has reached the disk."""
    volume = _volume(before)
    yield from () if all_of_it else volume.cut()
    for operation in _numbered(operations):
        volume.take(operation)
        yield from () if all_of_it else volume.cut()
    if all_of_it:
        names = _renamed(volume.names, volume.pending_names)
        yield {name: {**volume.data, **volume.pending_data}.get(number, b"") for name, number in names.items()}


def _each_once(states: Iterator[Disk]) -> list[Disk]:
    return list({tuple(sorted(state.items())): state for state in states}.values())


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    shutil.copytree(ROOT / "examples" / "cider-press" / "parts", folder / "parts")
    path = folder / "two.site.yaml"
    path.write_text(SITE, encoding="utf-8")
    return path


def _lay_out(folder: Path, state: Disk) -> None:
    for path in folder.iterdir():
        if path.is_file():
            path.unlink()
    for name, data in state.items():
        (folder / name).write_bytes(data)


def _undone(site: Path) -> tuple[bytes, str]:
    """What the site holds after `--undo`, and what was said where nothing was undone."""
    try:
        undo(site)
        told = ""
    except Refusal as refusal:
        told = refusal.problems[0].what
    assert not undo_path(site).exists(), "what was kept is neither used nor removed"
    return site.read_bytes(), told


def _write(site: Path) -> None:
    assert run(["fix", str(site), "--write"]) == 0


def _undo(site: Path) -> None:
    assert run(["fix", str(site), "--undo"]) == 0


def test_write(site: Path) -> None:
    before = _disk(site.parent)
    operations = recorded(site, lambda: _write(site))
    old, new = SITE.encode(), site.read_bytes()
    states = _each_once(_after(before, operations))
    met = set()
    for state in states:
        _lay_out(site.parent, state)
        text = site.read_bytes()
        assert text in (old, new), "torn"
        back, told = _undone(site)
        assert back == old
        assert ("nothing to undo" in told) == (text == old)
        met.add(text)
    assert met == {old, new}
    assert len(states) >= 10


def test_undo(site: Path) -> None:
    _write(site)
    before, new = _disk(site.parent), site.read_bytes()
    operations = recorded(site, lambda: _undo(site))
    met = set()
    for state in _each_once(_after(before, operations)):
        _lay_out(site.parent, state)
        text = site.read_bytes()
        assert text in (SITE.encode(), new), "torn"
        back, told = _undone(site)
        assert back == SITE.encode()
        assert ("nothing to undo" in told) == (text != new)
        met.add(text)
    assert len(met) == 2


def _twice(site: Path) -> tuple[bytes, bytes, Disk]:
    """A site after one fix by a rule, so that a second can follow: the text before it, the text now, the folder."""
    assert run(["fix", str(site), "--write", "--on", "power/undervoltage"]) == 0
    return SITE.encode(), site.read_bytes(), _disk(site.parent)


def test_second_write_keeps_the_first_to_be_undone(site: Path) -> None:
    """Where the second never happened, `--undo` takes back the first; where it did, the second."""
    first, middle, before = _twice(site)
    operations = recorded(site, lambda: _write(site))
    last = site.read_bytes()
    assert len({first, middle, last}) == 3
    met = set()
    for state in _each_once(_after(before, operations)):
        _lay_out(site.parent, state)
        text = site.read_bytes()
        assert text in (middle, last), "torn"
        assert _undone(site) == ({middle: first, last: middle}[text], "")
        met.add(text)
    assert met == {middle, last}


def test_second_undo_never_goes_further_back(site: Path) -> None:
    """Cut while the second write is taken back, then asked again: the first stays."""
    _, middle, _ = _twice(site)
    _write(site)
    before = _disk(site.parent)
    operations = recorded(site, lambda: _undo(site))
    for state in _each_once(_after(before, operations)):
        _lay_out(site.parent, state)
        assert _undone(site)[0] == middle


@pytest.mark.parametrize(("unsynced", "what"), [(("file",), "torn"), (("folder",), "kept or torn"), (("file", "folder"), "torn")])
def test_without_syncs_the_replay_finds_the_harm(site: Path, unsynced: tuple[str, ...], what: str) -> None:
    """So that the tests above can fail: the same run with syncs left out is torn, or cannot be undone."""
    before = _disk(site.parent)
    operations = recorded(site, lambda: _write(site), unsynced)
    old, new = SITE.encode(), site.read_bytes()
    found = set()
    for state in _each_once(_after(before, operations)):
        text = state[site.name]
        if text not in (old, new):
            found.add("torn")
        elif text == new and undo_path(site).name not in state:
            found.add("kept or torn")
    assert what in found
