"""Edits of a text and their history: whatever was done, undoing all of it gives back the very text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.workspace.edits import Edit, History, edit_between

TEXT = st.text(alphabet="ab \n\r:é😀", max_size=40)


@given(TEXT, TEXT)
def test_the_edit_between_two_texts_makes_one_of_the_other_and_back(old: str, new: str) -> None:
    edit = edit_between(old, new)
    assert edit.applied(old) == new
    assert edit.inverse(old).applied(new) == old


@given(TEXT, st.text(alphabet="xy", min_size=1, max_size=3), st.integers(0, 40))
def test_an_edit_is_as_small_as_it_can_be(old: str, put: str, place: int) -> None:
    new = old[:place] + put + old[place:]
    edit = edit_between(old, new)
    assert edit.start == edit.end
    assert len(edit.text) == len(put)


@given(TEXT, st.lists(st.tuples(TEXT, st.booleans()), max_size=12), st.integers(0, 12))
def test_undoing_all_gives_the_opened_text_and_redoing_the_last(start: str, texts: list[tuple[str, bool]], back: int) -> None:
    history, now = History(), start
    seen = [now]
    for text, joins in texts:
        edit = edit_between(now, text)
        history.add("typing", edit, now, joins=joins)
        now = edit.applied(now)
        seen.append(now)
    steps = len(history.done)
    for _ in range(min(back, steps)):
        step = history.undo()
        assert step is not None
        now = step.inverse.applied(now)
    while (again := history.redo()) is not None:
        now = again.edit.applied(now)
    assert now == seen[-1]
    while (step := history.undo()) is not None:
        now = step.inverse.applied(now)
    assert now == start
    assert history.mark == 0


def test_equal_marks_mean_equal_texts() -> None:
    history = History()
    history.add("one", edit_between("a", "ab"), "a")
    first = history.mark
    history.add("two", edit_between("ab", "abc"), "ab")
    history.undo()
    assert history.mark == first
    history.add("three", edit_between("ab", "abd"), "ab")
    assert history.mark != first
    assert history.redo() is None


def test_an_edit_outside_of_the_text_is_refused() -> None:
    with pytest.raises(ValueError, match="outside"):
        Edit(2, 5, "x").applied("abc")
