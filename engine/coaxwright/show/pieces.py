"""Pieces of pages: tables, marks of level, links, lists that fold."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence

from coaxwright.show.markup import Child, Markup, join, tag

_FILLS = {"error": "M1 1h10v10H1z", "warning": "M1 11L11 1v10z", "note": "", "open": "", "pass": "M2.5 6.5l2.5 3l5 -7"}


def mark(state: str) -> Markup:
    """The square of a state: full error, half warning, empty note, broken edge open, ticked pass; needs its word."""
    edge = tag("rect", x=1, y=1, width=10, height=10, class_="mark-edge")
    fill = _FILLS.get(state, "")
    inside = tag("path", d=fill, class_="mark-tick" if state == "pass" else "mark-fill") if fill else None
    return tag("svg", edge, inside, class_=f"mark {state}", viewBox="0 0 12 12", aria_hidden="true")


def level(name: str) -> Markup:
    """A level's square and word."""
    return tag("span", mark(name), tag("b", name), class_=f"level {name}")


def sign(name: str) -> Markup:
    """A level's square, its word for ears only."""
    return tag("span", mark(name), tag("span", f"{name} ", class_="ears"), class_=f"level {name}")


def part_name(part: str) -> Markup:
    """A catalogue id, which may be broken after its maker."""
    maker, slash, rest = part.partition("/")
    return tag("code", maker + slash, tag("wbr") if rest else None, rest)


def link(anchor: str, words: Child) -> Markup:
    """A link within the page."""
    return tag("a", words, href=f"#{anchor}")


def table(
    caption: Child, heads: Sequence[str], rows: Iterable[Sequence[Child]], *, class_: str = "", ids: Sequence[str] = (),
    numbers: Container[str] = (), whole: Container[str] = (),
) -> Markup:  # fmt: skip
    """A table whose first column names the row. On a narrow screen each row stands by itself, its cells labelled.

    `numbers` are the heads of columns that are set to the right, `whole` those of columns whose words are never broken.
    """
    made = [
        _row(heads, row, ids[place] if place < len(ids) else "", numbers, whole) for place, row in enumerate(rows)
    ]
    return tag(
        "table",
        tag("caption", caption) if caption else None,
        tag("thead", tag("tr", [tag("th", head, scope="col", class_=_number(head, numbers)) for head in heads])),
        tag("tbody", made),
        class_=class_ or None,
    )


def _row(heads: Sequence[str], row: Sequence[Child], anchor: str, numbers: Container[str], whole: Container[str]) -> Markup:
    first = tag("th", row[0], scope="row", class_="nb" if heads[0] in whole else None)
    cells = [
        tag("td", cell, data_label=head, class_=_number(head, numbers) or ("nb" if head in whole else None))
        for head, cell in zip(heads[1:], row[1:], strict=True)
    ]
    return tag("tr", first, cells, id=anchor or None)


def _number(head: str, numbers: Container[str]) -> str | None:
    return "number" if head in numbers else None


def scrolled(content: Child, name: str) -> Markup:
    """Something wide that scrolls by itself, by keyboard too."""
    return tag("div", content, class_="scroll", tabindex="0", role="region", aria_label=name)


def folded(summary: Child, content: Child | Iterable[Child], opened: bool = False) -> Markup:
    """What unfolds when asked for; in print it is always open."""
    return tag("details", tag("summary", summary), tag("div", content), open=opened)


def listed(items: Iterable[Child], class_: str = "") -> Markup:
    """A plain list."""
    return tag("ul", [tag("li", item) for item in items], class_=class_ or None)


def section(anchor: str, heading: str, *content: Child, class_: str = "") -> Markup:
    """A section of the page with its heading."""
    return tag("section", tag("h2", heading, id=anchor), *content, aria_labelledby=anchor, class_=class_ or None)


def facts(pairs: Iterable[tuple[str, Child]]) -> Markup:
    """Names with values."""
    return tag("dl", [join([tag("dt", name), tag("dd", value)]) for name, value in pairs], class_="facts")


def names(subjects: Sequence[Markup], most: int = 12) -> Markup:
    """Names in a row; of many, the first and how many more."""
    shown = join(subjects[:most], ", ")
    left = len(subjects) - most
    return shown if left <= 0 else join([shown, f" and {left} more"])
