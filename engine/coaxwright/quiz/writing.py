"""Papers and keys as files: names that tell nothing, the key always in files of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from coaxwright.quiz.bank import Bank
from coaxwright.quiz.formats import gift, html, markdown, qti, table
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import Sheet, key_data, paper_data, sheet_of
from coaxwright.show.json_text import FORMAT, to_json

FORMATS = ("md", "html", "json", "qti", "qti3", "gift", "csv")
PACKAGES = {"qti": "2.1", "qti3": "3.0"}
"""Formats that are packages of files, with the edition of QTI."""
_PAPERS: Mapping[str, Callable[[Sheet], str]] = {"md": markdown.paper, "html": html.paper, "csv": table.paper}
_KEYS: Mapping[str, Callable[[Mapping[str, Any]], str]] = {"md": markdown.key, "html": html.key, "csv": table.key}


def paper_text(paper: Paper, form: str) -> str:
    """A paper in a text format."""
    return to_json(paper_data(paper)) if form == "json" else _PAPERS[form](sheet_of(paper))


def key_text(bank: Bank, paper: Paper, form: str) -> str:
    """A key in a text format."""
    data = key_data(bank, paper)
    if form == "gift":
        return gift.key(sheet_of(paper), data)
    return to_json(data) if form == "json" else _KEYS[form](data)


def both(bank: Bank, papers: Sequence[Paper]) -> str:
    """Papers and keys as one JSON object: an object for one paper, a list of objects for several."""
    made = [{"format": FORMAT, "paper": paper_data(paper), "key": key_data(bank, paper)} for paper in papers]
    return to_json(made[0] if len(made) == 1 else made)


def files_of(bank: Bank, papers: Sequence[Paper], form: str) -> dict[str, str | bytes]:
    """All files by name. The key is written as JSON besides, for `quiz mark`."""
    files: dict[str, str | bytes] = {}
    for paper in papers:
        if form in PACKAGES:
            files[f"paper-{paper.letter}.zip"] = qti.package(sheet_of(paper), edition=PACKAGES[form])
            files[f"key-{paper.letter}.zip"] = qti.package(sheet_of(paper), key_data(bank, paper), PACKAGES[form])
        elif form == "gift":
            files[f"paper-{paper.letter}.md"] = paper_text(paper, "md")
            files[f"key-{paper.letter}.gift"] = key_text(bank, paper, form)
        else:
            files[f"paper-{paper.letter}.{form}"] = paper_text(paper, form)
            files[f"key-{paper.letter}.{form}"] = key_text(bank, paper, form)
        files[f"key-{paper.letter}.json"] = key_text(bank, paper, "json")
    return files
