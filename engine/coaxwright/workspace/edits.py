"""Edits of a text as splices, and the one history of them: every step has a name and an inverse.

Undoing all steps gives the text that was opened, character for character. Knows nothing of sites.
"""

from __future__ import annotations

from coaxwright.immutable import immutable


@immutable
class Edit:
    """The characters from `start` to `end` of a text are replaced by `text`."""

    start: int
    end: int
    text: str

    def applied(self, to: str) -> str:
        """The text after the edit; ValueError where it does not fit into that text."""
        if not 0 <= self.start <= self.end <= len(to):
            raise ValueError("the edit lies outside of the text")
        return to[: self.start] + self.text + to[self.end :]

    def inverse(self, before: str) -> Edit:
        """The edit that takes this one back; `before` is the text that this one was made for."""
        return Edit(self.start, self.start + len(self.text), before[self.start : self.end])


def edit_between(old: str, new: str) -> Edit:
    """The one edit that makes `new` of `old`: what both begin and end with is left alone."""
    most = min(len(old), len(new))
    start = _alike(old, new, most)
    tail = 0
    while tail < most - start and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    return Edit(start, len(old) - tail, new[start : len(new) - tail])


def _alike(old: str, new: str, most: int) -> int:
    """How many characters both begin with: halved, because comparing slices is quicker than characters."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        if old[:middle] == new[:middle]:
            low = middle
        else:
            high = middle - 1
    return low


@immutable
class Step:
    """One thing that a person did, under the name it is told by. `before` and `after` are marks of the text's state."""

    name: str
    edit: Edit
    inverse: Edit
    before: int
    after: int


class History:
    """Steps done and undone. `mark` tells states of the text apart: equal marks, equal texts."""

    def __init__(self) -> None:
        self.done: list[Step] = []
        self.undone: list[Step] = []
        self.mark = 0
        self._marks = 0

    def add(self, name: str, edit: Edit, before: str, *, joins: bool = False) -> None:
        """Note an edit that was made. With `joins` it becomes one with a last step of the same name (typing on)."""
        self._marks += 1
        step = Step(name, edit, edit.inverse(before), self.mark, self._marks)
        last = self.done[-1] if self.done else None
        if joins and last is not None and last.name == name and not self.undone:
            old = last.inverse.applied(before)
            whole = edit_between(old, edit.applied(before))
            step = Step(name, whole, whole.inverse(old), last.before, self._marks)
            self.done.pop()
        self.done.append(step)
        self.undone.clear()
        self.mark = self._marks

    def undo(self) -> Step | None:
        """The step to take back now; None where there is none."""
        if not self.done:
            return None
        step = self.done.pop()
        self.undone.append(step)
        self.mark = step.before
        return step

    def redo(self) -> Step | None:
        """The step to make again; None where there is none."""
        if not self.undone:
            return None
        step = self.undone.pop()
        self.done.append(step)
        self.mark = step.after
        return step
