"""A document as one page of its own: no request leaves it, it reads without its script, prints, and fits a phone.

The script is only that of a field which finds rows; the field is shown where the script runs. Cells are hidden by check
boxes, which is style alone. Everything is native and so works from the keyboard.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby

from coaxwright.show.cells import cell_words
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.page import finished, foot, frame, stylesheet
from coaxwright.show.pieces import facts, level, link, listed, scrolled, table
from coaxwright.show.tree import (
    Block,
    Caution,
    Cell,
    Code,
    Column,
    Document,
    Facts,
    Finding,
    Item,
    Labels,
    Listing,
    Note,
    Outcome,
    Paragraph,
    Picture,
    Place,
    Run,
    Section,
    Sign,
    Strong,
    Table,
    Words,
    Working,
    runs,
    softened,
    walk,
)
from coaxwright.show.wide_tables import folding, is_wide, wide_class

_JUMPS_FROM = 3
"""With so many sections a page begins with links to them."""
_DEEPEST = 6
_WORD = re.compile(r"[a-z]+(-[a-z]+)*")
_FIND = """
const field = document.getElementById("find");
const told = document.getElementById("shown");
field.closest("p").hidden = false;
field.addEventListener("input", () => {
  const wanted = field.value.toLowerCase();
  let shown = 0;
  for (const row of document.querySelectorAll("table.found tbody tr")) {
    row.hidden = !row.firstElementChild.textContent.toLowerCase().includes(wanted);
    if (!row.hidden) { shown += 1; }
  }
  told.textContent = shown + " " + told.dataset.what + " shown";
});
"""


def render(document: Document) -> str:
    """The whole page."""
    tables = [block for block in walk(document.blocks) if isinstance(block, Table)]
    body = [
        tag("p", words(document.verdict), class_="says") if document.verdict else None,
        facts([(name, value) for name, value in document.meta]) if document.meta else None,
        _jumps(document.blocks),
        *(_top(block, place) for place, block in enumerate(document.blocks, 1)),
    ]
    return finished(
        document.title,
        [frame(document.title, *body, paper=document.paper)],
        css=stylesheet("document.css") + _paper(document) + _hiding(tables) + "".join(map(folding, filter(is_wide, tables))),
        script=_FIND if any(each.search for each in tables) else "",
    )


def fragment(document: Document, depth: int = 3) -> Markup:
    """A document without its title as part of another page; `depth` is the rank of its headings."""
    verdict = tag("p", words(document.verdict), class_="says") if document.verdict else None
    return join([verdict, *(_block(each, depth) for each in document.blocks)])


def _paper(document: Document) -> str:
    return stylesheet("sheets.css") + foot(document.foot or document.title) if document.paper else ""


def words(said: Words) -> Markup:
    """Runs as markup."""
    return join(map(_run, runs(said)))


def _run(run: Run) -> Child:
    if isinstance(run, Strong):
        return tag("strong", softened(run.text))
    if isinstance(run, Code | Place):
        return tag("code", softened(run.text))
    return softened(run)


def _jumps(blocks: Sequence[Block]) -> Markup | None:
    found = [(place, block) for place, block in enumerate(blocks, 1) if isinstance(block, Section)]
    if len(found) < _JUMPS_FROM:
        return None
    items = [tag("li", link(_anchor(place), block.heading)) for place, block in found]
    return tag("nav", tag("ul", items, class_="jump"), aria_label="Parts of the page")


def _anchor(place: int) -> str:
    return f"part-{place}"


def _top(block: Block, place: int) -> Markup:
    return _section(block, 2, _anchor(place)) if isinstance(block, Section) else _block(block, 2)


def _section(block: Section, depth: int, anchor: str | None = None) -> Markup:
    heading = tag(f"h{min(depth, _DEEPEST)}", softened(block.heading), id=anchor)
    kind = " ".join([*(["new-sheet"] if block.sheet else []), *(["kept"] if block.kept else [])])
    return tag("section", heading, _all(block.blocks, depth + 1), aria_labelledby=anchor, class_=kind or None)


def _all(blocks: Sequence[Block], depth: int) -> Iterator[Markup]:
    return (_block(each, depth) for each in blocks)


def _block(block: Block, depth: int) -> Markup:
    """A block; `depth` is the rank of the next heading."""
    if isinstance(block, Section):
        return _section(block, depth)
    if isinstance(block, Finding):
        return _finding(block, depth)
    if isinstance(block, Listing):
        return _listing(block, depth)
    if isinstance(block, Table):
        return _table(block)
    if isinstance(block, Facts):
        return facts([(name, _lines(said)) for name, said in block.lines()])
    if isinstance(block, Working):
        return tag("div", tag("p", f"{block.label}:"), listed(block.lines, "working"))
    return _words_block(block)


def _words_block(block: Paragraph | Note | Caution | Picture | Labels | Sign) -> Markup:
    if isinstance(block, Labels):
        return tag("div", [_label(each) for each in block.labels], class_="labels")
    if isinstance(block, Sign):
        return tag("div", [tag("span", each) for each in block.names], class_="sign")
    if isinstance(block, Picture):
        caption = tag("figcaption", words(block.caption)) if block.caption else None
        return tag("figure", tag("div", block.svg, role="img", aria_label=block.alt), caption)
    if isinstance(block, Paragraph):
        return tag("p", words(block.words), class_=block.level)
    label = "CAUTION: " if isinstance(block, Caution) else "Note: "
    return tag("p", tag("strong", label), words(block.words), class_=type(block).__name__.lower() + "-box")


def _label(lines: Sequence[str]) -> Markup:
    return tag("div", tag("b", softened(lines[0])), [tag("span", softened(each)) for each in lines[1:]], class_="label")


def _lines(said: Sequence[Words]) -> Markup:
    """One line as it is, several as paragraphs."""
    return words(said[0]) if len(said) == 1 else join(tag("p", words(each)) for each in said)


def _finding(block: Finding, depth: int) -> Markup:
    line = None if block.line is None else tag("span", f", line {block.line}", class_="quiet")
    heading = tag(
        f"h{min(depth, _DEEPEST)}", level(block.level), " ", softened(block.subject), line, " ", tag("code", block.rule)
    )
    return tag(
        "div", heading, tag("p", words(block.message), class_="says"), _all(block.below, depth + 1),
        class_=f"finding {block.level}",
    )  # fmt: skip


def _listing(block: Listing, depth: int) -> Markup:
    items = [tag("li", _item(each, depth)) for each in block.entries()]
    if block.signs == "number":
        return tag("ol", items)
    return tag("ul", items, class_="plain" if block.signs == "none" else None)


def _item(item: Item, depth: int) -> list[Child]:
    return [words(item.words), *_all(item.below, depth)]


# Tables


def _table(block: Table) -> Markup:
    if not block.rows and block.empty:
        return join([tag("p", tag("b", block.caption)) if block.caption else None, tag("p", block.empty)])
    if block.fold == "stack":
        heads = block.heads()
        rows = [[_cell(head, cell) for head, cell in zip(heads, row, strict=True)] for row in block.whole()]
        numbers = {head.name for head in heads if head.kind == "number"}
        whole = {head.name for head in heads if not head.wraps}
        return table(block.caption, [head.name for head in heads], rows, class_="stacked", numbers=numbers, whole=whole)
    return join([_search(block), _boxes(block), scrolled(_grid(block), f"Table: {block.caption}" if block.caption else "Table")])


def _cell(head: Column, cell: Cell) -> Markup:
    return words(cell_words(head, cell))


def _grid(block: Table) -> Markup:
    """A wide table; rows that are one and the same tuple are made once."""
    heads = block.heads()
    inner = heads if block.names is None else heads[1:]
    made: dict[int, Markup] = {}
    rows = []
    for place, row in enumerate(block.rows):
        if id(row) not in made:
            made[id(row)] = join(_grid_cells(inner, row, block.names is None))
        name = None if block.names is None else tag("th", block.names[place], scope="row")
        rows.append(tag("tr", name, made[id(row)]))
    kinds = [*(["found"] if block.search else ["form"] if block.boxed else []), *([wide_class(block)] if is_wide(block) else [])]
    caption = tag("caption", block.caption) if block.caption and not block.search else None
    head = tag("thead", _grid_heads(heads))
    return tag("table", caption, head, tag("tbody", rows), class_=" ".join(kinds) or None)


def _grid_heads(heads: Sequence[Column]) -> list[Markup]:
    """The heads, with a row of groups over them where there are any."""
    names = tag("tr", [tag("th", each.name, scope="col", class_=_side(each)) for each in heads])
    if not any(each.group for each in heads):
        return [names]
    groups = [(name, len(list(some))) for name, some in groupby(heads, lambda head: head.group)]
    over = [tag("th", name, scope="colgroup", colspan=wide) if name else tag("td", colspan=wide) for name, wide in groups]
    return [tag("tr", over), names]


def _grid_cells(heads: Sequence[Column], row: Sequence[Cell], named: bool) -> Iterator[Markup]:
    for place, (head, cell) in enumerate(zip(heads, row, strict=True)):
        if named and place == 0:
            yield tag("th", _cell(head, cell), scope="row", class_=None if head.wraps else "nb")
        elif isinstance(cell, Outcome):
            yield tag("td", tag("span", cell.text), class_=f"{_word(cell.word)} edge-{cell.level}")
        else:
            yield tag("td", _cell(head, cell), class_=_side(head))


def _side(head: Column) -> str | None:
    return head.kind if head.kind in ("number", "box") else None if head.wraps else "nb"


def _word(word: str) -> str:
    """The word of an outcome as a name for styles; ValueError for what may not be one."""
    if not _WORD.fullmatch(word):
        raise ValueError(f"`{word}` is no word for an outcome")
    return word


def _search(block: Table) -> Markup | None:
    if block.search is None:
        return None
    label, what = block.search
    field = tag("label", f"{label} ", tag("input", id="find", type="search", autocomplete="off"))
    return tag("p", field, tag("span", "", id="shown", role="status", data_what=what), hidden=True)


def _boxes(block: Table) -> Markup | None:
    if not block.outcomes:
        return None
    boxes = [
        tag("label", tag("input", id=f"show-{_word(word)}", type="checkbox", checked=True), f" {text}")
        for word, text in block.outcomes
    ]
    return tag("fieldset", tag("legend", "Show outcomes"), boxes)


def _hiding(tables: Sequence[Table]) -> str:
    """What hides the cells of an outcome whose box is not checked."""
    found = dict.fromkeys(_word(word) for each in tables for word, _ in each.outcomes)
    return "".join(f"body:has(#show-{word}:not(:checked)) td.{word}>span{{visibility:hidden}}\n" for word in found)
