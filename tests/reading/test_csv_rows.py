"""CSV: what is read is what the standard library reads; what is none is refused at its place.

Oracle: RFC 4180 as Python's own csv module carries it out; places counted by hand.
"""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coaxwright.errors import Refusal
from coaxwright.reading.csv_rows import MOST_CELL, Table

CELLS = st.lists(st.lists(st.text(alphabet='ab",;\n\r \u00e4', max_size=6), min_size=1, max_size=4), max_size=5)


@given(CELLS, st.sampled_from([",", ";", "\t"]), st.sampled_from(["\n", "\r\n"]))
@example([["a", 'say "so"', "two\nlines"], ["", ""]], ",", "\n")
def test_what_was_written_is_read(rows: list[list[str]], delimiter: str, end: str) -> None:
    stream = io.StringIO(newline="")
    csv.writer(stream, delimiter=delimiter, lineterminator=end, quoting=csv.QUOTE_ALL).writerows(rows)
    assert [row.cells for row in Table(stream.getvalue(), "f", delimiter)] == rows


@given(CELLS, st.sampled_from([",", ";"]))
def test_every_cell_is_found_where_it_was_written(rows: list[list[str]], delimiter: str) -> None:
    """The place that a problem names is where the cell begins, counted from what was written, cell by cell."""
    text, wanted = "", []
    for row in rows:
        places = []
        for number, cell in enumerate(row):
            text += delimiter if number else ""
            before = text.replace("\r\n", "\n").replace("\r", "\n")
            places.append((before.count("\n") + 1, len(before) - before.rfind("\n")))
            text += '"' + cell.replace('"', '""') + '"'
        text += "\n"
        wanted.append(places)
    table = Table(text, "f", delimiter)
    found = [[table.problem(row, place, "x").span for place in range(len(row.cells))] for row in table]
    assert [[(span.line, span.column) for span in row if span] for row in found] == wanted


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('a,b\nc,"d\ne,f\n',
         "f:2:3: this is no CSV: a quotation mark opens here and is never closed; check the quotation marks"),
        ('"', "f:1:1: this is no CSV: a quotation mark opens here and is never closed; check the quotation marks"),
        ('a,"b"c,d\n', "f:1:3: this is no CSV: a quoted cell goes on after its quotation mark; check the quotation marks"),
        ('x\n"two\nlines","b" \n',
         "f:3:8: this is no CSV: a quoted cell goes on after its quotation mark; check the quotation marks"),
        ("a," + "b" * (MOST_CELL + 1),
         "f:1:3: this is no CSV: a cell of more than 131,072 characters begins here; check the quotation marks"),
        ('a\nb,"' + "c\n" * MOST_CELL + '"',
         "f:2:3: this is no CSV: a cell of more than 131,072 characters begins here; check the quotation marks"),
        ('a\nb,"' + "c\n" * MOST_CELL,
         "f:2:3: this is no CSV: a cell of more than 131,072 characters begins here; check the quotation marks"),
    ],
)  # fmt: skip
def test_what_is_no_csv_is_refused_at_its_place(text: str, told: str) -> None:
    with pytest.raises(Refusal) as caught:
        list(Table(text, "f"))
    assert str(caught.value) == told


def test_a_cell_as_long_as_may_be_is_read() -> None:
    (row,) = Table("b" * MOST_CELL, "f")
    assert len(row.cells[0]) == MOST_CELL
