"""A sitting kept as a folder. Names of learners stand only in files with `.learners.` in theirs; all follow from one of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.course.certificates import certificates
from coaxwright.course.learner_sheets import sheets_document
from coaxwright.course.result_tables import results_workbook
from coaxwright.course.results import questions_data, questions_document, results_document
from coaxwright.course.sittings import Answers, Exam, mark, sound
from coaxwright.errors import Problem, Refusal
from coaxwright.quiz.marking import MOST_BYTES, is_key
from coaxwright.reading.json_text import json_value
from coaxwright.reading.yaml_source import decode, read_bytes
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import FORMAT, to_json

HELD, QUESTIONS = "sitting.learners.json", "questions.json"
_RIGHT = "name a folder that `coaxwright course mark --all` wrote"
Files = Mapping[str, str | bytes]


def sitting_files(exam: Exam, rows: Sequence[Answers], folder: Path) -> Files:
    """All files by name: those with names, and the questions without. Raises Refusal."""
    sitting = mark(exam, rows)
    return {
        QUESTIONS: to_json(questions_data(sitting)), "questions.html": rendered(questions_document(sitting), "html"),
        **learner_files(exam, rows, folder),
    }  # fmt: skip


def learner_files(exam: Exam, rows: Sequence[Answers], folder: Path) -> Files:
    """The files that hold names, the one that they follow from last. Raises Refusal."""
    sitting = mark(exam, rows)
    book = folder / "results.learners.xlsx"
    return {
        "results.learners.html": rendered(results_document(sitting), "html"),
        "sheets.learners.html": rendered(sheets_document(sitting), "html"),
        "certificates.learners.html": certificates(sitting), book.name: results_workbook(sitting, str(book)),
        HELD: to_json(held_data(exam, rows)),
    }  # fmt: skip


def held_data(exam: Exam, rows: Sequence[Answers]) -> dict[str, Any]:
    """What everything else is worked out from: the exam, its keys, and who answered what."""
    return {
        "format": FORMAT, "exam": dict(exam.data), "keys": {letter: dict(key) for letter, key in exam.keys.items()},
        "learners": [{"learner": name, "version": version, "answers": given} for name, version, given in rows],
    }  # fmt: skip


def read_sitting(path: Path) -> tuple[Exam, list[Answers]]:
    """An exam and its answers from `sitting.learners.json`. Raises Refusal."""
    data = json_value(decode(read_bytes(path, str(path), MOST_BYTES), str(path)), str(path), _RIGHT)
    if not _is_sitting(data):
        raise Refusal([Problem(str(path), "this is no sitting", _RIGHT)])
    exam = sound(Exam(data["exam"], data["keys"]), str(path))
    return exam, [(each["learner"], each["version"], each["answers"]) for each in data["learners"]]


def _is_sitting(data: object) -> bool:
    if not (isinstance(data, dict) and isinstance(data.get("exam"), dict) and isinstance(data.get("learners"), list)):
        return False
    keys = data.get("keys")
    if not (isinstance(keys, dict) and keys and all(map(is_key, keys.values()))):
        return False
    counts = {len(key["items"]) for key in keys.values()}
    return len(counts) == 1 and all(_is_row(each, set(keys), min(counts)) for each in data["learners"])


def _is_row(row: dict[str, Any], versions: set[str], count: int) -> bool:
    given = row.get("answers") if isinstance(row, dict) else None
    return (
        isinstance(given, list) and len(given) == count and all(isinstance(each, str) for each in given)
        and isinstance(row.get("learner"), str) and row.get("version") in versions
    )  # fmt: skip
