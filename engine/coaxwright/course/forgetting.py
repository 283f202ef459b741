"""Takes a learner out of what is kept of sittings: everything is worked out first, and only then written."""

from __future__ import annotations

import io
import os
import re
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from coaxwright.course.sitting_folder import HELD, learner_files, read_sitting
from coaxwright.course.sittings import LEARNER, Answers
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz.marking import MOST_BYTES
from coaxwright.reading.atomic import write_bytes_atomically
from coaxwright.reading.csv_rows import Table, delimiter_of
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.yaml_source import decode, read_bytes
from coaxwright.show.figures import count


@immutable
class Change:
    """One file: what it becomes (None: it goes), and what is taken out of it in words."""

    path: Path
    data: bytes | None
    said: str


@immutable
class Removal:
    """All that forgetting a learner changes, in the order in which it is written."""

    learner: str
    changes: tuple[Change, ...]


def removal(learner: str, places: Sequence[Path]) -> Removal:
    """What is to be written so that nothing in these folders and tables names the learner; nothing is written yet.

    Names are compared without regard to capitals and to spaces. Raises Refusal for a place that is neither a folder with a
    sitting nor a table of answers, and where nobody is called so.
    """
    changes: list[Change] = []
    known: set[str] = set()
    for place in places:
        for path in _held_at(place):
            known |= _names_in(path)
            changes += _without(path, learner)
    if not changes:
        right = did_you_mean(learner, known) or "give the name as it stands in the results"
        raise Refusal([Problem("NAME", f"nobody is called `{learner}` there", right)])
    return Removal(learner, tuple(changes))


def carry_out(removal: Removal) -> None:
    """Write it. Each file is replaced whole; that from which the others follow comes last, so that a call that was stopped can
    be made again. Raises Refusal when a file cannot be written.
    """
    for change in removal.changes:
        try:
            if change.data is None:
                change.path.unlink(missing_ok=True)
            else:
                write_bytes_atomically(change.path, change.data)
        except OSError as error:
            raise Refusal(
                [Problem(str(change.path), f"cannot be written: {error.strerror or error}", "make the call again")]
            ) from error


def still_named(removal: Removal, places: Sequence[Path]) -> list[Path]:
    """Other files in the folders that hold the name all the same: nobody but who wrote them knows what they are."""
    words = r"\s+".join(map(re.escape, removal.learner.casefold().split()))
    named = re.compile(rf"(?<!\w){words}(?!\w)")
    own = {change.path for change in removal.changes}
    files = {path for place in places if place.is_dir() for path in place.rglob("*") if path.is_file()}
    return [path for path in sorted(files - own) if named.search(_text_of(path).casefold())]


def _held_at(place: Path) -> list[Path]:
    if place.is_dir():
        found = sorted(place.rglob(HELD))
        if not found:
            right = f"name a folder that `coaxwright course mark --all` wrote: it holds {HELD}"
            raise Refusal([Problem(str(place), "no sitting is kept in this folder", right)])
        return found
    return [place]


def _same(one: str, other: str) -> bool:
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()


def _names_in(path: Path) -> set[str]:
    if path.name == HELD:
        return {name for name, _, _ in read_sitting(path)[1]}
    return {name for name, _, _ in _rows_of_table(path)}


def _without(path: Path, learner: str) -> Iterator[Change]:
    return _from_sitting(path, learner) if path.name == HELD else _from_table(path, learner)


def _from_sitting(path: Path, learner: str) -> Iterator[Change]:
    exam, rows = read_sitting(path)
    left = [row for row in rows if not _same(row[0], learner)]
    if len(left) == len(rows):
        return
    gone = [row for row in rows if row not in left]
    told = f"{_told(gone)} taken out, {count(len(left), 'paper')} left"
    files = learner_files(exam, left, path.parent) if left else dict.fromkeys(learner_files(exam, rows, path.parent))
    for name, data in files.items():
        target = path.parent / name
        if data is None:
            yield Change(target, None, "removed: no paper is left")
        elif target.exists():
            yield Change(
                target,
                data.encode() if isinstance(data, str) else data,
                told if name == HELD else "made anew without it",
            )


def _told(gone: Sequence[Answers]) -> str:
    return ", ".join(
        f"a paper of version {version} with {count(sum(map(bool, given)), 'answer')}" for _, version, given in gone
    )


def _from_table(path: Path, learner: str) -> Iterator[Change]:
    text = decode(read_bytes(path, str(path), MOST_BYTES), str(path))
    lines = list(io.StringIO(text, newline=""))
    gone = [(first, last) for name, first, last in _rows_of_table(path) if _same(name, learner)]
    if gone:
        out = {number for first, last in gone for number in range(first, last)}
        left = "".join(line for number, line in enumerate(lines, start=1) if number not in out)
        mark = b"\xef\xbb\xbf" if path.read_bytes().startswith(b"\xef\xbb\xbf") else b""
        yield Change(path, mark + left.encode().removeprefix(mark), f"{count(len(gone), 'row')} taken out")


def _rows_of_table(path: Path) -> Iterator[tuple[str, int, int]]:
    """Each learner of a table, with the line on which the row begins and that on which the next does."""
    text = decode(read_bytes(path, str(path), MOST_BYTES), str(path))
    table = Table(text, str(path), delimiter_of(text))
    rows = list(table)
    heads = [cell.strip().lower() for cell in rows[0].cells] if rows else []
    place = next((place for place, head in enumerate(heads) if head in LEARNER), None)
    if place is None:
        what, right = (
            "this is no table of answers: no column is called `learner`",
            f"name a folder with {HELD}, or a table (CSV)",
        )
        raise Refusal([Problem(str(path), what, right)])
    ends = [row.line for row in rows[1:]] + [len(text.splitlines()) + 1]
    for row, end in zip(rows[1:], ends[1:], strict=True):
        if place < len(row.cells) and row.cells[place].strip():
            yield row.cells[place], row.line, end


def _text_of(path: Path) -> str:
    """What a file says, as far as it can be read: text, or the texts inside a workbook."""
    try:
        if os.path.getsize(path) > MOST_BYTES:
            return ""
        data = path.read_bytes()
        if not zipfile.is_zipfile(io.BytesIO(data)):
            return data.decode(errors="replace")
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            inside = [each for each in archive.infolist() if each.file_size <= MOST_BYTES]
            return "\n".join(archive.read(each).decode(errors="replace") for each in inside)
    except (OSError, zipfile.BadZipFile, RuntimeError):
        return ""
