"""The form of tables: every row has a source, every figure a unit; what is wrong is refused at its place."""

from __future__ import annotations

import math
import re

import pytest

from coaxwright.errors import Refusal
from coaxwright.model.tables import TableFile, column_unit
from coaxwright.reading.table_files import build_table
from coaxwright.reading.tables import (
    Table,
    generic_part_files,
    iterate_tables,
    load_assumptions,
    load_table,
    table_names,
)
from coaxwright.reading.yaml_source import parse_document
from coaxwright.resources import data_root

TABLES = list(iterate_tables())
BASIS = re.compile(
    r"IEC |IEEE |ITU-[RT] |SMPTE |CTA-861|ASTM |ANSI/|NEC |UL |TIA-568|NBS |SNIA |MIL-|ARRL |Amerasinghe, |"
    r"skin-effect theory|circuit theory|handbook value|common practice|from memory"
)
"""A published standard, handbook or text, or the two words for where there is none."""

WANTED = {
    "caution-fixes",
    "caution-places",
    "caution-rules",
    "cautions",
    "arrester-categories",
    "assumptions",
    "cabinet-surfaces",
    "screen-cables",
    "cabinet-walls",
    "class2-limits",
    "coax-loops",
    "commissioning",
    "class2-limits-ac",
    "conductor-air",
    "customer-assumptions",
    "customer-words",
    "conductor-bunching",
    "conductor-currents",
    "conductor-materials",
    "conductors-iec60228",
    "datasheet-order",
    "datasheet-places",
    "device-opening",
    "device-derating",
    "decided-facts",
    "environmental-classes",
    "fire-classes",
    "fire-usual",
    "h264-levels",
    "h265-levels",
    "ik-codes",
    "ip-codes",
    "maintenance",
    "list-words",
    "mains-separation",
    "pair-categories",
    "pair-bundles",
    "part-headings",
    "poe-classes",
    "poe-types",
    "port-meetings",
    "night-rates",
    "recording-rates",
    "redundancy",
    "schedule-headings",
    "camera-list-headings",
    "signal-distances",
    "sources",
    "signal-families",
    "signal-modes",
    "supply-derating",
    "view-classes-2014",
    "view-classes-2025",
    "wet-contact-limits",
    "wire-awg",
}


def _written(name: str) -> TableFile:
    file = data_root("rules") / "tables" / f"{name}.yaml"
    return TableFile.model_validate(parse_document(file.read_text(encoding="utf-8"), name).value)


def test_all_tables_are_there() -> None:
    assert set(table_names()) == WANTED


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_row_has_a_source_that_says_what_it_is(table: Table) -> None:
    assert table.rows
    for row in table.rows:
        assert BASIS.search(row["source"]), row
        assert "http" not in row["source"]
        assert "www." not in row["source"]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_every_figure_stands_in_a_column_with_a_unit(table: Table) -> None:
    written = _written(table.name)
    for name, column in written.columns.items():
        assert column.about
        cells = [row[name] for row in table.rows]
        numeric = [cell for cell in cells if isinstance(cell, (int, float)) and not isinstance(cell, bool)]
        if column.holds == "quantity":
            continue
        assert bool(numeric) == (column.unit is not None), name
        assert (name in table.units) == (column.unit is not None)
        least = -273.15 if table.units.get(name) == "degC" else 0
        assert all(math.isfinite(figure) and figure >= least for figure in numeric)


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_rows_are_found_by_their_key(table: Table) -> None:
    for row in table.rows:
        assert table.row(*(row[name] for name in table.key)) is row
    assert table.get("nothing of the kind") is None
    with pytest.raises(KeyError):
        table.row("nothing of the kind")


def test_no_such_table() -> None:
    with pytest.raises(KeyError):
        load_table("parts-coax")
    with pytest.raises(KeyError):
        load_table("../rules")


def test_tables_are_read_once() -> None:
    assert load_table("ik-codes") is load_table("ik-codes")


@pytest.mark.parametrize(
    ("unit", "quantity", "factor", "base"),
    [
        ("ohm/km", None, 0.001, "ohm/m"),
        ("%", None, 0.01, "1"),
        ("kb/s", None, 1000.0, "bit/s"),
        ("mm", "millimetres", 1.0, "mm"),
        ("mm", "length", 0.001, "m"),
        ("1/K", None, 1.0, "1/K"),
        ("", None, 1.0, ""),
    ],
)
def test_figures_come_out_in_base_units(unit: str, quantity: str | None, factor: float, base: str) -> None:
    """Factors by definition of the prefixes (SI brochure)."""
    read = column_unit(unit, quantity)
    assert (read.convert(1), read.base) == (factor, base)


HEAD = """table: sample
title: A sample
key: [name]
columns:
  name: {about: Name., one_of: [a, b]}
  size: {holds: number, unit: ohm/km, about: Size.}
  count: {holds: integer, unit: "", optional: true, about: Count.}
source: common practice
rows:
"""


def test_a_sample_reads() -> None:
    rows = "  - {name: a, size: 26.0}\n  - {name: b, size: 1, count: 3, source: own}\n"
    table = build_table(HEAD + rows, "s")
    assert table.row("a") == {"name": "a", "size": 0.026, "count": None, "source": "common practice"}
    assert table.row("b") == {"name": "b", "size": 0.001, "count": 3, "source": "own"}


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ("  - {name: a}\n", "`size` is missing"),
        ("  - {name: a, size: many}\n", "`size`: "),
        ("  - {name: a, size: true}\n", "`size`: "),
        ("  - {name: a, size: 1, extra: 1}\n", "`extra` is not a column"),
        ("  - {name: c, size: 1}\n", "`c` is none of a, b"),
        ("  - {name: a, size: 1, count: 1.5}\n", "`count`: "),
        ("  - {name: a, size: 1}\n  - {name: a, size: 2}\n", "the key ('a',) stands twice"),
        ("  - {name: a, size: 1, size: 2}\n", "written twice"),
        ("  - [a, 1]\n", "rows/0: "),
        ("  []\n", "rows: "),
        ("  - {name: a, size: 1\n", "s:"),
    ],
)
def test_a_wrong_row_is_refused_at_its_place(rows: str, says: str) -> None:
    with pytest.raises(Refusal) as refused:
        build_table(HEAD + rows, "s")
    problem = refused.value.problems[0]
    assert says in str(problem)
    assert problem.span is not None
    assert problem.span.line >= HEAD.count("\n")


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        ("source: common practice\n", "", "no source, neither its own nor the table's"),
        ("key: [name]", "key: [nome]", "key names no column: nome"),
        ("unit: ohm/km, ", "", "a column holds numbers if and only if it has a unit"),
        ("unit: ohm/km", "unit: ohm/mile", "`ohm/mile` is not a known unit"),
        ("unit: ohm/km", "unit: mm", "`mm` is ambiguous: name its quantity"),
        ("unit: ohm/km", "unit: mm, quantity: girth", "`girth` is not a kind of quantity"),
        ("about: Size.", "abut: Size.", "columns/size"),
    ],
)
def test_a_wrong_head_is_refused(was: str, becomes: str, says: str) -> None:
    assert HEAD.count(was) == 1
    with pytest.raises(Refusal, match=re.escape(says)):
        build_table(HEAD.replace(was, becomes) + "  - {name: a, size: 1}\n", "s")


def test_assumptions_read_to_base_units() -> None:
    assumptions = load_assumptions()
    assert assumptions["conductor-temperature"].value == 40.0
    assert assumptions["conductor-temperature"].unit == "degC"
    assert assumptions["conductor-temperature"].written == "40 °C"
    assert assumptions["usable-share"].written == "93 %"
    assert assumptions["bits-per-pixel-h264"].written == "0.07 bit/px"
    assert assumptions["environment-outdoor"].written == "-25 °C to 60 °C"
    assert all(each.source and each.about and each.written for each in assumptions.values())


def test_part_files_are_no_tables() -> None:
    names = [file.name for file in generic_part_files()]
    assert names == sorted(names)
    assert len(names) >= 6
    assert not {name.removesuffix(".yaml") for name in names} & set(table_names())
