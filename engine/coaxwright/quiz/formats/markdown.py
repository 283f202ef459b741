"""Paper and key as Markdown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright.quiz.drawing import as_text
from coaxwright.quiz.printed import CAUTION, NOTE, Question, Sheet
from coaxwright.quiz.tables import Table
from coaxwright.show.markdown import escaped, in_cell, table_rows
from coaxwright.show.painter import visible


def paper(sheet: Sheet) -> str:
    """The paper."""
    lines = [
        f"# {escaped(sheet.title)}: paper {sheet.letter}",
        "",
        "Name: ______________________   Date: ____________",
        "",
    ]
    lines += [f"Time: {sheet.minutes} minutes.", ""] if sheet.minutes else []
    lines += [NOTE, ""]
    for question in sheet.questions:
        lines += _question(question)
    return "\n".join([*lines, "---", "", CAUTION, "", escaped(sheet.mark), ""])


def _question(question: Question) -> Iterator[str]:
    yield from (f"## {question.number}. ({question.id})", "", escaped(question.intro), "")
    for table in question.tables:
        yield from _table(table)
    if question.given:
        yield from table_rows(("given", ""), ([in_cell(cell) for cell in row] for row in question.given))
        yield ""
    drawing = as_text(question.lines)
    if drawing:
        yield from ("```text", *map(visible, drawing), "```", "")
    yield from (f"**{escaped(question.stem)}**", "")
    if question.entered:
        yield from (f"Answer: ____________ {escaped(question.unit)}", "")
    for letter, text in question.options:
        yield f"- {letter}: {in_cell(text)}"
    yield ""


def _table(table: Table) -> Iterator[str]:
    heads = ("", *table.heads[1:]) if table.of == "site" else table.heads
    yield from (f"{escaped(table.title)}", "")
    yield from table_rows([in_cell(each) for each in heads], ([in_cell(cell) for cell in row] for row in table.rows))
    yield ""


def key(data: Mapping[str, Any]) -> str:
    """The key, from its plain data."""
    lines = [f"# {escaped(data['title'])}: key to paper {data['letter']}", "", "For the trainer.", ""]
    rows = [
        [f"{item['number']}", identifier, item["key"] or "entered", in_cell(item["answer"]), in_cell(item["band"])]
        for identifier, item in data["items"].items()
    ]
    lines += table_rows(("question", "id", "key", "answer", "difficulty (estimate)"), rows)
    for identifier, item in data["items"].items():
        lines += ["", *_answer(identifier, item)]
    return "\n".join([*lines, "", "---", "", CAUTION, "", escaped(data["made_by"]), ""])


def _answer(identifier: str, item: Mapping[str, Any]) -> Iterator[str]:
    yield from (f"## {item['number']}. ({identifier}) {item['key'] or ''}: {escaped(item['answer'])}", "")
    yield from (escaped(item["question"]), "")
    if item["entered"]:
        yield from (f"Taken as right within {item['entered']['tolerance']:.0%}.", "")
    yield from ("Working:", "")
    yield from (f"- {escaped(line)}" for line in item["working"])
    yield from ("", "What the other answers come from:", "")
    for letter, option in item["options"].items():
        if not option["right"]:
            yield f"- {letter}, {in_cell(option['text'])}: {in_cell(option['named'])}. {in_cell(option['feedback'])}"
    for wrong in item["typical"]:
        yield f"- {escaped(wrong['text'])}: {escaped(wrong['named'])}. {escaped(wrong['feedback'])}"
    yield from ("", "Sources:", "")
    yield from (f"- {escaped(source)}" for source in item["sources"])
    if item["caution"]:
        yield from ("", f"Caution: {escaped(item['caution'])}")
