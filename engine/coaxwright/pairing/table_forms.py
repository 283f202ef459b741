"""A table of pairs as a document, and as JSON.

Text tells each outcome of a camera once with the recorders that come to it; other forms have a cell for each pair.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.pairing.by_hand import WORDS
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.placing import MOST_TOGETHER, Seat, place
from coaxwright.pairing.printing import outcomes_words, seat_data
from coaxwright.pairing.ranking import outcomes_of
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.tables import Table
from coaxwright.pairing.telling import MARKS, cell_data, cell_words
from coaxwright.show.figures import count
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import to_json
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Block, Document, Item, Level, Listing, Outcome, Paragraph, Section
from coaxwright.show.tree import Table as Grid

LEVELS: dict[str | None, Level] = {
    "full": "pass", "asked-down": "pass", "reduced-width": "warning", None: "open", "needs-setting": "error",
    "no-picture": "error", "too-long": "error", "unfit-cable": "error",
}  # fmt: skip
"""How grave each outcome is, for the edges of cells on a page."""
MOST_CELLS = 250_000
"""More pairs than this make no page or Markdown that anything opens; CSV and JSON have no such limit."""


Together = Sequence[tuple[str, Sequence[Seat]]]
"""Recorders, each with all cameras named on it, each on an input of its own."""


def all_together(clerk: Clerk, cameras: list[str], recorders: list[str], question: Question) -> list[tuple[str, list[Seat]]]:
    """All cameras named on each recorder, each on an input of its own; nothing where that is not asked, or is too many."""
    if not 1 < len(cameras) <= MOST_TOGETHER or question.number is not None or question.channels is not None:
        return []
    if len(recorders) > MOST_TOGETHER:
        return []
    return [(name, place(clerk, cameras, name, question)) for name in recorders]


def refuse_too_many(pairs: int, form: str) -> None:
    """Refusal for more pairs than the form is good for: to be asked before the work."""
    if form in ("md", "html") and pairs > MOST_CELLS:
        what = f"{pairs} pairs are too many for {form}, which takes {MOST_CELLS}"
        raise Refusal([Problem("pair", what, "narrow the globs, or write csv or json")])


def render_table(table: Table, form: str, together: Together = (), screen: Screen | None = None) -> str:
    """A table in a form: text, csv, md, json or html; Refusal for more pairs than the form is good for.

    `together` tells what all cameras come to on one recorder; CSV, whose rows are pairs, has no place for it.
    """
    refuse_too_many(table.size, form)
    if form == "json":
        return _json(table, together)
    return rendered(table_document(table, form, together), form, screen)


def table_document(table: Table, form: str, together: Together = ()) -> Document:
    """The document of a table in a form; Markdown begins with the table itself, to be pasted under a heading."""
    heading = f"{count(len(table.cameras), 'camera')} on {count(len(table.recorders), 'recorder')}"
    blocks: list[Block] = [_by_camera(table) if form == "text" else _grid(table)]
    if together:
        blocks.append(Section(_together_heading(together), (Listing(together_lines(together), "none", whole=True),)))
    if form == "text":
        blocks.append(Paragraph(f"{len(table.cameras)} cameras, {len(table.recorders)} recorders, {table.size} pairs."))
    return Document("" if form == "md" else heading, tuple(blocks), titled=False)


def together_lines(together: Together) -> list[str]:
    """All cameras on each recorder: `tarnwell/hybrid-8: 2 full [=], 1 reduced-width [/]`."""
    return [f"{name}: {outcomes_words(outcomes_of(seats))}" for name, seats in together]


def _together_heading(together: Together) -> str:
    return f"All {len(together[0][1])} cameras on one recorder, each on an input of its own"


def _by_camera(table: Table) -> Listing:
    """Every camera with its outcomes, each once, with the recorders that come to it."""
    words = [cell_words(cell) for cell in table.cells]
    made: dict[int, tuple[Block, ...]] = {}
    items = []
    for camera, group in zip(table.cameras, table.kind_of, strict=True):
        if group not in made:
            told = [f"{what}: {names}" for what, names in _by_outcome(table, group, words)]
            made[group] = (Listing(told, "none", whole=True),)
        items.append(Item(camera, made[group]))
    return Listing(items, "none", whole=True)


def _by_outcome(table: Table, group: int, words: list[str]) -> list[tuple[str, str]]:
    """Outcomes of a group of cameras, best first, each with its recorders."""
    found: dict[int, list[str]] = {}
    for recorder, number in zip(table.recorders, table.row(group), strict=True):
        found.setdefault(number, []).append(recorder)
    best = sorted(found, key=lambda number: (table.cells[number].worth, table.cells[number].kept), reverse=True)
    return [(words[number], ", ".join(found[number])) for number in best]


def _grid(table: Table) -> Grid:
    """A cell for each pair; cameras of a kind share one row."""
    cells = [Outcome(_word(cell.verdict), cell_words(cell), LEVELS[cell.verdict]) for cell in table.cells]
    made: dict[int, tuple[Outcome, ...]] = {}
    for group in table.kind_of:
        if group not in made:
            made[group] = tuple(cells[number] for number in table.row(group))
    return Grid(
        ("camera", *table.recorders),
        [made[group] for group in table.kind_of],
        names=table.cameras,
        fold="scroll",
        search=("Find cameras", "cameras"),
        outcomes=[(_word(outcome), _legend(outcome)) for outcome in MARKS],
    )


def _word(outcome: str | None) -> str:
    return outcome or "open"


def _legend(outcome: str | None) -> str:
    """`[!] needs-setting (needs a setting)`."""
    more = f" ({WORDS[outcome]})" if outcome == "needs-setting" else ""
    return f"{MARKS[outcome]} {_word(outcome)}{more}"


def _json(table: Table, together: Together) -> str:
    """`table[c][r]` is the place in `answers` of the answer of `cameras[c]` on `recorders[r]`."""
    head: dict[str, Any] = {
        "format": 2,
        "cameras": table.cameras,
        "recorders": table.recorders,
        "answers": [{**cell_data(cell), "words": cell_words(cell)} for cell in table.cells],
        "together": [{"recorder": name, "seats": [seat_data(each) for each in seats]} for name, seats in together],
    }
    made: dict[int, str] = {}
    rows = []
    for group in table.kind_of:
        if group not in made:
            made[group] = "[" + ",".join(map(str, table.row(group))) + "]"
        rows.append(made[group])
    return (
        to_json(head).rstrip().removesuffix("}").rstrip()
        + ',\n  "table": [\n    '
        + ",\n    ".join(rows)
        + "\n  ]\n}\n"
    )
