"""The form of the engine's records: made, compared, hashed and shown as the standard library's frozen dataclasses are."""

from __future__ import annotations

import copy
import pickle
import subprocess
import sys
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from coaxwright.immutable import immutable


@immutable
class Mark:
    """A record with a default, a field that does not count, and a property."""

    name: str
    at: tuple[int, ...] = ()
    seen: list[int] = field(default_factory=list, compare=False, repr=False)

    @property
    def first(self) -> int:
        """The first of `at`."""
        return self.at[0]


@dataclass(frozen=True, slots=True)
class Standard:
    """The same by the standard library."""

    name: str
    at: tuple[int, ...] = ()
    seen: list[int] = field(default_factory=list, compare=False, repr=False)


@immutable
class Nothing:
    """A record without fields."""


@immutable
class Named:
    """A record with words of its own."""

    name: str

    def __repr__(self) -> str:
        return "mine"

    def __eq__(self, other: object) -> bool:
        return True

    def __hash__(self) -> int:
        return 7


def test_equal_by_value_and_kind() -> None:
    assert Mark("a", (1,)) == Mark("a", (1,), [5])
    assert Mark("a") != Mark("b")
    assert Mark("a") != ("a", ())
    assert (Mark("a") == Standard("a")) is False
    assert Nothing() == Nothing()
    assert {Mark("a", (1,)): 1}[Mark("a", (1,))] == 1


@pytest.mark.parametrize(("name", "at"), [("a", ()), ("b", (1, 2))])
def test_as_the_standard_library_has_it(name: str, at: tuple[int, ...]) -> None:
    ours, theirs = Mark(name, at), Standard(name, at)
    assert hash(ours) == hash(theirs)
    assert repr(ours) == repr(theirs).replace("Standard", "Mark")
    assert repr(replace(ours, name="c")) == repr(replace(theirs, name="c")).replace("Standard", "Mark")
    assert Mark.__match_args__ == Standard.__match_args__
    assert not hasattr(ours, "__dict__")


def test_copies_are_equal() -> None:
    mark = Mark("a", (1,), [3])
    assert copy.deepcopy(mark) == mark == pickle.loads(pickle.dumps(mark))
    assert copy.deepcopy(mark).seen == [3]


def test_what_a_class_says_for_itself_stays() -> None:
    assert repr(Named("x")) == "mine"
    assert Named("x") == Named("y")
    assert hash(Named("x")) == 7


@pytest.mark.slow("mypy reads much of the engine")
def test_a_field_set_afterwards_is_an_error_of_types(tmp_path: Path) -> None:
    pytest.importorskip("mypy")
    code = tmp_path / "late.py"
    code.write_text('from coaxwright.findings import Source\nSource("a").title = "b"\n')
    told = subprocess.run(
        [sys.executable, "-m", "mypy", "--no-incremental", "--follow-imports=silent", str(code)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "read-only" in told.stdout
