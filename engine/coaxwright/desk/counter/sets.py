"""A pasted list of cameras on each of some recorders: the answer that `coaxwright pair --cameras` gives for that list."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from coaxwright.desk.arriving import folder_for_now
from coaxwright.desk.counter.asking import Asked, question_of
from coaxwright.desk.counter.shelf import Shelf
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.quantities import quoted
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.keeping import Keep, parse_keep
from coaxwright.pairing.listed_pieces import HalfRun, pieces_of
from coaxwright.pairing.set_words import SetAnswer, answered_set, render_set, set_document
from coaxwright.pairing.tables import named
from coaxwright.reading.catalogue import Catalogue
from coaxwright.schedules.camera_lists import CameraList, named_in_list, read_camera_list
from coaxwright.show.tree import Document
from coaxwright.workspace.project import Workspace

NAME = "list.csv"
_LINE = re.compile(r"(?:(?P<count>\d{1,4})\s*(?:[x×]\s*|\s))?(?P<part>[^,;]+?)(?:[,;]\s*sound on (?P<sound>\d{1,4}))?")


@immutable
class Pasted:
    """A list as a table, and of how many cameras sound is to be kept."""

    data: bytes
    sound: int


def pasted(text: str) -> Pasted:
    """A list as it is typed: a table with headings as it is, or lines such as `4 fennick/turret-5, sound on 2`.

    Raises Refusal for a line that names no part.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if not lines:
        raise Refusal([Problem("", "there is no camera in this list", "write one a line: how many, and which")])
    if re.search(r"[,;\t]", lines[0]) and not re.match(r"\d", lines[0]) and _LINE.fullmatch(lines[0]) is None:
        return Pasted(("\n".join(lines) + "\n").encode(), 0)
    out, sound = io.StringIO(), 0
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(("Model", "Quantity"))
    for number, line in enumerate(lines, 1):
        found = _LINE.fullmatch(line)
        if found is None:
            right = "write how many, and which: 4 fennick/turret-5, sound on 2"
            raise Refusal([Problem(f"line {number}", f"{quoted(line)} names no camera", right)])
        rows.writerow((found["part"], found["count"] or "1"))
        sound += int(found["sound"] or 0)
    return Pasted(out.getvalue().encode(), sound)


@immutable
class ToldSet:
    """The answer for a list, with the list as a file."""

    list: bytes
    clerk: Clerk
    answer: SetAnswer

    def document(self) -> Document:
        """The answer as a document."""
        return set_document(self.clerk, self.answer)

    def file(self) -> str:
        """The page: the bytes that `coaxwright pair --cameras list.csv ... --format html` gives."""
        return render_set(self.clerk, self.answer, "html")


def told_set(work: Workspace, shelf: Shelf, asked: Asked) -> ToldSet:
    """The answer for the list on the recorders named (all where none is). Raises Refusal."""
    list_ = pasted(asked.cameras)
    keep: Keep = parse_keep([asked.keep]) if asked.keep else {}
    if list_.sound:
        keep = {"sound": list_.sound, **keep}
    catalogue = _catalogue(shelf, list_.data, asked.recorders)
    read = _read(list_.data, catalogue)
    question = question_of(replace(asked, length="", cable="", switched=""))
    clerk, recorders = Clerk(catalogue, work.rulebook), named(catalogue, asked.recorders or "*", "recorder")
    try:
        pieces, network, remarks = pieces_of(read.rows, catalogue, question)
    except HalfRun as half:
        raise Refusal([Problem(half.place, "a run needs both, its cable and its length", "fill in both columns")]) from half
    if not pieces:
        raise Refusal([Problem("", "the list has network cameras only", "nothing of them goes over coax")])
    answer = answered_set(clerk, NAME, pieces, recorders, keep, [*read.notes, *remarks], network=network)
    return ToldSet(list_.data, clerk, answer)


def _catalogue(shelf: Shelf, data: bytes, recorders: str) -> Catalogue:
    """All parts of a small catalogue; of a large one those of the list and the recorders that are named."""
    if shelf.small:
        return shelf.whole()
    with _as_file(data) as path:
        return shelf.of_lists((recorders or "*", "recorder"), beside=named_in_list(path))


def _read(data: bytes, catalogue: Catalogue) -> CameraList:
    with _as_file(data) as path:
        return read_camera_list(path, catalogue)


@contextmanager
def _as_file(data: bytes) -> Iterator[Path]:
    with folder_for_now() as folder:
        path = folder / NAME
        path.write_bytes(data)
        yield path
