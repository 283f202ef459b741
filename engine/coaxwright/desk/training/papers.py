"""Papers with their keys, and whole exams, as the files that the command line writes; marking of what comes back."""

from __future__ import annotations

import base64
import binascii
import io
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from coaxwright.course.exams import files_of as exam_files
from coaxwright.course.exams import make_exam, read_project
from coaxwright.course.results import results_document
from coaxwright.course.sittings import mark, read_exam
from coaxwright.course.sittings import read_answers as read_table
from coaxwright.desk.arriving import decoded, folder_for_now, name_of
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import marked_text, marking
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.forms import LEVELS
from coaxwright.quiz.papers import MOST_PAPERS, Paper, Wanted, make_papers, paper_letters
from coaxwright.quiz.scenes import SIZES
from coaxwright.quiz.writing import FORMATS, files_of
from coaxwright.show.tree import Document

_DAY = (2026, 1, 1, 0, 0, 0)
"""The day of files in an archive: the same files make the same bytes."""


@immutable
class Order:
    """A paper as it is ordered; the fields are those of `coaxwright quiz`."""

    topics: tuple[str, ...] = ()
    count: int = 10
    seed: int = 1
    papers: int = 1
    size: str = "medium"
    level: str = ""
    minutes: int = 0
    form: str = "html"


def order_of(fields: Mapping[str, Any], topics: tuple[str, ...]) -> Order:
    """An order from the fields of a form or an address. Raises Refusal for numbers that make no paper."""
    chosen = tuple(each for each in topics if fields.get(f"topic-{each}") in (True, "yes"))
    size, level, form = (str(fields.get(name, other)) for name, other in (("size", "medium"), ("level", ""), ("form", "html")))
    if size not in SIZES or level not in ("", *LEVELS) or form not in FORMATS:
        raise Refusal([Problem("paper", "size, level or format is none of the list", "choose one of the list")])
    return Order(
        chosen, _number(fields, "count", 10, 400), _number(fields, "seed", 1, 10**9),
        _number(fields, "papers", 1, MOST_PAPERS), size, level, _number(fields, "minutes", 0, 600), form,
    )  # fmt: skip


def _number(fields: Mapping[str, Any], name: str, other: int, most: int) -> int:
    value = fields.get(name, other)
    text = f"{value:g}" if isinstance(value, float) else str(value).strip() or str(other)
    if not (text.isascii() and text.isdecimal() and int(text[:12]) <= most and (int(text[:12]) or name in ("seed", "minutes"))):
        raise Refusal([Problem(name, f"`{text}` is no number from 1 to {most}", "write a whole number")])
    return int(text)


def made(bank: Bank, order: Order) -> tuple[Paper, ...]:
    """The papers. Raises Refusal."""
    wanted = Wanted(
        count=order.count, seed=order.seed, topics=order.topics, levels=(order.level,) if order.level else (),
        letters=paper_letters(order.papers), size=order.size, minutes=order.minutes,
    )  # fmt: skip
    return make_papers(bank, wanted)


def paper_files(bank: Bank, papers: tuple[Paper, ...], form: str) -> bytes:
    """All files that `coaxwright quiz --output DIR` writes, as an archive."""
    return zipped(files_of(bank, papers, form))


def exam_of(bank: Bank, text: str) -> bytes:
    """All files that `coaxwright course exam` writes for a project, as an archive. Raises Refusal."""
    with folder_for_now() as folder:
        path = folder / "exam.yaml"
        path.write_text(text, encoding="utf-8")
        project = read_project(path)
        return zipped(exam_files(bank, project, make_exam(bank, project, folder)))


def text_in(file: Mapping[str, Any]) -> str:
    """The text of a file that was chosen. Raises Refusal."""
    try:
        return base64.b64decode(str(file.get("base64", "")), validate=True).decode()
    except (ValueError, binascii.Error) as error:
        raise Refusal([Problem(str(file.get("name", "")), "is no text", "choose a project file")]) from error


def zipped(files: Mapping[str, str | bytes]) -> bytes:
    """Files as one archive; the same bytes for the same files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name, _DAY), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()


@immutable
class Sat:
    """Marked answers: a document of an exam, or the words of one paper."""

    document: Document | None
    words: str = ""


def marked(files: object) -> Sat:
    """The answers (CSV) marked by the key beside them: `exam.json` with its keys, or one `key-*.json`. Raises Refusal."""
    with folder_for_now() as folder:
        return _marked(folder, _laid(folder, files))


def _marked(folder: Path, names: list[str]) -> Sat:
    tables = [name for name in names if name.lower().endswith(".csv")]
    keys = [name for name in names if name.lower().endswith(".json") and name != "exam.json"]
    if len(tables) != 1 or not keys:
        right = "choose exam.json with its key files, or one key-A.json, and one table of answers"
        raise Refusal([Problem("marking", "needs a key and one table (CSV)", right)])
    if "exam.json" in names:
        held = read_exam(folder)
        return Sat(results_document(mark(held, read_table(folder / tables[0], held))))
    key = marking.read_key(folder / keys[0])
    return Sat(None, marked_text.as_text(marking.mark(key, marking.read_answers(folder / tables[0], key))))


def _laid(folder: Path, files: object) -> list[str]:
    names = []
    for file in files if isinstance(files, list) else []:
        name = name_of(file, "marking").replace("\\", "/").rpartition("/")[2]
        if not name or name.startswith(".") or not name.lower().endswith((".csv", ".json")):
            raise Refusal([Problem(name or "marking", "is neither a key nor a table", "choose .json and .csv files")])
        try:
            (folder / name).write_bytes(decoded(name, file["base64"]))
        except (ValueError, OSError) as error:
            raise Refusal([Problem(name, "did not arrive whole", "choose it again")]) from error
        names.append(name)
    return names
