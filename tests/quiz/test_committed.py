"""The papers of `examples/quiz` are what the calls of its README make, byte for byte; docs show what marking says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from . import remake_examples

ANEW = "the question bank has changed: run `python -m tests.quiz.remake_examples`"


@pytest.fixture(scope="module")
def made(items_once: None, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("quiz")
    remake_examples.make_into(folder)
    return held(folder)


def held(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but its README."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != "README.md")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_examples_are_made_anew_byte_for_byte(made: dict[str, bytes]) -> None:
    committed = held(remake_examples.FOLDER)
    assert sorted(committed) == sorted(made)
    assert [name for name in sorted(made) if committed[name] != made[name]] == [], ANEW


@pytest.mark.parametrize("folder", ["toolbox-talk", "network-round"])
def test_the_same_questions_stand_in_every_format(made: dict[str, bytes], folder: str) -> None:
    words = {name: made[f"{folder}/{name}"].decode() for name in ("paper-A.md", "paper-A.html", "key-A.json")}
    told = re.findall(r"^## [0-9]+\. \(([0-9a-f]{8})\)", words["paper-A.md"], re.MULTILINE)
    assert len(told) == 10
    assert re.findall(r"<small>\(([0-9a-f]{8})\)", words["paper-A.html"]) == told
    assert [name for name in told if f'"{name}"' not in words["key-A.json"]] == []


def test_docs_show_what_marking_says() -> None:
    docs = remake_examples.DOCS.read_text(encoding="utf-8")
    assert docs == remake_examples.docs_of(remake_examples.FOLDER / "toolbox-talk"), ANEW
