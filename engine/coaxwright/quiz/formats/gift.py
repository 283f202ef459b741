"""A key as plain text in the GIFT format, which many learning platforms read: questions with answers and feedback.

The format is openly documented: `::title::[html]text{answers}`; `=` before what is right, `~` before what is wrong,
`#` before feedback; a number as `#least..greatest`. There is no such file without answers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import escape
from typing import Any

from coaxwright.quiz.drawing import as_text
from coaxwright.quiz.formats.qti_items import bounds
from coaxwright.quiz.printed import NOTE, Question, Sheet
from coaxwright.quiz.tables import Table
from coaxwright.show.painter import visible

_SIGNS = re.compile(r"([\\~=#{}:])")


def key(sheet: Sheet, data: Mapping[str, Any]) -> str:
    """All questions of a paper with their answers; blank lines part them."""
    head = [f"// {_line(sheet.title)}: paper {sheet.letter}", f"// {_line(sheet.mark)}"]
    return "\n\n".join(["\n".join(head), *(_question(each, data["items"][each.id]) for each in sheet.questions)]) + "\n"


def _line(text: str) -> str:
    return visible(text).replace("\n", " ")


def _question(question: Question, key: Mapping[str, Any]) -> str:
    words = "".join(_words(question))
    answers = _number(key) if question.entered else _choices(question, key)
    title = _escaped(f"{question.number} ({question.id})")
    return "\n".join([f"::{title}::[html]{_escaped(words)}{{", *answers, "}"])


def _escaped(text: str) -> str:
    """Words whose signs the format does not take for its own."""
    return _SIGNS.sub(r"\\\1", text).replace("\n", " ")


def _html(text: str) -> str:
    return escape(_line(text), quote=False)


def _words(question: Question) -> Iterator[str]:
    """All that is printed of a question as HTML on one line."""
    yield f"<p>{_html(question.intro)}</p>"
    given = [Table("given", "Also given", ("what", "value"), question.given)] if question.given else []
    for table in (*question.tables, *given):
        yield from _table(table)
    if question.lines:
        yield "<p>" + "<br>".join(map(_html, as_text(question.lines))) + "</p>"
    yield f"<p>{_html(NOTE)}</p><p><strong>{_html(question.stem)}</strong></p>"
    if question.entered:
        yield f"<p>Answer in {_html(question.unit)}.</p>"


def _table(table: Table) -> Iterator[str]:
    drop = 1 if table.of == "site" else 0
    heads = "".join(f"<th>{_html(head)}</th>" for head in table.heads[drop:])
    yield f"<table><caption>{_html(table.title)}</caption><thead><tr>{heads}</tr></thead><tbody>"
    for row in table.rows:
        yield "<tr>" + "".join(f"<td>{_html(cell)}</td>" for cell in row[drop:]) + "</tr>"
    yield "</tbody></table>"


def _choices(question: Question, key: Mapping[str, Any]) -> Iterator[str]:
    for letter, text in question.options:
        option = key["options"][letter]
        said = " ".join(key["working"]) if option["right"] else f"{option['named']}. {option['feedback']}"
        yield f"{'=' if option['right'] else '~'}{_escaped(_html(text))}#{_escaped(_html(said.strip()))}"


def _number(key: Mapping[str, Any]) -> Iterator[str]:
    least, greatest = bounds(key["entered"]["value"], key["entered"]["tolerance"])
    yield f"#={least}..{greatest}#{_escaped(_html(' '.join(key['working'])))}"
    for wrong in key["typical"]:
        if wrong["value"] is not None:
            least, greatest = bounds(wrong["value"], key["entered"]["tolerance"])
            yield f"=%0%{least}..{greatest}#{_escaped(_html(_slip(wrong)))}"


def _slip(wrong: Mapping[str, Any]) -> str:
    return f"{wrong['named']}. {wrong['feedback']}".strip()
