"""A document as Markdown, for a pull request, a ticket or a mail; it shows exactly the characters of its text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from coaxwright.show.cells import cell_words
from coaxwright.show.painter import visible
from coaxwright.show.tree import (
    Block,
    Caution,
    Code,
    Document,
    Facts,
    Finding,
    Labels,
    Listing,
    Note,
    Paragraph,
    Picture,
    Run,
    Section,
    Sign,
    Strong,
    Table,
    Words,
    Working,
    runs,
    softened,
)

# What CommonMark and common extensions read as more than itself: anywhere, at the start of a line, in links.
_ANYWHERE = re.compile(r"[\\`*_\[\]<>|~&$#@]")
_AT_START = re.compile(r"^(\d{0,9})([-+=.):])")
_IN_LINKS = re.compile(r"(?<=\w)(?=://)|(?<=www)(?=\.)", re.IGNORECASE)


def escaped(text: str) -> str:
    """`text` on one line such that Markdown shows exactly its characters."""
    return _AT_START.sub(r"\1\\\2", in_cell(text))


def in_cell(text: str) -> str:
    """The same for text that cannot begin a line: a list or a heading cannot begin there either."""
    shown = visible(" ".join(text.split("\n")).strip())
    return _IN_LINKS.sub(r"\\", _ANYWHERE.sub(r"\\\g<0>", shown))


def table_rows(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """A table of cells that are escaped already."""
    yield _row(heads)
    yield _row(["---"] * len(heads))
    yield from map(_row, rows)


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def render(document: Document) -> str:
    """The document as Markdown, ending in a newline."""
    chunks = [[f"# {escaped(document.title)}"]] if document.title else []
    chunks += [[words(document.verdict)]] if document.verdict else []
    chunks += [[f"- {escaped(name)}: {escaped(value)}" for name, value in document.meta]] if document.meta else []
    for block in document.blocks:
        chunks += [lines for lines in _block(block, 2) if lines]
    return "\n\n".join("\n".join(lines) for lines in chunks) + "\n"


def words(said: Words) -> str:
    """Runs as Markdown that begins a line or an item."""
    return _AT_START.sub(r"\1\\\2", _cell(said))


def _cell(said: Words) -> str:
    """Runs as Markdown within a line."""
    return "".join(map(_run, runs(said))) if isinstance(said, tuple) else _run(said)


def _run(run: Run) -> str:
    if isinstance(run, Strong):
        return f"**{in_cell(run.text)}**" if run.text.strip() else in_cell(run.text)
    if isinstance(run, Code):
        return _code(run.text)
    return _inner(run if isinstance(run, str) else run.text)


def _inner(text: str) -> str:
    """Escaped text that keeps the spaces at its ends, so that runs stay apart."""
    made = in_cell(text)
    if not made:
        return " " if text else ""
    return " " * text[:1].isspace() + made + " " * text[-1:].isspace()


def _code(text: str) -> str:
    """A code span in as many backticks as it needs; a bar, which would end a cell of a table, as plain text."""
    shown = visible(softened(text))
    if "|" in shown or not shown.strip():
        return in_cell(text)
    fence = "`" * (max((len(each) for each in re.findall("`+", shown)), default=0) + 1)
    return f"{fence} {shown} {fence}" if "`" in shown else f"`{shown}`"


def _block(block: Block, depth: int) -> Iterator[list[str]]:
    """Chunks of a block, to stand apart by an empty line."""
    if isinstance(block, Section):
        yield [f"{'#' * min(depth, 6)} {escaped(block.heading)}"]
        for each in block.blocks:
            yield from _block(each, depth + 1)
    elif isinstance(block, Finding):
        yield [f"{'#' * min(depth, 6)} {escaped(_head(block))}"]
        yield [words(block.message)]
        for each in block.below:
            yield from _block(each, depth + 1)
    elif isinstance(block, Listing):
        yield _listing(block, "")
    else:
        yield _leaf(block)


def _head(block: Finding) -> str:
    line = "" if block.line is None else f", line {block.line}"
    return f"{block.level}: {block.rule} on {block.subject}{line}"


def _leaf(block: Block) -> list[str]:
    """What holds no other blocks."""
    if isinstance(block, Table):
        return _table(block)
    if isinstance(block, Facts):
        rows = [[in_cell(name), "<br>".join(map(_cell, said))] for name, said in block.lines()]
        return list(table_rows([in_cell(each) for each in block.heads], rows))
    if isinstance(block, Working):
        return [f"- {escaped(block.label)}: {escaped(line)}" for line in block.lines]
    if isinstance(block, Picture):
        return [f"(Picture: {escaped(block.alt)})"]
    if isinstance(block, Labels):
        return [f"- {escaped('; '.join(each))}" for each in block.labels]
    if isinstance(block, Sign):
        return [f"- {escaped(name)}: \\_\\_\\_\\_\\_\\_\\_\\_" for name in block.names]
    if isinstance(block, Caution | Note):
        return [f"**{type(block).__name__}:** {words(block.words)}"]
    return [words(block.words)] if isinstance(block, Paragraph) else []


def _listing(block: Listing, indent: str) -> list[str]:
    lines: list[str] = []
    for number, item in enumerate(block.entries(), 1):
        sign = f"{number}. " if block.signs == "number" else "- "
        lines.append(f"{indent}{sign}{words(item.words)}")
        for each in item.below:
            lines += _under(each, indent + " " * len(sign))
    return lines


def _under(block: Block, indent: str) -> list[str]:
    """What stands below an item: a list, or chunks set in so that they belong to it."""
    if isinstance(block, Listing):
        return _listing(block, indent)
    if isinstance(block, Working):
        return [f"{indent}{line}" for line in _leaf(block)]
    return [line for chunk in _block(block, 4) for line in ("", *(f"{indent}{each}" for each in chunk))]


def _table(block: Table) -> list[str]:
    heads = block.heads()
    made: dict[int, str] = {}
    lines = [f"**{escaped(block.caption)}**", ""] if block.caption else []
    lines += table_rows([in_cell(head.whole) for head in heads], ())
    inner = heads if block.names is None else heads[1:]
    for place, row in enumerate(block.rows):
        if id(row) not in made:
            made[id(row)] = " | ".join(_cell(cell_words(head, cell)) for head, cell in zip(inner, row, strict=True))
        name = "" if block.names is None else f"{in_cell(block.names[place])} | "
        lines.append(f"| {name}{made[id(row)]} |")
    return lines
