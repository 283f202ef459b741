"""A table of pairs as text, CSV, Markdown and JSON. The page is in `page`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.pairing.placing import Seat
from coaxwright.pairing.printing import outcomes_words, seat_data
from coaxwright.pairing.ranking import outcomes_of
from coaxwright.pairing.tables import Table
from coaxwright.pairing.telling import cell_data, cell_words
from coaxwright.show.csv_text import csv_text
from coaxwright.show.json_text import to_json
from coaxwright.show.markdown import escaped
from coaxwright.show.painter import visible

MOST_CELLS = 250_000
"""More pairs than this make no page or Markdown that anything opens; CSV and JSON have no such limit."""


Together = Sequence[tuple[str, Sequence[Seat]]]
"""Recorders, each with all cameras named on it, each on an input of its own."""


def refuse_too_many(pairs: int, form: str) -> None:
    """Refusal for more pairs than the form is good for: to be asked before the work."""
    if form in ("md", "html") and pairs > MOST_CELLS:
        what = f"{pairs} pairs are too many for {form}, which takes {MOST_CELLS}"
        raise Refusal([Problem("pair", what, "narrow the globs, or write csv or json")])


def render_table(table: Table, form: str, together: Together = ()) -> str:
    """A table in a form: text, csv, md, json or html; Refusal for more pairs than the form is good for.

    `together` tells what all cameras come to on one recorder; CSV, whose rows are pairs, has no place for it.
    """
    refuse_too_many(table.size, form)
    if form == "html":
        from coaxwright.pairing.page import table_page

        return table_page(table, together_lines(together))
    if form == "csv":
        return _csv(table)
    return {"text": _text, "md": _markdown, "json": _json}[form](table, together)


def together_lines(together: Together) -> list[str]:
    """All cameras on each recorder: `tarnwell/hybrid-8: 2 full [=], 1 reduced-width [/]`."""
    return [f"{name}: {outcomes_words(outcomes_of(seats))}" for name, seats in together]


def _together_heading(together: Together) -> str:
    return f"All {len(together[0][1])} cameras on one recorder, each on an input of its own"


def _text(table: Table, together: Together) -> str:
    """A block a camera: each outcome once, with the recorders that come to it."""
    words = [cell_words(cell) for cell in table.cells]
    shown: dict[int, list[tuple[str, str]]] = {}
    lines = []
    for place, camera in enumerate(table.cameras):
        group = table.kind_of[place]
        if group not in shown:
            shown[group] = _by_outcome(table, group, words)
        lines.append(visible(camera))
        lines += [f"  {what}: {names}" for what, names in shown[group]]
    if together:
        lines.append(f"{_together_heading(together)}:")
        lines += [f"  {visible(line)}" for line in together_lines(together)]
    lines.append(f"{len(table.cameras)} cameras, {len(table.recorders)} recorders, {table.size} pairs.")
    return "\n".join(lines) + "\n"


def _by_outcome(table: Table, group: int, words: list[str]) -> list[tuple[str, str]]:
    """Outcomes of a group of cameras, best first, each with its recorders."""
    found: dict[int, list[str]] = {}
    for recorder, number in zip(table.recorders, table.row(group), strict=True):
        found.setdefault(number, []).append(recorder)
    best = sorted(found, key=lambda number: (table.cells[number].worth, table.cells[number].kept), reverse=True)
    return [(words[number], visible(", ".join(found[number]))) for number in best]


def _csv(table: Table) -> str:
    words = [*map(cell_words, table.cells)]
    made: dict[int, str] = {}
    lines = [csv_text([["camera", *table.recorders]])]
    for camera, group in zip(table.cameras, table.kind_of, strict=True):
        if group not in made:
            made[group] = csv_text([[words[number] for number in table.row(group)]])
        lines.append(f"{csv_text([[camera]])[:-1]},{made[group]}")
    return "".join(lines)


def _markdown(table: Table, together: Together) -> str:
    words = [escaped(cell_words(cell)) for cell in table.cells]
    lines: list[str] = [f"| camera | {' | '.join(map(escaped, table.recorders))} |"]
    lines.append(f"|{' --- |' * (len(table.recorders) + 1)}")
    for camera, group in zip(table.cameras, table.kind_of, strict=True):
        lines.append(f"| {escaped(camera)} | {' | '.join(words[number] for number in table.row(group))} |")
    if together:
        lines += [
            "",
            f"{_together_heading(together)}:",
            "",
            *(f"- {escaped(each)}" for each in together_lines(together)),
        ]
    return "\n".join(lines) + "\n"


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
