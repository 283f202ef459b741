"""Part files stay below the site's folder, whatever a site file names; site files of a folder."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.reading.files import MAX_FILES, Untrusted, confined_files, find_sites


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A site's folder with parts, and a secret beside it."""
    (tmp_path / "secret.yaml").write_text("password: 1")
    base = tmp_path / "site"
    for name in ("parts/b.yaml", "parts/a.yaml", "parts/old/c.yaml", "parts/.hidden.yaml", "parts/notes.txt"):
        path = base / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("x: 1")
    return base


@pytest.mark.parametrize(
    ("pattern", "names"),
    [
        ("parts/a.yaml", ["parts/a.yaml"]),
        ("./parts/a.yaml", ["parts/a.yaml"]),
        ("parts/*.yaml", ["parts/a.yaml", "parts/b.yaml"]),
        ("parts/[ab].yaml", ["parts/a.yaml", "parts/b.yaml"]),
        ("parts/?.yaml", ["parts/a.yaml", "parts/b.yaml"]),
        ("parts/*", ["parts/a.yaml", "parts/b.yaml", "parts/notes.txt"]),
        ("*/*/*.yaml", ["parts/old/c.yaml"]),
        ("parts/**/*.yaml", ["parts/a.yaml", "parts/b.yaml", "parts/old/c.yaml"]),
        ("**/*.yaml", ["parts/a.yaml", "parts/b.yaml", "parts/old/c.yaml"]),
        ("parts/old/**", ["parts/old/c.yaml"]),
        ("parts/.hidden.yaml", ["parts/.hidden.yaml"]),
    ],
)
def test_patterns(root: Path, pattern: str, names: list[str]) -> None:
    assert [path.relative_to(root.resolve()).as_posix() for path in confined_files(root, pattern)] == names


@pytest.mark.parametrize(
    ("pattern", "message"),
    [
        ("/etc/passwd", "is an absolute path"),
        ("~/x.yaml", "is an absolute path"),
        ("C:/parts/a.yaml", "is an absolute path"),
        ("parts\\a.yaml", "has a backslash; separate folders with `/`"),
        ("../secret.yaml", "leads out of the folder with `..`"),
        ("parts/../../secret.yaml", "leads out of the folder with `..`"),
        ("", "is not a path"),
        ("a\0b", "is not a path"),
        ("parts/\x1b[31m", "is not a path"),
        ("a" * 600, "is not a path"),
        ("a/b/c/d/e/f/g/h/i/j.yaml", "more than 8 folders deep"),
        ("parts/nothing.yaml", "no file matches `parts/nothing.yaml`; check the path"),
        ("parts/*.json", "no file matches"),
        ("parts/old", "is not a regular file"),
    ],
)
def test_refused_patterns(root: Path, pattern: str, message: str) -> None:
    with pytest.raises(Untrusted) as caught:
        confined_files(root, pattern)
    assert message in str(caught.value)
    assert str(caught.value).isprintable()


def link_to_file(root: Path) -> None:
    (root / "parts/z.yaml").symlink_to(root.parent / "secret.yaml")


def link_to_folder(root: Path) -> None:
    (root / "parts" / "out").symlink_to(root.parent)


def link_to_device(root: Path) -> None:
    (root / "parts/z.yaml").symlink_to("/dev/zero")


def pipe(root: Path) -> None:
    os.mkfifo(root / "parts/z.yaml")


def dangling(root: Path) -> None:
    (root / "parts/z.yaml").symlink_to("nowhere")


def link_to_itself(root: Path) -> None:
    (root / "parts/z.yaml").symlink_to("z.yaml")


def process_files(root: Path) -> None:
    (root / "parts/z.yaml").symlink_to("/proc/self/environ")


@pytest.mark.parametrize(
    ("make", "pattern", "message"),
    [
        (link_to_file, "parts/*.yaml", "`z.yaml` is a link that leads out of the folder"),
        (link_to_file, "parts/z.yaml", "`z.yaml` is a link that leads out of the folder"),
        (link_to_folder, "parts/out/secret.yaml", "is a link that leads out of the folder"),
        (link_to_folder, "parts/*/*.yaml", "is a link that leads out of the folder"),
        (link_to_device, "parts/z.yaml", "is a link that leads out of the folder"),
        (process_files, "parts/z.yaml", "is a link that leads out of the folder"),
        (pipe, "parts/*.yaml", "`z.yaml` is not a regular file"),
        (dangling, "parts/*.yaml", "`z.yaml` cannot be followed"),
        (link_to_itself, "parts/*.yaml", "`z.yaml` cannot be followed"),
    ],
)
def test_ways_out_are_closed(root: Path, make: Callable[[Path], None], pattern: str, message: str) -> None:
    make(root)
    with pytest.raises(Untrusted) as caught:
        confined_files(root, pattern)
    assert message in str(caught.value)


def test_links_that_stay_inside_are_followed(root: Path) -> None:
    (root / "parts/z.yaml").symlink_to("a.yaml")
    assert len(confined_files(root, "parts/*.yaml")) == 3


def test_loops_of_folders_end(root: Path, guarded: Callable[[float], Any]) -> None:
    (root / "parts/loop").symlink_to("..")
    with guarded(1000):
        assert len(confined_files(root, "**/*.yaml")) == 3
        assert confined_files(root, "parts/loop/parts/loop/parts/a.yaml")


def test_too_many_files(root: Path) -> None:
    for number in range(MAX_FILES + 1):
        (root / f"{number}.yaml").write_text("x: 1")
    with pytest.raises(Untrusted, match="names more than 100 files; name fewer"):
        confined_files(root, "*.yaml")


def test_site_files_of_a_folder(tmp_path: Path) -> None:
    for name in ("b.site.yaml", "a/x.site.yaml", "a/parts.yaml", ".git/y.site.yaml", "a/.w.site.yaml"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("site: x")
    os.mkfifo(tmp_path / "pipe.site.yaml")
    (tmp_path / "loop").symlink_to(tmp_path)
    assert [path.relative_to(tmp_path).as_posix() for path in find_sites(tmp_path)] == [
        "a/x.site.yaml",
        "b.site.yaml",
    ]


def test_no_sites(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"no site file lies here; site files end in \.site\.yaml"):
        find_sites(tmp_path)
    with pytest.raises(Refusal, match="there is no such folder"):
        find_sites(tmp_path / "nothing")
