"""What replaces a camera or a recorder, and tables of several on several: the answers of `coaxwright pair`."""

from __future__ import annotations

from coaxwright.desk.counter.asking import Asked, question_of
from coaxwright.desk.counter.shelf import Shelf
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.contradictions import contradictions_of
from coaxwright.fixes.part_losses import unstated
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.names import known
from coaxwright.pairing.printing import render_replacements, replacement_heading, replacements_document
from coaxwright.pairing.ranking import Replacement, replace_camera, replace_recorder
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.table_forms import Together, all_together, render_table, table_document
from coaxwright.pairing.tables import Table, matching, named, tabulate
from coaxwright.show.tree import Document
from coaxwright.workspace.project import Workspace

MOST_PAIRS = 10_000


@immutable
class Replaced:
    """Parts that could take a place, with what the part there now does not state."""

    heading: str
    found: tuple[Replacement, ...]
    unstated: tuple[str, ...]
    contradictions: tuple[str, ...]

    def document(self) -> Document:
        """The list as a document."""
        return replacements_document(self.heading, self.found, self.unstated)

    def file(self) -> str:
        """The page: the bytes that `coaxwright pair ... --replace ... --format html` gives."""
        return render_replacements(self.heading, self.found, "html", self.unstated)


def replaced(work: Workspace, shelf: Shelf, asked: Asked, which: str) -> Replaced:
    """What keeps at least as much in the place of the camera or the recorder. Raises Refusal."""
    question = question_of(asked)
    _refuse_half_a_cable(question)
    beside = [asked.camera, asked.recorder, *([question.cable] if question.cable else [])]
    catalogue = shelf.among(asked.among, which, beside)
    camera, recorder = known(catalogue, asked.camera, "camera"), known(catalogue, asked.recorder, "recorder")
    clerk, candidates = Clerk(catalogue, work.rulebook), matching(catalogue, "*", which)
    search = replace_camera if which == "camera" else replace_recorder
    found = search(clerk, camera, recorder, candidates, question)
    old = camera if which == "camera" else recorder
    names = [camera, recorder, *(each.part for each in found), *([question.cable] if question.cable else [])]
    heading, told = replacement_heading(which, asked.camera, asked.recorder), contradictions_of(catalogue, names)
    return Replaced(heading, tuple(found), tuple(unstated(catalogue.part(old))), tuple(dict.fromkeys(told)))


@immutable
class Tabled:
    """A table of cameras against recorders, and what all cameras come to on one."""

    table: Table
    together: Together
    contradictions: tuple[str, ...]

    def document(self) -> Document:
        """The table as a document."""
        return table_document(self.table, "html", self.together)

    def file(self) -> str:
        """The page: the bytes that `coaxwright pair CAMERAS RECORDERS --format html` gives."""
        return render_table(self.table, "html", self.together)


def tabled(work: Workspace, shelf: Shelf, asked: Asked) -> Tabled:
    """Cameras and recorders, as lists with commas or globs, each with each. Raises Refusal."""
    question = question_of(Asked(rate=asked.rate))
    cameras, recorders = asked.among or "*", asked.recorders or "*"
    catalogue = shelf.of_lists((cameras, "camera"), (recorders, "recorder"))
    pieces = named(catalogue, cameras, "camera")
    kinds = list(dict.fromkeys(pieces))
    boxes = named(catalogue, recorders, "recorder")
    if len(kinds) * len(boxes) > MOST_PAIRS:
        raise Refusal([Problem("", f"{len(kinds) * len(boxes):,} pairs are too many for a page", "name fewer")])
    clerk = Clerk(catalogue, work.rulebook)
    told = tuple(dict.fromkeys(contradictions_of(catalogue, [*kinds, *boxes])))
    return Tabled(tabulate(clerk, kinds, boxes, question), all_together(clerk, pieces, boxes, question), told)


def _refuse_half_a_cable(question: Question) -> None:
    if question.cable is not None and question.length is None:
        raise Refusal([Problem("", "the cable needs its length", "write one, such as 90 m, or choose no cable")])
