"""Paper and key as CSV: a row for each question; safe to open in a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from coaxwright.quiz.items import LETTERS
from coaxwright.quiz.printed import NOTE, Question, Sheet
from coaxwright.quiz.tables import Table
from coaxwright.show.csv_text import csv_text, reversibly_harmless
from coaxwright.show.painter import visible


def told(value: object) -> str:
    """What a cell says: controls as escapes, line breaks kept, nothing for None."""
    return "" if value is None else "\n".join(map(visible, str(value).split("\n")))


def _csv(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    told_rows = ([told(cell) for cell in row] for row in rows)
    return csv_text([heads, *told_rows], reversibly_harmless, "\r\n")


def paper(sheet: Sheet) -> str:
    """The paper: number, id, scenario with its tables in one cell, question, options, and what holds for all."""
    heads = ("number", "id", "topic", "level", "scenario", "question", *LETTERS, "answer unit", "note")
    return _csv(heads, (_row(question) for question in sheet.questions))


def _row(question: Question) -> list[object]:
    options = dict(question.options)
    return [
        question.number, question.id, question.topic, question.level, scenario(question), question.stem,
        *(options.get(letter, "") for letter in LETTERS), question.unit, NOTE,
    ]  # fmt: skip


def scenario(question: Question) -> str:
    """What is told before the question, its tables line by line."""
    given = [f"{what}: {value}" for what, value in question.given]
    return "\n".join([question.intro, *map(_rows, question.tables), *given])


def _rows(table: Table) -> str:
    rows = [
        "; ".join(f"{head}: {cell}" if head else cell for head, cell in zip(table.heads, row, strict=True))
        for row in table.rows
    ]
    return "\n".join([f"{table.title}", *rows])


def key(data: Mapping[str, Any]) -> str:
    """The key: a row for each question, feedback option by option."""
    heads = (
        "number",
        "id",
        "key",
        "answer",
        "tolerance",
        "working",
        "sources",
        *(f"feedback {letter}" for letter in LETTERS),
    )
    rows = []
    for identifier, item in data["items"].items():
        feedback = [item["options"].get(letter, {}).get("feedback", "") for letter in LETTERS]
        tolerance = item["entered"]["tolerance"] if item["entered"] else ""
        rows.append([item["number"], identifier, item["key"], item["answer"], tolerance,
                     "\n".join(item["working"]), "\n".join(item["sources"]), *feedback])  # fmt: skip
    return _csv(heads, rows)
