"""A document with every kind of block, a name of someone's in each place where one may stand."""

from __future__ import annotations

from coaxwright.show.markup import tag
from coaxwright.show.tree import (
    Caution,
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
    Section,
    Sign,
    Strong,
    Table,
    Working,
)

COLUMNS = (Column("camera"), Column("length", "number", "m", 1), Column("holds", "answer"))


def sample(x: str) -> Document:
    """`x` stands in every place."""
    shared = (Outcome("full", f"[=] {x}", "pass"), Outcome("no-picture", f"[x] {x}", "error"))
    table = Table(COLUMNS, [(x, 120.0, True), ((Strong(x), " and more"), 85.25, None), ("c3", None, False)], caption=x)
    grid = Table(
        ("camera", x, "other"), [shared, shared], x, names=[x, "c2"], fold="scroll", search=("Find cameras", "cameras"),
        outcomes=[("full", "[=] full"), ("no-picture", "[x] no picture")],
    )  # fmt: skip
    below = (Working((x, "1 + 1 = 2")), Listing(((x, " ", Code(x)),)), Caution(x))
    finding = Finding("error", "cable/too-long", x, (x, " at ", Place(x, 12, 3)), 12, below)
    picture = Picture(tag("svg", tag("text", x, x=0, y=10), viewBox="0 0 100 20", width=100, height=20), x, x)
    boxes = Table(
        ("cable", Column("expected", "number", "V", group=x), Column("measured", "box", group=x)), [(x, 11.6, None)],
        f"{x}, to fill in", fold="scroll",
    )  # fmt: skip
    return Document(
        x,
        (
            Paragraph((Strong(x), " then ", Code(x), " at ", Place(x, 7), "."), "open"),
            Section(x, (table, Note(x))),
            Section("Pairs", (grid,)),
            Section("Findings", (finding,)),
            Section("Sheet", (boxes, Labels([(x, x), ("V-02", "b")]), Sign((x, "date"))), sheet=True, kept=True),
            Section("Rest", (Facts([(x, x), ("several", [x, "b"])]), Listing([Item(x, (Paragraph(x),))], "number"), picture)),
        ),
        verdict=(x, " holds"),
        meta=(("file", x),),
        paper="form",
        foot=x,
    )
