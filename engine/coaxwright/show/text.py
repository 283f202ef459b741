"""A document for a person at a terminal.

The verdict or the title stands first; blocks stand apart by an empty line, what is within a section, an item or a
finding below it, two columns further in. Prose is wrapped at the width of the screen; see `Screen` for pipes and files.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.show.painter import Style, visible
from coaxwright.show.screen import Screen
from coaxwright.show.text_tables import table_lines
from coaxwright.show.tree import (
    Block,
    Caution,
    Document,
    Facts,
    Finding,
    Item,
    Labels,
    Level,
    Listing,
    Note,
    Paragraph,
    Picture,
    Section,
    Sign,
    Table,
    Words,
    Working,
)
from coaxwright.show.wrapping import inline, wrapped

_STEP = "  "
_LABEL = 14
"""Columns: the least that the names of facts take."""
_STYLES: dict[Level | None, Style | None] = {
    "error": "error", "warning": "warning", "note": "note", "open": "open", "pass": "good", None: None,
}  # fmt: skip


def render(document: Document, screen: Screen) -> str:
    """The document as text, ending in a newline."""
    chunks: list[list[str]] = []
    if document.titled and document.title:
        chunks.append([screen.painter.paint(visible(document.title), "strong")])
    if document.verdict:
        chunks.append(wrapped(document.verdict, screen, screen.prose))
    if document.titled and document.meta:
        chunks.append([f"{visible(name)}: {visible(value)}" for name, value in document.meta])
    chunks += [lines for lines in (list(_block(block, screen, "")) for block in document.blocks) if lines]
    return "\n\n".join("\n".join(lines) for lines in chunks) + "\n" * bool(chunks)


def _block(block: Block, screen: Screen, indent: str) -> Iterator[str]:
    """The lines of a block."""
    if isinstance(block, Paragraph):
        yield from _paragraph(block, screen, indent)
    elif isinstance(block, Note | Caution):
        label = "Note: " if isinstance(block, Note) else "CAUTION  "
        yield from _marked(block, _labelled(label, block.words, screen, indent), screen)
    elif isinstance(block, Facts):
        yield from _facts(block, screen, indent)
    elif isinstance(block, Table):
        yield from _table(block, screen, indent)
    elif isinstance(block, Listing):
        yield from _listing(block, screen, indent)
    elif isinstance(block, Working):
        yield from _aligned(block.label, block.lines, screen, indent, len(block.label) + 2)
    elif isinstance(block, Finding):
        yield from _finding(block, screen, indent)
    elif isinstance(block, Picture):
        yield from _labelled("Picture: ", block.alt, screen, indent)
    elif isinstance(block, Labels):
        yield from (line for each in block.labels for line in wrapped("; ".join(each), screen, screen.prose, indent, indent))
    elif isinstance(block, Sign):
        yield from (f"{indent}{visible(name)}: ____________________" for name in block.names)
    else:
        yield from _section(block, screen, indent)


def _paragraph(block: Paragraph, screen: Screen, indent: str) -> Iterator[str]:
    style = _STYLES[block.level]
    for line in wrapped(block.words, screen, screen.prose, indent, indent):
        yield screen.painter.paint(line, style) if style else line


def _labelled(label: str, words: Words, screen: Screen, indent: str) -> list[str]:
    return wrapped(words, screen, screen.prose, indent + label, indent + " " * len(label))


def _marked(block: Note | Caution, lines: Sequence[str], screen: Screen) -> Sequence[str]:
    return [screen.painter.paint(line, "warning") for line in lines] if isinstance(block, Caution) else lines


def _facts(block: Facts, screen: Screen, indent: str) -> Iterator[str]:
    """Names in small letters in a column of their own."""
    wide = max([_LABEL, *(len(visible(name)) for name, _ in block.pairs)]) + 2
    for name, said in block.lines():
        yield from _aligned(visible(name).lower(), said, screen, indent, min(wide, screen.prose // 3))


def _aligned(label: str, said: Sequence[Words], screen: Screen, indent: str, wide: int) -> Iterator[str]:
    """Lines beside a label, all starting in one column."""
    rest = indent + " " * wide
    for place, words in enumerate(said or [""]):
        first = f"{indent}{label:<{wide}}" if place == 0 else rest
        yield from (line.rstrip() for line in wrapped(words, screen, screen.prose, first, rest))


def _table(block: Table, screen: Screen, indent: str) -> Iterator[str]:
    if block.caption:
        yield indent + screen.painter.paint(visible(block.caption), "strong")
    yield from (indent + line for line in table_lines(block, screen, len(indent)))


def _listing(block: Listing, screen: Screen, indent: str) -> Iterator[str]:
    width = screen.width and screen.prose if block.whole else screen.prose
    for number, item in enumerate(block.entries(), 1):
        sign = {"none": "", "bullet": "- ", "number": f"{number}. "}[block.signs]
        rest = indent + (" " * len(sign) or _STEP * 2)
        yield from wrapped(item.words, screen, width, indent + sign, rest)
        yield from _below(item, screen, indent + (" " * len(sign) or _STEP))


def _below(block: Item | Finding, screen: Screen, indent: str) -> Iterator[str]:
    for each in block.below:
        yield from _block(each, screen, indent)


def _finding(block: Finding, screen: Screen, indent: str) -> Iterator[str]:
    word = screen.painter.paint(block.level.upper(), _STYLES[block.level] or "strong")
    line = "" if block.line is None else f", line {block.line}"
    yield f"{indent}{word}  {visible(block.rule)}  {visible(block.subject)}{line}"
    yield from wrapped(block.message, screen, screen.prose, indent, indent)
    yield from _below(block, screen, indent + _STEP)


def _section(block: Section, screen: Screen, indent: str) -> Iterator[str]:
    yield indent + screen.painter.paint(f"{inline(block.heading, screen)}:", "strong")
    for place, each in enumerate(block.blocks):
        if place:
            yield ""
        yield from _block(each, screen, indent + _STEP)
