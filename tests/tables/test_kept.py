"""What is kept of tables and generic parts between runs gives the same tables and parts, and is never trusted blindly."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from coaxwright.reading import kept, table_files, tables
from coaxwright.reading.table_rows import table_from_plain, table_to_plain


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty cache, and tables that nobody has asked for yet."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    for each in (tables.load_table, tables.load_generic_parts, tables.load_assumptions):
        each.cache_clear()
    yield tmp_path / "coaxwright" / "tables"
    for each in (tables.load_table, tables.load_generic_parts, tables.load_assumptions):
        each.cache_clear()


def _refuse(*_: object) -> None:
    raise AssertionError("the file was read again")


@pytest.mark.parametrize("name", tables.table_names())
def test_a_table_comes_back_from_its_plain_form(name: str) -> None:
    table = tables.load_table.__wrapped__(name)
    back = table_from_plain(json.loads(json.dumps(table_to_plain(table))))
    assert back == table
    assert [[*map(type, row.values())] for row in back.rows] == [[*map(type, row.values())] for row in table.rows]
    key = tuple(table.rows[-1][column] for column in table.key)
    assert back.row(*key) == table.row(*key)


def test_a_second_run_reads_no_table_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = tables.load_table("signal-modes")
    assert len(list(folder.iterdir())) == 1
    tables.load_table.cache_clear()
    monkeypatch.setattr(table_files, "build_table", _refuse)
    assert tables.load_table("signal-modes") == first


def test_a_second_run_reads_no_part_file_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = dict(tables.load_generic_parts())
    assert len(list(folder.iterdir())) == len(tables.generic_part_files())
    tables.load_generic_parts.cache_clear()
    monkeypatch.setattr(table_files, "parts_of", _refuse)
    assert dict(tables.load_generic_parts()) == first


@pytest.mark.parametrize("content", ["", "{", "[]", "{}", '{"format": 0}', '{"format": 1, "key": 3}', '"text"'])
def test_what_is_no_table_is_ignored_and_written_again(folder: Path, content: str) -> None:
    first = tables.load_table("ik-codes")
    (place,) = folder.iterdir()
    good = place.read_text()
    place.write_text(content)
    tables.load_table.cache_clear()
    assert tables.load_table("ik-codes") == first
    assert place.read_text() == good


@pytest.mark.parametrize("content", ["", "[]", '{"parts": {}}', '{"parts": {"generic/x": {"kind": "cable"}}}'])
def test_what_is_no_part_file_is_ignored_and_written_again(folder: Path, content: str) -> None:
    first = dict(tables.load_generic_parts())
    before = {place: place.read_text() for place in folder.iterdir()}
    for place in before:
        place.write_text(content)
    tables.load_generic_parts.cache_clear()
    assert dict(tables.load_generic_parts()) == first
    assert {place: place.read_text() for place in folder.iterdir()} == before


def test_a_cache_that_cannot_be_written_is_no_trouble(folder: Path) -> None:
    folder.parent.parent.mkdir(exist_ok=True)
    folder.parent.write_text("a file stands where the folder would be")
    assert tables.load_table("ik-codes").row("IK10")["energy"] == 20.0  # IEC 62262, table 1


def test_a_changed_file_has_another_name(tmp_path: Path) -> None:
    path = tmp_path / "table.yaml"
    path.write_text("one")
    first = kept.state_of(path)
    assert kept.state_of(path) == first
    path.write_text("two")
    assert kept.state_of(path) != first


def test_few_files_are_kept(tmp_path: Path) -> None:
    for number in range(6):
        kept.write_kept(tmp_path / f"{number}.json", [number], 4)
    assert len(list(tmp_path.iterdir())) == 4
    assert kept.read_kept(tmp_path / "5.json") == [5]
