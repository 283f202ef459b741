"""Reads a printed paper (Markdown) back: tables, given figures, stem and options of each question."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

Row = dict[str, str]


@dataclass
class Read:
    """One question as it stands on the paper."""

    id: str
    intro: str = ""
    tables: dict[str, list[Row]] = field(default_factory=dict)
    stem: str = ""
    options: dict[str, str] = field(default_factory=dict)
    given: Row = field(default_factory=dict)
    drawing: list[str] = field(default_factory=list)
    unit: str = ""


def plain(text: str) -> str:
    """The words that escaped Markdown shows."""
    return re.sub(r"\\([\\`*_\[\]<>|#~&$@])", r"\1", text)


def cells(line: str) -> list[str]:
    """The cells of a row of a table."""
    return [plain(cell.strip()) for cell in re.split(r"(?<!\\)\|", line.strip().strip("|"))]


def read_paper(text: str) -> list[Read]:
    """All questions of a paper."""
    return [_question(match[1], match[2]) for match in _QUESTION.finditer(text)]


_QUESTION = re.compile(r"^## [0-9]+\. \(([0-9a-f]+)\)\n(.*?)(?=^## [0-9]+\. |^---$)", re.DOTALL | re.MULTILINE)


def _question(identifier: str, text: str) -> Read:
    read = Read(identifier)
    blocks = [block for block in text.strip().split("\n\n") if block.strip()]
    read.intro = plain(blocks[0])
    title = ""
    for block in blocks[1:]:
        lines = block.splitlines()
        if block.startswith("|"):
            _table(read, title, lines)
        elif block.startswith("```"):
            read.drawing = lines[1:-1]
        elif block.startswith("**"):
            read.stem = plain(block.strip("*"))
        elif block.startswith("Answer: ____"):
            read.unit = block.rpartition("_ ")[2].strip()
        elif block.startswith("- A: "):
            read.options = {line[2]: plain(line[5:]) for line in lines}
        else:
            title = plain(block)
    return read


def _table(read: Read, title: str, lines: list[str]) -> None:
    heads = cells(lines[0])
    rows = [cells(line) for line in lines[2:]]
    if heads[0] == "given":
        read.given = {row[0]: row[1] for row in rows}
    else:
        read.tables[title] = [dict(zip(heads, row, strict=True)) for row in rows]
