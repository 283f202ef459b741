"""A workspace: one folder, the site that is open in it, and everything that can be done with it.

Every method that changes the site is one step of its history. Raises Refusal, and changes nothing, for what cannot be
done.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import Any

from coaxwright.checking import FactShown, Rulebook, explain_subject, load_rulebook
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.limits import Limit, Smallest
from coaxwright.fixes.patching import Patch, PatchError, applied, difference, has_path, pointer, pointer_steps
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.yaml_source import decode
from coaxwright.workspace import acting, adding, cells, comparing, completing, moving, renaming
from coaxwright.workspace.cells import Wrong
from coaxwright.workspace.columns import GROUPS
from coaxwright.workspace.site_text import OpenSite, digest_of, value_of
from coaxwright.workspace.store import ChangedOnDisk, Store

MOST_CELLS = 20_000
MOST_TRIED = 300
"""Cells of a pasted block that are tried one by one, where the block as a whole is refused."""

Refused = tuple[str, str, str]
"""Pointer of a cell, what is wrong with what was typed, what would be right."""


class Workspace:
    """A store with at most one open site."""

    def __init__(self, store: Store, rulebook: Rulebook | None = None, today: datetime.date | None = None) -> None:
        """Raises Refusal where the rules cannot be used."""
        self.store, self.today = store, today
        self.rulebook = rulebook or load_rulebook()
        self._open: OpenSite | None = None
        self._bare: Catalogue | None = None

    @property
    def site(self) -> OpenSite:
        """The open site. Raises Refusal where none is."""
        if self._open is None:
            raise Refusal([Problem("", "no site is open", "open one, or start a new one")])
        return self._open

    @property
    def is_open(self) -> bool:
        """Whether a site is open."""
        return self._open is not None

    @property
    def catalogue(self) -> Catalogue:
        """The parts that the open site may name: its own files' and the generic ones."""
        state = self.site.state
        if state is not None:
            return state.basis.loaded.catalogue
        self._bare = self._bare or Catalogue()
        return self._bare

    # Opening, saving.

    def open(self, name: str) -> None:
        """Open a site file of the store; a file that cannot be judged is open all the same."""
        data = self.store.read(name)
        self._open = OpenSite(name, data, self.store.root.joinpath(*name.split("/")[:-1]), self.rulebook, self.today)

    def close(self) -> None:
        """No site is open after this; changes that were not saved are gone."""
        self._open = None

    def create(self, name: str, text: str) -> None:
        """Write a new site file and open it."""
        self.store.create(name, text.encode())
        self.open(name)

    def on_disk(self) -> str:
        """How the file stands to what was read or saved last: `same`, `changed` or `gone`."""
        now = self.store.digest(self.site.name)
        return "same" if now == self.site.saved else "changed" if now else "gone"

    def save(self) -> None:
        """Write the text to its file. Raises ChangedOnDisk where somebody else wrote it meanwhile."""
        site = self.site
        if self.on_disk() == "gone":
            self.store.create(site.name, site.data)
        elif digest_of(site.data) != site.saved:
            self.store.replace(site.name, site.data, site.saved)
        elif self.on_disk() == "changed":
            raise ChangedOnDisk(site.name)
        site.was_saved(site.data)

    def save_copy(self, name: str) -> None:
        """Write the text to a new file; the open one stays open."""
        self.store.create(name, self.site.data)

    def take_theirs(self) -> None:
        """Take the text that the file holds now, as one step."""
        site, data = self.site, self.store.read(self.site.name)
        site.set_text(decode(data, site.name), "the file as it is on disk")
        site.was_saved(data)

    def put_on_top(self) -> tuple[list[str], int]:
        """Take the text that the file holds now, and make the changes again that were not saved.

        Returns the places where a change no longer fits, each a pointer, and how many changes there were.
        """
        site = self.site
        mine = difference(site.saved_state().value, value_of(site))
        self.take_theirs()
        return [pointer(path) for path, _, new in mine if not self._again(path, new)], len(mine)

    def _again(self, path: tuple[Any, ...], new: object) -> bool:
        if len(path) > 2 and not has_path(value_of(self.site), path[:2]):
            return False  # the entry is gone: what was changed within it makes none
        try:
            operation = cells.operation(value_of(self.site), path, new)
            if operation is not None:
                self.site.patch([operation], f"again: {' '.join(map(str, path[1:]))}")
        except (Refusal, PatchError, Wrong):
            return False
        return True

    # Editing.

    def set_cells(self, wanted: Iterable[tuple[str, str]], name: str = "") -> list[Refused]:
        """Take typed texts for cells, known by their pointers, as one step; returns those that were refused."""
        listed = list(wanted)
        if len(listed) > MOST_CELLS:
            raise Refusal([Problem(self.site.name, f"{len(listed)} cells are too many", f"paste at most {MOST_CELLS}")])
        patch, refused = self._operations(listed)
        if not patch:
            return refused
        step = name or (_told(patch[0][0]) if len(listed) == 1 else f"{len(patch)} cells")
        try:
            self.site.patch([each for _, each in patch], step)
        except Refusal as refusal:
            if len(patch) == 1:
                return [*refused, (patch[0][0], *_words(refusal))]
            if not 1 < len(patch) <= MOST_TRIED:
                raise
            return refused + self._one_by_one(patch, step)
        return refused

    def _operations(self, wanted: Iterable[tuple[str, str]]) -> tuple[list[tuple[str, Any]], list[Refused]]:
        """An operation for each cell that means something, each on the value as changed by those before it."""
        value, patch, refused = value_of(self.site), [], []
        for place, text in wanted:
            try:
                path = cells.typed_steps(place)
                operation = cells.operation(value, path, cells.meaning(value, path, text))
                if operation is not None:
                    value = applied(value, [operation])
                    patch.append((place, operation))
            except Wrong as error:
                refused.append((place, error.what, error.right))
            except PatchError as error:
                refused.append((place, str(error), ""))
        return patch, refused

    def _one_by_one(self, patch: list[tuple[str, Any]], name: str) -> list[Refused]:
        """Make those operations of a block that the site can take, as one step."""
        refused, text, before = [], self.site.text, len(self.site.history.done)
        for place, operation in patch:
            try:
                self.site.patch([operation], name)
            except Refusal as refusal:
                refused.append((place, *_words(refusal)))
        after = self.site.text
        while len(self.site.history.done) > before:
            self.site.undo()
        assert self.site.text == text
        self.site.replace_text(after, name)
        return refused

    def add(self, group: str, name: str = "", part: str = "") -> str:
        """Add an entry to a group; returns its name."""
        _known_group(group)
        made, operation = adding.addition(value_of(self.site), self.catalogue, group, name, part)
        self.site.patch([operation], f"{made} added")
        return made

    def add_disk(self, recorder: str) -> None:
        """Put one more disk into a recorder."""
        self.site.patch([adding.new_disk(value_of(self.site), self.catalogue, recorder)], f"a disk added to {recorder}")

    def remove(self, path: str) -> None:
        """Take an entry of a group, a run or a disk away."""
        steps = pointer_steps(path)
        entry = len(steps) == 2 and steps[0] in GROUPS
        item = len(steps) > 3 and steps[-1].isdecimal() and steps[-2] in ("over", "disks")
        if not (entry or item):
            raise Refusal([Problem(self.site.name, "this is no row", "name a row of a sheet")])
        self.site.patch([{"op": "remove", "path": path}], f"{_told(path)} removed")

    def rename(self, group: str, name: str, to: str) -> None:
        """Give an entry another name, wherever the file means it."""
        _known_group(group)
        text = renaming.renamed(self.site.document, group, name, to)
        self.site.replace_text(text, f"{name} renamed {to}")

    def patch(self, patch: Patch, name: str) -> None:
        """Change values by an RFC 6902 patch."""
        self.site.patch(patch, name)

    def apply(self, rule: str, subject: str, number: int) -> str:
        """Make one of the proven changes for a finding (1 is the best); returns its title."""
        fixes = acting.actions(self.site, rule, subject).fixes
        if not 1 <= number <= len(fixes):
            raise Refusal(
                [Problem(self.site.name, f"there is no change {number} for it now", "look at the finding again")]
            )
        fix = fixes[number - 1]
        self.site.patch(fix.patch, fix.title)
        return fix.title

    # Asking.

    def actions(self, rule: str, subject: str) -> acting.Actions:
        """Proven changes for a finding."""
        return acting.actions(self.site, rule, subject)

    def compared(self) -> comparing.Comparison:
        """The site as it is beside the site as saved."""
        return comparing.compared(self.site)

    def against_disk(self) -> comparing.Comparison:
        """What the file holds now beside the site as it is. Raises Refusal where it is gone or no text."""
        return comparing.against_disk(self.site, decode(self.store.read(self.site.name), self.site.name))

    def limits(self, subject: str) -> tuple[list[Limit], list[Smallest]]:
        """How far each number of a subject may move before a rule fails at level error."""
        return moving.limits(self.site, subject)

    def trial(self, subject: str, path: str, value: float) -> moving.Moved:
        """What another value of a number (in its base unit) would change; nothing is written."""
        return moving.trial(self.site, subject, path, value)

    def explain(self, subject: str) -> list[FactShown]:
        """Every fact of a subject with its working."""
        if self.site.state is None:
            raise Refusal(self.site.problems)
        return explain_subject(self.site.state.basis.loaded, subject)

    def complete(self, place: str, typed: str) -> completing.Options:
        """What may stand in the cell at a pointer."""
        path = cells.typed_steps(place)
        try:
            column = cells.column_at(path)
        except Wrong:
            return completing.Options((), 0)
        return completing.options(self.catalogue, value_of(self.site), column, path, typed)

    def rows(self, sheet: str) -> list[cells.Row]:
        """The rows of one sheet."""
        if sheet not in cells.sheets():
            raise Refusal(
                [Problem(self.site.name, f"there is no sheet `{sheet}`", f"one of: {', '.join(cells.sheets())}")]
            )
        return cells.rows(value_of(self.site), sheet)


def _known_group(group: str) -> None:
    if group not in GROUPS:
        raise Refusal([Problem("", f"`{group}` has no sheet", f"one of: {', '.join(GROUPS)}")])


def _words(refusal: Refusal) -> tuple[str, str]:
    first = refusal.problems[0]
    return first.what, first.right


def _told(place: str) -> str:
    """A pointer as people say it: `gate, video length`."""
    steps = pointer_steps(place)
    if len(steps) < 2:
        return " ".join(steps).replace("_", " ")
    told = [step for step in steps[2:] if step not in ("over", "0")]
    return f"{steps[1]}, {' '.join(told).replace('_', ' ')}" if told else steps[1]
