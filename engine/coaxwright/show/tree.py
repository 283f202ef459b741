"""What is to be shown, as a tree of records: a document of sections, paragraphs, tables, findings and pictures.

Whoever answers a question builds such a tree from plain strings; the forms beside this module turn it into text,
Markdown, a page, CSV or JSON. No string in the tree is ever markup: escaping is the forms' work alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple, TypeAlias

from coaxwright.immutable import immutable
from coaxwright.show.markup import Markup

Level = Literal["error", "warning", "note", "open", "pass"]
Kind = Literal["text", "number", "answer", "box"]
Signs = Literal["none", "bullet", "number"]
Fold = Literal["stack", "scroll"]
Print = Literal["", "form", "reader"]


# Words: a string, or several runs one after the other


@immutable
class Strong:
    """A stretch of words that stands out."""

    text: str


@immutable
class Code:
    """What is typed or stands in a file: a command, a key, a rule id."""

    text: str


@immutable
class Place:
    """A place in a file, `line` and `column` counted from 1; a link where the terminal can follow one."""

    file: str
    line: int | None = None
    column: int | None = None

    @property
    def text(self) -> str:
        """`yard.site.yaml:12:3`."""
        return ":".join([self.file, *(str(each) for each in (self.line, self.column) if each is not None)])


Run: TypeAlias = str | Strong | Code | Place
Words: TypeAlias = Run | tuple[Run, ...]


def runs(words: Words) -> tuple[Run, ...]:
    """The stretches of words in order."""
    return words if isinstance(words, tuple) else (words,)


def bare(words: Words) -> str:
    """Words as a string, nothing escaped; line ends of folded prose become spaces."""
    return "".join(softened(run if isinstance(run, str) else run.text) for run in runs(words))


def softened(text: str) -> str:
    """Text on one line: line ends become spaces."""
    return text.replace("\n", " ") if "\n" in text else text


# Blocks


@immutable
class Paragraph:
    """A paragraph; a level gives it that colour, which must not be all that tells it."""

    words: Words
    level: Level | None = None


@immutable
class Note:
    """A remark beside the matter."""

    words: Words


@immutable
class Caution:
    """A usual caution: who has to review what."""

    words: Words


@immutable
class Facts:
    """Names with what is said of each, one line or several; `heads` are the two headings where a table is made of it."""

    pairs: Sequence[tuple[str, Words | Sequence[Words]]]
    heads: tuple[str, str] = ("what", "value")

    def lines(self) -> Iterator[tuple[str, Sequence[Words]]]:
        """Each name with its lines."""
        for name, said in self.pairs:
            yield name, said if isinstance(said, list) else (said,)  # type: ignore[misc]


@immutable
class Column:
    """A column: text; a number, of so many decimals at most, with a unit; an answer, which is yes, no or open; or a
    box to write in. Columns of one `group` that stand side by side have it over them on a page, before them elsewhere.
    """

    name: str
    kind: Kind = "text"
    unit: str = ""
    decimals: int = 2
    wraps: bool = True
    group: str = ""

    @property
    def whole(self) -> str:
        """The name with that of its group."""
        return f"{self.group}: {self.name}" if self.group else self.name


class Outcome(NamedTuple):
    """A cell that is one of a few outcomes: `word` in small letters and hyphens names it, `text` is what is shown.

    `level` gives it an edge on a page, full, double or dashed.
    """

    word: str
    text: str
    level: Level = "note"


Cell: TypeAlias = Words | float | bool | Outcome | None


@immutable
class Table:
    """Rows of cells under columns; the first column names the row.

    A cell of None is empty, in a column of answers `open`. With `names`, the first column stands there and rows hold
    the rest: equal rows may then be one and the same tuple, which is made ready once. `fold` is for a narrow page: each
    row by itself with its cells labelled (`stack`), or the whole table in a window that scrolls. `search` labels a field
    that finds rows, `outcomes` are words with descriptions by which cells can be hidden; both on pages only.
    """

    columns: Sequence[Column | str]
    rows: Sequence[Sequence[Cell]]
    caption: str = ""
    names: Sequence[str] | None = None
    empty: str = "nothing"
    fold: Fold = "stack"
    search: tuple[str, str] | None = None
    outcomes: Sequence[tuple[str, str]] = ()

    @property
    def boxed(self) -> bool:
        """Whether there is anything to be written in it by hand."""
        return any(head.kind == "box" for head in self.heads())

    def heads(self) -> list[Column]:
        """All columns as records."""
        return [Column(each) if isinstance(each, str) else each for each in self.columns]

    def whole(self) -> Iterator[Sequence[Cell]]:
        """Rows with their names, all columns wide."""
        if self.names is None:
            yield from self.rows
        else:
            for name, row in zip(self.names, self.rows, strict=True):
                yield (name, *row)


@immutable
class Item:
    """One of a list, and what stands below it."""

    words: Words
    below: tuple[Block, ...] = ()


@immutable
class Listing:
    """A list. `whole` items stay on a line each where nobody knows how wide the screen is: for search tools."""

    items: Sequence[Item | Words]
    signs: Signs = "bullet"
    whole: bool = False

    def entries(self) -> Iterator[Item]:
        """All items as records."""
        return (each if isinstance(each, Item) else Item(each) for each in self.items)


@immutable
class Working:
    """The lines of a calculation."""

    lines: Sequence[str]
    label: str = "working"


@immutable
class Finding:
    """What a rule says of a subject, and below it what goes with it: working, changes, a caution."""

    level: Level
    rule: str
    subject: str
    message: Words
    line: int | None = None
    below: tuple[Block, ...] = ()


@immutable
class Picture:
    """A drawing made with `markup`; other forms than the page tell `alt`, which says what it shows."""

    svg: Markup
    alt: str
    caption: Words = ""


@immutable
class Labels:
    """Labels to be cut out, each of a few lines of which the first is large."""

    labels: Sequence[tuple[str, ...]]


@immutable
class Sign:
    """Lines to sign on, each with what is to be written there."""

    names: tuple[str, ...]


@immutable
class Section:
    """A heading and what stands under it. A `sheet` begins a page of its own on paper; what is `kept` never splits."""

    heading: str
    blocks: tuple[Block, ...]
    sheet: bool = False
    kept: bool = False


Block: TypeAlias = (
    Paragraph | Note | Caution | Facts | Table | Listing | Working | Finding | Picture | Labels | Sign | Section
)


@immutable
class Document:
    """The whole. `verdict` is the answer in one paragraph and stands before all else.

    `meta` are pairs of names and values that say where the document comes from. Text leaves out a title that the call
    itself says already (`titled` is false). `paper` says for whom it is printed: a form is set smaller than what
    somebody reads; `foot` then stands at the foot of each sheet of paper, with its number.
    """

    title: str
    blocks: tuple[Block, ...]
    verdict: Words = ""
    meta: tuple[tuple[str, str], ...] = ()
    titled: bool = True
    paper: Print = ""
    foot: str = ""


def below(block: Block | Item) -> tuple[Block | Item, ...]:
    """What stands within a block."""
    if isinstance(block, Section):
        return block.blocks
    if isinstance(block, Finding | Item):
        return block.below
    return tuple(block.entries()) if isinstance(block, Listing) else ()


def walk(blocks: Sequence[Block | Item]) -> Iterator[Block | Item]:
    """All blocks, each before what stands within it."""
    for block in blocks:
        yield block
        yield from walk(below(block))
