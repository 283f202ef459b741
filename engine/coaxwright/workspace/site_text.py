"""One site that is open: its text as edited so far, its verdict, and the history of its edits.

Every change is an edit of the text; what the grid shows, the drawing and the verdict are read off the text again. A
text that cannot be read keeps the last verdict, marked as old.
"""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coaxwright.checking import Rulebook
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import SiteReport
from coaxwright.fixes.patching import Patch, PatchError
from coaxwright.fixes.rejudging import SiteState, start
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.site_reader import load_site_text
from coaxwright.reading.yaml_source import Document, decode, parse_document
from coaxwright.workspace.edits import Edit, History, edit_between

BOM = b"\xef\xbb\xbf"
MOST = 4 * 1024 * 1024
"""Bytes of a site text that may be edited here."""

Judge = Callable[[str], SiteState]


class OpenSite:
    """A site text with its verdict. `name` is the file's name, `saved` the digest of what the file held when read.

    `version` rises with every change of the text. `state` and `report` are of the text as it is, or, while it has
    `problems`, of the last text that could be judged (None where there never was one).
    """

    def __init__(
        self, name: str, data: bytes, root: Path, rulebook: Rulebook, today: datetime.date | None = None
    ) -> None:
        """Raises Refusal where the bytes are no text in UTF-8, or too many."""
        if len(data) > MOST:
            raise Refusal([Problem(name, f"is larger than {MOST >> 20} MiB", "check it by the command line")])
        self.name, self.root, self.rulebook, self.today = name, root, rulebook, today
        self.text = decode(data, name)
        self.bom = data.startswith(BOM)
        self.saved, self.saved_text, self.saved_mark = digest_of(data), self.text, 0
        self.history, self.version = History(), 0
        self.state: SiteState | None = None
        self.report: SiteReport | None = None
        self.problems: tuple[Problem, ...] = ()
        self._saved_value: tuple[str, dict[str, Any]] | None = None
        self._judge()

    @property
    def shown(self) -> str:
        """The name under which problems and findings are told."""
        return self.name

    @property
    def data(self) -> bytes:
        """The bytes of the file that this text is."""
        return (BOM if self.bom else b"") + self.text.encode()

    @property
    def changed(self) -> bool:
        """Whether the text differs from what was read or last saved."""
        return self.text != self.saved_text

    @property
    def unsaved_steps(self) -> int:
        """Steps between the saved text and this one: at least 1 where they differ."""
        marks = [0, *(step.after for step in self.history.done)] if not self.history.done else [
            self.history.done[0].before, *(step.after for step in self.history.done)]  # fmt: skip
        ahead = len(marks) - 1 - marks.index(self.saved_mark) if self.saved_mark in marks else 0
        return max(ahead, 1) if self.changed else 0

    @property
    def old(self) -> bool:
        """Whether the verdict is of an earlier text."""
        return bool(self.problems)

    @property
    def document(self) -> Document:
        """The text as plain values with places. Raises Refusal where it cannot be read at all."""
        if self.state is not None and not self.problems:
            return self.state.basis.loaded.document
        return parse_document(self.text, self.shown)

    def loaded(self, text: str) -> SiteState:
        """A text judged as this site. Raises Refusal."""
        return start(load_site_text(text, self.shown, self.root), rulebook=self.rulebook, today=self.today)

    def set_text(self, text: str, name: str = "text edited", *, joins: bool = False) -> None:
        """Take another text, whatever it says; line ends stay those of the file."""
        ends = "\r\n" if "\r\n" in self.text else "\n"
        new = text.replace("\r\n", "\n").replace("\n", ends)
        if len(new.encode()) > MOST:
            raise Refusal([Problem(self.name, f"would be larger than {MOST >> 20} MiB", "split it into several sites")])
        if new != self.text:
            self._take(edit_between(self.text, new), name, joins=joins)

    def patch(self, patch: Patch, name: str) -> None:
        """Change values in the layout of the file. Raises Refusal, and changes nothing, where the text could not be
        judged then, or its layout cannot be edited in place.
        """
        try:
            text = edited(self.document, patch).text
        except PatchError as error:
            raise Refusal([Problem(self.name, str(error), "the site has changed since")]) from error
        self.replace_text(text, name)

    def replace_text(self, text: str, name: str) -> None:
        """Take another text that can be judged. Raises Refusal, and changes nothing, where it cannot."""
        if text == self.text:
            return
        state = self.loaded(text)
        self._take(edit_between(self.text, text), name, state=state)

    def undo(self) -> Edit | None:
        """Take the last step back; returns the edit that did, None where there is nothing to undo."""
        step = self.history.undo()
        if step is None:
            return None
        self._put(step.inverse.applied(self.text))
        return step.inverse

    def redo(self) -> Edit | None:
        """Make the step again that was last undone; None where there is none."""
        step = self.history.redo()
        if step is None:
            return None
        self._put(step.edit.applied(self.text))
        return step.edit

    def was_saved(self, data: bytes) -> None:
        """Note that the file now holds this text."""
        self.saved, self.saved_text, self.saved_mark = digest_of(data), self.text, self.history.mark

    @property
    def saved_value(self) -> dict[str, Any]:
        """The plain value of the saved text; empty where that cannot be read."""
        if self._saved_value is None or self._saved_value[0] != self.saved_text:
            try:
                found = parse_document(self.saved_text, self.shown).value
            except Refusal:
                found = {}
            self._saved_value = (self.saved_text, found)
        return self._saved_value[1]

    def saved_state(self) -> SiteState:
        """The saved text, judged. Raises Refusal."""
        return self.loaded(self.saved_text)

    def _take(self, edit: Edit, name: str, *, joins: bool = False, state: SiteState | None = None) -> None:
        self.history.add(name, edit, self.text, joins=joins)
        self._put(edit.applied(self.text), state)

    def _put(self, text: str, state: SiteState | None = None) -> None:
        self.text = text
        self.version += 1
        self._judge(state)

    def _judge(self, state: SiteState | None = None) -> None:
        """Judge the text; where it cannot be, keep the last verdict and note why."""
        try:
            found = state or self.loaded(self.text)
            self.report = found.report()
        except Refusal as refusal:
            self.problems = refusal.problems
            return
        self.state, self.problems = found, ()


def digest_of(data: bytes) -> str:
    """The digest by which what a file holds is told apart."""
    return hashlib.sha256(data).hexdigest()


def value_of(site: OpenSite) -> dict[str, Any]:
    """The plain value of the text as it is; of the last one that could be judged where it cannot be read."""
    try:
        return site.document.value
    except Refusal:
        return site.state.value if site.state is not None else {}
